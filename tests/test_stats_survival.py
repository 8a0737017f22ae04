import numpy as np
import pytest
from lifelines import KaplanMeierFitter
from stats_references import published, r_data, r_output, rerun_matches_kept, shared_reference
from unsnag.stats.cox import cause_specific_cox
from unsnag.stats.incidence import on_days
from unsnag.stats.quantiles import weighted_quantiles
from unsnag.stats.score_tests import log_rank_test
from unsnag.stats.survival import kaplan_meier, nelson_aalen, survival_quantile


def arm(name, value):
    """Days and endings of one arm of an R data set."""
    data = r_data(name)
    chosen = data[{"lung": "sex", "veteran": "trt", "gehan": "treat"}[name]] == value
    ended = {"lung": lambda: data["status"] == 2, "veteran": lambda: data["status"] == 1}
    return data["time"][chosen], ended.get(name, lambda: data["cens"] == 1)()[chosen]


@pytest.mark.parametrize("name, value", [("lung", 1), ("lung", 2), ("veteran", 1), ("veteran", 2)])
def test_survival_and_hazard_match_r_survival(name, value):
    survival, hazard = kaplan_meier(*arm(name, value)), nelson_aalen(*arm(name, value))
    curves = {
        "survival": survival.value, "se": np.sqrt(survival.variance), "low": survival.low,
        "high": survival.high, "hazard": hazard.value, "hazard se": np.sqrt(hazard.variance),
    }  # fmt: skip
    figures = dict(zip(("median", "median low", "median high"), survival_quantile(survival), strict=True))
    for quantity, expected in r_output("survival").items():
        if quantity.startswith(f"{name} {value} "):
            day, figure = quantity.split(" ", 3)[2:]
            computed = (
                figures[figure] if figure in figures else on_days(curves[figure], survival.days, int(day))
            )
            assert computed == pytest.approx(expected, abs=1e-8, nan_ok=True), quantity


def test_r_script_prints_the_kept_survival():
    rerun_matches_kept("survival", "survival")


def test_remission_matches_freireich_1963():
    reference = published("freireich_1963")
    curve = kaplan_meier(*arm("gehan", "6-MP"))
    computed = on_days(curve.value, curve.days, reference["days"])
    np.testing.assert_allclose(computed, reference["survival"], rtol=0, atol=1.01 * reference["tolerance"])
    assert survival_quantile(curve)[0] == reference["median"]
    assert survival_quantile(kaplan_meier(*arm("gehan", "control")))[0] == reference["control_median"]


def test_one_minus_kaplan_meier_overstates_as_in_r_survival():
    # survfit(Surv(months, pcm) ~ 1) on mgus2, deaths censored: 0.2096 at 240 months; competing, it is 0.0998.
    data = r_data("mgus2")
    curve = kaplan_meier(data["months"], data["cause"] == "pcm")
    assert 1 - on_days(curve.value, curve.days, 240)[0] == pytest.approx(0.2096, abs=5e-5)


def swimmer():
    """Days at liberty, whether death was inferred, and whether the hook was deep, of the tags that reported."""
    with shared_reference("data/hooked_loggerhead_psat/swimmer_2014.csv").open(encoding="utf-8") as file:
        rows = [line.split(",") for line in file.read().splitlines()[1:]]
    rows = [row for row in rows if row[5] != "--"]
    days = np.array([int(row[5]) for row in rows])
    return days, np.array(["*" in row[6] for row in rows]), np.array(["Deep" in row[6] for row in rows])


def test_hooked_turtles_match_swimmer_2014():
    reference, (days, died, deep) = published("swimmer_2014"), swimmer()
    close = {"rtol": 0, "atol": reference["tolerance"]}
    curve = kaplan_meier(days, died)
    np.testing.assert_allclose(
        on_days(curve.value, curve.days, reference["days"]), reference["survival"], **close
    )
    limits = np.squeeze([on_days(limit, curve.days, 85) for limit in (curve.low, curve.high)])
    np.testing.assert_allclose(limits, reference["last_limits"], **close)
    curve = kaplan_meier(days[deep], died[deep])
    computed = on_days(curve.value, curve.days, reference["deep_days"])
    np.testing.assert_allclose(computed, reference["deep_survival"], **close)
    assert survival_quantile(curve)[0] == reference["deep_median"]


def test_deep_hooks_against_shallow_match_swimmer_2014():
    reference, (days, died, deep) = published("swimmer_2014"), swimmer()
    test = log_rank_test(days, died, np.where(deep, "deep", "shallow"))
    assert test.statistic == pytest.approx(reference["log_rank"], abs=0.005)
    expected = np.array([6, 1]) - test.observed_minus_expected
    np.testing.assert_allclose(expected, reference["log_rank_expected"], rtol=0, atol=0.005)
    fit = cause_specific_cox(deep[:, None], days, died)
    assert fit.coefficients == pytest.approx([reference["cox_coefficient"]], abs=reference["tolerance"])
    assert np.sqrt(fit.variance[0, 0]) == pytest.approx(reference["cox_se"], abs=reference["tolerance"])


def test_survival_by_hand_with_a_death_on_day_0_and_a_tied_censoring():
    curve = kaplan_meier([0, 1, 1, 1, 5], [True, True, False, True, False])
    np.testing.assert_allclose(curve.value, [4 / 5, 2 / 5, 2 / 5])
    np.testing.assert_array_equal(curve.at_risk, [5, 4, 1])


def test_survival_matches_lifelines_with_late_entries():
    data = r_data("abortion")
    lost = data["cause"] != 2
    mine = kaplan_meier(data["exit"], lost, entry_days=data["entry"] + 1)
    theirs = KaplanMeierFitter().fit(data["exit"], lost, entry=data["entry"])
    at_endings = theirs.survival_function_.loc[mine.days].iloc[:, 0]
    np.testing.assert_allclose(mine.value, at_endings, rtol=1e-10)


def test_all_censored_has_no_limits_and_no_median():
    curve = kaplan_meier([3, 4], [False, False])
    np.testing.assert_array_equal(curve.value, [1, 1])
    assert np.isnan([*curve.low, *survival_quantile(curve)]).all()
    assert np.isnan(nelson_aalen([3, 4], [False, False]).low).all()


@pytest.mark.parametrize("estimate", [kaplan_meier, nelson_aalen])
def test_no_animals_say_so(estimate):
    curve = estimate([], [])
    assert curve.reason == "no animals" and len(curve.value) == 0


def test_quantile_of_a_flat_stretch_is_its_middle_by_hand():
    curve = kaplan_meier([1, 2, 6, 9], [True, True, True, False])
    assert survival_quantile(curve)[0] == 4
    assert survival_quantile(curve, 0.75)[0] == 7.5
    assert np.isnan(survival_quantile(curve, 0.9)[0])


def test_quantiles_of_counted_stays_match_r_stats():
    data, kept = r_data("lung"), r_output("survival")
    stays, animals = np.unique(data["time"][data["status"] == 2], return_counts=True)
    computed = weighted_quantiles(stays, animals, (0.25, 0.5, 0.75, 0.9))
    np.testing.assert_array_equal(computed, [kept[f"stays {share}"] for share in (25, 50, 75, 90)])
    assert np.isnan(weighted_quantiles([], [], (0.5,))).all()
