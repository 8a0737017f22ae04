"""What is withheld, and that nobody can compute it from what is shown."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from unsnag.stats.suppression import determined, withheld_cells


def decided(cells, minimum=3):
    """The withheld cells among (cell, sum, animals, clinics), and whether each is withheld for itself."""
    return withheld_cells(*zip(*cells, strict=True), minimum)


def test_a_cell_of_few_clinics_takes_the_smallest_other_with_it():
    found = decided([("a", "f", 9, "xy"), ("b", "f", 50, "xyz"), ("c", "f", 7, "xyz"), ("d", "f", 8, "xyz")])
    assert found == {"a": True, "c": False}


def test_two_small_cells_of_one_clinic_are_not_enough():
    """Total less the rest would be that one clinic's animals."""
    found = decided([("a", "f", 9, "x"), ("b", "f", 5, "x"), ("c", "f", 50, "xyz"), ("d", "f", 60, "xyz")])
    assert set(found) == {"a", "b", "c"}


def test_two_small_cells_of_three_clinics_are_enough():
    found = decided([("a", "f", 9, "xy"), ("b", "f", 5, "z"), ("c", "f", 50, "xyz")])
    assert set(found) == {"a", "b"}


def test_a_gap_that_opens_in_another_family_is_closed_there():
    cells = [
        ("a", "rows", 2, "x"),
        ("b", "rows", 5, "xyz"),
        ("c", "rows", 30, "xyz"),
        ("b", "columns", 5, "xyz"),
        ("d", "columns", 20, "xyz"),
        ("e", "columns", 40, "xyz"),
    ]
    assert set(decided(cells)) == {"a", "b", "d"}


def test_nothing_is_withheld_where_every_cell_has_clinics_enough():
    assert decided([("a", "f", 1, "xyz"), ("b", "f", 2, "wxyz")]) == {}
    assert decided([("a", "f", 1, "x"), ("b", "f", 2, "x")], minimum=1) == {}


def test_ties_are_broken_by_name_and_not_by_order():
    cells = [("a", "f", 9, "x"), ("c", "f", 7, "xyz"), ("b", "f", 7, "xyz")]
    assert set(decided(cells)) == set(decided(cells[::-1])) == {"a", "b"}


def test_a_withheld_total_that_the_parts_would_give_away_takes_a_part_with_it():
    cells = [
        ("a", "kinds", 50, "xyz"),
        ("b", "kinds", 9, "x"),
        ("c", "kinds", 20, "wxyz"),
        ("c", "parts of c", 20, "wxyz"),
        ("c1", "parts of c", 8, "wxyz"),
        ("c2", "parts of c", 12, "wxyz"),
    ]
    assert decided(cells) == {"b": True, "c": False, "c1": False}


def test_two_sums_together_give_nothing_away():
    """b + c and b + c + a are each safe; their difference would be a, of one clinic."""
    cells = [("a", "one", 9, "x"), ("b", "one", 2, "xyz"), ("c", "one", 3, "xyz"), ("d", "one", 8, "xyz")]
    cells += [("b", "two", 2, "xy"), ("c", "two", 3, "xyz"), ("e", "two", 40, "xyz")]
    found = decided(cells)
    sums = {"one": set("abcd"), "two": set("bce")}
    assert determined({"one": set("abc"), "two": set("bc")}, set("abc")) == {"a"}
    assert determined(sums, set(found)) & {"a", "b"} == set()


@given(
    st.lists(
        st.tuples(
            st.sampled_from("abcdefgh"),
            st.sampled_from("RSTU"),
            st.integers(1, 40),
            st.sets(st.sampled_from("vwxyz"), min_size=1),
        ),
        min_size=1,
        max_size=24,
        unique_by=lambda row: row[:2],
    )
)
def test_no_small_cell_follows_from_what_is_shown(rows):
    """A sum of which nothing is shown proves nothing: its total would have to be withheld, as 'all=all' is."""
    hidden = decided(rows)
    sums = {}
    for cell, total, *_ in rows:
        sums.setdefault(total, set()).add(cell)
    open_sums = {total: cells for total, cells in sums.items() if not cells <= set(hidden)}
    small = {cell for cell, is_small in hidden.items() if is_small}
    given_away = determined(open_sums, set(hidden)) & small
    closed = {cell for total, cells in sums.items() if total not in open_sums for cell in cells}
    assert given_away <= closed


@pytest.fixture(scope="module")
def cells(demo):
    """Rows (cell, family, clinics, is withheld) of the demo."""
    return demo.rows(
        "select cells.cell, family, clinics, decisions.cell is not null from withhold.cells as cells "
        "left join withhold.decisions as decisions on cells.cell = decisions.cell order by 1, 2"
    )


