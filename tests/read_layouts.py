"""An invented clinic for the tests of the reading room: write files, read them, look at raw.*."""

from io import BytesIO
from pathlib import Path

import duckdb
import openpyxl
from unsnag.read import SourceLayout, read_source


class Clinic:
    """A clinic's folder with its exports and a database of its own."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder / "clinics" / "reef"
        (self.folder / "exports").mkdir(parents=True)
        self.connection = duckdb.connect()
        self.records = []

    def put(self, name: str, content: bytes | str) -> Path:
        """Write one export; text as UTF-8."""
        path = self.folder / "exports" / name
        path.write_bytes(content if isinstance(content, bytes) else content.encode("utf-8"))
        return path

    def layout(self, **settings) -> SourceLayout:
        """The layout of the source 'intakes': every file in exports/, comma-separated."""
        given = {"clinic": "reef", "name": "intakes", "folder": self.folder, "files": "exports/*"}
        return SourceLayout(**(given | settings))

    def read(self, **settings) -> list[dict]:
        """Read the source; its rows without _file and _row, empty cells left out."""
        self.records = read_source(self.connection, self.layout(**settings), 1)
        return [_filled(row) for row in self.rows()]

    def rows(self, table: str = "reef__intakes") -> list[dict]:
        """A raw table's rows in file order."""
        found = self.connection.execute(f'select * from raw."{table}" order by _file, _row')
        names = [column[0] for column in found.description]
        return [dict(zip(names, row, strict=True)) for row in found.fetchall()]

    def refused(self) -> list[tuple]:
        """Row and reason of each refused record."""
        return self.connection.execute("select row_number, reason from raw.refused order by all").fetchall()


def _filled(row: dict) -> dict:
    return {name: cell for name, cell in row.items() if cell is not None and not name.startswith("_")}


def workbook(rows, shape=lambda sheet: None, sheet="Patients", other=()) -> bytes:
    """A workbook of one sheet, and others before it."""
    book = openpyxl.Workbook()
    book.active.title = sheet
    for row in rows:
        book.active.append(row)
    shape(book.active)
    for name in other:
        book.create_sheet(name, 0)
    stream = BytesIO()
    book.save(stream)
    return stream.getvalue()
