"""Sentences and numbers of the report."""

import math
import re

import pandas
import pytest
from report_frames import readable_tables
from report_frames_rates import rate
from unsnag.report import derived, findings, words
from unsnag.report.published import Published
from unsnag_charts import numbers

THIN = numbers.THIN


def published(**replaced):
    return Published(readable_tables() | replaced, words={"all": "All animals", "not_stated": "Not stated"})


def line(*arguments, **named):
    return next(pandas.DataFrame([rate("all", "all", "all", *arguments, **named)]).itertuples(index=False))


@pytest.mark.parametrize(
    ("value", "said"), [(1234, "1,234"), (0, "0"), (None, "–"), (float("nan"), "–"), (7.0, "7")]
)
def test_count_marks_thousands_and_says_where_there_is_none(value, said):
    assert numbers.count(value) == said


@pytest.mark.parametrize(
    ("value", "said"),
    [(12.345, f"12.3{THIN}%"), (100.0, f"100.0{THIN}%"), (None, "–"), (-0.04, f"0.0{THIN}%")],
)
def test_percent_has_one_decimal_and_no_negative_zero(value, said):
    assert numbers.percent(value) == said


def test_negative_number_has_a_true_minus():
    assert numbers.number(-3.25) == "−3.2"


@pytest.mark.parametrize(
    ("value", "said"), [(1, "1 day"), (10.5, "10.5 days"), (20.0, "20 days"), (None, "–")]
)
def test_days_show_halves_only_where_they_are(value, said):
    assert numbers.days(value) == said


def test_listing_joins_as_a_sentence():
    assert numbers.listing(["a"]) == "a"
    assert numbers.listing(["a", "b", "c"]) == "a, b and c"


def test_rate_says_percentage_counts_and_interval():
    assert words.rate(line(60, 80, 4)) == f"75.0{THIN}% (60 of 80; 95{THIN}% interval 68.8 to 80.8{THIN}%)"


def test_rate_of_few_animals_says_so_instead_of_a_percentage():
    assert words.rate(line(5, 8, 1)) == "5 of 8, too few for a percentage"


def test_rate_of_withheld_row_gives_no_count():
    assert words.rate(line(5, 80, 1, is_shown=False)) == "withheld"


def test_unresolved_names_only_what_there_is():
    assert words.unresolved(line(60, 80, 4)) == "4 still in care"
    assert words.unresolved(line(60, 80, 0)) == ""


def test_intervals_are_apart_only_with_a_gap_by_hand():
    high, low, touching = (line(n, 100, 0) for n in (80, 60, 70))
    assert words.is_apart(high, low)  # 73.75 … 85.75 against 53.75 … 65.75
    assert not words.is_apart(high, touching)  # 63.75 … 75.75 reaches into the first


def test_answer_has_counts_interval_and_bounds():
    (finding,) = findings.answer(published(), 2023)
    for part in (
        "149 animals",
        "Of the 130",
        "100 went free",
        "76.9",
        "70.7 to 82.7",
        "between 72.9",
        "79.9",
    ):
        assert part in finding.text
    assert finding.is_clear


def test_answer_of_a_year_without_animals_says_so():
    (finding,) = findings.answer(published(), 1999)
    assert finding.text == "No animal injured by fishing tackle was admitted in 1999."
    assert not finding.is_clear


def test_years_whose_intervals_overlap_are_too_few_to_tell():
    (finding,) = findings.against_the_year_before(published(), 2023)
    assert finding.head == "Too few to tell 2023 from 2022."
    assert not finding.is_clear


def test_years_whose_intervals_are_apart_are_told_apart():
    rates = pandas.DataFrame(
        [
            rate("admission_year", "2022", "2022", 50, 100, 0),
            rate("admission_year", "2023", "2023", 90, 100, 0),
        ]
    )
    (finding,) = findings.against_the_year_before(published(release_rates=rates), 2023)
    assert finding.head == "Released more often than in 2022."
    assert finding.is_clear


def test_extremes_leave_out_silent_and_small_groups():
    (finding,) = findings.said(["release_by_injury"], published(), 2023)
    assert finding.head == "Released most often: embedded; least often: swallowed."
    assert "of 2 kinds of injury" in finding.text


def test_broken_law_is_never_called_nothing_lost():
    laws = pandas.DataFrame({"law": ["a = b", "c = d"], "holds": [True, False]})
    (finding,) = findings.nothing_lost(published(conservation=laws), 2023)
    assert "“c = d”" in finding.text
    assert not finding.is_clear


def test_finding_whose_table_is_missing_is_not_said():
    assert findings.said(["stays_of_released"], Published({}), 2023) == []


def test_every_finding_carries_a_number():
    found = findings.said(list(findings.FINDINGS), published(), 2023)
    assert len(found) == len(findings.FINDINGS)
    assert all(re.search(r"\d", finding.text) for finding in found)


def _numbers_of(frame):
    cells = [
        cell for column in frame.select_dtypes("number") for cell in frame[column].dropna() if cell < math.inf
    ]
    whole = {numbers.number(cell, 0) for cell in cells if cell == int(cell)}
    return whole | {
        numbers.number(cell, digits) for cell in cells for digits in (1, 2, 3)
    }  # ratios, p values


def test_every_number_in_the_prose_stands_in_a_table():
    release = published()
    said = findings.said(list(findings.FINDINGS), release, 2023)
    facts = derived.facts_of_year(release, 2023)
    text = " ".join([*(f"{f.head} {f.text}" for f in said), *(f"{f.value} {f.detail}" for f in facts)])
    known = set().union(*(_numbers_of(frame) for frame in release.frames.values()))
    counted = {"2023", "2022", "95", "2", "1", "4"}  # years, the level, and numbers of groups, laws and rules
    differences = {"9"}  # dead on arrival: received less alive on arrival, stands in animals_of_year
    found = set(re.findall(r"\d[\d,]*(?:\.\d+)?", text))
    assert found <= known | counted | differences
    assert len(found) > 30


def test_facts_and_the_picture_of_the_year_count_the_same_animals():
    facts = {fact.label: fact.value for fact in derived.facts_of_year(published(), 2023)}
    drawn = derived.animals_of_year(published(), 2023).set_index("ending")["animals"]
    assert facts["animals injured by tackle were taken in"] == str(drawn.sum())
    assert facts["of them were dead on arrival"] == str(drawn["dead_on_arrival"])
    assert facts["have no known ending"] == str(drawn["unresolved"])
