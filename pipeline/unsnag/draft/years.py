"""Days that lack their year, and case numbers that start anew each year."""

import re
from collections.abc import Sequence
from typing import NamedTuple

from unsnag.draft.columns import Column
from unsnag.draft.sniff import Table
from unsnag.layout_cells import FILE_NAME
from unsnag.read.tables import quoted

YEAR_IN_NAME = re.compile(r"(?<!\d)(?:19|20)\d\d(?!\d)")


class Years(NamedTuple):
    """year_of: what completes the days of admission; restarts: whose year makes case numbers unique; "" for none."""

    year_of: str = ""
    restarts: str = ""
    questions: tuple[str, ...] = ()


def look(connection, draft, table: str, tables: Sequence[Table]) -> Years:
    """How a source's days and case numbers stand to the year.

    table : the raw table's quoted name; tables: its files
    """
    admission, number = draft.guess("admission_date"), draft.guess("case_number")
    if not admission or not number:
        return Years()
    year_of, questions = "", ()
    if lacks_years(admission.column):
        in_name = all(YEAR_IN_NAME.search(each.path.stem) for each in tables)
        year = next((column.name for column in draft.columns if _holds_years(column)), "")
        year_of = year or (FILE_NAME if in_name else "")
        if not year_of:
            questions = (f"In which year are the days of '{admission.column.name}'? They have none.",)
    order = draft.order.order or "dmy"
    restarts = _restarts(connection, table, number.column.name, admission.column.name, order)
    return Years(year_of, (year_of or admission.column.name) if restarts else "", questions)


def lacks_years(column: Column) -> bool:
    """Whether most of its days have no year."""
    return column.share("yearless") > 0.5


def _holds_years(column: Column) -> bool:
    years = sum(value.times for value in column.said if re.fullmatch(r"(19|20)\d\d", value.text))
    return column.filled > 0 and years >= 0.95 * column.filled


def _restarts(connection, table: str, number: str, admission: str, order: str) -> bool:
    """Numbers that repeat across years and hardly ever within one."""
    alone, with_year, rows = connection.execute(
        f"select count(distinct n), count(distinct (n, y)), count(*) from (select {quoted(number)} as n, coalesce("
        f"stated_year({quoted(admission)}, $order, 'UTC'), _file) as y from {table}) where n is not null",
        {"order": order},
    ).fetchone()
    return rows >= 10 and alone < 0.9 * rows and with_year > 0.97 * rows
