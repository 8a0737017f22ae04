"""What councils are told of the demo, beside what is planted in it.

The demo's seed was chosen after looking at its coast, so that agreement here is a smoke test; error rates, power and
coverage over many invented networks are in tests/benchmarks.
"""

import tomllib

import numpy as np
import pytest
from unsnag import resources
from unsnag.analyses import bin_siting
from unsnag.stats.sites.bin_periods import before_and_after


@pytest.fixture(scope="module")
def truth():
    path = resources.folder("data_demo") / "truth" / "sites.toml"
    return tomllib.loads(path.read_text(encoding="utf-8"))


@pytest.mark.parametrize("scan", ["same_groups", "all_rescues"])
def test_planted_hot_spots_are_found_and_the_busy_place_is_not(demo, truth, scan):
    found = demo.rows(
        f"select distinct site_id from result.hot_spot_sites where scan = '{scan}' and is_beyond_chance"
    )
    sites = {site for (site,) in found}
    assert {spot["site_id"] for spot in truth["hot_spot"]} == sites
    assert not sites & {busy["site_id"] for busy in truth["busy"]}


def test_the_busy_place_is_told_to_be_busy(demo, truth):
    told = dict(demo.public("select site_id, finding from public.site_expected"))
    assert {told[busy["site_id"]] for busy in truth["busy"]} == {"busy, not hot"}
    assert {told[spot["site_id"]] for spot in truth["hot_spot"]} == {"hot spot"}


def test_planted_effects_of_bins_lie_within_their_limits(demo, truth):
    limits = {
        bin_id: (low, high)
        for bin_id, low, high in demo.public("select bin_id, low, high from public.bin_effects")
    }
    for planted in truth["bin"]:
        low, high = limits[planted["bin_id"]]
        assert low <= planted["true_rate_ratio"] <= high, planted


def test_a_bin_after_a_chance_peak_is_not_credited(demo, truth):
    (peak,) = [planted["bin_id"] for planted in truth["bin"] if "chance_peak_factor" in planted]
    ((verdict, naive, chance),) = demo.public(
        f"select verdict, naive_ratio, chance_ratio from public.bin_effects where bin_id = '{peak}'"
    )
    assert naive < 0.8 and chance < 0.8
    assert not verdict.startswith("fewer")


def test_every_verdict_that_is_open_says_so(demo):
    rows = demo.public("select verdict, low, high, years_after from public.bin_effects where low is not null")
    for verdict, low, high, years in rows:
        assert verdict.startswith("fewer") == (high < 1)
        assert verdict.startswith("more") == (low > 1)
        if years < 1 and low <= 0.5 and high >= 1:
            assert verdict == "too early to tell"


def test_periods_in_sql_count_what_the_statistic_counts(demo):
    """One site against itself: the published counts before and after are those that the effect is computed from."""
    bins = demo.rows(
        "select bins.bin_id, bins.site_id, first_day, siting_from, installed, "
        "least(last_day, coalesce(removed - 1, last_day)) from mart.bins as bins "
        "inner join mart.sites as sites using (site_id) where is_first order by 1"
    )
    for bin_id, site, *days in bins:
        rescues = demo.rows(
            f"select incident_date, is_tackle from mart.incidents where is_compared and site_id = '{site}'"
        )
        first, decided, installed, last = (np.datetime64(day, "D").astype(int) for day in days)
        day = np.array([found for found, _ in rescues], dtype="datetime64[D]").astype(int)
        tackle = np.array([is_tackle for _, is_tackle in rescues])
        periods = before_and_after(
            np.zeros(len(day), int), day, tackle, [0], first, installed, last, max(decided, first)
        )
        told = demo.values(f"select period, (tackle, other) from mart.bin_periods where bin_id = '{bin_id}'")
        for number, name in enumerate(("before", "deciding", "after")):
            assert tuple(told[name].values() if isinstance(told[name], dict) else told[name]) == (
                periods.tackle[number, 0],
                periods.other[number, 0],
            ), (bin_id, name)


def test_sets_of_new_bins_keep_the_councils_rules(demo):
    chosen = demo.rows("select area, bins, site_id from result.bin_choices where is_chosen")
    barred = {
        site
        for (site,) in demo.rows(
            "select site_id from mart.sites where has_bin or excluded_because is not null"
        )
    }
    assert chosen and not {site for _, _, site in chosen} & barred
    council = demo.values("select site_id, council from mart.sites")
    for bins in {bins for area, bins, _ in chosen if area == bin_siting.NETWORK}:
        inside = [council[site] for area, k, site in chosen if (area, k) == (bin_siting.NETWORK, bins)]
        assert "Tolvessa Shire" in inside and len(inside) <= bins


def test_each_site_is_reached_by_its_own_incidents_and_demand_adds_up(demo):
    """Of a council all sites together reach everything: the demo's sites share no incident."""
    reached = demo.values(
        "select area, sum(within_reach) from result.bin_siting where bar = '' or bar like 'a sand%' group by area"
    )
    for area, total in reached.items():
        if area != bin_siting.NETWORK:
            open_sites = demo.one(
                "select sum(expected) from result.site_expected inner join mart.sites using (site_id) "
                f"where council = '{area}' and not has_bin"
            )
            assert total == pytest.approx(open_sites, rel=0.05)


def test_expected_cases_add_up_to_the_counted_ones(demo):
    """Shrinking moves cases between sites; their sum over the years stays (all sites have near the same years)."""
    expected, counted = demo.rows("select sum(expected * years), sum(tackle) from result.site_expected")[0]
    assert expected == pytest.approx(counted, rel=0.01)


def test_all_cases_stand_somewhere(demo):
    parts = demo.rows("select place_standing, count(*) from mart.case_places group by all")
    assert sum(count for _, count in parts) == demo.one("select count(*) from mart.cases")
    told = dict(demo.public("select place_standing, cases from public.places_of_cases"))
    assert told["outside"] > 0 and told["all"] == sum(count for _, count in parts)
