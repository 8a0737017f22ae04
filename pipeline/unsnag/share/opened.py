"""A workspace's published cases for those who work in Python: frames out of public.* and what their columns mean."""

from pathlib import Path

import pandas as pd

from unsnag.databases import reading
from unsnag.errors import Problem
from unsnag.share import cohorts
from unsnag.share.asking import Answer, Limits, ask
from unsnag.share.codebook import read_codebook
from unsnag.share.refusals import nearest_table


class Opened:
    """The public database of a workspace; it can be read and nothing else. The private store is out of reach.

    >>> import unsnag
    >>> opened = unsnag.open("our-network")
    >>> cases = opened.cases(cohort="tackle_cases")
    >>> cases.attrs["columns"]["admission_quarter"]
    'quarter of the calendar year of the first admission, 1 to 4; empty where it would tell the day'
    >>> opened.ask("select count(*) as animals from cases where admission_year = $year", year=2024).frame()
    """

    def __init__(self, workspace: str | Path):
        self._public = Path(workspace) / "out" / "public.duckdb"
        if not self._public.is_file() and (Path(workspace) / "datapackage.json").is_file():
            rows = Path(workspace) / "cases.parquet"
            raise Problem(
                str(workspace),
                "this is an extract, no workspace; its columns are explained in codebook.html",
                f"Read it with: pandas.read_parquet({str(rows)!r})",
            )
        if not self._public.is_file():
            raise Problem(
                str(self._public), "this file is not there yet", f"First run: unsnag run {workspace}"
            )

    def cases(self, cohort: str = cohorts.TACKLE) -> pd.DataFrame:
        """The published cases of a cohort, one row each, by case_id.

        cohort : a name of :meth:`cohorts`

        Returns  frame (cases, columns of public.cases): nullable whole numbers and booleans, text as ``string``,
                 stays in whole days, places in decimal degrees; ``attrs`` holds the meaning of each column
                 (``columns``), the cohort and the query that gives it
        Raises   Problem: there is no such cohort
        """
        frame = cohorts.cases_of(self._public, cohort)
        frame.attrs = {
            "columns": self.meaning("cases"),
            "cohort": cohort,
            "query": cohorts.query_of(self._public, cohort),
        }
        return frame

    def cohorts(self) -> dict[str, str]:
        """Cohort → what it is in words."""
        return cohorts.titles(self._public)

    def tables(self) -> dict[str, str]:
        """Published table → what it is in words."""
        return {table.name: table.meaning for table in read_codebook(self._public).tables}

    def table(self, name: str) -> pd.DataFrame:
        """A published table as a frame, rows in their published order; ``attrs["columns"]`` says what they mean.

        Raises  Problem: there is no such table, with the nearest name
        """
        known = self.tables()
        if name not in known:
            columns = {f"public.{each}": [] for each in known}
            raise Problem("public", f"there is no table '{name}'", nearest_table(name, columns))
        with reading(self._public) as connection:
            frame = connection.sql(f'from public."{name}" order by rowid').df()
        frame.attrs = {"columns": self.meaning(name)}
        return frame

    def meaning(self, table: str) -> dict[str, str]:
        """Column → meaning, of a published table."""
        return {column.name: column.meaning for column in read_codebook(self._public).table(table).columns}

    def ask(self, sql: str, limits: Limits | None = None, **parameters) -> Answer:
        """The answer to one SELECT of one's own, within limits, as ``unsnag query`` gives it.

        parameters : the value of each ``$name`` of the query
        Raises       Problem: why it is refused
        """
        return ask(self._public, sql, parameters, limits or Limits())
