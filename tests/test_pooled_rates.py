"""Rates pooled over clinics and years compared: by hand, against print, and against the demo's truth."""

from datetime import date
from pathlib import Path

import demo_exports
import duckdb
import numpy as np
import pandas as pd
import pytest
from scipy.special import expit, logit
from stats_references import published
from unsnag.analyses import pooled_rates, years_compared
from unsnag.models import read_model

SQL = Path(__file__).resolve().parents[1] / "sql" / "4_mart"


def groups(*rows):
    """pooled_rates of rows (group, clinic, released, resolved)."""
    names = ["group_code", "clinic", "released", "resolved"]
    counts = pd.DataFrame(rows, columns=names).assign(grouping="injury")
    frame = pooled_rates.compute(type("Mart", (), {"frame": lambda self, sql: counts})())
    return frame.set_index("group_code")


def test_limits_that_allow_for_clinics_by_hand():
    # Two clinics of ten, 8 and 6 released: variance (0.1^2 + 0.1^2) / (2 * 1) = 0.01, t of 1 degree of freedom.
    row = groups(("a", "x", 8, 10), ("a", "y", 6, 10)).loc["a"]
    spread = 12.7062047 * 0.1 / (0.7 * 0.3)
    assert (row.percent, row.clinics, row.degrees_of_freedom) == (pytest.approx(70), 2, pytest.approx(1))
    assert row.clustered_low == pytest.approx(100 * expit(logit(0.7) - spread))
    assert row.clustered_high == pytest.approx(100 * expit(logit(0.7) + spread))


def test_difference_to_the_rest_matches_newcombe_1998():
    """The first printed example, 56/70 against 48/80; the rest comes from two other groups."""
    row = published("newcombe_1998")["difference"][0]
    count, total, rest_count, rest_total = row["groups"]
    found = groups(
        ("a", "x", count, total), ("b", "x", 40, 50), ("c", "x", rest_count - 40, rest_total - 50)
    ).loc["a"]
    assert list(found[["difference_low", "difference_high"]]) == pytest.approx(
        [100 * row["low"], 100 * row["high"]], abs=0.01
    )


def test_ratio_to_the_rest_by_hand():
    # 8/10 over 4/10: log ratio ln 2, variance 1/8 - 1/10 + 1/4 - 1/10 = 0.175.
    found = groups(("a", "x", 8, 10), ("b", "x", 4, 10)).loc["a"]
    spread = np.exp(1.959964 * np.sqrt(0.175))
    assert list(found[["ratio", "ratio_low", "ratio_high"]]) == pytest.approx(
        [2, 2 / spread, 2 * spread], rel=1e-6
    )


def test_silent_records_are_no_part_of_the_rest():
    rows = [("a", "x", 8, 10), ("b", "x", 4, 10)]
    silent = groups(*rows, ("not_stated", "x", 90, 100))
    assert silent.loc["a", "difference"] == pytest.approx(40)
    assert np.isnan(silent.loc["not_stated", "difference"]) and silent.loc["not_stated", "percent"] == 90


def test_the_boundary_of_shrinkage_is_said():
    four = groups(*[(name, "x", 5 + number, 20) for number, name in enumerate("abcd")])
    assert set(four["shrunken_reason"]) == {"4 groups with animals; shrinkage needs 5"}
    alike = groups(*[(name, "x", 10, 20) for name in "abcde"])
    assert (
        alike["shrunken_reason"].str.contains("no more than chance").all() and alike["shrunken"].isna().all()
    )
    apart = groups(*[(name, "x", count, 20) for name, count in zip("abcde", (2, 6, 10, 14, 18), strict=True)])
    assert (apart["shrunken_reason"] == "").all()
    assert apart.loc["a", "percent"] < apart.loc["a", "shrunken"] < 50 < apart.loc["e", "shrunken"] < 90


def cell(stay, ending, year=2021, animals=1, clinic="x"):
    return {"admission_year": year, "clinic": clinic, "ending": ending, "days": stay, "entry_days": 0, "lag_days": 5,
            "animals": animals}  # fmt: skip


def test_incidence_at_the_horizon_by_hand():
    # Four animals: one dies on day 2, one is last seen on day 5, one is released on day 10: 3/4 * 1/2 = 0.375.
    rows = [cell(2, "dead"), cell(5, "pending"), cell(10, "released"), cell(40, "released")]
    found = years_compared.at_horizon(pd.DataFrame(rows), 30).iloc[0]
    assert (found.released_by_horizon, found.dead_by_horizon) == (pytest.approx(37.5), pytest.approx(25))
    assert (found.animals, found.open_at_lag, found.lag_days) == (4, 1, 5)


def strata(*rows):
    return pd.DataFrame(rows, columns=["admission_year", "stratum", "clinic", "released", "resolved"])


