"""Animals like this one: by hand, counted anew from the demo's cases, backed off; differencing gives nothing away."""

import io
import re

import duckdb
import numpy as np
import pandas as pd
import pytest
from rich.console import Console
from unsnag import cli_like, likeness
from unsnag.analyses import animals_like_this
from unsnag.errors import Problem

AXES = ("injury", "body_site", "taxon_group", "severity")
GROUP = {"rank": 1, "injury_code": "i", "body_site_code": "s", "taxon_group_code": "t", "severity_code": "v"}


def counts(*rows):
    """Rows (clinic, animals, released, died) of one group, as COUNTS gives them."""
    frame = pd.DataFrame(rows, columns=["clinic", "animals", "released", "died"])
    return frame.assign(
        euthanased=0, other_known=0, unresolved=frame["animals"] - frame["released"] - frame["died"], **GROUP
    )


def test_counts_of_a_group_by_hand():
    (row,) = animals_like_this.rates(counts(("x", 7, 4, 1), ("y", 6, 3, 2)), minimum=10).itertuples()
    assert (row.animals, row.clinics, row.released, row.died, row.unresolved) == (13, 2, 7, 3, 3)
    assert row.percent_released == pytest.approx(70)
    # Wilson, 7 of 10: (0.7 + 1.9208 / 10 +- 1.96 sqrt(0.021 + 0.9604 / 100)) / 1.38416.
    assert (row.wilson_low, row.wilson_high) == (
        pytest.approx(39.68, abs=0.01),
        pytest.approx(89.22, abs=0.01),
    )


def test_a_group_below_the_floor_is_not_there():
    assert animals_like_this.rates(counts(("x", 9, 6, 3), ("y", 4, 0, 0)), minimum=10).empty


def days(*rows):
    """Rows (day, ending, animals) of one group, as DAYS gives them."""
    return pd.DataFrame(rows, columns=["stay_days", "ending", "animals"]).assign(entry_days=0, **GROUP)


def test_incidence_on_some_days_by_hand():
    # Six animals: one dies on day 3, two leave free on day 10, one is last seen on day 20, two leave free on day 30.
    frame = days((3, "dead", 1), (10, "released", 2), (20, "", 1), (30, "released", 2))
    found = animals_like_this.at_days(frame, [7, 28, 90]).set_index("day")
    assert found["released"].tolist() == pytest.approx([0, 100 / 3, 100 / 3 + 50])
    assert found["dead"].tolist() == pytest.approx([100 / 6] * 3)


def test_quartiles_are_of_the_released_by_hand():
    frame = days((1, "dead", 9), (10, "released", 2), (20, "released", 1), (40, "released", 1))
    (row,) = animals_like_this.stays(frame).itertuples()
    assert (row.quartile_low, row.median_days, row.quartile_high) == (10, 15, 30)


@pytest.fixture(scope="module")
def told(demo):
    """Every published group: its rank, codes, and counts."""
    codes = ", ".join(f"{axis}_code" for axis in AXES)
    return demo.public(
        f"select {codes}, animals, clinics, released, died, euthanased from public.animals_like_this"
    )


def test_published_groups_are_counted_anew_from_the_cases(demo, told):
    assert len(told) > 60
    for *codes, animals, clinics, released, died, euthanased in told:
        where = " and ".join(
            f"coalesce({axis}_code, 'not_stated') = '{code}'"
            for axis, code in zip(AXES, codes, strict=True)
            if code != "all"
        )
        anew = demo.rows(
            "select count(*), count(distinct clinic), count(*) filter (where outcome_class = 'released'), "
            "count(*) filter (where outcome_class = 'died'), count(*) filter (where outcome_class = 'euthanased') "
            f"from mart.cases where is_tackle and is_alive_on_arrival and {where or 'true'}"
        )
        assert anew == [(animals, clinics, released, died, euthanased)], codes
        assert clinics >= 3 and released + died + euthanased >= 10


def test_days_are_told_of_the_same_groups_and_no_others(demo):
    keys = "rank, injury_code, body_site_code, taxon_group_code, severity_code"
    groups = demo.public(f"select {keys} from public.animals_like_this order by all")
    assert demo.public(f"select distinct {keys} from public.animals_like_this_days order by all") == groups
    last = demo.public("select max(day), max(released + dead) from public.animals_like_this_days")[0]
    assert last[0] == 180 and last[1] <= 100 + 1e-3


def sums(demo):
    """Family → (cell of the total, cells of the parts, clinics behind each cell) of the groups of animals alike."""
    families = {}
    for cell, family, clinics in demo.rows(
        "select cell, family, clinics from withhold.cells where family like 'like|%'"
    ):
        families.setdefault(family, {})[cell] = clinics
    return [(family.split("|", 2)[2], cells) for family, cells in families.items()]


def test_wider_groups_are_the_sums_of_the_nearer_ones(demo):
    """The families that the decision rests on are true of the cases, so differencing is what it guards against."""
    animals = demo.values(
        "select cell, min(animals) from withhold.cells where family like 'like|%' group by all"
    )
    families = sums(demo)
    assert len(families) > 100
    for total, cells in families:
        assert animals[total] == sum(animals[cell] for cell in cells if cell != total)


