"""What stands in the columns of a raw table: how full, how varied, days, numbers and words."""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass

import duckdb

from unsnag.layout_facts import DAY
from unsnag.privacy import REMOVED
from unsnag.read.names import RESERVED, fold
from unsnag.read.tables import quoted

SHOWN = 3
KEPT_VALUES = 400
PHRASE, PROSE = 3, 6  # words a cell above which it is more than a term, and prose
MISSING_MARKS = frozenset({"-", "--", "---", ".", "n/a", "na", "null", "nil", "#n/a", "s/d", "n/d"})
# Per distinct value: readable as a day in each order, with and without a year, an Excel number of a day, a number
# in each decimal sign, its length, how many days stand in it.
FACTS = r"""
create or replace temp table facts as
select
    name, value, times,
    as_day(value, 'dmy', 'UTC') is not null as dmy,
    as_day(value, 'mdy', 'UTC') is not null as mdy,
    as_day(value, 'ymd', 'UTC') is not null as ymd,
    as_day(value, 'dmy', 'UTC') <> as_day(value, 'mdy', 'UTC') as differs,
    day_in_year(value, 'dmy', 2024) is not null as yearless_dmy,
    day_in_year(value, 'mdy', 2024) is not null as yearless_mdy,
    day_in_year(value, 'dmy', 2024) <> day_in_year(value, 'mdy', 2024) as yearless_differs,
    regexp_full_match(value, '[2-6][0-9]{4}') as serial,
    regexp_full_match(value, '[-+]?([0-9]+|[0-9]{1,3}(,[0-9]{3})+)([.][0-9]+)?') as point,
    regexp_full_match(value, '[-+]?([0-9]+|[0-9]{1,3}([.][0-9]{3})+)(,[0-9]+)?') as comma,
    regexp_extract(lower(value), '^[0-9.,]+ *(kg|g|gr|lbs?|oz)\b', 1) as unit,
    len(value) as length,
    len(string_split(value, ' ')) as words,
    len(regexp_extract_all(value, $day)) as days,
    contains(value, $removed) and len(regexp_replace(replace(value, $removed, ''), '[^\pL]', '', 'g')) <= 12 as removed
from (
    select name, trim(value) as value, count(*) as times
    from (unpivot looked_at on columns(*) into name name value value)
    where trim(value) <> ''
    group by all
)
"""


@dataclass(frozen=True)
class Value:
    """One distinct value of a column and what it can be read as."""

    text: str
    times: int
    dmy: bool
    mdy: bool
    ymd: bool
    differs: bool
    yearless_dmy: bool
    yearless_mdy: bool
    yearless_differs: bool
    serial: bool
    point: bool
    comma: bool
    unit: str
    length: int
    words: int
    days: int
    removed: bool

    @property
    def is_day(self) -> bool:
        """Whether some order reads it as a day."""
        return self.dmy or self.mdy or self.ymd

    @property
    def yearless(self) -> bool:
        """Whether some order reads it as a day without its year."""
        return self.yearless_dmy or self.yearless_mdy

    @property
    def is_number(self) -> bool:
        """Whether some decimal sign reads it as a number; a unit of mass may follow."""
        return self.point or self.comma or bool(self.unit)


@dataclass(frozen=True)
class Column:
    """One column: its filled cells as distinct values, the most frequent first.

    files : the ids of those that fill it
    """

    name: str
    position: int
    rows: int
    values: tuple[Value, ...]
    files: frozenset[int] = frozenset()

    @property
    def said(self) -> tuple[Value, ...]:
        """The values that are no mark for "nothing"."""
        return tuple(value for value in self.values if fold(value.text) not in MISSING_MARKS)

    @property
    def filled(self) -> int:
        """Cells that say something."""
        return sum(value.times for value in self.said)

    @property
    def marks(self) -> tuple[str, ...]:
        """The marks that stand for "nothing"."""
        return tuple(value.text for value in self.values if fold(value.text) in MISSING_MARKS)

    def share(self, what: str) -> float:
        """The share of filled cells whose fact of that name holds."""
        return sum(value.times for value in self.said if getattr(value, what)) / max(self.filled, 1)

    @property
    def day_share(self) -> float:
        """The share of filled cells that are days, with their year, in some order."""
        return self.share("is_day")

    @property
    def number_share(self) -> float:
        """The share of filled cells that are numbers, with or without a unit of mass."""
        return self.share("is_number")

    @property
    def distinct_share(self) -> float:
        """1 if no value repeats."""
        return len(self.said) / max(self.filled, 1)

    @property
    def words_a_cell(self) -> float:
        """How wordy its cells are."""
        return sum(value.words * value.times for value in self.said) / max(self.filled, 1)

    @property
    def examples(self) -> str:
        """Its most frequent values, for a comment; none of free text, in which people may be named."""
        if self.words_a_cell > PHRASE or any(REMOVED in value.text for value in self.said):
            return "free text"
        return ", ".join(shortened(value.text) for value in self.said[:SHOWN]) or "nothing in it"


def shortened(text: str) -> str:
    """A value that fits a comment."""
    text = " ".join(text.split())
    return text if len(text) <= 40 else text[:37] + "..."


def columns_of(
    connection: duckdb.DuckDBPyConnection, table: str, where: tuple[str, str] | None = None
) -> list[Column]:
    """The columns of a raw table (its quoted name) in their order; ``_file``, ``_row`` and ``_item`` are none.

    where : (column, value) of the only rows to look at
    """
    names = [name for name, *_ in connection.execute(f"describe {table}").fetchall() if name not in RESERVED]
    test = f"where {quoted(where[0])} = $value" if where else ""
    given = {"value": where[1]} if where else {}
    picked = ", ".join(map(quoted, names))
    connection.execute(
        f"create or replace temp table looked_at as select {picked} from {table} {test}", given
    )
    (rows,) = connection.execute("select count(*) from looked_at").fetchone()
    connection.execute(FACTS, {"day": DAY, "removed": REMOVED})
    filled = _files(connection, table, names)
    return [
        Column(name, place, rows, _values(connection, name), filled[name]) for place, name in enumerate(names)
    ]


def _files(connection, table: str, names: Sequence[str]) -> dict[str, frozenset[int]]:
    """Column → the files in which it has cells."""
    lists = ", ".join(
        f"list(distinct _file) filter (where {quoted(name)} is not null) as {quoted(name)}" for name in names
    )
    (found,) = connection.execute(f"select {lists} from {table}").fetchall()
    return {name: frozenset(files or ()) for name, files in zip(names, found, strict=True)}


def _values(connection, name: str) -> tuple[Value, ...]:
    found = connection.execute(
        "select * exclude (name) from facts where name = ? order by times desc, value", [name]
    ).fetchall()
    return tuple(Value(*(False if cell is None else cell for cell in row)) for row in found)


def totals_word(connection, table: str) -> str:
    """How a totals row begins, if the table ends in one; else ''."""
    described = connection.execute(f"describe {table}").fetchall()
    first = next(name for name, *_ in described if not name.startswith("_"))
    found = connection.execute(
        f"select {quoted(first)} from {table} where regexp_matches(folded({quoted(first)}), "
        "'^(grand |sub)?(totals?|totales|suma|sum)([^a-z]|$)') order by _row desc limit 1"
    ).fetchone()
    return found[0].split()[0].rstrip(":") if found else ""


def word_counts(column: Column) -> Counter[str]:
    """Folded value → cells, of the most frequent values."""
    counts: Counter[str] = Counter()
    for value in column.said[:KEPT_VALUES]:
        counts[fold(value.text)] += value.times
    return counts