def test_a_year_with_the_case_mix_of_all_years_by_hand():
    # Standard: 20 milder, 20 graver. Year 1: 9/10 and 2/5: half of each is 65 %; year 2: 6/10 and 3/15: 40 %.
    frame = years_compared.standardised(
        strata((1, "m", "x", 9, 10), (1, "g", "x", 2, 5), (2, "m", "x", 6, 10), (2, "g", "x", 3, 15))
    )
    assert list(frame["standardised"]) == pytest.approx([65, 40])
    assert set(frame["standardised_limits"]) == {"animals only"}


def test_a_year_without_a_kind_of_case_has_no_standardised_rate():
    frame = years_compared.standardised(
        strata((1, "m", "x", 9, 10), (1, "g", "x", 2, 5), (2, "m", "x", 6, 10))
    )
    assert np.isnan(frame["standardised"]).tolist() == [False, True]
    assert frame["standardised_reason"].tolist() == ["", "a kind of case that other years had did not come"]


def year_cells(cases, as_of, year_starts="01-01"):
    """mart.year_cells of cases (year, admission, days, class)."""
    columns = ["admission_year", "admission_date", "stay_days", "outcome_class"]
    frame = pd.DataFrame(cases, columns=columns).assign(
        clinic="x", entry_days=0, is_tackle=True, is_alive_on_arrival=True
    )
    with duckdb.connect() as connection:
        connection.execute("create schema mart; create schema run")
        connection.register("given", frame)
        connection.execute("create table mart.cases as select * from given")
        connection.execute("create table run.about as select $day::date as as_of", {"day": as_of})
        select = read_model(SQL / "year_cells.sql").select
        rows = connection.execute(
            f"select admission_year, ending, days, lag_days from ({select}) order by all",
            {"year_starts": year_starts},
        )
        return rows.fetchall()


def test_every_year_is_looked_at_the_same_lag_after_its_end_by_hand():
    """As of 5 January 2023 the newest year that is over ended 5 days ago: 2021 is seen until 5 January 2022."""
    cases = [
        (2021, date(2021, 12, 1), 40, "released"),  # seen for 35 days: still in care then
        (2021, date(2021, 12, 1), 35, "released"),
        (2021, date(2021, 1, 1), 3, "euthanased"),
        (2022, date(2022, 12, 30), 6, "pending"),
        (2023, date(2023, 1, 2), 0, "died"),  # its year is not over
    ]
    assert year_cells(cases, date(2023, 1, 5)) == [
        (2021, "dead", 3, 5), (2021, "pending", 35, 5), (2021, "released", 35, 5), (2022, "pending", 6, 5),
    ]  # fmt: skip


def test_a_year_may_begin_in_july_by_hand():
    """The year named 2021 ends on 30 June 2022; as of 10 July 2022 the lag is ten days."""
    cases = [(2021, date(2022, 6, 30), 11, "released"), (2020, date(2021, 6, 30), 10, "released")]
    assert year_cells(cases, date(2022, 7, 10), "07-01") == [
        (2020, "released", 10, 10),
        (2021, "pending", 10, 10),
    ]


def test_release_by_the_horizon_recovers_the_invented_truth(demo):
    """Every true tackle case alive on arrival, counted plainly; records lose a few endings, so within 6 points."""
    horizon = demo.one("select max(horizon_days) from result.years_compared")
    true = {}
    for case in demo_exports.truth("cases"):
        if (
            case["cause"] == "fishing_tackle"
            and case["arrival"] == "alive"
            and case["outcome_status"] == "final"
        ):
            out = case["outcome"] == "released" and int(case["stay_days"]) <= horizon
            true.setdefault(int(case["admission_date"][:4]), []).append(out)
    found = demo.values("select admission_year, released_by_horizon from result.years_compared")
    assert set(found) == set(true) and len(found) == 6
    assert {year: 100 * np.mean(out) for year, out in true.items()} == pytest.approx(found, abs=6)


def test_no_rest_is_told_that_would_give_a_withheld_cell_away(demo):
    """A group less its rest tells the silent animals' number: nothing of it where their cell is withheld."""
    hidden = {
        row[0].partition("=")[0]
        for row in demo.rows(
            "select cell from withhold.decisions where cell like '%=not_stated' and not contains(cell, '|')"
        )
    }
    told = demo.public(
        "select distinct grouping from public.pooled_rates where difference is not null or ratio is not null"
    )
    assert {grouping for (grouping,) in told} & hidden == set()
    few = demo.public(
        "select count(*) from public.pooled_rates where denominator < 10 and coalesce(percent, shrunken) > 0"
    )
    assert few == [(0,)]
    withheld = demo.public(
        "select count(*), count(coalesce(clinics, numerator, percent)) from public.pooled_rates "
        "where note like 'withheld%'"
    )
    assert withheld[0][0] > 0 and withheld[0][1] == 0
