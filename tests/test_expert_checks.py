"""What an expert asks of records: for each rule a record that fires and one that nearly does."""

import csv
from io import StringIO

import networks
import pytest
from unsnag.workspace.fields import field_names

DAY = "2023-03-10"
TURTLE = {"species": "emydura_macquarii", "cause": "fishing_tackle"}
HOOKED = {**TURTLE, "gear": "hook", "injury": "ingested", "body_site": "stomach"}
FREE = {"outcome": "released", "outcome_date": "2023-05-30"}


def stay(**fields) -> dict:
    return {"admission_date": DAY, **fields}


def treated(what: str, day: str, fields: dict, **more) -> dict:
    return {**fields, "procedures": [{"procedure": what, "procedure_date": day, **more}]}


def seen(what: str, day: str, fields: dict, **more) -> dict:
    return {**fields, "findings": [{"finding": what, "finding_date": day, **more}]}


# rule → (a stay that fires, one that nearly does)
SINGLE = {
    "found_after_admission": (stay(found_date="2023-03-11"), stay(found_date=DAY)),
    "found_long_before_admission": (stay(found_date="2022-12-07"), stay(found_date="2022-12-08")),
    "day_filled_in_by_a_program": (stay(found_date="1970-01-01"), stay(found_date="1970-01-02")),
    "record_after_export": (
        treated("watch", "2024-02-01", stay()),
        treated("watch", "2024-01-31", stay()),
    ),
    "finding_outside_stay": (
        seen("gear_moved", "2023-05-31", stay(**HOOKED, **FREE)),
        seen("gear_moved", "2023-05-30", stay(**HOOKED, **FREE)),
    ),
    "treated_though_dead_on_arrival": (
        treated("fluids", DAY, stay(arrival="dead", **TURTLE)),
        treated("radiograph", DAY, stay(arrival="dead", **TURTLE)),
    ),
    "in_care_yet_ended": (
        stay(outcome_status="in_care", outcome_date="2023-04-01"),
        stay(outcome_status="in_care"),
    ),
    "in_care_for_years": (
        stay(outcome_status="in_care", admission_date="2022-01-30"),
        stay(outcome_status="in_care", admission_date="2022-01-31"),
    ),
    "stay_of_years": (
        {"admission_date": "2020-01-01", "outcome": "released", "outcome_date": "2023-01-01"},
        {"admission_date": "2020-01-01", "outcome": "released", "outcome_date": "2022-12-31"},
    ),
    "euthanasia_reason_alone": (
        stay(euthanasia_reason="suffering", **FREE),
        stay(euthanasia_reason="suffering", outcome="euthanased", outcome_date=DAY),
    ),
    "seen_again_too_early": (
        stay(seen_again_date="2023-05-29", **FREE),
        stay(seen_again_date="2023-05-30", **FREE),
    ),
    "gear_removed_yet_there": (
        stay(gear_fate="removed", gear_at_release="yes", **HOOKED, **FREE),
        stay(gear_fate="removed", gear_at_release="no", **HOOKED, **FREE),
    ),
    "gear_seen_after_removal": (
        treated(
            "endoscopic_retrieval", "2023-03-12",
            seen("gear_in_place", "2023-03-13", stay(**HOOKED)), procedure_result="success",
        ),
        treated(
            "endoscopic_retrieval", "2023-03-12",
            seen("gear_in_place", "2023-03-12", stay(**HOOKED)), procedure_result="success",
        ),
    ),
    "removal_without_gear": (
        treated("manual_removal", DAY, stay(cause="vehicle"), procedure_result="success"),
        treated("manual_removal", DAY, stay(cause="fishing_tackle"), procedure_result="success"),
    ),
    "gear_told_of_no_tackle_case": (
        seen("gear_passed", DAY, stay(cause="illness")),
        seen("gear_not_seen", DAY, stay(cause="illness")),
    ),
    "surgery_without_anaesthesia": (
        treated("surgery_coeliotomy", DAY, stay(**HOOKED), anaesthesia="none"),
        treated("surgery_coeliotomy", DAY, stay(**HOOKED), anaesthesia="local"),
    ),
    "released_on_day_of_operation": (
        treated("surgery_coeliotomy", "2023-05-30", stay(**HOOKED, **FREE)),
        treated("surgery_coeliotomy", "2023-05-29", stay(**HOOKED, **FREE)),
    ),
    "lead_level_without_unit": (
        seen("lead_level", DAY, stay(**HOOKED), finding_value="12"),
        seen("lead_level", DAY, stay(**HOOKED), finding_value="12", finding_unit="ug/dL"),
    ),
    "site_not_of_this_animal": (
        stay(**{**HOOKED, "body_site": "wing"}),
        stay(**{**HOOKED, "body_site": "shell"}),
    ),
    "hook_facts_without_hook": (
        stay(**{**HOOKED, "gear": "sinker", "barb": "barbed"}),
        stay(**{**HOOKED, "gear": "lure", "barb": "barbed"}),
    ),
    "passed_though_not_inside": (
        stay(**{**HOOKED, "body_site": "flipper", "gear_fate": "passed"}),
        stay(**{**HOOKED, "body_site": "intestine", "gear_fate": "passed"}),
    ),
    "transfer_without_receiver": (
        stay(outcome="transferred_out", outcome_date=DAY),
        stay(outcome="transferred_out", outcome_date=DAY, transferred_to="a far zoo"),
    ),
    "point_in_whole_degrees": (
        stay(latitude="-27", longitude="153"),
        stay(latitude="-27", longitude="153", place_uncertainty_m="60000"),
    ),
}  # fmt: skip
GULL = {"species": "larus_sp", "mass": "350", "found_place": "Old Jetty"}
# rule → stays of which the last fires, and stays of which none may
SEVERAL = {
    "perhaps_one_animal": (
        [stay(**GULL), stay(**GULL)],
        [stay(**{**GULL, "mass": "351"}), stay(**{**GULL, "mass": "352"})],
    ),
    "band_of_two_species": (
        [stay(band="B100", **TURTLE), stay(band="B100", admission_date="2023-06-01", species="larus_sp")],
        [stay(band="B200", **TURTLE), stay(band="B200", admission_date="2023-06-01", **TURTLE)],
    ),
    "band_in_two_places": (
        [stay(band="B300", **TURTLE, **FREE), stay(band="B300", admission_date="2023-05-28", **TURTLE)],
        [stay(band="B400", **TURTLE, **FREE), stay(band="B400", admission_date="2023-05-29", **TURTLE)],
    ),
    "gear_told_of_no_tackle_case": (
        [stay(), treated("watch", DAY, stay(cause="illness"))],
        [
            treated("watch", DAY, stay(**TURTLE)),
            treated("disentangling", DAY, stay(cause="entanglement_other")),
            treated("manual_removal", DAY, stay(cause="vehicle"), procedure_result="success"),
            treated("surgery_coeliotomy", DAY, stay(cause="illness")),
        ],
    ),
}
POINT = {"latitude": "-27.123", "longitude": "153.321"}


