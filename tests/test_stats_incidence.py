import numpy as np
import pytest
from stats_references import r_data, r_output, rerun_matches_kept
from unsnag.stats.incidence import (
    cumulative_incidence,
    incidence_at,
    incidence_from_counts,
    incidence_quantile,
    log_log_limits,
    on_days,
)
from unsnag.stats.risk_counts import at_risk_from_flows, risk_counts
from unsnag.stats.time_lost import time_lost

SIX_DAYS = [1, 2, 2, 3, 4, 4]
SIX_ENDINGS = ["released", "released", "died", "", "died", ""]
CAUSES = ("released", "died")


@pytest.fixture(scope="module")
def incidence_reference():
    return r_output("incidence")


def starting(reference, prefix):
    """The kept figures whose name starts so, as {rest of the name: value}."""
    return {name[len(prefix) :]: value for name, value in reference.items() if name.startswith(prefix)}


def mgus2(who):
    data = r_data("mgus2")
    chosen = (data["sex"] == who) | (who == "all")
    return data["months"][chosen].astype(int), data["cause"][chosen]


@pytest.mark.parametrize("who", ["all", "F", "M"])
def test_mgus2_incidence_and_limits_match_r_survival(incidence_reference, who):
    curve = cumulative_incidence(*mgus2(who), ("pcm", "death"))
    figures = dict(zip(("incidence", "low", "high"), incidence_at(curve, range(361)), strict=True))
    figures["se"] = np.sqrt(on_days(curve.variance, curve.days, range(361)))
    expected = starting(incidence_reference, f"mgus2 {who} ")
    for name, value in expected.items():
        if "lost" not in name:
            cause, month, figure = name.split()
            computed = figures[figure][("pcm", "death").index(cause), int(month)]
            assert computed == pytest.approx(value, abs=1e-8), name
    assert len(expected) > 30


def test_mgus2_standard_error_is_the_one_stated_in_the_methods():
    curve = cumulative_incidence(*mgus2("all"), ("pcm", "death"))
    variance = on_days(curve.variance, curve.days, 240)[0, 0]
    assert np.sqrt(variance) == pytest.approx(0.0097848, abs=5e-8)


@pytest.mark.parametrize("who", ["all", "F", "M"])
def test_mgus2_time_lost_matches_r_survival(incidence_reference, who):
    counts = risk_counts(*mgus2(who), ("pcm", "death"))
    answer = time_lost(counts.days, counts.at_risk[0], counts.events[0], 240)
    expected = starting(incidence_reference, f"mgus2 {who} ")
    days = [expected[f"{state} 240 lost"] for state in ("(s0)", "pcm", "death")]
    errors = [expected[f"{state} 240 lost se"] for state in ("(s0)", "pcm", "death")]
    np.testing.assert_allclose([answer.in_care, *answer.lost], days, rtol=1e-8)
    np.testing.assert_allclose(np.sqrt([answer.in_care_variance, *answer.lost_variance]), errors, rtol=1e-8)


def left_truncated(name):
    """Entry, end and cause of a left-truncated data set, and its time units in a unit of the kept output."""
    if name == "sir_cont":
        data = r_data("sir_cont")
        return data["entry"], data["exit"], data["to"], 2
    data = r_data("abortion")
    chosen = data["group"] == int(name[-1])
    return data["entry"][chosen], data["exit"][chosen], data["cause"][chosen].astype(int).astype(str), 1


@pytest.mark.parametrize("name", ["abortion 0", "abortion 1", "sir_cont"])
def test_left_truncated_incidence_matches_r_etm(incidence_reference, name):
    entry, end, cause, units = left_truncated(name)
    causes = tuple(np.unique(cause[cause != "cens"]))
    # etm puts a subject at risk after its entry, so from the next unit of time.
    curve = cumulative_incidence(end, cause, causes, entry_days=entry + 1)
    expected = starting(incidence_reference, f"{name} ")
    for quantity, value in expected.items():
        of, time, figure = quantity.split()
        values = curve.incidence if figure == "incidence" else np.sqrt(curve.variance)
        computed = on_days(values, curve.days, units * int(time))[causes.index(of), 0]
        assert computed == pytest.approx(value, abs=1e-8), quantity
    assert expected


def test_r_script_prints_the_kept_incidence():
    rerun_matches_kept("incidence", "survival", "etm")


