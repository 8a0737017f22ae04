import numpy as np
import pytest
from stats_references import published, r_data, r_output, rerun_matches_kept
from unsnag.stats.sites.distance import distance_matrix_m
from unsnag.stats.sites.likelihood import critical_cases, log_likelihood_ratio
from unsnag.stats.sites.replicates import best_ratios, deal_out, replicate_maxima, running_totals
from unsnag.stats.sites.scan import scan
from unsnag.stats.sites.zones import make_zones, merge_places

ONE = np.array([1])


def invented(seed, places=30, strata=3):
    """Invented counts at places on a grid, so that many distances tie."""
    rng = np.random.default_rng(seed)
    latitude, longitude = -27 + rng.integers(0, 6, places) / 100, 153 + rng.integers(0, 6, places) / 100
    stratum = rng.integers(0, strata, places)
    rescues = rng.integers(0, 12, places)
    return latitude, longitude, rng.binomial(rescues, 0.1 + 0.2 * stratum), rescues, stratum


def all_circles(places, largest_share=0.5):
    """Every circle as a mask of places, by plain comparison of distances."""
    metres = distance_matrix_m(places.latitude, places.longitude, places.latitude, places.longitude).round(3)
    circles = (row <= radius for row in metres for radius in row)
    return [
        circle for circle in circles if places.rescues[circle].sum() <= largest_share * places.rescues.sum()
    ]


def ratio_of(places, cases, circle):
    inside = cases[circle].sum(), places.rescues[circle].sum(), places.expected[circle].sum()
    return log_likelihood_ratio(*inside, cases.sum(), places.rescues.sum())


def test_ratio_by_hand():
    # Two of two inside, none of two outside. Likelihoods 1 and (1/2)^4.
    assert log_likelihood_ratio(2, 2, 1, 2, 4) == pytest.approx(4 * np.log(2), rel=1e-14)
    # Three of four inside, one of four outside: (3/4)^3 (1/4) (1/4) (3/4)^3 against (1/2)^8.
    assert log_likelihood_ratio(3, 4, 2, 4, 8) == pytest.approx(6 * np.log(3 / 2) - 2 * np.log(2), rel=1e-14)


def test_ratio_is_zero_where_cases_are_not_above_expected():
    np.testing.assert_array_equal(log_likelihood_ratio([0, 1, 2], 4, 2, 4, 8), 0)


def test_ratio_matches_r_spatstat():
    for name, value in r_output("sites_scan").items():
        if name.startswith("ratio"):
            cases, rescues, all_cases, all_rescues = (int(count) for count in name.split()[1].split("/"))
            ours = log_likelihood_ratio(
                cases, rescues, rescues * all_cases / all_rescues, all_cases, all_rescues
            )
            assert ours == pytest.approx(value, rel=1e-9, abs=1e-12)


@pytest.mark.parametrize("floor", [1e-9, 0.5, 4, 9])
def test_critical_cases_are_the_fewest_that_reach_the_floor(floor):
    # Circles of two strata: 80 cases of 120 rescues, and 20 of 80.
    rng = np.random.default_rng(3)
    rescues_1, rescues_2 = rng.integers(0, 121, 300), rng.integers(0, 81, 300)
    rescues, expected = rescues_1 + rescues_2, rescues_1 * 80 / 120 + rescues_2 * 20 / 80
    for one, enough in enumerate(critical_cases(rescues, expected, 100, 200, floor)):
        possible = np.arange(max(0, rescues[one] - 100), min(rescues[one], 100) + 1)
        passed = possible[log_likelihood_ratio(possible, rescues[one], expected[one], 100, 200) >= floor]
        assert enough == (passed[0] if passed.size else 101)


@pytest.mark.parametrize("period", ["1974-78", "1979-84", "1974-84"])
def test_north_carolina_circles_match_r(period):
    counties, births, deaths = north_carolina(period)
    found = scan(
        counties["latitude"], counties["longitude"], deaths, births, seed=1, replicates=0, clusters=3
    )
    ours = zip(clusters_of(found, counties["county"]), found.log_likelihood_ratio, strict=True)
    theirs = [(name[8:], value) for name, value in r_output("sites_scan").items() if name.startswith(period)]
    for (names, ratio), (their_names, their_ratio) in zip(ours, theirs, strict=True):
        assert names == set(their_names.split("/"))
        assert ratio == pytest.approx(their_ratio, rel=1e-9)


