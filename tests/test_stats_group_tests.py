import numpy as np
import pytest
from lifelines.statistics import multivariate_logrank_test
from stats_references import published, r_data, r_output, rerun_matches_kept
from unsnag.stats.gray import gray_test
from unsnag.stats.score_tests import log_rank_test

CAUSES = ("pcm", "death")
FEW_DAYS = [1, 1, 2, 2, 3, 3, 3, 4, 4, 5, 6, 6, 7, 8]
FEW_CAUSES = list("12110211201120")
FEW_GROUPS = [1, 1, 1, 1, 1, 2, 2, 2, 2, 3, 3, 3, 3, 3]


@pytest.fixture(scope="module")
def kept():
    return r_output("group_tests")


@pytest.mark.parametrize("grouping", ["sex", "third", "sex by third"])
def test_gray_statistic_matches_r_cmprsk(kept, grouping):
    data = r_data("mgus2")
    third = np.arange(1, len(data["sex"]) + 1) % 3
    group, stratum = {"sex": (data["sex"], None), "third": (third, None)}.get(grouping, (data["sex"], third))
    for number, cause in enumerate(CAUSES, start=1):
        test = gray_test(data["months"], data["cause"], group, cause, CAUSES, stratum)
        assert test.statistic == pytest.approx(kept[f"gray mgus2 {grouping} {number} statistic"], rel=1e-9)
        assert test.p_value == pytest.approx(kept[f"gray mgus2 {grouping} {number} p"], rel=1e-8)


@pytest.mark.parametrize("cause", ["1", "2"])
def test_gray_with_few_animals_and_many_ties_matches_r_cmprsk(kept, cause):
    test = gray_test(FEW_DAYS, FEW_CAUSES, FEW_GROUPS, cause, ("1", "2"))
    assert test.statistic == pytest.approx(kept[f"gray few {cause} statistic"], rel=1e-9)
    assert test.degrees_of_freedom == 2


def test_gray_does_not_depend_on_the_order_of_cases():
    order = np.random.default_rng(2).permutation(len(FEW_DAYS))
    days, cause, group = (np.array(values) for values in (FEW_DAYS, FEW_CAUSES, FEW_GROUPS))
    one = gray_test(days, cause, group, "1", ("1", "2"))
    other = gray_test(days[order], cause[order], group[order], "1", ("1", "2"))
    assert one.statistic == other.statistic


def log_rank_data(name):
    data = r_data(name)
    if name == "lung":
        return data["time"], data["status"] == 2, data["sex"]
    if name == "gehan":
        return data["time"], data["cens"] == 1, data["treat"]
    return data["time"], data["status"] == 1, data["rx" if name == "colon" else "trt"]


@pytest.mark.parametrize("case", ["lung sex", "veteran trt", "colon rx", "gehan treat"])
def test_log_rank_matches_r_survival_and_lifelines(kept, case):
    days, ended, group = log_rank_data(case.split()[0])
    test = log_rank_test(days, ended, group)
    assert test.statistic == pytest.approx(kept[f"logrank {case} statistic"], rel=1e-8)
    peer = multivariate_logrank_test(days, group, ended)
    assert test.statistic == pytest.approx(peer.test_statistic, rel=1e-8)
    assert test.p_value == pytest.approx(peer.p_value, rel=1e-8)


def test_stratified_log_rank_matches_r_survival(kept):
    days, ended, group = log_rank_data("lung")
    stratum = r_data("lung")["ecog"]
    known = ~np.isnan(stratum)
    test = log_rank_test(days[known], ended[known], group[known], stratum=stratum[known])
    assert test.statistic == pytest.approx(kept["logrank lung sex by ecog statistic"], rel=1e-8)


def test_log_rank_matches_freireich_1963():
    reference = published("freireich_1963")
    test = log_rank_test(*log_rank_data("gehan"))
    assert test.statistic == pytest.approx(reference["log_rank"], abs=reference["tolerance"])


def test_log_rank_by_hand():
    # Day 1: two at risk in each group, one of a ends: expected 1/2. Day 2: a 1, b 2, one of b ends: 1/3.
    test = log_rank_test([1, 2, 2, 3], [True, True, False, False], ["a", "b", "a", "b"])
    np.testing.assert_allclose(test.observed_minus_expected, [1 - 5 / 6, 1 - 7 / 6])
    assert test.statistic == pytest.approx((1 / 6) ** 2 / (1 / 4 + 2 / 9))


def test_r_script_prints_the_kept_group_tests():
    rerun_matches_kept("group_tests", "survival", "cmprsk")


@pytest.mark.parametrize(
    "days, cause, group",
    [
        ([], [], []),
        ([1, 2], ["1", "1"], ["a", "a"]),
        ([1, 2], ["", ""], ["a", "b"]),
        ([1, 2], ["1", ""], ["a", "b"]),
    ],
)
def test_gray_with_nothing_to_compare_says_why_or_answers(days, cause, group):
    test = gray_test(days, cause, group, "1", ("1", "2"))
    assert np.isnan(test.statistic) == (test.reason == "no endings while two groups were at risk")
    assert len(test.groups) == len(set(group))


def test_a_cause_not_listed_is_refused():
    with pytest.raises(ValueError, match="passed"):
        gray_test([1], ["1"], ["a"], "passed", ("1", "2"))


def test_lengths_that_differ_are_refused():
    with pytest.raises(ValueError, match="differ in length"):
        log_rank_test([1, 2], [True, False], ["a"])