def test_the_demo_has_something_to_withhold(cells):
    assert sum(hidden for *_, hidden in cells) > 20 and not all(hidden for *_, hidden in cells)


def test_what_is_left_over_in_a_family_rests_on_clinics_enough(demo, cells):
    minimum = demo.one("select minimum_clinics from clinic.network")
    rest = {}
    for _, family, clinics, hidden in cells:
        rest.setdefault(family, []).append(clinics if hidden else None)
    for family, behind in rest.items():
        hidden = [clinics for clinics in behind if clinics is not None]
        together = {clinic for clinics in hidden for clinic in clinics}
        if hidden and len(hidden) < len(behind):
            assert len(hidden) > 1 and len(together) >= minimum, family


def test_no_cell_of_few_clinics_can_be_computed_from_what_is_shown(demo, cells):
    minimum = demo.one("select minimum_clinics from clinic.network")
    sums = {}
    for cell, family, *_ in cells:
        sums.setdefault(family, set()).add(cell)
    hidden = {cell for cell, *_, is_hidden in cells if is_hidden}
    few = {cell for cell, _, clinics, _ in cells if len(clinics) < minimum}
    assert few <= hidden and determined(sums, hidden) & few == set()


def test_shown_figures_stand_on_clinics_enough_in_every_table(demo):
    """Counted anew from the cases, not from what the decisions say."""
    minimum = demo.one("select minimum_clinics from clinic.network")
    behind = demo.values(
        "select 'injury=' || coalesce(injury_code, 'not_stated'), count(distinct clinic) from mart.cases "
        "where is_tackle group by all union all "
        "select 'species=' || species_code, count(distinct clinic) from mart.cases where is_tackle group by all"
    )
    shown = demo.public(
        "select grouping || '=' || group_code from public.release_rates where animals is not null "
        "and grouping = 'injury' union select axis || '=' || code from public.shares where count is not null "
        "and level = 'animal' and axis in ('species', 'injury')"
    )
    assert len(shown) > 5
    assert [cell for (cell,) in shown if behind[cell] < minimum] == []


def test_single_cases_do_not_tell_what_the_tables_withhold(demo):
    hidden = {cell for (cell,) in demo.rows("select cell from withhold.decisions")}
    for axis in ("species", "taxon_group", "cause", "injury", "gear", "body_site", "severity", "life_stage"):
        told = demo.public(f"select distinct {axis}_code from public.cases where is_tackle")
        codes = {f"{axis}={code or 'not_stated'}" for (code,) in told if code != "withheld"}
        assert codes & hidden == set(), axis


def test_a_count_of_no_gear_does_not_tell_a_withheld_code(demo):
    """A case without a piece of tackle is one whose codes are not stated: the count told withheld codes apart."""
    withheld = "'withheld' in (injury_code, gear_code, hook_kind_code, body_site_code, severity_code)"
    ((cases, counted),) = demo.public(
        f"select count(*), count(gear_item_count) from public.cases where {withheld}"
    )
    assert cases > 10 and counted == 0


def test_a_percentage_needs_ten_animals(demo):
    few = demo.public(
        "select count(*) from public.release_rates where denominator < 10 and percent is not null "
        "union all select count(*) from public.ending_rates where total < 10 and percent is not null "
        "union all select count(*) from public.shares where total < 10 and percent is not null "
        "union all select count(*) from public.outcomes_by_treatment "
        "where released + died + euthanased < 10 and percent_released is not null"
    )
    assert few == [(0,)] * 4
    some = demo.public("select count(*) from public.release_rates where note = 'too few for a percentage'")
    assert some[0][0] > 0


def test_a_withheld_cell_shows_no_figure_but_says_why(demo):
    for table, figures in (
        ("release_rates", "animals, numerator, denominator, percent, bound_low, pending"),
        ("ending_rates", "count, total, percent, unresolved"),
        ("shares", "count, percent, exact_low"),
        ("outcomes_by_treatment", "animals, released, percent_released, median_days"),
    ):
        shown = demo.public(
            f"select count(*), count(coalesce({figures})) from public.{table} where note like 'withheld%'"
        )
        assert shown[0][0] > 0 and shown[0][1] == 0, table


def test_another_step_is_never_a_single_way(demo):
    """One way of few clinics would stand there with its own number."""
    told = set(demo.public("select step_number, step_from, step_to from public.pathways"))
    ways = demo.rows("select step_number, step_from, step_to, clinics from result.pathways")
    together = {}
    for step, begin, end, clinics in ways:
        if (step, begin, end) not in told:
            together.setdefault(step, []).append(clinics)
        else:
            assert clinics >= 3
    assert together and all(len(hidden) > 1 for hidden in together.values())
