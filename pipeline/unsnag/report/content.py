"""The content of the report: report.toml and the published tables become sections, whatever they are set in."""

import tomllib
from dataclasses import dataclass
from pathlib import Path

from unsnag.report import derived, findings, own_analyses, words
from unsnag.report.own_words import OwnWords
from unsnag.report.published import Published
from unsnag.report.views import LeftOut, View, Viewer
from unsnag.report.words import Finding


@dataclass(frozen=True)
class Section:
    """A part of the report: a lead, prose, facts, findings, views and entries (a term and its text)."""

    key: str
    title: str
    prose: tuple[str, ...]
    lead: tuple[Finding, ...]
    findings: tuple[Finding, ...]
    facts: tuple[derived.Fact, ...]
    views: tuple[View, ...]
    entries: tuple[tuple[str, str], ...]
    has_tables: bool
    is_for_reviewers: bool = False


@dataclass(frozen=True)
class Report:
    """The whole report of one year.

    left_out : parts that this release cannot fill, each with the reason
    tables   : name, description and number of rows of every published table
    own      : the group's own words
    since    : what has changed since the year's report was published, in sentences
    """

    title: str
    network: str
    year: int
    is_invented: bool
    about: dict[str, str]
    sections: tuple[Section, ...]
    left_out: tuple[str, ...]
    tables: tuple[tuple[str, str, int], ...]
    own: OwnWords
    since: tuple[str, ...] = ()


def plan(dashboards: Path) -> dict:
    """The order and the fixed prose of the report, as report.toml gives them."""
    return tomllib.loads((dashboards / "report.toml").read_text(encoding="utf-8"))


def compose(
    outline: dict, published: Published, year: int, own: OwnWords | None = None, since: tuple[str, ...] = ()
) -> Report:
    """Fill the outline with the rows of one year's release; add the group's own words and what has changed."""
    author = _Author(outline, published, year)
    return Report(
        title=author.fixed(outline["title"]),
        network=author.values["network"],
        year=year,
        is_invented=published.about.get("invented", "").lower() == "true",
        about=published.about,
        sections=(
            *(section for part in outline["section"] if (section := author.section(part))),
            *_appendix(published),
        ),
        left_out=tuple(author.left_out),
        tables=tuple(
            (name, published.descriptions.get(name, ""), len(frame))
            for name, frame in published.frames.items()
        ),
        own=own or OwnWords(),
        since=since,
    )


def _appendix(published: Published) -> list[Section]:
    """The analyses of the network's own, last; nothing where it has none."""
    views = tuple(own_analyses.views(published))
    if not views:
        return []
    return [
        Section(
            "own",
            own_analyses.TITLE,
            (own_analyses.PROSE,),
            (),
            (),
            (),
            views,
            (),
            False,
            is_for_reviewers=True,
        )
    ]


class _Blanks(dict):
    """What fills the blanks of fixed prose; a release that does not state a thing must not stop the report."""

    def __missing__(self, key: str) -> str:
        return "(not stated)"


class _Author:
    """Writes the sections and notes what had to be left out."""

    def __init__(self, outline: dict, published: Published, year: int):
        self.published, self.year = published, year
        network = published.about.get("network_name", "The network")
        self.values = _Blanks(published.about, year=year, network=network)
        self.viewer = Viewer(outline, published, year, self.fixed)
        self.left_out: list[str] = []

    def fixed(self, text: str) -> str:
        """Fixed prose with its blanks filled, its apostrophes curved, its per cent signs kept to their numbers."""
        filled = text.format_map(self.values).replace("'", "’")
        return filled.replace(" %", f"{words.THIN}%").strip()

    def section(self, part: dict) -> Section | None:
        """One section, or nothing where it has views and none of them can be filled."""
        views = self._views(part)
        if part.get("view") and not views:
            return None
        return Section(
            key=part["key"],
            title=self.fixed(part["title"]),
            prose=tuple(self.fixed(text) for text in part.get("prose", [])),
            lead=self._findings(part.get("lead", [])),
            findings=self._findings(part.get("findings", [])),
            facts=self._facts(part),
            views=tuple(views),
            entries=tuple((item["term"], self.fixed(item["text"])) for item in part.get("item", [])),
            has_tables=part.get("tables", False),
            is_for_reviewers=part.get("for_reviewers", False),
        )

    def _views(self, part: dict) -> list[View]:
        views = []
        for number, view in enumerate(part.get("view", []), 1):
            try:
                views.append(self.viewer.view(f"{part['key']}-{number}", view))
            except LeftOut as reason:
                self.left_out.append(str(reason))
        return views

    def _findings(self, names: list[str]) -> tuple[Finding, ...]:
        return tuple(findings.said(names, self.published, self.year))

    def _facts(self, part: dict) -> tuple[derived.Fact, ...]:
        if part.get("facts") and self.published.has_rows("release_rates"):
            return tuple(derived.facts_of_year(self.published, self.year))
        return ()