def north_carolina(period):
    counties = r_data("sites_nc_sids")
    years = {"1974-78": ["74"], "1979-84": ["79"], "1974-84": ["74", "79"]}[period]
    births, deaths = (sum(counties[f"{kind}_{year}"] for year in years) for kind in ("births", "deaths"))
    return counties, births, deaths


def clusters_of(found, names):
    row = {place: row for row, place in enumerate(found.place_of_row)}
    return [{str(names[row[place]]) for place in members} for members in found.members]


def test_north_carolina_clusters_match_kulldorff_1997_from_memory():
    counties, births, deaths = north_carolina("1974-84")
    found = scan(counties["latitude"], counties["longitude"], deaths, births, seed=2)
    published_clusters = [set(row["counties"]) for row in published("sites_kulldorff_1997")["row"]]
    assert clusters_of(found, counties["county"])[:2] == published_clusters
    assert (found.p_value[:2] <= 0.01).all()


def test_the_r_script_still_prints_what_is_kept():
    rerun_matches_kept("sites_scan", "spatstat.explore", "sp")


@pytest.mark.parametrize("seed", range(6))
def test_best_circle_matches_every_circle_by_plain_loops(seed):
    rows = invented(seed)
    places = merge_places(*rows)
    best = max(ratio_of(places, places.cases, circle) for circle in all_circles(places))
    found = scan(*rows, seed=1, replicates=0)
    assert found.log_likelihood_ratio[0] == pytest.approx(best, rel=1e-12)


@pytest.mark.parametrize("seed", range(3))
def test_best_ratio_of_each_replicate_matches_every_circle_by_plain_loops(seed):
    places = merge_places(*invented(seed))
    zones = make_zones(places.latitude, places.longitude, places.rescues)
    dealt = deal_out(places, 20, np.random.default_rng(seed))
    out_of_reach = [np.full(order.size, places.cases.sum() + 1) for order in zones.order]
    circles = all_circles(places)
    plain = [max(ratio_of(places, cases.astype(int), circle) for circle in circles) for cases in dealt.T]
    np.testing.assert_allclose(best_ratios(places, zones, dealt, out_of_reach), plain, rtol=1e-12)


def test_replicates_keep_each_stratum_s_cases_and_never_exceed_a_place_s_rescues():
    latitude, longitude, cases, rescues, stratum = invented(4)
    places = merge_places(latitude, longitude, cases, rescues, stratum)
    one_stratum = [merge_places(*(part[stratum == s] for part in invented(4))) for s in range(3)]
    dealt = deal_out(places, 50, np.random.default_rng(0))
    assert (dealt <= places.rescues[:, None]).all()
    assert set(dealt.sum(axis=0)) == {cases.sum()}
    assert [total for _, _, total in places.strata] == [one.cases.sum() for one in one_stratum]


def test_expected_cases_add_up_to_the_cases_of_each_stratum():
    latitude, longitude, cases, rescues, stratum = invented(7)
    rate = np.bincount(stratum, cases) / np.bincount(stratum, rescues)
    places = merge_places(latitude, longitude, cases, rescues, stratum)
    by_hand = np.bincount(places.place_of_row, rescues * rate[stratum])
    np.testing.assert_allclose(places.expected, by_hand, rtol=1e-12)


def test_places_at_one_distance_enter_together():
    # Centre, east and west at one distance: with one alone the circle would be hotter.
    found = scan(
        [0, 0, 0, 3], [0, 0.1, -0.1, 0], [2, 2, 0, 0], [2, 2, 2, 9], seed=1, replicates=0, largest_share=0.9
    )
    assert found.members[0].tolist() != [0, 1]
    zones = make_zones(np.zeros(3), np.array([0, 0.1, -0.1]), np.array([2, 2, 2]), largest_share=1)
    assert zones.ends[0].tolist() == [True, False, True]


def test_circles_over_a_continent_follow_the_geodesic():
    rng = np.random.default_rng(6)
    latitude, longitude = rng.uniform(-40, -10, 150), rng.uniform(115, 153, 150)
    zones = make_zones(latitude, longitude, np.ones(150, dtype=int))
    metres = distance_matrix_m(latitude, longitude, latitude, longitude)
    for centre, order in enumerate(zones.order):
        np.testing.assert_array_equal(order, np.argsort(metres[centre])[:75])


def test_a_busy_stratum_is_no_cluster_but_without_strata_it_is():
    latitude, longitude = (axis.ravel() / 10 for axis in np.mgrid[0:8, 0:5])
    catchment = (latitude > 0.35).astype(int)
    cases, rescues = np.where(catchment, 6, 1), np.full(latitude.size, 10)
    crude = scan(latitude, longitude, cases, rescues, seed=1, replicates=199)
    assert crude.p_value[0] == 1 / 200
    assert scan(latitude, longitude, cases, rescues, catchment, seed=1, replicates=199).members == ()


