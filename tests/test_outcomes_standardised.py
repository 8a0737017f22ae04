"""How animals so treated ended, with one severity for all treatments: by hand, and from records."""

import networks
import numpy as np
import pandas as pd
import pytest
from unsnag.analyses.outcomes_by_treatment import KEY, NO_BAND, standardised


def mix(*rows):
    """Rows (treatment, stratum, released, resolved) of one injury."""
    group = ("ingested", "all", "all")
    return pd.DataFrame([(*group, *row) for row in rows], columns=[*KEY, "stratum", "released", "resolved"])


def test_a_treatment_with_the_severity_of_all_by_hand():
    # Standard: 30 milder, 10 graver. Surgery 4/5 and 3/10: 0.75 * 0.8 + 0.25 * 0.3 = 0.675, though 7/15 = 0.467 crude.
    frame = standardised(
        mix(
            ("all", "milder", 27, 30),
            ("all", "graver", 3, 10),
            ("surgery", "milder", 4, 5),
            ("surgery", "graver", 3, 10),
        )
    )
    (row,) = frame.itertuples()
    assert (row.treatment_code, row.standardised) == ("surgery", pytest.approx(67.5))
    assert row.standardised_low < 67.5 < row.standardised_high and row.standardised_reason == ""


def test_a_treatment_that_no_grave_case_got_has_no_standardised_rate():
    (row,) = standardised(
        mix(("all", "milder", 27, 30), ("all", "graver", 3, 10), ("watched", "milder", 20, 21))
    ).itertuples()
    assert np.isnan(row.standardised) and row.standardised_reason == NO_BAND


@pytest.fixture(scope="module")
def network(tmp_path_factory):
    """One clinic: four swallowed hooks, of which two were operated on, and one of unknown severity."""
    folder = networks.write_network(tmp_path_factory.mktemp("standardised"))
    stays = "case_number,admission_date,species,cause,injury,body_site,severity,outcome,outcome_date\n"
    for number, (severity, outcome) in enumerate(
        [
            ("mild", "released"),
            ("severe", "died"),
            ("critical", "released"),
            ("moderate", "released"),
            ("", "released"),
        ]
    ):
        turtle = f"{number},2023-01-01,emydura_macquarii,fishing_tackle"
        stays += f"{turtle},ingested,stomach,{severity},{outcome},2023-02-01\n"
    procedures = "case_number,procedure,procedure_date\n" + "".join(
        f"{number},surgery_coeliotomy,2023-01-03\n" for number in (0, 1, 4)
    )
    networks.write_clinic(folder, "one", stays, sheets={"procedure": procedures})
    return networks.build(folder)


def test_strata_from_records_by_hand(network):
    """Five animals; the one of unknown severity is in no stratum, each group counts those with a stated one."""
    rows = network.rows(
        "select treatment_code, stratum, released, resolved from mart.treatment_mix "
        "where taxon_group_code = 'all' and body_site_code = 'stomach' order by all"
    )
    assert rows == [
        ("all", "graver", 1, 2), ("all", "milder", 2, 2), ("surgery", "graver", 0, 1), ("surgery", "milder", 1, 1),
    ]  # fmt: skip
    of_turtles = "select count(*) from mart.treatment_mix where taxon_group_code = 'freshwater_turtle'"
    assert network.one(of_turtles) == 8


def test_standardised_rates_of_the_demo_are_told_only_beside_their_crude_rate(demo):
    shown = demo.public(
        "select count(standardised), count(*) filter (where standardised is not null and percent_released is null), "
        "count(*) filter (where standardised not between standardised_low and standardised_high) "
        "from public.outcomes_by_treatment"
    )[0]
    assert shown[0] > 10 and shown[1:] == (0, 0)
