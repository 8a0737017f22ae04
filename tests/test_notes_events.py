"""Procedures and findings that texts tell of: what columns hold is no second event, the rest is added, marked."""

import networks
import pytest

STAYS = """
    case_number,admission_date,cause,gear,outcome,outcome_date,notes
    new,2023-03-01,fishing tackle,hook,released,2023-03-20,Xr 3/3 hook in the stomach. Endoscopy 5/3 hook removed.
    same day,2023-03-01,fishing tackle,hook,released,2023-03-20,Scoped 5/3 and hook removed.
    day late,2023-03-01,fishing tackle,hook,released,2023-03-20,Hook removed 7/3.
    next week,2023-03-01,fishing tackle,hook,released,2023-03-20,Hook removed 8/3.
    planned,2023-03-01,fishing tackle,hook,released,2023-03-20,Surgery booked for 5/3.
    before,2023-03-01,fishing tackle,hook,released,2023-03-20,Hook removed 27/2/2023.
    after,2023-03-01,fishing tackle,hook,released,2023-03-20,Hook removed 27/3/2023.
    no such day,2023-03-01,fishing tackle,hook,released,2023-03-20,Hook removed 27/4.
    beside,2023-03-01,fishing tackle,hook,released,2023-03-20,
    film,2023-03-01,fishing tackle,hook,released,2023-03-20,Xr 8/3 hook has not moved. Xr 15/3 hook has moved.
    lead,2023-03-01,fishing tackle,sinker,released,2023-03-20,Pb 0.45 ppm on 3/3. Pb 17 on 10/3. Pb 31 mcg/dL on 13/3.
    """
PROCEDURES = """
    case_number,procedure,procedure_date,procedure_result,procedure_note
    same day,endoscopic retrieval,2023-03-05,,
    day late,manual removal,2023-03-05,failed,
    next week,manual removal,2023-03-05,failed,
    beside,endoscopic retrieval,2023-03-06,,hook removed
    """
FINDINGS = """
    case_number,finding,finding_date
    film,hook in place,2023-03-08
    """


@pytest.fixture(scope="module")
def built(tmp_path_factory):
    folder = networks.write_network(tmp_path_factory.mktemp("events"))
    # Days in columns are written year first, those in texts day first: the stays' own source says so.
    networks.write_clinic(
        folder,
        "north",
        STAYS,
        settings='export_date = 2024-01-31\ndate_order = "dmy"',
        sheets={"procedure": PROCEDURES, "finding": FINDINGS},
    )
    return networks.build(folder)


def done(built, number):
    return built.rows(
        "select procedure_code, procedure_days, procedure_result_code, from_notes from mart.procedures "
        f"where case_id = 'north:{number}' order by procedure_order"
    )


def seen(built, number):
    return built.rows(
        "select finding_code, finding_days, finding_value, finding_unit, from_notes from mart.findings "
        f"where case_id = 'north:{number}' order by finding_order"
    )


def test_what_only_the_text_tells_is_added_with_its_day_and_result(built):
    assert done(built, "new") == [
        ("radiograph", 2, None, True),
        ("endoscopic_retrieval", 4, "success", True),
    ]
    assert seen(built, "new") == [("gear_in_place", 2, None, None, True)]


def test_a_text_of_the_same_event_fills_only_its_empty_result(built):
    assert done(built, "same day") == [("endoscopic_retrieval", 4, "success", True)]


def test_within_two_days_it_is_the_same_event_and_the_column_keeps_its_result(built):
    assert done(built, "day late") == [("manual_removal", 4, "failed", False)]
    assert done(built, "next week") == [
        ("manual_removal", 4, "failed", False),
        ("manual_removal", 7, "success", True),
    ]


@pytest.mark.parametrize("number", ["planned", "before", "after"])
def test_what_is_planned_or_lies_outside_the_stay_was_not_done_in_it(built, number):
    assert done(built, number) == []


def test_a_day_that_cannot_be_in_the_stay_is_no_day(built):
    assert done(built, "no such day") == [("manual_removal", None, "success", True)]


def test_a_text_beside_a_procedure_speaks_of_its_day(built):
    assert done(built, "beside") == [("endoscopic_retrieval", 5, "success", True)]


def test_of_one_film_the_columns_finding_counts(built):
    assert seen(built, "film") == [
        ("gear_in_place", 7, None, None, False),
        ("gear_moved", 14, None, None, True),
    ]


def test_lead_is_given_in_one_unit_and_without_a_unit_has_no_value_by_hand(built):
    """0.45 ppm are 0.45 mg in a kilogram, about 0.45 mg in a litre: 45 ug in a decilitre."""
    assert seen(built, "lead") == [
        ("lead_level", 2, 45, "ug/dL", True),
        ("lead_level", 9, None, None, True),
        ("lead_level", 12, 31, "ug/dL", True),
    ]
