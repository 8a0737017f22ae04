import numpy as np
import pytest
from lifelines import CoxPHFitter
from stats_references import r_data, r_output, rerun_matches_kept
from unsnag.stats.cox import cause_specific_cox


def lung(in_months, with_entry):
    """Rows of lung with no gap, two rows a cluster, as tests/reference/r/cox.R prepares them."""
    data = r_data("lung")
    known = ~(np.isnan(data["ecog"]) | np.isnan(data["inst"]))
    data = {name: values[known] for name, values in data.items()}
    number = np.arange(known.sum())
    stay = data["time"] // 28 if in_months else data["time"]
    late = np.where(number % 5 == 4, np.minimum(2, stay), 0)
    return {
        "covariates": np.column_stack([data["sex"], data["age"], data["ecog"]]),
        "stay_days": stay,
        "is_ended": data["status"] == 2,
        "entry_days": late if with_entry else None,
        "stratum": data["inst"],
        "animal": number // 2,
    }


def heart(*names):
    data = r_data("heart")
    # R takes a row to be at risk after its start; in half days the first moment at risk is half a day later.
    return {
        "covariates": np.column_stack([data[name] for name in names]),
        "stay_days": data["stop"],
        "is_ended": data["event"] == 1,
        "entry_days": data["start"] + 0.5,
        "animal": data["id"],
    }


CASES = {
    "strata": lambda: lung(False, False),
    "ties": lambda: lung(True, False),
    "entry": lambda: lung(True, True),
    "heart 1": lambda: heart("transplant"),
    "heart 4": lambda: heart("transplant", "age", "year", "surgery"),
}


@pytest.mark.parametrize("name", CASES)
def test_cox_matches_r_survival(name):
    fit = cause_specific_cox(**CASES[name]())
    figures = {
        "coefficient": fit.coefficients,
        "se": np.sqrt(np.diag(fit.variance)),
        "robust se": np.sqrt(np.diag(fit.robust_variance)),
        "proportional": fit.proportional_statistic,
    }
    kept = r_output("cox")
    for figure, computed in figures.items():
        expected = [kept[f"{name} {number} {figure}"] for number in range(1, len(computed) + 1)]
        np.testing.assert_allclose(computed, expected, rtol=1e-6, atol=1e-8, err_msg=figure)


def test_r_script_prints_the_kept_cox_models():
    rerun_matches_kept("cox", "survival")


def test_lifelines_robust_variance_is_not_right_with_ties():
    # The reason for cox_scores: should lifelines mend this, that module can go.
    rows = lung(True, False)
    import pandas as pd

    frame = pd.DataFrame(rows["covariates"], columns=["sex", "age", "ecog"]).assign(
        time=rows["stay_days"] + 0.5, ended=rows["is_ended"], inst=rows["stratum"], animal=rows["animal"]
    )
    fit = CoxPHFitter().fit(frame, "time", "ended", strata=["inst"], cluster_col="animal")
    kept = [r_output("cox")[f"ties {number} robust se"] for number in (1, 2, 3)]
    assert np.abs(fit.standard_errors_ / kept - 1).max() > 0.01


def test_hazard_ratios_use_the_robust_variance():
    fit = cause_specific_cox(**heart("transplant"))
    ratio, low, high = fit.hazard_ratios()
    assert ratio == pytest.approx([1.136], abs=5e-4)
    assert np.log(high / low) / (2 * 1.959964) == pytest.approx(
        np.sqrt(np.diag(fit.robust_variance)), rel=1e-6
    )
    assert (fit.rows, fit.endings, fit.animals) == (172, 75, 103)


def test_rows_cut_in_two_change_nothing_if_they_are_one_animal():
    whole = lung(True, False) | {"animal": None}
    cut = {name: np.concatenate([values, values]) for name, values in whole.items() if values is not None}
    half = whole["stay_days"] // 2
    cut["stay_days"] = np.concatenate([half, whole["stay_days"]])
    cut["entry_days"] = np.concatenate([0 * half, np.minimum(half + 1, whole["stay_days"])])
    later = whole["stay_days"] > half
    cut["is_ended"] = np.concatenate([~later & whole["is_ended"], later & whole["is_ended"]])
    keep = np.concatenate([np.ones(len(half), bool), later])
    animal = np.tile(np.arange(len(half)), 2)
    one = cause_specific_cox(**whole)
    two = cause_specific_cox(**{name: values[keep] for name, values in cut.items()}, animal=animal[keep])
    np.testing.assert_allclose(two.coefficients, one.coefficients, rtol=1e-6)
    np.testing.assert_allclose(two.robust_variance, one.robust_variance, rtol=1e-6)


@pytest.mark.parametrize(
    "covariate, ended, reason",
    [
        ([0, 1, 0, 1], [False] * 4, "no endings"),
        ([1, 1, 1, 1], [True] * 4, "does not vary"),
        ([1, 1, 0, 0], [True, True, False, False], "does not converge"),
    ],
)
def test_what_the_data_cannot_tell_is_nan_with_a_reason(covariate, ended, reason):
    fit = cause_specific_cox(np.array(covariate)[:, None], [1, 2, 3, 4], ended)
    assert reason in fit.reason
    assert np.isnan([*fit.coefficients, *np.concatenate(fit.hazard_ratios()), *fit.proportional_p]).all()


def test_no_rows_say_so():
    fit = cause_specific_cox(np.zeros((0, 1)), [], [])
    assert (fit.reason, fit.rows, fit.animals) == ("no endings", 0, 0)


@pytest.mark.parametrize(
    "change, message",
    [
        ({"stay_days": [1, -1]}, "negative"),
        ({"is_ended": [True]}, "length"),
        ({"covariates": [[1], [np.nan]]}, "missing"),
        ({"animal": [1]}, "animal"),
    ],
)
def test_impossible_rows_are_refused(change, message):
    rows = {"covariates": [[0.0], [1.0]], "stay_days": [1, 2], "is_ended": [True, True]} | change
    with pytest.raises(ValueError, match=message):
        cause_specific_cox(**rows)
