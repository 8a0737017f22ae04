"""Groups compared in time: hazard ratios as R has them, counts in place of rows, the number of tests; by hand."""

import networks
import numpy as np
import pandas as pd
import pytest
from analysing import computed
from scipy.stats import chi2
from stats_references import r_data, r_output, rerun_matches_kept
from unsnag.analyses import time_tests
from unsnag.analyses.time_tests import hazard_ratios
from unsnag.stats.gray import gray_test

STAYS = "case_number,admission_date,species,cause,injury,gear,outcome,outcome_date\n"
# Twelve gulls and twelve swans: gulls are released on day 4, swans on day 8; two of each die on day 2.
LINES = [
    f"{kind}{n},2023-01-01,{kind},fishing tackle,{'embedded' if n % 2 else 'ingested'},hook,"
    f"{'died,2023-01-03' if n < 2 else f'released,2023-01-{day:02}'}"
    for kind, day in (("gull", 5), ("mute swan", 9))
    for n in range(12)
]


@pytest.fixture(scope="module")
def frames(tmp_path_factory):
    folder = networks.write_network(tmp_path_factory.mktemp("times"))
    networks.write_clinic(folder, "north", STAYS + "\n".join(LINES) + "\n")
    return computed(networks.build(folder), time_tests, horizon_days=10, minimum_for_percentage=10)


def test_mean_days_by_hand(frames):
    """Of ten days a gull is in care for (10 x 4 + 2 x 2) / 12, after its death for 2 x 8 / 12."""
    told = frames["time_lost"].query("grouping == 'taxon_group'").set_index(["group_code", "state"])["days"]
    gull = told["gull_or_tern"]
    assert gull.to_dict() == {
        "in_care": pytest.approx(44 / 12),
        "released": pytest.approx(10 * 6 / 12),
        "died": pytest.approx(16 / 12),
        "euthanased": 0,
        "other": 0,
    }
    assert told["swan"]["released"] == pytest.approx(10 * 2 / 12)
    assert told.groupby(level=0).sum().to_numpy() == pytest.approx(10)


def test_the_number_of_tests_is_told_and_allowed_for(frames):
    """Release differs between gulls and swans; the smallest of m p values is multiplied by m."""
    told = frames["gray_tests"].set_index(["grouping", "ending"])
    tested = told["p_value"].notna()
    assert set(told["tests"]) == {tested.sum()} and 2 <= tested.sum() < len(told)
    smallest = told.loc[("taxon_group", "released")]
    assert smallest["p_value"] == told["p_value"].min() < 0.001
    # An untested comparison was planned all the same, and counts.
    assert smallest["adjusted_p"] == pytest.approx(len(told) * smallest["p_value"])
    assert smallest["p_value"] == pytest.approx(chi2.sf(smallest["statistic"], 1))
    assert set(told.loc[~tested, "reason"]) != {""}


def test_groups_too_small_for_a_percentage_are_not_compared(frames):
    assert frames["gray_tests"].set_index(["grouping", "ending"])["groups"]["taxon_group", "died"] == 2
    assert "admission_year" in set(frames["gray_tests"]["grouping"])


def test_a_level_with_few_endings_is_not_told(frames):
    """Four animals died: no level has ten deaths, so there is no ratio of death, and one of release."""
    told = frames["hazard_ratios"]
    assert set(told["ending"]) == {"released"}
    assert list(told[["grouping", "group_code", "reference"]].itertuples(index=False, name=None)) == [
        ("injury", "ingested", "embedded"),
        ("taxon_group", "swan", "gull_or_tern"),
    ]


def lung():
    """The lung patients as cases: sex in the place of injury, ECOG grade of severity, age of taxon group."""
    data = r_data("lung")
    grade = pd.Series(data["ecog"]).map({0.0: "0", 1.0: "1", 2.0: "2", 3.0: "3"}).fillna("not_stated")
    return pd.DataFrame(
        {
            "clinic": pd.Series(data["inst"]).fillna(-1),
            "animal_id": np.arange(len(grade)),
            "stay_days": data["time"].astype(int),
            "entry_days": 0,
            "outcome_class": np.where(data["status"] == 2, "died", "pending"),
            "injury": data["sex"].astype(int).astype(str),
            "severity": grade,
            "taxon_group": np.where(data["age"] >= 65, "old", "young"),
        }
    )


def test_hazard_ratios_match_r_survival():
    told = hazard_ratios.model(lung(), "died").set_index(["grouping", "group_code"])
    assert hazard_ratios.POOLED not in told.index.get_level_values(1) and len(told) == 4
    compared = 0
    for quantity, value in r_output("time_tests").items():
        *level, figure = quantity.split()
        if figure != "deaths":
            assert told.loc[tuple(level), figure] == pytest.approx(value, rel=1e-6), quantity
            compared += 1
    assert compared == 16
    assert told.loc[("taxon_group", "old"), "endings"] == r_output("time_tests")["old deaths"]


def test_too_many_animals_for_a_fit_are_said_to_be(monkeypatch):
    monkeypatch.setattr(hazard_ratios, "MOST_ANIMALS", 200)
    told = hazard_ratios.model(lung(), "died")
    assert told["hazard_ratio"].isna().all() and len(told) == 4
    assert set(told["reason"]) == {"more than 200 animals: fit the model on an extract"}


def test_r_script_gives_the_kept_figures():
    rerun_matches_kept("time_tests", "survival")


def test_counts_give_the_test_that_rows_give():
    data = r_data("mgus2")
    rows = pd.DataFrame({"day": data["months"].astype(int), "cause": data["cause"], "sex": data["sex"]})
    rows["third"] = np.arange(1, len(rows) + 1) % 3
    counts = rows.value_counts(sort=False).rename("animals").reset_index()
    told = [
        gray_test(
            *(frame[name].to_numpy() for name in ("day", "cause", "sex")), "pcm", ("pcm", "death"), **more
        )
        for frame, more in (
            (rows, {"stratum": rows["third"].to_numpy()}),
            (counts, {"stratum": counts["third"].to_numpy(), "animals": counts["animals"].to_numpy()}),
        )
    ]
    assert len(counts) < len(rows) and told[0].statistic == pytest.approx(told[1].statistic, rel=1e-12)


def test_a_network_without_such_cases_gives_empty_tables(tmp_path):
    networks.write_network(tmp_path)
    networks.write_clinic(tmp_path, "north", STAYS + "1,2023-01-01,gull,vehicle,,,died,2023-01-03\n")
    told = computed(networks.build(tmp_path), time_tests, horizon_days=10, minimum_for_percentage=10)
    assert {name: len(frame) for name, frame in told.items()} == dict.fromkeys(time_tests.TABLES, 0)
    assert {name: list(frame) for name, frame in told.items()} == {
        name: list(columns) for name, columns in time_tests.TABLES.items()
    }