def test_six_animals_by_hand_and_match_r_survival(incidence_reference):
    curve = cumulative_incidence(SIX_DAYS, SIX_ENDINGS, CAUSES)
    np.testing.assert_array_equal(curve.at_risk, [6, 5, 3, 2])
    np.testing.assert_allclose(curve.in_care, [5 / 6, 1 / 2, 1 / 2, 1 / 4])
    np.testing.assert_allclose(curve.incidence, [[1 / 6, 1 / 3, 1 / 3, 1 / 3], [0, 1 / 6, 1 / 6, 5 / 12]])
    # Up to the lone censoring incidence is a plain proportion of six, with its binomial variance.
    np.testing.assert_allclose(curve.variance[0], np.array([5 / 36, 8 / 36, 8 / 36, 8 / 36]) / 6)
    kept = [incidence_reference[f"six 2 {day} se"] for day in (1, 2, 4)]
    np.testing.assert_allclose(np.sqrt(curve.variance[1, [0, 1, 3]]), kept, rtol=1e-8)


def test_left_truncation_by_hand():
    # The third animal is seen from day 2 on: at risk on days 2 and 3, not on day 1.
    curve = cumulative_incidence([1, 3, 3], ["died", "released", "released"], CAUSES, entry_days=[0, 0, 2])
    np.testing.assert_array_equal(curve.at_risk, [2, 2])
    np.testing.assert_allclose(curve.incidence, [[0, 0.5], [0.5, 0.5]])


def test_an_animal_can_end_on_the_day_it_is_first_seen():
    curve = cumulative_incidence([0, 0, 4], ["died", "released", "released"], CAUSES)
    np.testing.assert_allclose(curve.incidence[:, 0], [1 / 3, 1 / 3])


def test_order_of_cases_makes_no_difference():
    months, cause = mgus2("all")
    shuffled = np.random.default_rng(1).permutation(len(months))
    one = cumulative_incidence(months, cause, ("pcm", "death"))
    other = cumulative_incidence(months[shuffled], cause[shuffled], ("pcm", "death"))
    np.testing.assert_array_equal(one.incidence, other.incidence)
    np.testing.assert_array_equal(one.high, other.high)


def test_groups_counted_together_equal_groups_counted_alone():
    months, cause = mgus2("all")
    sex = r_data("mgus2")["sex"]
    counts = risk_counts(months, cause, ("pcm", "death"), group=sex)
    together = incidence_from_counts(counts.days, counts.at_risk, counts.events)
    for row, who in enumerate(counts.groups):
        alone = cumulative_incidence(*mgus2(who), ("pcm", "death"))
        np.testing.assert_allclose(
            incidence_at(together, [60, 240])[1][row], incidence_at(alone, [60, 240])[1], rtol=1e-12
        )


def test_a_weight_of_two_counts_as_two_animals():
    weights = np.array([2, 1, 1, 1, 2, 1])
    weighted = cumulative_incidence(SIX_DAYS, SIX_ENDINGS, CAUSES, weights=weights)
    repeated = cumulative_incidence(np.repeat(SIX_DAYS, weights), np.repeat(SIX_ENDINGS, weights), CAUSES)
    np.testing.assert_allclose(weighted.incidence, repeated.incidence)
    assert np.isnan(weighted.variance).all() and not np.isnan(repeated.variance).any()


def test_fractional_weights_leave_nobody_in_care_after_the_last_ending():
    curve = cumulative_incidence([1, 2, 3], ["died", "released", "died"], CAUSES, weights=[0.1, 0.2, 0.7])
    assert curve.in_care[-1] == 0
    np.testing.assert_allclose(curve.incidence[:, -1], [0.2, 0.8])


def test_endings_and_being_in_care_add_up_to_one():
    random = np.random.default_rng(4)
    entry = random.integers(0, 4, 300)
    stay = entry + random.integers(0, 40, 300)
    curve = cumulative_incidence(stay, random.choice([*CAUSES, ""], 300), CAUSES, entry_days=entry)
    np.testing.assert_allclose(curve.incidence.sum(axis=0) + curve.in_care, 1, rtol=1e-12)
    assert (np.diff(curve.incidence) >= 0).all()
    inside = ~np.isnan(curve.low)
    assert ((curve.low < curve.incidence) & (curve.incidence < curve.high))[inside].all() and inside.any()


def test_no_animals_give_a_reason_and_no_curve():
    curve = cumulative_incidence([], [], CAUSES)
    assert curve.reason == "no animals"
    assert np.isnan(incidence_at(curve, 30)).all()
    assert np.isnan(incidence_quantile(curve, 0.5)).all()


