"""Treatments counted from their own first day, over all stays of a case; who was watched."""

import networks
import pytest

STAYS = """
    case_number,admission_date,species,cause,injury,gear,body_site,outcome,outcome_date,transferred_to,other_clinic,other_clinic_number,arrival
    failed,2023-03-01,gull,fishing tackle,ingested,hook,stomach,died,2023-03-20,,,,
    watched,2023-03-01,gull,fishing tackle,ingested,hook,stomach,released,2023-04-10,,,,
    filmed,2023-03-01,gull,fishing tackle,ingested,hook,stomach,released,2023-04-10,,,,
    late film,2023-03-01,gull,fishing tackle,ingested,hook,stomach,released,2023-04-10,,,,
    undated,2023-03-01,gull,fishing tackle,ingested,hook,stomach,released,2023-04-10,,,,
    support,2023-03-01,gull,fishing tackle,ingested,hook,stomach,pending,,,,,
    moved,2023-03-01,gull,fishing tackle,ingested,hook,stomach,transferred,2023-03-04,south,,,
    dead,2023-03-01,gull,fishing tackle,ingested,hook,stomach,died,,,,,dead
    no tackle,2023-03-01,gull,vehicle,,,,died,2023-03-04,,,,
    too early,2023-03-01,gull,fishing tackle,ingested,hook,stomach,released,2023-03-11,,,,
    """
PROCEDURES = """
    case_number,procedure,procedure_date,procedure_result
    failed,endoscopic retrieval,2023-03-03,failed
    failed,endoscopic retrieval,2023-03-04,failed
    failed,coeliotomy,2023-03-05,success
    failed,antibiotics,2023-03-02,
    watched,watch,2023-03-01,
    watched,coeliotomy,2023-03-16,success
    late film,coeliotomy,2023-03-06,success
    undated,coeliotomy,,success
    support,fluids,2023-03-02,
    support,antibiotics,2023-03-03,
    dead,fluids,2023-03-01,
    no tackle,fluids,2023-03-01,
    too early,coeliotomy,2023-02-20,success
    """
FINDINGS = """
    case_number,finding,finding_date
    failed,hook in place,2023-03-01
    filmed,hook in place,2023-03-01
    filmed,hook unmoved,2023-03-08
    late film,hook in place,2023-03-09
    undated,hook in place,2023-03-09
    """
SOUTH = """
    case_number,admission_date,species,cause,outcome,outcome_date,other_clinic,other_clinic_number
    S1,2023-03-04,gull,,released,2023-03-31,north,moved
    """
SOUTH_PROCEDURES = "case_number,procedure,procedure_date\nS1,coeliotomy,2023-03-06\n"
# case → {treatment: (first day, days from it to the ending, attempts)}, by hand.
TREATMENTS = {
    "failed": {"endoscopic_retrieval": (2, 17, 2), "surgery": (4, 15, 1)},
    "watched": {"watched": (0, 40, 1), "surgery": (15, 25, 1)},
    "filmed": {"watched": (0, 40, 1)},
    "late film": {"surgery": (5, 35, 1)},
    "undated": {"surgery": (None, None, 1)},
    "support": {"supportive_only": (1, 335, 2)},
    "moved": {"surgery": (5, 25, 1)},
    "dead": {},
    "no tackle": {},
    "too early": {"surgery": (None, None, 1)},
}


@pytest.fixture(scope="module")
def built(tmp_path_factory):
    folder = networks.write_network(tmp_path_factory.mktemp("treatments"))
    networks.write_clinic(folder, "north", STAYS, sheets={"procedure": PROCEDURES, "finding": FINDINGS})
    networks.write_clinic(folder, "south", SOUTH, sheets={"procedure": SOUTH_PROCEDURES})
    return networks.build(folder)


@pytest.mark.parametrize(("number", "expected"), TREATMENTS.items())
def test_treatments_of_a_case_by_hand(built, number, expected):
    reached = built.rows(
        "select treatment_code, treatment_days, days_from_treatment, attempts "
        f"from mart.treatments where case_id = 'north:{number}'"
    )
    assert {treatment: tuple(days) for treatment, *days in reached} == expected


def test_procedures_are_numbered_over_all_stays_from_the_first_admission(built):
    told = "select procedure_order, procedure_days, clinic from mart.procedures where case_id = 'north:moved'"
    assert built.rows(told) == [(1, 5, "south")]
    order = (
        "select procedure_code from mart.procedures where case_id = 'north:failed' order by procedure_order"
    )
    codes = [code for (code,) in built.rows(order)]
    assert codes == ["antibiotics", "endoscopic_retrieval", "endoscopic_retrieval", "surgery_coeliotomy"]


def test_gear_that_only_the_second_clinic_dates_is_counted_from_the_first_admission(tmp_path):
    networks.write_network(tmp_path)
    first = (
        "case_number,admission_date,species,cause,outcome,outcome_date\n"
        "N1,2023-01-01,gull,,transferred,2023-01-05\n"
    )
    second = (
        "case_number,admission_date,species,other_clinic,other_clinic_number\nS1,2023-01-05,gull,north,N1\n"
    )
    gear = "case_number,gear,gear_fate,gear_fate_date\nS1,hook,removed,2023-01-08\n"
    networks.write_clinic(tmp_path, "north", first)
    networks.write_clinic(tmp_path, "south", second, sheets={"gear_item": gear})
    built = networks.build(tmp_path)
    assert built.rows("select case_id, gear_fate_days from mart.gear_items") == [("north:N1", 7)]
