"""Pieces of tackle: listed on their own, or one made from the patient's row, never both; clutches and their endings."""

from collections import Counter

import networks
import pytest

STAYS = """
    case_number,admission_date,cause,injury,gear,hook_kind,body_site,line_trailing,animal_count,animals_released,animals_died,animals_euthanased,outcome,band
    row,2023-01-01,fishing tackle,ingested,hook,circle,stomach,yes,,,,,died,
    listed,2023-01-01,fishing tackle,ingested,hook,circle,stomach,yes,,,,,died,
    gear only,2023-01-01,illness,,fishing line,,,,,,,,died,
    hook only,2023-01-01,,,,treble,,,,,,,died,
    injury only,2023-01-01,fishing tackle,entangled,,,wing,,,,,,died,
    tackle only,2023-01-01,fishing tackle,,,,,,,,,,died,
    vehicle,2023-01-01,vehicle,external wound,,,,,,,,,died,
    unmapped,2023-01-01,vehicle,,zonked,,,,,,,,died,
    clutch,2023-01-01,orphaned,,,,,,5,2,1,1,pending,A-1
    uncounted,2023-01-01,orphaned,,,,,,,2,1,,,
    too many,2023-01-01,orphaned,,,,,,2,2,1,,,
    whole,2023-01-01,orphaned,,,,,,3,,,,released,
    """
GEAR = """
    case_number,gear,injury,hook_kind,body_site,gear_fate,gear_fate_date
    listed,line,entangled,,wing,removed,2023-01-02
    listed,hook,ingested,single j,intestine,left in,
    listed,hook,embedded,single j,foot,removed,2023-01-01
    listed,,,,,removed,
    """


@pytest.fixture(scope="module")
def built(tmp_path_factory):
    folder = networks.write_network(tmp_path_factory.mktemp("gear"))
    networks.write_clinic(folder, "north", STAYS, sheets={"gear_item": GEAR})
    return networks.build(folder)


def items(built, number):
    return built.rows(
        "select gear_code, injury_code, body_site_code, is_principal, gear_fate_code, gear_fate_days "
        f"from mart.gear_items where case_id = 'north:{number}' order by gear_item_number"
    )


def test_items_listed_on_their_own_replace_the_patient_rows(built):
    assert items(built, "listed") == [
        ("line", "entangled", "wing", False, "removed", 1),
        ("hook", "ingested", "intestine", True, "left_in", None),
        ("hook", "embedded", "foot_or_leg", False, "removed", 0),
    ]


@pytest.mark.parametrize(
    ("number", "gear", "injury", "site"),
    [
        ("row", "hook", "ingested", "stomach"),
        ("gear only", "line", None, None),
        ("hook only", None, None, None),
        ("injury only", None, "entangled", "wing"),
    ],
)
def test_one_item_is_made_from_the_patient_row(built, number, gear, injury, site):
    assert [item[:4] for item in items(built, number)] == [(gear, injury, site, True)]


@pytest.mark.parametrize("number", ["tackle only", "vehicle", "unmapped"])
def test_no_item_is_made_of_nothing(built, number):
    assert items(built, number) == []


def test_tackle_cases_have_the_cause_or_a_piece_of_tackle(built):
    tackle = built.rows("select case_id from mart.cases where is_tackle")
    assert {case.removeprefix("north:") for (case,) in tackle} == {
        "row",
        "listed",
        "gear only",
        "hook only",
        "injury only",
        "tackle only",
    }


def test_a_case_is_grouped_by_its_principal_item(built):
    case = (
        "select injury_code, body_site_code, gear_item_count from mart.cases where case_id = 'north:listed'"
    )
    assert built.rows(case) == [("ingested", "intestine", 3)]


def test_a_clutch_is_as_many_animals_as_it_states_with_its_endings(built):
    endings = built.rows("select outcome_class from mart.cases where incident_id = 'north:clutch'")
    assert Counter(ending for (ending,) in endings) == {
        "released": 2,
        "died": 1,
        "euthanased": 1,
        "pending": 1,
    }


def test_a_clutch_without_a_number_has_as_many_animals_as_endings(built):
    endings = built.rows("select outcome_class from mart.cases where incident_id = 'north:uncounted'")
    assert Counter(ending for (ending,) in endings) == {"released": 2, "died": 1}


def test_a_clutch_with_one_ending_gives_it_to_all(built):
    endings = built.rows("select outcome_class from mart.cases where incident_id = 'north:whole'")
    assert Counter(ending for (ending,) in endings) == {"released": 3}


def test_animals_of_a_clutch_have_ids_of_their_own_and_one_incident(built):
    ids = built.rows("select case_id, animal_id from mart.cases where incident_id = 'north:clutch'")
    assert {case for case, _ in ids} == {f"north:clutch/{number}" for number in range(1, 6)}
    assert len({animal for _, animal in ids}) == 5


def test_more_endings_than_animals_are_asked(built):
    found = "select case_number, detail from checks.found where rule = 'clutch_endings_differ'"
    assert built.rows(found) == [("too many", "2 animals, 2 released, 1 died")]
