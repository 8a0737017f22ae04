import numpy as np
import pytest
from stats_references import r_output, rerun_matches_kept
from unsnag.stats.sites.trend import yearly_trend

RECORDS = {
    "falling": ([3, 10, 14, 30, 41, 77, 120, 200, 333, 410, 612], 729),
    "rising": ([100, 300, 420, 500, 560, 600, 640, 655, 690, 700, 710, 725], 729),
    "flat": (range(20, 1081, 40), 1095),
}


@pytest.mark.parametrize("name", RECORDS)
def test_slope_and_score_test_match_r_glm(name):
    days, last = RECORDS[name]
    ours, kept = yearly_trend(np.array(days), 0, last), r_output("sites_trend")
    assert ours.ratio == pytest.approx(kept[f"{name} ratio"], rel=1e-6)
    assert ours.p_value == pytest.approx(kept[f"{name} p_value"], rel=1e-6)


def test_the_r_script_still_prints_what_is_kept():
    rerun_matches_kept("sites_trend")


def test_limits_hold_the_slope_and_exclude_one_where_the_test_does():
    for days, last in RECORDS.values():
        ours = yearly_trend(np.array(days), 0, last)
        assert ours.low < ours.ratio < ours.high
        assert (ours.low > 1 or ours.high < 1) == (ours.p_value < 0.05)


def test_limits_cover_an_invented_trend():
    """The true factor of 1.2 a year within the limits in about 95 of 100 records: 930 to 970 of 1,000."""
    rng, days = np.random.default_rng(5), np.arange(6 * 365)
    chance = 1.2 ** (days / 365.25)
    held = 0
    for _ in range(1000):
        drawn = rng.choice(days, size=40, p=chance / chance.sum())
        ours = yearly_trend(drawn, 0, days[-1])
        held += ours.low <= 1.2 <= ours.high
    assert 930 <= held <= 970


def test_all_cases_on_one_day_set_no_limit_on_one_side():
    ours = yearly_trend(np.zeros(12, dtype=int), 0, 3000)
    assert ours.ratio == ours.low == 0.0
    assert ours.high < 1


def test_too_few_cases_tell_nothing_and_cases_outside_the_record_are_refused():
    assert np.isnan(yearly_trend(np.arange(9), 0, 100)).all()
    with pytest.raises(ValueError, match="outside the record"):
        yearly_trend(np.arange(20), 5, 100)
