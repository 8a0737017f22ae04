"""The explorer: one page, no network, in which a vet chooses an animal and reads what became of those like it.

The page holds published rows and a script that finds the nearest group among them; nothing is computed in it.
"""

import base64
import hashlib
import json
from pathlib import Path

import jinja2
import pandas
from markupsafe import Markup

from unsnag.report.html import typefaces
from unsnag.report.published import Published

LABELS = {
    "injury": "Injury",
    "body_site": "Where in the body",
    "taxon_group": "Kind of animal",
    "severity": "Severity",
}
LIMITS = ["wilson_low", "wilson_high"]
ENDINGS = ["released", "died", "euthanased", "other_known", "unresolved"]
# What the page needs of each published table: column → its name in the page.
COLUMNS = {
    "animals_like_this": [
        "rank", "animals", "clinics", *ENDINGS, "percent_released", *LIMITS, "clustered_low", "clustered_high",
        "quartile_low", "median_days", "quartile_high",
    ],
    "animals_like_this_days": [
        "rank", "day", "released", "released_low", "released_high", "dead", "dead_low", "dead_high",
    ],
    "outcomes_by_treatment": [
        "treatment_label", "animals", "percent_released", *LIMITS, "standardised", "median_days",
    ],
    "effect_pointers": ["asks"],
    "look_ahead": ["landmark_label", "event_label", "horizon_days", "chance", "low", "high"],
    "years_compared": ["admission_year", "numerator", "denominator", "percent", "bound_low", "bound_high"],
}  # fmt: skip
SHORT = {
    "treatment_label": "label",
    "landmark_label": "landmark",
    "event_label": "event",
    "admission_year": "year",
}
HORIZON = 28  # days: the longest look-ahead of a watched hook


def write_explorer(published: Published, severities: list[str], dashboards: Path, path: Path) -> Path | None:
    """Write the page; nothing where the release tells of no group of animals.

    severities : codes of severity in their order
    """
    if not published.has_rows("animals_like_this"):
        return None
    templates = dashboards / "templates"
    script = (templates / "explorer.js").read_text(encoding="utf-8")
    environment = jinja2.Environment(
        loader=jinja2.FileSystemLoader(templates),
        autoescape=True,
        undefined=jinja2.StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    axes = {axis: options(published, axis, severities) for axis in LABELS}
    rows = rows_of(published) | {"axes": axes, "report": "report.html"}
    text = environment.get_template("explorer.html.jinja").render(
        network=published.about.get("network_name", ""),
        as_of=published.about.get("as_of", ""),
        version=published.about.get("version", ""),
        is_invented=published.about.get("invented", "").lower() == "true",
        report="report.html",
        labels=list(LABELS.items()),
        axes=axes,
        years=[str(row["year"]) for row in rows["years"]],
        style=Markup(
            typefaces(dashboards / "fonts") + (templates / "report.css").read_text(encoding="utf-8")
        ),
        rows=Markup(_inert(rows)),
        script=Markup(script),
        script_hash=base64.b64encode(hashlib.sha256(script.encode()).digest()).decode("ascii"),
    )
    path.write_text(text, encoding="utf-8", newline="\n")
    return path


def options(published: Published, axis: str, severities: list[str]) -> list[dict[str, str]]:
    """The codes that can be chosen, with their words; also those of which too little is told."""
    rates = published.frames["release_rates"]
    rates = rates[(rates["grouping"] == axis) & ~rates["group_code"].isin(["not_stated", "unmapped"])]
    words = dict(zip(rates["group_code"], rates["group_label"], strict=True))
    order = severities if axis == "severity" else sorted(words, key=words.get)
    return [{"code": code, "label": words[code]} for code in order if code in words]


def rows_of(published: Published) -> dict[str, list[dict]]:
    """The published rows that the page holds, by the script's name for them."""
    ahead = _frame(published, "look_ahead")
    if not ahead.empty:
        ahead = ahead[ahead["horizon_days"] == HORIZON]
    years = _frame(published, "years_compared")
    return {
        "groups": _records(_frame(published, "animals_like_this")),
        "days": _records(_frame(published, "animals_like_this_days")),
        "treated": _records(_frame(published, "outcomes_by_treatment")),
        "pointers": _records(_frame(published, "effect_pointers")),
        "ahead": _records(ahead),
        "years": _records(years.assign(year=years["year"].astype(str)) if len(years) else years),
    }


def _frame(published: Published, table: str) -> pandas.DataFrame:
    """A table with its axes by their short names, and only the columns that the page needs."""
    if not published.has_rows(table):
        return pandas.DataFrame()
    frame = published.frames[table]
    axes = {f"{axis}_code": axis for axis in LABELS if f"{axis}_code" in frame}
    return frame[[*axes, *COLUMNS[table]]].rename(columns=axes | SHORT)


def _records(frame: pandas.DataFrame) -> list[dict]:
    return frame.astype(object).where(frame.notna(), None).to_dict("records")


def _inert(rows: dict) -> str:
    """The rows as JSON in which no text can end the element that holds it."""
    text = json.dumps(rows, ensure_ascii=False, separators=(",", ":"), default=_plain)
    return text.replace("<", "\\u003c").replace("\u2028", "\\u2028").replace("\u2029", "\\u2029")


def _plain(value):
    """Numbers of numpy as numbers of Python."""
    return value.item()
