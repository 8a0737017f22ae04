"""A view: which rows of which frame, in what order, as a picture, a table or both, as report.toml says."""

from collections.abc import Callable
from dataclasses import dataclass

import pandas

from unsnag.report import derived, pictures, words
from unsnag.report.published import Published
from unsnag.report.tables import Column, Pivot, Table, pivoted, table


@dataclass(frozen=True)
class View:
    """A picture, a table or both, from one frame.

    source  : the published table whose CSV holds the rows
    chart   : module of unsnag_charts, "" for none
    reading : how to read the picture
    """

    key: str
    title: str
    source: str
    frame: pandas.DataFrame
    chart: str
    table: Table | None
    note: str
    reading: str


def _needs(source: str) -> tuple[str, ...]:
    """The published tables that a source of report.toml needs."""
    return derived.FRAMES[source][0] if source in derived.FRAMES else (source,)


class LeftOut(Exception):
    """A view that this release cannot fill, with the reason in words."""


@dataclass(frozen=True)
class Viewer:
    """Makes the views of one year's report.

    outline : report.toml
    fixed   : how fixed prose is filled in and set
    """

    outline: dict
    published: Published
    year: int
    fixed: Callable[[str], str]

    def view(self, key: str, view: dict) -> View:
        """Fill one [[section.view]].

        Raises  LeftOut: its table is missing or empty, or no row of it belongs here
        """
        title = self.fixed(view["title"])
        frame = self._rows(view, title)
        if "chart" in view and not pictures.has_marks(view["chart"], frame):
            view = {name: value for name, value in view.items() if name not in ("chart", "reading")}
        in_table = self._rows(view | view["table"], title) if "table" in view else frame
        return View(
            key=key,
            title=title,
            source=_needs(view["source"])[0],
            frame=frame,
            chart=view.get("chart", ""),
            table=self._table(view, in_table, self.fixed(view.get("caption", view["title"]))),
            note=self.fixed(view.get("note", "")),
            reading=self._reading(view, frame),
        )

    def _rows(self, view: dict, title: str) -> pandas.DataFrame:
        """The rows of a view's source, filtered and in their order."""
        source = view["source"]
        absent = [f"“{name}”" for name in _needs(source) if not self.published.has_rows(name)]
        if absent:
            raise LeftOut(f"“{title}”: this release has no rows in the table {words.listing(absent)}.")
        if source in derived.FRAMES:
            frame = derived.FRAMES[source][1](self.published, self.year)
        else:
            frame = self.published.frames[source]
        frame = self._ordered(self._filtered(frame, view.get("where", {})), view.get("sort", []))
        if frame.empty:
            raise LeftOut(f"“{title}”: no row of the table “{_needs(source)[0]}” belongs here.")
        return frame

    def _filtered(self, frame: pandas.DataFrame, where: dict) -> pandas.DataFrame:
        for column, value in where.items():
            allowed = value if isinstance(value, list) else [value]
            texts = {str(self.year) if text == "$year" else str(text) for text in allowed}
            frame = frame[frame[column].astype(str).isin(texts)]
        return frame

    def _ordered(self, frame: pandas.DataFrame, sort: list[str]) -> pandas.DataFrame:
        """The rows in the order asked for; those whose record is silent below the others."""
        for by in reversed(sort):
            frame = self._sorted(frame, by)
        for column in ("group_code", "code", "injury_code", "taxon_group_code"):
            if column in frame:
                frame = frame.sort_values(column, kind="stable", key=lambda codes: codes == "not_stated")
        return frame.reset_index(drop=True)

    def _sorted(self, frame: pandas.DataFrame, by: str) -> pandas.DataFrame:
        """Sort by "column", downwards by "-column", or by the list of codes of [order] in "column:list"."""
        column, _, listed = by.removeprefix("-").partition(":")
        if not listed:
            return frame.sort_values(column, ascending=by == column, kind="stable")
        places = {code: place for place, code in enumerate(self.outline["order"][listed])}
        return frame.sort_values(
            column, kind="stable", key=lambda codes: codes.map(places).fillna(len(places))
        )

    def _table(self, view: dict, frame: pandas.DataFrame, caption: str) -> Table | None:
        if "pivot" in view:
            return pivoted(frame, Pivot(**view["pivot"]), caption)
        columns = [self._column(text) for text in view.get("columns", [])]
        return table(frame, columns, caption) if columns else None

    def _column(self, text: str) -> Column:
        """A column by its name in [column]; "name=Heading" gives it another heading."""
        name, _, heading = text.partition("=")
        described = self.outline["column"][name]
        header = self.fixed(heading or described["header"])
        return Column(header, described["kind"], tuple(described.get("from", [name])))

    def _reading(self, view: dict, frame: pandas.DataFrame) -> str:
        """How to read the picture: the fixed words, and what its module has to add about these rows."""
        said = self.fixed(self.outline["reading"][view["reading"]]) if "reading" in view else ""
        added = pictures.reading(view["chart"], frame) if "chart" in view else ""
        return f"{said} {added}".strip()