def test_secondary_clusters_share_no_place_and_grow_no_better():
    rng = np.random.default_rng(9)
    latitude, longitude = rng.uniform(-28, -27, 300), rng.uniform(153, 154, 300)
    found = scan(latitude, longitude, rng.binomial(1, 0.3, 300), np.ones(300), seed=1, replicates=19)
    members = np.concatenate(found.members)
    assert len(found.members) > 3
    assert np.unique(members).size == members.size
    assert (np.diff(found.log_likelihood_ratio) <= 0).all()
    assert (np.diff(found.p_value) >= 0).all()


def test_figures_of_a_planted_cluster_by_hand():
    # Ten of ten at one place, 10 of 90 elsewhere: expected 2, outside 10 of 18 expected.
    found = scan([0, 0, 1], [0, 1, 1], [10, 5, 5], [10, 45, 45], seed=1, replicates=99)
    assert (found.cases[0], found.rescues[0], found.radius_m[0]) == (10, 10, 0)
    assert found.expected[0] == pytest.approx(2)
    assert found.relative_risk[0] == pytest.approx((10 / 2) / (10 / 18))
    assert found.p_value[0] == 0.01


def test_threads_do_not_change_the_result_and_the_seed_does():
    places = merge_places(*invented(11))
    zones = make_zones(places.latitude, places.longitude, places.rescues)
    maxima = [
        replicate_maxima(places, zones, 600, seed, workers) for seed, workers in ((1, 1), (1, 2), (2, 1))
    ]
    np.testing.assert_array_equal(maxima[0], maxima[1])
    assert (maxima[0] != maxima[2]).any()


@pytest.mark.parametrize("length", [0, 1, 15, 16, 17, 40])
def test_running_totals_are_cumulative_sums(length):
    counts = np.random.default_rng(0).integers(0, 5, (50, 3))
    order = np.random.default_rng(1).permutation(50)[:length]
    np.testing.assert_array_equal(running_totals(counts, order), counts[order].cumsum(axis=0))


def test_no_circle_is_larger_than_asked():
    latitude, longitude, *rows = invented(12)
    found = scan(latitude, longitude, *rows, seed=1, replicates=0, radius_m=1500, largest_share=0.2)
    assert found.radius_m.max() <= 1500
    assert found.rescues.max() <= 0.2 * rows[1].sum()


@pytest.mark.parametrize("cases", [[0, 0, 0], [5, 5, 5]])
def test_no_case_or_only_cases_give_no_cluster(cases):
    found = scan([0, 0, 1], [0, 1, 1], cases, [5, 5, 5], seed=1, replicates=19)
    assert found.members == ()
    np.testing.assert_array_equal(found.replicate_maxima, 0)


def test_no_rescue_at_all_gives_no_cluster():
    found = scan([], [], [], [], seed=1, replicates=9)
    assert found.cases.size == found.radius_m.size == found.p_value.size == 0


def test_a_place_with_most_rescues_is_in_no_circle():
    found = scan([0, 0, 1], [0, 1, 1], [30, 1, 0], [60, 10, 10], seed=1, replicates=19)
    assert all(0 not in members for members in found.members)


def test_more_memory_is_told_for_more_places_and_threads():
    small, large = (invented(1, places=count) for count in (20, 200))
    told = [scan(*rows, seed=1, replicates=0, workers=workers).memory_bytes for rows, workers in
            ((small, 1), (large, 1), (large, 2))]  # fmt: skip
    assert told == sorted(told)


@pytest.mark.parametrize(
    ("cases", "rescues", "message"),
    [
        ([2], ONE, "more cases than rescues"),
        ([0.5], ONE, "whole"),
        ([-1], ONE, "at least 0"),
        ([0, 0], [1, 1], "lengths"),
        ([0, 0], [1, 1, 1], "shape"),
    ],
)
def test_impossible_counts_are_refused(cases, rescues, message):
    with pytest.raises(ValueError, match=message):
        scan([0], [0], cases, rescues, seed=1)


@pytest.mark.parametrize("settings", [{"largest_share": 0}, {"radius_m": -1}, {"replicates": -1}])
def test_impossible_settings_are_refused(settings):
    with pytest.raises(ValueError, match=r"share|replicates"):
        scan([0, 1], [0, 1], [1, 0], [1, 1], seed=1, **settings)
