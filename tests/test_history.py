"""Overlapping exports: the newest record wins as a whole, and what it replaced is kept field by field."""

import intake
import networks

FIRST = """
    case_number,admission_date,species,outcome,mass,notes
    1,2023-01-01,swan,,5000,thin
    2,2023-01-02,gull,died,400,
    3,2023-01-03,gull,released,350,
"""
SECOND = """
    case_number,admission_date,species,outcome,mass,notes
    1,2023-01-01,swan,released,5200,
    2,2023-01-02,gull,died,400,
"""


def network(folder):
    networks.write_network(folder)
    files = {"stays_2023-06-30.csv": FIRST, "stays_2023-12-31.csv": SECOND}
    networks.write_clinic(folder, "one", files, settings='export_date_in_name = "%Y-%m-%d"')
    return folder


def test_each_change_is_kept_with_the_export_that_made_it(tmp_path):
    rows = intake.rows(
        network(tmp_path),
        "select stay_id, field, old_value, new_value, export_date::varchar from stage.changes order by field",
    )
    assert rows == [
        ("one:1", "mass_g", "5000.0", "5200.0", "2023-12-31"),
        ("one:1", "notes", "thin", None, "2023-12-31"),
        ("one:1", "outcome", None, "released", "2023-12-31"),
    ]


def test_what_did_not_change_and_what_was_told_once_has_no_history(tmp_path):
    rows = intake.rows(network(tmp_path), "select distinct stay_id from stage.changes")
    assert rows == [("one:1",)]


def test_the_newest_record_is_believed_and_a_missing_one_stays(tmp_path):
    rows = intake.rows(
        network(tmp_path),
        "select case_number, outcome, notes from stage.stays where standing = 'current' order by 1",
    )
    assert rows == [("1", "released", None), ("2", "died", None), ("3", "released", None)]
