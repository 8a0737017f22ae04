"""What texts fill on the demo, beside its truth: the free-text clinic's cases get gear, injury, place and results."""

import demo_exports
import pytest

FREE_TEXT = "lantern_rock"
# The goal for what rules read, set before any rule was written (tests/notes/GUIDE.md).
PRECISION = 0.95
AXES = ("gear", "injury", "body_site")


@pytest.fixture(scope="module")
def truth():
    """Case id of the store → the truth of the case, for cases that came to the free-text clinic first."""
    cases = {case["case_id"]: case for case in demo_exports.truth("cases")}
    return {
        f"{stay['clinic']}:{stay['case_number']}": cases[stay["case_id"]]
        for stay in demo_exports.truth("stays")
        if stay["clinic"] == FREE_TEXT and stay["second_entry"] == "no"
    }


def filled(demo, axis):
    """Case → code, where the text said it."""
    return demo.values(
        f"select case_id, {axis}_code from mart.gear_items "
        f"where is_principal and clinic = '{FREE_TEXT}' and list_contains(axes_from_notes, '{axis}')"
    )


@pytest.mark.parametrize("axis", AXES)
def test_what_texts_fill_is_true(demo, truth, axis):
    compared = {case: code for case, code in filled(demo, axis).items() if case in truth}
    right = sum(truth[case][axis] == code for case, code in compared.items())
    assert len(compared) > 100
    assert right / len(compared) >= PRECISION


def test_texts_make_no_case_a_tackle_case_that_is_none(demo, truth):
    called = demo.values(f"select case_id, is_tackle from mart.cases where clinic = '{FREE_TEXT}'")
    assert {case: is_tackle for case, is_tackle in called.items() if case in truth} == {
        case: truth[case]["cause"] == "fishing_tackle" for case in called if case in truth
    }


def test_a_diary_tells_results_and_films_that_no_column_holds(demo):
    assert demo.one(f"select count(*) from stage.findings where clinic = '{FREE_TEXT}'") == 0
    assert demo.one(f"select count(*) from mart.findings where clinic = '{FREE_TEXT}' and from_notes") > 200
    assert demo.one(
        "select count(*) from mart.procedures where list_contains(axes_from_notes, 'procedure_result') "
        f"and clinic = '{FREE_TEXT}' and procedure_result_code is not null"
    ) > 80  # fmt: skip


def test_clinics_with_columns_for_it_owe_texts_little(demo):
    """They tell their tackle in columns; a text may add a place, never another piece."""
    assert demo.rows("select distinct clinic from mart.gear_items where not is_in_columns") == [(FREE_TEXT,)]
