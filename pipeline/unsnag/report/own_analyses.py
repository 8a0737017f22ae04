"""The report's appendix: the analyses of the network's own, each with its question, its caution and its rows."""

import pandas

from unsnag.report.published import Published, in_letters
from unsnag.report.tables import Column, table
from unsnag.report.views import View

SHOWN = 40
TITLE = "Analyses of the network's own"
PROSE = (
    "These answer questions that this network asks beside the common ones. Their authors answer for them; rows that "
    "rest on too few clinics or animals are withheld as everywhere."
)


def views(published: Published) -> list[View]:
    """One table for each row of public.own_analyses; nothing where the network has none."""
    if not published.has_rows("own_analyses"):
        return []
    told = published.frames["own_analyses"].itertuples(index=False)
    return [_view(number, own, published.frames[own.analysis]) for number, own in enumerate(told, 1)]


def _view(number: int, own, frame: pandas.DataFrame) -> View:
    more = len(frame) - SHOWN
    parts = [own.question, own.caution]
    parts += [f"{own.withheld} rows are withheld."] if own.withheld else []
    parts += [f"The first {SHOWN} of {len(frame)} rows; the file has all."] if more > 0 else []
    columns = [Column(in_letters(name), _kind(frame[name]), (name,)) for name in frame.columns]
    return View(
        key=f"own-{number}",
        title=own.title,
        source=own.analysis,
        frame=frame,
        chart="",
        table=table(frame.head(SHOWN), columns, own.title),
        note=" ".join(parts),
        reading="",
    )


def _kind(column: pandas.Series) -> str:
    """How its cells are written: a name of tables.KINDS."""
    if pandas.api.types.is_bool_dtype(column):
        return "yes_no"
    if pandas.api.types.is_integer_dtype(column):
        return "count"
    return "number" if pandas.api.types.is_float_dtype(column) else "text"
