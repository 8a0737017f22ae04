"""What councils may know: counts on clinics enough, sensitive species at no exact site, single places on the grid."""

import pytest

COUNTS = {
    # cell of withhold.decisions → the public figure that it hides
    "'site=' || site_id || '|tackle'": ("site_expected", "coalesce(tackle, expected, low, trend)"),
    "'site=' || site_id || '|other'": ("site_expected", "other"),
    "'council=' || council || '|tackle'": ("councils", "tackle"),
    "'council=' || council || '|elsewhere|tackle'": ("councils", "away_from_sites"),
    "place_kind || '=' || place || '|' || axis || '=' || code": ("site_kinds", "incidents"),
    "'bin=' || bin_id || '|before|tackle'": ("bin_effects", "before_tackle"),
    "'bin=' || bin_id || '|before|other'": ("bin_effects", "before_other"),
    "'bin=' || bin_id || '|after|tackle'": ("bin_effects", "after_tackle"),
    "'bin=' || bin_id || '|after|other'": ("bin_effects", "after_other"),
    "'place_standing=' || place_standing": ("places_of_cases", "cases"),
}


@pytest.fixture(scope="module")
def hidden(demo):
    return {cell for (cell,) in demo.rows("select cell from withhold.decisions")}


@pytest.mark.parametrize("cell", COUNTS)
def test_a_withheld_count_is_not_shown(demo, hidden, cell):
    table, figure = COUNTS[cell]
    rows = demo.public(f"select {cell}, {figure} from public.{table}")
    assert rows and [name for name, shown in rows if name in hidden and shown is not None] == []


def test_the_demo_withholds_some_counts_of_places_and_shows_others(hidden, demo):
    counts = {"site=S17|tackle", "site=S05|tackle"}
    assert {cell for (cell,) in demo.rows("select distinct cell from mart.place_cells")} >= counts
    assert "site=S05|tackle" not in hidden
    assert any(cell.startswith("site=") for cell in hidden) and any(
        cell.startswith("bin=") for cell in hidden
    )


def test_shown_counts_of_sites_rest_on_clinics_and_cases_enough(demo):
    """Counted anew from the incidents, not from what the decisions say."""
    clinics = demo.values("select minimum_clinics, 3 from clinic.network")
    ((minimum, least),) = clinics.items()
    behind = demo.values(
        "select site_id, [count(distinct clinic), count(*)] from mart.incidents "
        "where is_tackle and is_compared and site_id is not null group by all"
    )
    shown = demo.public("select site_id from public.site_expected where tackle is not null")
    assert len(shown) > 10
    assert all(behind[site][0] >= minimum and behind[site][1] >= least for (site,) in shown)


def test_what_a_sites_figures_rest_on_is_withheld_with_its_count(demo, hidden):
    for table in ("bin_siting",):
        rows = demo.public(
            f"select site_id, coalesce(within_reach, prevented, within_low) from public.{table}"
        )
        assert [site for site, shown in rows if f"site={site}|tackle" in hidden and shown is not None] == []
    closed = {
        council
        for site, council in demo.public("select site_id, council from public.site_expected")
        if f"site={site}|tackle" in hidden
    }
    shares = demo.public("select area, covered_percent from public.bin_sets")
    assert closed and [area for area, share in shares if area in closed and share is not None] == []


def test_sensitive_species_are_told_at_no_exact_place(demo):
    """Chapman 2020: categories 1 to 3 are never given finer than a hundredth of a degree, about a kilometre."""
    told = demo.rows(
        "select split_part(cell, '|', 1), split_part(cell, '=', 3), sum(incidents) from mart.place_cells "
        "where cell like 'site=%|taxon_group=%' and family like '%|taxon_group' group by all"
    )
    told = {(site.removeprefix("site="), group): count for site, group, count in told}
    counted = demo.rows(
        "select site_id, taxon_group_code, count(*) filter (where coalesce(sensitivity, '') not in ('1', '2', '3')), "
        "count(*) from mart.incidents where is_tackle and is_compared and site_id is not null group by all"
    )
    assert any(plain < every for *_, plain, every in counted)
    for site, group, plain, _ in counted:
        assert told.get((site, group), 0) == plain


def test_hot_spots_are_told_on_the_grid(demo):
    places = demo.public("select latitude, longitude from public.hot_spots where latitude is not null")
    assert places and all(round(abs(part) * 100) % 10 == 5 for place in places for part in place)


def test_cells_of_the_map_are_those_of_published_cases(demo):
    """Every case on the map stands, on the same point, in public.cases."""
    cells = demo.public(
        "select latitude, longitude, sum(cases)::int from public.tackle_cells group by all order by all"
    )
    cases = demo.public(
        "select latitude, longitude, count(*)::int from public.cases where is_tackle and latitude is not null "
        "group by all order by all"
    )
    assert cells == cases and len(cells) > 5
