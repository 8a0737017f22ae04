"""Pooled logistic regression and its columns."""

import numpy as np
import pandas as pd
import pytest
import statsmodels.api as sm
from unsnag.stats.emulation.design import baseline_columns, design
from unsnag.stats.emulation.hazard import daily_model, fit_logistic


def invented_rows(seed=3, count=900):
    generator = np.random.default_rng(seed)
    case = np.repeat(np.arange(count // 3), 3)
    matrix = np.column_stack(
        [np.ones(count), generator.integers(0, 3, count), generator.normal(size=count).round(1)]
    )
    happened = generator.random(count) < 1 / (1 + np.exp(1 - matrix @ [0.2, 0.5, -0.4]))
    return case, np.tile([0, 1, 2], count // 3), happened, matrix


def test_coefficients_match_statsmodels():
    case, day, happened, matrix = invented_rows()
    counts = np.random.default_rng(5).integers(0, 4, case.max() + 1)
    ours = daily_model(case, day, happened, matrix, "abc").coefficients(counts)
    model = sm.GLM(happened.astype(float), matrix, family=sm.families.Binomial(), freq_weights=counts[case])
    np.testing.assert_allclose(ours, model.fit(tol=1e-12).params, atol=1e-6)


def test_chance_of_one_group_is_its_share_by_hand():
    case, happened = np.arange(4), np.array([True, False, False, False])
    model = daily_model(case, np.zeros(4, int), happened, np.ones((4, 1)), ["intercept"])
    np.testing.assert_allclose(model.chance(np.ones(4, int)), 1 / 4)
    np.testing.assert_allclose(model.chance(np.array([3, 1, 1, 1])), 1 / 2)


def test_a_column_that_repeats_another_changes_no_chance():
    case, day, happened, matrix = invented_rows()
    counts = np.ones(case.max() + 1, int)
    plain = daily_model(case, day, happened, matrix, "abc").chance(counts)
    doubled = daily_model(case, day, happened, np.column_stack([matrix, 1 - matrix[:, 1]]), "abcd")
    np.testing.assert_allclose(doubled.chance(counts), plain, atol=1e-8)


def test_separation_ends_in_chances_of_0_and_1():
    matrix = np.array([[1.0, 0], [1, 1]])
    coefficients = fit_logistic(matrix, np.array([0.0, 5]), np.array([5.0, 5]))
    np.testing.assert_allclose(1 / (1 + np.exp(-matrix @ coefficients)), [0, 1], atol=1e-8)


def test_nothing_that_ever_happened_has_no_chance():
    coefficients = fit_logistic(np.ones((1, 1)), np.zeros(1), np.full(1, 40.0))
    assert 1 / (1 + np.exp(-coefficients[0])) < 1e-9


def covariates():
    return pd.DataFrame(
        {
            "day": [0, 1, 5],
            "site": ["mouth", "", "stomach"],
            "mass_g": [10.0, 20, 30],
            "deep": [True, False, True],
        }
    )


def test_design_by_hand():
    matrix, names = design(covariates(), ["site", "mass_g", "deep"], day_steps=(1, 3, 9))
    assert names == [
        "intercept",
        "day >= 1",
        "day >= 3",
        "site: not stated",
        "site: stomach",
        "mass_g",
        "deep",
    ]
    assert matrix.tolist() == [[1, 0, 0, 0, 0, 10, 1], [1, 1, 0, 1, 0, 20, 0], [1, 1, 1, 0, 1, 30, 1]]


def test_balance_columns_leave_no_level_out():
    assert list(baseline_columns(covariates(), ["site"])) == [
        "site: mouth",
        "site: not stated",
        "site: stomach",
    ]


def test_an_empty_number_and_a_missing_covariate_are_refused():
    with pytest.raises(ValueError, match="'mass_g' is empty in 1 rows"):
        design(covariates().assign(mass_g=[1.0, np.nan, 2.0]), ["mass_g"])
    with pytest.raises(ValueError, match="no covariate 'age'"):
        design(covariates(), ["age"])
