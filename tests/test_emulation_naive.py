"""Comparisons that mislead, on data on which the error is published."""

import numpy as np
import pytest
from lifelines.datasets import load_stanford_heart_transplants
from stats_references import published
from unsnag.stats.emulation.naive import ever_treated_cox, time_dependent_cox


@pytest.fixture(scope="module")
def stanford():
    """One row per patient, times in half days (some are recorded so)."""
    rows = load_stanford_heart_transplants()
    after = rows[rows["transplant"] == 1].set_index("id")["start"]
    patients = rows.groupby("id").last()
    stay = (2 * patients["stop"]).astype(int).to_numpy()
    # A death on the day of the transplant itself precedes it, so treatment begins half a day later.
    begins = (2 * after.reindex(patients.index) + 1).fillna(10**6).astype(int).to_numpy()
    return patients, {
        "stay_days": stay,
        "is_ended": patients["event"].to_numpy(bool),
        "treatment_day": begins,
    }


PRINTED = published("emulation_stanford")


def first_ratio(fit):
    return np.exp(fit.coefficients[0])


def test_naive_ratio_matches_r_jasa(stanford):
    fit = ever_treated_cox(**stanford[1])
    assert first_ratio(fit) == pytest.approx(PRINTED["naive"], abs=PRINTED["tolerance"])


def test_time_dependent_ratio_matches_r_heart(stanford):
    fit = time_dependent_cox(**stanford[1])
    assert first_ratio(fit) == pytest.approx(PRINTED["time_dependent"], abs=PRINTED["tolerance"])
    assert (fit.rows, fit.animals) == (PRINTED["intervals"], PRINTED["patients"])


def test_time_dependent_ratio_with_covariates_matches_r_heart(stanford):
    patients, arrays = stanford
    fit = time_dependent_cox(**arrays, covariates=patients[["age", "year", "surgery"]].to_numpy())
    printed = PRINTED["time_dependent_with_age_year_surgery"]
    assert first_ratio(fit) == pytest.approx(printed, abs=PRINTED["tolerance"])


def test_treatment_on_day_0_leaves_no_untreated_part_by_hand():
    fit = time_dependent_cox([3, 5, 6, 4], [True, True, False, True], [0, 2, 99, 99])
    assert fit.rows == 5  # the second is cut in two, the first is not
