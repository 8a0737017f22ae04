"""report.toml and the published tables become sections: order, filters, what is left out."""

import importlib
import re

import pytest
from report_frames import all_tables, readable_tables
from unsnag import resources
from unsnag.report import content, derived, findings, tables
from unsnag.report.published import Published, in_letters

OUTLINE = content.plan(resources.folder("dashboards"))
VIEWS = [view for section in OUTLINE["section"] for view in section.get("view", [])]


def compose(year=2023, without=(), own=None, **replaced):
    frames = {name: frame for name, frame in (readable_tables() | replaced).items() if name not in without}
    return content.compose(OUTLINE, Published(frames, words=OUTLINE["words"]), year, own)


def view_of(report, title):
    return next(view for section in report.sections for view in section.views if view.title == title)


def first_cells(view):
    return [row[0] for row in view.table.rows]


@pytest.mark.parametrize("view", VIEWS, ids=lambda view: view["title"])
def test_every_name_in_the_outline_is_known(view):
    names = [text.partition("=")[0] for text in view.get("columns", [])]
    assert all(OUTLINE["column"][name]["kind"] in tables.KINDS for name in names)
    assert {by.partition(":")[2] for by in view.get("sort", [])} - {""} <= set(OUTLINE["order"])
    assert view.get("reading", "bars") in OUTLINE["reading"]
    if "chart" in view:
        module = importlib.import_module(f"unsnag_charts.{view['chart']}")
        assert callable(module.chart) and callable(module.alt_text)


def test_every_finding_in_the_outline_is_known():
    named = {
        name for part in OUTLINE["section"] for key in ("lead", "findings") for name in part.get(key, [])
    }
    assert named <= set(findings.FINDINGS)
    assert set(findings.FINDINGS) - named == {"release_by_severity"}


def test_every_column_of_the_outline_is_used():
    named = {text.partition("=")[0] for view in VIEWS for text in view.get("columns", [])}
    assert named == set(OUTLINE["column"])


def test_columns_of_the_outline_are_those_of_the_tables():
    known = {column for frame in all_tables().values() for column in frame}
    published = Published(readable_tables(), words=OUTLINE["words"])
    known |= {column for _, make in derived.FRAMES.values() for column in make(published, 2023)}
    sources = {source for name, column in OUTLINE["column"].items() for source in column.get("from", [name])}
    assert sources <= known


@pytest.mark.parametrize("name", sorted(all_tables()))
def test_invented_tables_have_columns_that_the_public_layer_publishes(name):
    model = (resources.folder("sql") / "5_public" / f"{name}.sql").read_text(encoding="utf-8")
    published = set(re.findall(r"^--   (\w+): ", model, flags=re.MULTILINE))
    assert set(all_tables()[name]) <= published


def test_whole_report_fills_every_section_and_leaves_nothing_out():
    report = compose()
    assert [section.key for section in report.sections] == [part["key"] for part in OUTLINE["section"]]
    assert report.left_out == ()


def test_missing_table_leaves_its_section_out_and_says_so():
    report = compose(without=("stays",))
    assert "stays" not in [section.key for section in report.sections]
    assert [text for text in report.left_out if "in the table “stays”" in text]
    assert "stays" in [section.key for section in compose().sections]


def test_empty_table_counts_as_missing():
    frame = all_tables()["pathways"]
    report = compose(pathways=frame[frame["animals"] < 0])
    assert "pathways" not in [section.key for section in report.sections]


def test_database_without_any_table_still_makes_a_report():
    report = content.compose(OUTLINE, Published({}, words=OUTLINE["words"]), 2023)
    keys = [section.key for section in report.sections]
    assert {"methods", "cautions"} <= set(keys)
    assert len(report.left_out) == len(VIEWS)
    assert (
        "fewer than (not stated) clinics"
        in dict(report.sections[keys.index("methods")].entries)["Small numbers and privacy"]
    )


def test_severity_is_sorted_by_meaning_and_not_by_alphabet():
    view = view_of(compose(), "By severity on admission, all years")
    assert first_cells(view) == ["Mild", "Critical"]


def test_silent_rows_stand_last_however_many_they_are():
    view = view_of(compose(), "By kind of injury, all years")
    assert first_cells(view)[-1] == "Not stated"
    assert first_cells(view)[0] == "Embedded"


def test_rows_of_the_year_are_those_of_the_year():
    view = view_of(compose(2022), "One year, counted in different ways: 2022")
    assert set(view.frame["group_code"]) == {"2022"}
    assert list(view.frame["convention"]) == ["crude", "alive_on_arrival", "resolved"]


def test_codes_that_no_vocabulary_has_get_words():
    view = view_of(compose(), "All years, counted in the same ways")
    assert set(view.frame["group_label"]) == {"All animals injured by tackle"}


def test_pairs_of_animals_and_injuries_are_counted_by_hand():
    frame = derived.injuries_by_taxon_group(Published(readable_tables()), 2023)
    counts = frame.set_index(["taxon_group_code", "injury_code"])["animals"].to_dict()
    assert counts["pelican", "embedded"] == 100
    assert counts["swan", "ingested"] == 40
    assert counts["swan", "not_stated"] == 1  # the case of 2022: all years are in; the other cause is not
    assert counts["pelican", "ingested"] == 0


def test_endings_at_days_carry_the_last_step_forward():
    frame = derived.endings_at_days(Published(readable_tables()), 2023)
    released = frame[(frame["grouping"] == "all") & (frame["ending"] == "released")]
    assert dict(zip(released["day"], released["incidence"], strict=True)) == {7: 10.5, 14: 10.5, 30: 10.5}


def test_cautions_stand_in_the_report_in_full():
    (part,) = [section for section in compose().sections if section.key == "cautions"]
    text = " ".join(text for _, text in part.entries)
    for words in (
        "does not decide one animal’s treatment: that is for the attending, licensed veterinarian under local law",
        "wildlife-care licence conditions and euthanasia guidelines",
        "Associations from records can mislead; the limits are printed beside the result",
        "Rescuing a hooked animal can injure people and animals",
        "licensed rescuer",
        "Bin siting is advice to the council, which checks access, safety and heritage",
    ):
        assert words in text


def test_table_by_treatment_says_what_it_does_not_say():
    (part,) = [section for section in compose().sections if section.key == "treatments"]
    assert "how animals so treated ended, not what the treatment did" in part.prose[0]


def test_name_of_a_field_is_written_as_a_person_writes_it():
    assert in_letters("body_site") == "Body site"
