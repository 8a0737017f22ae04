"""A clinic's page: the report's look, the clinic's own questions."""

from dataclasses import dataclass
from datetime import date
from itertools import groupby

import jinja2
from markupsafe import Markup

from unsnag import resources
from unsnag.report.html import typefaces

SHOWN = 25
LEVELS = {
    "refused": "These records could not be used at all",
    "withheld": "Here one value was left out",
    "question": "Here we only ask",
}


@dataclass(frozen=True)
class Adjusted:
    """A clinic's releases beside those that the network's rates let expect for its own case mix.

    resolved, observed : animals of the kinds of case that enough clinics have, and of these the released
    expected           : releases expected; ratio, low, high: observed over expected with its exact 95 % limits
    """

    resolved: int
    observed: int
    expected: float
    ratio: float
    low: float
    high: float


@dataclass(frozen=True)
class Feedback:
    """What one clinic is told; rows as sql/6_feedback gives them.

    left_out : rows of its files that its settings leave out, and no other source of the same file takes
    """

    clinic: str
    network: str
    is_invented: bool
    as_of: date
    export_date: date
    records: int
    left_out: int
    minimum_clinics: int
    questions: list[tuple]
    words: list[tuple]
    completeness: list[tuple]
    figures: list[tuple]
    adjusted: "Adjusted | None"

    @property
    def levels(self) -> list[tuple[str, list]]:
        """(what the level means, [(question, remedy, rows shown, how many more)]), gravest first."""
        told = []
        for level, of_level in groupby(self.questions, key=lambda row: row[0]):
            rules = []
            for _, of_rule in groupby(of_level, key=lambda row: row[1]):
                rows = list(of_rule)
                rules.append((rows[0][2], rows[0][7], [row[3:7] for row in rows[:SHOWN]], len(rows) - SHOWN))
            told.append((LEVELS[level], rules))
        return told

    @property
    def has_others(self) -> bool:
        """Whether anything may be told of the other clinics' completeness."""
        return any(row[5] is not None for row in self.completeness)

    @property
    def has_pooled(self) -> bool:
        """Whether the pooled figures may be told."""
        return any(row[5] is not None for row in self.figures)


def render(feedback: Feedback) -> str:
    """The whole page as text."""
    dashboards = resources.folder("dashboards")
    environment = jinja2.Environment(
        loader=jinja2.FileSystemLoader(dashboards / "templates"),
        autoescape=True,
        undefined=jinja2.StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    environment.filters["words"] = lambda name: name.replace("_", " ")
    style = (dashboards / "templates" / "report.css").read_text(encoding="utf-8")
    return environment.get_template("feedback.html.jinja").render(
        feedback=feedback, style=Markup(typefaces(dashboards / "fonts") + style)
    )