def test_no_group_of_few_clinics_follows_from_wider_ones_less_their_other_parts(demo):
    """Each sum is an equation, total less parts = 0; a withheld group is given away if its number follows from them."""
    minimum = demo.one("select minimum_clinics from clinic.network")
    hidden = [cell for (cell,) in demo.rows("select cell from withhold.decisions")]
    place = {cell: number for number, cell in enumerate(hidden)}
    equations, few = [], set()
    for total, cells in sums(demo):
        equation = np.zeros(len(hidden))
        for cell, clinics in cells.items():
            few |= {cell} if len(clinics) < minimum else set()
            if cell in place:
                equation[place[cell]] = -1 if cell == total else 1
        equations.append(equation)
    assert len(few) > 100 and few <= set(hidden)
    _, values, basis = np.linalg.svd(np.array(equations), full_matrices=False)
    follows = (basis[values > 1e-9] ** 2).sum(axis=0) > 1 - 1e-9
    assert {hidden[number] for number in np.flatnonzero(follows)} & few == set()


def test_no_withheld_group_is_listed(demo, told):
    hidden = {cell for (cell,) in demo.rows("select cell from withhold.decisions")}
    cells = {
        "|".join(f"{axis}={code}" for axis, code in zip(AXES, codes, strict=True) if code != "all")
        or "all=all"
        for *codes, _, _, _, _, _ in told
    }
    assert len(cells) == len(told) and cells & hidden == set()


@pytest.fixture(scope="module")
def public(tmp_path_factory):
    """A public database of three groups: one of rank 1, one of rank 5, and all animals; and two of treated animals."""
    path = tmp_path_factory.mktemp("like") / "public.duckdb"
    names = ["rank", *(f"{axis}_code" for axis in AXES)]
    groups = pd.DataFrame(
        [
            (1, "ingested", "stomach", "swan", "mild"),
            (5, "ingested", "all", "swan", "all"),
            (9, "all", "all", "all", "all"),
        ],
        columns=names,
    )
    treated = pd.DataFrame(
        [
            ("ingested", "stomach", "swan", None),
            ("ingested", "all", "swan", 60.0),
            ("ingested", "stomach", "all", 50.0),
        ],
        columns=["injury_code", "body_site_code", "taxon_group_code", "percent_released"],
    ).assign(animals=12, treatment_code="surgery")
    day = groups.assign(
        day=7, released=1.0, released_low=0.5, released_high=2.0, dead=1.0, dead_low=0.5, dead_high=2.0
    )
    with duckdb.connect(str(path)) as connection:
        connection.execute("create schema public")
        for name, frame in (
            ("animals_like_this", groups),
            ("animals_like_this_days", day),
            ("outcomes_by_treatment", treated),
        ):
            connection.register("frame", frame)
            connection.execute(f"create table {path.stem}.public.{name} as select * from frame")
    return path


@pytest.mark.parametrize(
    ("asked", "rank", "dropped"),
    [
        ({"injury": "ingested", "body_site": "stomach", "taxon_group": "swan", "severity": "mild"}, 1, ()),
        (
            {"injury": "ingested", "body_site": "stomach", "taxon_group": "swan", "severity": "severe"},
            5,
            ("body_site", "severity"),
        ),
        ({"injury": "ingested", "taxon_group": "swan"}, 5, ()),
        ({"injury": "embedded"}, 9, ("injury",)),
        ({}, 9, ()),
    ],
)
def test_the_nearest_wider_group_is_found_and_what_it_leaves_open_is_said(public, asked, rank, dropped):
    found = likeness.likeness(public, asked)
    assert (found.group["rank"], found.dropped) == (rank, dropped)
    assert len(found.days) == 1


def test_treated_animals_are_the_nearest_group_of_which_a_rate_is_told(public):
    """The nearest, stomach of swans, tells no rate; of the two that leave one axis open, rank 4 keeps the body site."""
    found = likeness.likeness(public, {"injury": "ingested", "body_site": "stomach", "taxon_group": "swan"})
    assert [(row["body_site_code"], row["taxon_group_code"]) for row in found.treated] == [("stomach", "all")]
    assert likeness.likeness(public, {"taxon_group": "swan"}).treated == []


def test_ranks_go_from_four_things_in_common_to_none():
    rows = likeness.order()
    shared = [sum(row[axis] == "yes" for axis in AXES) for row in rows]
    assert [row["rank"] for row in rows] == [str(rank) for rank in range(1, len(rows) + 1)]
    assert shared == sorted(shared, reverse=True) and shared[0] == 4 and shared[-1] == 0


def spoken(demo, **asked):
    """What the command prints."""
    console = Console(width=160, record=True, file=io.StringIO())
    cli_like.show(likeness.likeness(demo.folder / "out" / "public.duckdb", asked), console)
    return re.sub(r"\s+", " ", console.export_text())


def test_a_vet_is_told_counts_limits_days_treatments_and_cautions(demo):
    text = spoken(demo, injury="ingested", taxon_group="sea_turtle")
    animals, low = demo.public(
        "select animals, round(wilson_low, 1) from public.animals_like_this "
        "where rank = 5 and injury_code = 'ingested' and taxon_group_code = 'sea_turtle'"
    )[0]
    assert (
        text.startswith(f"Sea turtle, swallowed {animals} came alive") and f"(95 % interval {low} to" in text
    )
    for words in ("By day", "Surgery", "not what the treatment did", "no forecast", "licensed veterinarian"):
        assert words in text
    assert "Too few" not in text and "nan" not in text and "None" not in text


def test_a_wider_group_is_said_to_be_one(demo):
    text = spoken(demo, injury="ingested", body_site="eye", taxon_group="raptor", severity="mild")
    assert "the nearest wider group" in text and "body site" in text


@pytest.mark.parametrize("word", ["ingested", "Swallowed", "hook swallowed"])
def test_a_word_for_an_injury_is_understood(word):
    assert cli_like.code_of("injury", word) == "ingested"


def test_an_unknown_word_is_a_slip():
    with pytest.raises(Problem, match="--body-site: 'stomac' is not known") as caught:
        cli_like.code_of("body_site", "stomac")
    assert "stomach" in caught.value.remedy