def test_all_censored_is_an_incidence_of_zero_until_follow_up_ends():
    curve = cumulative_incidence([3, 4], ["", ""], CAUSES)
    incidence, low, _ = incidence_at(curve, [4, 5])
    np.testing.assert_array_equal(incidence, [[0, np.nan], [0, np.nan]])
    assert np.isnan(low).all()


def test_a_group_without_animals_does_not_spoil_the_others():
    curve = incidence_from_counts([1, 2], [[0, 0], [2, 1]], [[[0, 0]], [[1, 1]]])
    np.testing.assert_array_equal(curve.reason, ["no animals", ""])
    assert np.isnan(curve.incidence[0]).all()
    np.testing.assert_array_equal(curve.incidence[1, 0], [0.5, 1])


def test_a_curve_stops_where_follow_up_of_its_group_stops():
    counts = risk_counts([2, 9, 9], ["", "died", "died"], ("died",), group=["a", "b", "b"])
    curve = incidence_from_counts(counts.days, counts.at_risk, counts.events)
    np.testing.assert_array_equal(curve.incidence[0, 0], [0, np.nan])
    np.testing.assert_array_equal(curve.reason, ["nobody was observed longer", ""])


def test_when_all_ended_before_others_entered_the_curve_is_withheld():
    curve = cumulative_incidence([1, 5, 6], ["died", "released", "died"], CAUSES, entry_days=[0, 3, 3])
    assert curve.reason == "all observed animals had ended before others entered"
    assert np.isnan(incidence_at(curve, 5)).all()


def test_quantile_is_the_first_day_that_reaches_the_share():
    curve = cumulative_incidence(range(1, 11), ["released"] * 10, ("released",))
    assert incidence_quantile(curve, 0.3) == [3]
    assert incidence_quantile(curve, 0.31) == [4]


def test_flows_give_the_numbers_at_risk_by_hand():
    np.testing.assert_array_equal(at_risk_from_flows([6, 0, 2, 0], [1, 2, 1, 2]), [6, 5, 5, 4])
    with pytest.raises(ValueError, match="more animals leave"):
        at_risk_from_flows([1, 0], [1, 1])


def test_limits_of_zero_and_one_are_not_invented():
    low, high = log_log_limits(np.array([0, 1, 0.5]), np.array([0, 0, 0.01]))
    np.testing.assert_array_equal(np.isnan(low), [True, True, False])
    assert low[2] < 0.5 < high[2]


def test_time_lost_by_hand():
    # Three animals, horizon 10: released on day 4 loses 6 days of care, died on day 8 loses 2, one stays.
    counts = risk_counts([4, 8, 12], ["released", "died", ""], CAUSES)
    answer = time_lost(counts.days, counts.at_risk[0], counts.events[0], 10)
    np.testing.assert_allclose(answer.lost, [6 / 3, 2 / 3])
    assert answer.in_care == pytest.approx(10 - 8 / 3)
    assert answer.lost_variance[0] == pytest.approx((6**2 / 3 - (6 / 3) ** 2) / 3)


def test_time_lost_beyond_follow_up_is_nan_with_the_reason():
    counts = risk_counts([4, 8], ["released", ""], CAUSES)
    answer = time_lost(counts.days, counts.at_risk[0], counts.events[0], 10)
    assert answer.reason == "nobody was observed up to the horizon"
    assert np.isnan([answer.in_care, *answer.lost, *answer.lost_variance]).all()
    nobody = time_lost([], np.zeros((2, 0)), np.zeros((2, 3, 0)), 10)
    assert nobody.reason.tolist() == ["no animals"] * 2 and np.isnan(nobody.lost).all()


@pytest.mark.parametrize(
    "stays, endings, entry, message",
    [
        ([1, 2], ["died"], None, "ending"),
        ([-1], ["died"], None, "stay_days"),
        ([2], ["died"], [3], "entry_days"),
        ([2], ["died"], [0, 0], "entry_days"),
    ],
)
def test_impossible_stays_are_refused(stays, endings, entry, message):
    with pytest.raises(ValueError, match=message):
        cumulative_incidence(stays, endings, CAUSES, entry_days=entry)


def test_impossible_counts_are_refused():
    with pytest.raises(ValueError, match="more animals end"):
        incidence_from_counts([1], [1], [[1], [1]])
    with pytest.raises(ValueError, match="ascending"):
        incidence_from_counts([2, 1], [2, 1], [[1, 1]])
    with pytest.raises(ValueError, match="horizon"):
        time_lost([1], [1], [[1]], 0)
