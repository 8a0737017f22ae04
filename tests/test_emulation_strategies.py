"""Target chances of strategies, as METHODS section 3 words them."""

import numpy as np
import pytest
from unsnag.stats.emulation.strategies import compile_strategy, line_target, retrieval_target

USUAL = np.nan


def daily_targets(plain, days, group="pelican", worse_days=-1, unmoved_days=-1):
    strategy = compile_strategy("s", plain)
    groups = np.full(len(days), group)
    fill = (np.broadcast_to(each, len(days)) for each in (worse_days, unmoved_days))
    return retrieval_target(strategy, groups, np.asarray(days), *fill)


def test_retrieve_within_7_days_by_hand():
    targets = daily_targets({"kind": "retrieve_within", "days": 7}, range(9))
    np.testing.assert_allclose(targets, [USUAL] * 5 + [1 / 3, 1 / 2, 1, 1])


def test_a_short_window_is_forced_from_day_0_by_hand():
    np.testing.assert_allclose(daily_targets({"kind": "retrieve_within", "days": 1}, range(3)), [1 / 2, 1, 1])


def test_watch_at_least_21_days_by_hand():
    targets = daily_targets({"kind": "watch_at_least", "days": 21}, [0, 20, 21, 40])
    np.testing.assert_allclose(targets, [0, 0, USUAL, USUAL])


def test_watch_then_retrieve_if_worse_by_hand():
    plain = {"kind": "watch_then", "if_worse": True, "within": 2}
    targets = daily_targets(plain, range(5), worse_days=[-1, -1, 0, 1, 2])
    np.testing.assert_allclose(targets, [0, 0, 1 / 2, 1, 1])


def test_watch_then_retrieve_if_unmoved_at_day_14_by_hand():
    plain = {"kind": "watch_then", "if_worse": False, "if_unmoved_at": 14, "within": 3}
    days, unmoved = [7, 13, 14, 15, 16, 21, 21], [0, 6, 7, 8, -1, 0, 14]
    targets = daily_targets(plain, days, unmoved_days=unmoved, worse_days=3)
    # At day 16 a film shows movement: back to watching. At day 21 one animal is unmoved for the first time.
    np.testing.assert_allclose(targets, [0, 0, 1 / 3, 1 / 2, 0, 1 / 3, 1])


def test_windows_differ_by_taxon_group_by_hand():
    plain = {"kind": "retrieve_within", "days": 2, "by_taxon_group": {"sea_turtle": {"days": 4}}}
    np.testing.assert_allclose(daily_targets(plain, [2, 4], "pelican"), [1, 1])
    np.testing.assert_allclose(daily_targets(plain, [2, 4], "sea_turtle"), [1 / 3, 1])


def test_line_cut_and_left_never_retrieves():
    plain = {"kind": "line_cut_and_left", "days": 1, "forced_over": 1}
    cut = line_target(compile_strategy("s", plain), np.array(["swan"] * 2), np.array([0, 1]))
    np.testing.assert_allclose(cut, [USUAL, 1])
    np.testing.assert_allclose(daily_targets(plain, [0, 30]), [0, 0])


@pytest.mark.parametrize("plain", [{"kind": "usual_care"}, {"kind": "first_means", "means": "surgery"}])
def test_usual_timing_demands_nothing(plain):
    assert np.isnan(daily_targets(plain, range(5))).all()
    assert np.isnan(line_target(compile_strategy("s", plain), np.array(["swan"]), 3)).all()


@pytest.mark.parametrize(
    "plain, words",
    [
        ({"kind": "pray"}, "'pray' is not known"),
        ({"kind": "watch_at_least"}, "needs 'days'"),
        ({"kind": "watch_at_least", "days": 3, "dose": 2}, "no setting 'dose'"),
        ({"kind": "first_means", "means": "magic"}, "'magic' is not known"),
        ({"kind": "retrieve_within", "days": 7, "forced_over": 0}, "forced_over = 0"),
        ({"kind": "watch_at_least", "days": 3, "by_taxon_group": {"swan": {"days": -1}}}, "days = -1"),
        (
            {"kind": "first_means", "means": "surgery", "by_taxon_group": {"swan": {"means": "manual"}}},
            "cannot differ",
        ),
    ],
)
def test_a_slip_in_a_strategy_is_told_in_words(plain, words):
    with pytest.raises(ValueError, match=f"strategy 's': .*{words}"):
        compile_strategy("s", plain)
