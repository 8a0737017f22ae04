"""What the report may read: the tables of the public database, as frames with readable labels."""

from pathlib import Path

import pandas

from unsnag.databases import reading

NAMES = (
    "select table_name, coalesce(comment, '') from duckdb_tables()"
    " where database_name = 'pooled' and schema_name = 'public' order by table_name"
)
COUNTED = {
    "cases": "select admission_year, is_tackle, is_alive_on_arrival, taxon_group_code, injury_code, outcome_class,"
    " count(*) as animals from public.cases group by all order by all"
}


class Published:
    """The tables of one public database, read once.

    frames       : table name → frame, rows in the order in which they were stored; of "cases" only the counts
                   that the report needs, for a million rows would not fit beside the rest
    sizes        : table name → rows in the database
    descriptions : table name → what the table is, "" where nobody said
    words        : what stands for a code that no vocabulary has ("all", "not_stated")
    """

    def __init__(
        self,
        frames: dict[str, pandas.DataFrame],
        descriptions: dict[str, str] | None = None,
        words: dict[str, str] | None = None,
        sizes: dict[str, int] | None = None,
    ):
        self.words = words or {}
        self.frames = {name: self._readable(frame) for name, frame in frames.items()}
        self.descriptions = descriptions or {}
        self.sizes = sizes or {name: len(frame) for name, frame in frames.items()}

    def _readable(self, frame: pandas.DataFrame) -> pandas.DataFrame:
        """The frame with words in its label columns, and names of fields as a person writes them."""
        labels = [column for column in frame.columns if column.endswith("label")]
        said = {column: frame[column].map(lambda cell: self.words.get(cell, cell)) for column in labels}
        if "field" in frame:
            said["field"] = frame["field"].map(in_letters)
        return frame.assign(**said)

    def has_rows(self, name: str) -> bool:
        """Whether the table is there and holds anything."""
        return name in self.frames and not self.frames[name].empty

    @property
    def about(self) -> dict[str, str]:
        """The statements of public.about, key → value."""
        if not self.has_rows("about"):
            return {}
        return dict(zip(self.frames["about"]["key"], self.frames["about"]["value"], strict=True))


def in_letters(name: str) -> str:
    """A name of code as a person writes it: "body_site" is "Body site"."""
    return name.replace("_", " ").capitalize()


def read(public_database: Path, words: dict[str, str]) -> Published:
    """Read every table of schema ``public``; ``words`` as in Published."""
    with reading(public_database) as connection:
        rows = connection.execute(NAMES).fetchall()
        frames = {name: connection.sql(COUNTED.get(name, f"from public.{name}")).df() for name, _ in rows}
        sizes = {name: len(connection.table(f"public.{name}")) for name, _ in rows}
    return Published(frames, dict(rows), words, sizes)