def numbered() -> dict[str, dict]:
    """Case number → stay, of all tables above."""
    stays = {}
    for rule, (fires, nearly) in SINGLE.items():
        stays |= {f"{rule}+": fires, f"{rule}-": nearly}
    for rule, (fires, nearly) in SEVERAL.items():
        stays |= {f"{rule}+{number}": fields for number, fields in enumerate(fires)}
        stays |= {f"{rule}-{number}": fields for number, fields in enumerate(nearly)}
    stays |= {f"five{number}": stay(found_place=f"place {number}", **POINT) for number in range(5)}
    four = {"latitude": "-27.5", "longitude": "153.5"}
    return stays | {f"four{number}": stay(found_place=f"place {number}", **four) for number in range(4)}


def sheet(record: str, rows: list[dict]) -> str:
    out = StringIO(newline="")
    writer = csv.DictWriter(out, field_names(record), lineterminator="\n", extrasaction="ignore")
    writer.writeheader()
    writer.writerows(rows)
    return out.getvalue()


@pytest.fixture(scope="module")
def built(tmp_path_factory):
    stays = numbered()
    children = {
        record: [
            {"case_number": number, **row}
            for number, fields in stays.items()
            for row in fields.get(f"{record}s", [])
        ]
        for record in ("procedure", "finding")
    }
    folder = networks.write_network(tmp_path_factory.mktemp("experts"))
    networks.write_clinic(
        folder,
        "one",
        sheet("stay", [{"case_number": number, **fields} for number, fields in stays.items()]),
        sheets={record: sheet(record, rows) for record, rows in children.items()},
    )
    return networks.build(folder)


def found(built, rule: str) -> set[str]:
    return {number for (number,) in built.rows(f"select case_number from checks.found where rule = '{rule}'")}


@pytest.mark.parametrize("rule", SINGLE)
def test_a_rule_fires_on_what_is_wrong_and_not_on_what_is_nearly(built, rule):
    assert f"{rule}+" in found(built, rule)
    assert f"{rule}-" not in found(built, rule)


@pytest.mark.parametrize("rule", SEVERAL)
def test_a_rule_about_several_records_fires_on_one_of_them(built, rule):
    assert f"{rule}+1" in found(built, rule)
    assert not {number for number in found(built, rule) if number.startswith(f"{rule}-")}


def test_one_point_for_five_places_is_asked_and_for_four_is_not(built):
    rows = built.rows("select detail from checks.found where rule = 'point_of_many_places'")
    assert rows == [("-27.123, 153.321 for 5 places in 5 records",)]


def test_every_rule_has_a_level_and_a_remedy(built):
    rows = built.rows(
        "select rule from checks.rules where level not in ('refused', 'withheld', 'question') or remedy = ''"
    )
    assert rows == []


def test_no_record_is_lost_to_a_question(built):
    assert built.one("select count(*) from mart.stays") == len(numbered())
    assert built.one("select bool_and(holds) from mart.conservation")
