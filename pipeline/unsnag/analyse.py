"""Run every analysis found in analyses/ and write its frame as result.<analysis>."""

import importlib
import pkgutil
from collections.abc import Callable
from types import ModuleType

import duckdb
import pandas as pd

from unsnag import analyses
from unsnag.models import literal


class Mart:
    """What an analysis may read: mart.* and codes.* by SQL, and nothing that it could change."""

    def __init__(self, connection: duckdb.DuckDBPyConnection, settings: dict | None = None):
        self._connection = connection
        self.settings = settings or {}

    def frame(self, sql: str, **parameters) -> pd.DataFrame:
        """The rows of a SELECT as a frame; ``$name`` in the SQL takes the keyword of that name."""
        return self._connection.execute(sql, parameters or None).df()


def find() -> list[ModuleType]:
    """Every module of analyses/, by name; being there is all the registration there is."""
    names = sorted(item.name for item in pkgutil.iter_modules(analyses.__path__))
    return [importlib.import_module(f"unsnag.analyses.{name}") for name in names]


def run(
    connection: duckdb.DuckDBPyConnection, settings: dict, tell: Callable[[str], None] = lambda what: None
) -> dict[str, int]:
    """Compute all analyses. Returns  result table → number of rows."""
    connection.execute("create schema if not exists result")
    rows = {}
    for module in find():
        tell(f"analysing {_name(module)}")
        for name, (frame, columns) in frames(module, Mart(connection, settings)).items():
            write(connection, name, frame, columns, module.QUESTION)
            rows[name] = len(frame)
    return rows


def frames(module: ModuleType, mart: Mart) -> dict[str, tuple[pd.DataFrame, dict[str, str]]]:
    """Table → (frame, its columns with their meaning). Most modules fill one table, named like themselves."""
    found = module.compute(mart)
    if hasattr(module, "TABLES"):
        return {name: (found[name], module.TABLES[name]) for name in module.TABLES}
    return {_name(module): (found, module.COLUMNS)}


def _name(module: ModuleType) -> str:
    return module.__name__.rpartition(".")[2]


def write(connection, name: str, frame: pd.DataFrame, columns: dict[str, str], question: str) -> None:
    """A frame as result.<name>, its question and the meaning of its columns as comments.

    Raises  ValueError: the frame has other columns than are told
    """
    if list(frame.columns) != list(columns):
        raise ValueError(
            f"result.{name} came with {list(frame.columns)}, its columns are said to be {list(columns)}"
        )
    connection.register("frame_of_analysis", frame)
    connection.execute(f"create or replace table result.{name} as select * from frame_of_analysis")
    connection.unregister("frame_of_analysis")
    connection.execute(f"comment on table result.{name} is {literal(question)}")
    for column, words in columns.items():
        connection.execute(f'comment on column result.{name}."{column}" is {literal(words)}')
