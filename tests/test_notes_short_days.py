"""Days written like values: read by the habit of a note, never from one number alone."""

import datetime

import pytest
from hypothesis import given
from hypothesis import strategies as st
from unsnag.notes import load_rules, understand
from unsnag.notes.short_days import slashed
from unsnag.notes.tokens import fold

LISTS = load_rules().lists
ADMITTED = datetime.date(2025, 1, 8)


def read(text: str, order: str = "dmy") -> str:
    return slashed(fold(text), order, LISTS)


@pytest.mark.parametrize(
    ("order", "text", "days"),
    [
        ("dmy", "9.1 ga, pb 34.1\n13.1 bpb 34\n24.1 rel", "9/1 ga, pb 34.1\n13/1 bpb 34\n24/1 rel"),
        ("mdy", "9.1 ga\n13.1 film", "1/9 ga\n1/13 film"),  # a dotted day is day first wherever it is written
        ("dmy", "28.12 film\n3.1 swims", "28/12 film\n3/1 swims"),
        ("dmy", "to pool 6.3. rel 9.3 at the loch", "to pool 6/3. rel 9/3 at the loch"),
        ("dmy", "line off, fed.\n18.3 swims", "line off, fed.\n18/3 swims"),
        ("dmy", "died on 22.12.", "died on 22/12."),
        ("dmy", "7-22 ate 6 smelt\n7-25 swims", "22/7 ate 6 smelt\n25/7 swims"),
        ("dmy", "2025-07-02 passed hook. rel 07-05", "2025-07-02 passed hook. rel 05/07"),
        ("mdy", "10-06 rads same. 10-13 rads clear", "10/06 rads same. 10/13 rads clear"),
    ],
)
def test_a_diary_is_read_as_days(order, text, days):
    assert read(text, order) == days


@pytest.mark.parametrize(
    "text",
    [
        "wt 3.4, 5.6 cm of line, 2-3 fish, 3-0 suture",
        "weights 3.2 3.9 4.1 kg",
        "pb 9.1\npb 12.1",
        "9.1 at first\n4.1 later",  # a diary goes forward
        "9.1\n10.8",  # and is no longer than a stay
        "9.1 seen",
        "tube 3.5 in, wt 1.31 (was 1.08). shank out.",
        "fed.\nwt. 4.2 swims",
        "released 2.1 kg heavier",
        "35.2 34.1",
        "9.1. film clear\n13.1. swims",  # days as they stand: a full stop closes them
    ],
)
def test_values_stay_values(text):
    assert read(text) == text


@given(st.text(alphabet="0123456789.-/ \nabrel", max_size=40), st.sampled_from(["dmy", "mdy", "ymd"]))
def test_no_offset_moves(text, order):
    assert len(read(text, order)) == len(text)


def test_what_is_told_gets_the_day():
    said = understand("9.1 film: hook in crop\n13.1 hook out by hand\n20.1 rel", ADMITTED)
    days = {(each.code, each.date) for each in said if each.date}
    assert days == {
        ("radiograph", datetime.date(2025, 1, 9)),
        ("gear_in_place", datetime.date(2025, 1, 9)),
        ("manual_removal", datetime.date(2025, 1, 13)),
        ("released", datetime.date(2025, 1, 20)),
    }
