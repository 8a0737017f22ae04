"""Each chart: valid Vega-Lite, as wide as asked for, described in words with its numbers."""

import re

import pytest
import vl_convert
from report_frames import all_tables, readable_tables
from unsnag import resources
from unsnag.report import content, pictures
from unsnag.report.published import Published
from unsnag_charts import endings, outcomes_by_treatment, pathways, release_rates, theme

OUTLINE = content.plan(resources.folder("dashboards"))
REPORT = content.compose(OUTLINE, Published(readable_tables(), words=OUTLINE["words"]), 2023)
VIEWS = {
    f"{view.chart} {view.key}": view for section in REPORT.sections for view in section.views if view.chart
}
ONE_EACH = {view.chart: view for view in reversed(VIEWS.values())}
FIRST = pytest.mark.parametrize("name", sorted(ONE_EACH))


@pytest.fixture(scope="module", autouse=True)
def typefaces():
    pictures.use_typefaces(resources.folder("dashboards") / "fonts")


def spec(name, width):
    return pictures.specification(name, ONE_EACH[name].frame, width)


def test_every_chart_module_is_in_the_report():
    helpers = {"theme", "numbers", "ladder", "map_layout", "squares", "__init__"}
    files = (resources.folder("dashboards") / "unsnag_charts").glob("*.py")
    assert {path.stem for path in files} - helpers == set(ONE_EACH)


@FIRST
@pytest.mark.parametrize("width", [theme.PHONE, theme.DESK])
def test_chart_is_valid_and_not_wider_than_asked(name, width):
    chart = pictures.module(name).chart(ONE_EACH[name].frame, width)
    chart.to_dict()  # validates against the schema and raises if it does not hold
    svg = vl_convert.vegalite_to_svg(theme.specification(chart))
    drawn = float(re.search(r'viewBox="0 0 ([\d.]+)', svg)[1])
    assert 100 < drawn <= width + 4


@pytest.mark.parametrize("view", VIEWS.values(), ids=VIEWS)
def test_description_names_the_rows_with_their_numbers(view):
    words = pictures.alt_text(view.chart, view.frame)
    assert len(re.findall(r"\d+", words)) >= 3
    assert "nan" not in words.lower() and "None" not in words
    if view.chart == "release_rates":
        column = "convention_label" if release_rates.has_conventions(view.frame) else "group_label"
        assert all(str(label) in words for label in view.frame[column])


@FIRST
def test_same_rows_give_the_same_specification(name):
    assert spec(name, theme.DESK) == spec(name, theme.DESK)


def _domains(part):
    """Every scale domain of a specification, by field."""
    if isinstance(part, dict):
        if "field" in part and "domain" in (part.get("scale") or {}):
            yield part["field"], part["scale"]["domain"]
        for inner in part.values():
            yield from _domains(inner)
    elif isinstance(part, list):
        for inner in part:
            yield from _domains(inner)


@pytest.mark.parametrize("name", ["release_rates", "release_by_year", "endings", "shares", "stays"])
def test_measured_axis_starts_at_zero(name):
    measured = ("low", "wilson_low", "bound_low", "percent", "incidence", "day", "place")
    domains = [domain for field, domain in _domains(spec(name, theme.DESK)) if field in measured]
    assert domains
    assert all(domain[0] == 0 for domain in domains)


def test_withheld_treatments_are_left_to_the_table_and_said_so():
    frame = all_tables()["outcomes_by_treatment"]
    assert "Embedded" not in outcomes_by_treatment.alt_text(frame)
    assert outcomes_by_treatment.reading(frame) == "1 row is withheld and stands only in the table."


def test_rate_of_too_few_animals_is_written_and_not_drawn():
    frame = all_tables()["release_rates"].query("group_code == 'constricting'")
    row = release_rates.ladder_rows(frame).iloc[0]
    assert row["text"] == "5 of 8 · too few"
    assert row[["value", "low", "band_low"]].isna().all()


def test_labels_at_line_ends_never_touch_by_hand():
    assert endings.spread([1.0, 2.0, 50.0], gap=10) == [5.0, 15.0, 50.0]


def test_lines_of_endings_begin_at_zero_and_reach_the_last_day():
    lines = endings.shown(all_tables()["endings"].query("grouping == 'all'"))
    released = lines[lines["ending"] == "released"]
    assert list(released["day"]) == [0, 3, 40, 60]
    assert list(released["incidence"]) == [0.0, 10.5, 70.25, 70.25]


def test_ribbons_of_pathways_leave_and_reach_whole_bars():
    drawing = pathways.laid_out(all_tables()["pathways"])
    nodes = drawing.nodes.set_index(["column", "step"])
    assert nodes.loc[(1, "watched"), "animals"] == 90
    admitted = drawing.ribbons[drawing.ribbons["x"] == 0]
    assert admitted["top"].min() == pytest.approx(nodes.loc[(0, "admitted"), "top"])
    assert admitted["bottom"].max() == pytest.approx(nodes.loc[(0, "admitted"), "bottom"])


def test_bars_of_a_column_of_pathways_do_not_overlap():
    nodes = pathways.laid_out(all_tables()["pathways"]).nodes
    for _, column in nodes.groupby("column"):
        assert (column["top"].to_numpy()[1:] > column["bottom"].to_numpy()[:-1]).all()
