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
    """Compute all analyses. Returns  analysis → number of rows."""
    connection.execute("create schema if not exists result")
    rows = {}
    for module in find():
        name = module.__name__.rpartition(".")[2]
        tell(f"analysing {name}")
        frame = module.compute(Mart(connection, settings))
        _write(connection, name, frame, module)
        rows[name] = len(frame)
    return rows


def _write(connection, name: str, frame: pd.DataFrame, module: ModuleType) -> None:
    if list(frame.columns) != list(module.COLUMNS):
        raise ValueError(
            f"analyses/{name}.py returned {list(frame.columns)}, its COLUMNS say {list(module.COLUMNS)}"
        )
    connection.register("frame_of_analysis", frame)
    connection.execute(f"create or replace table result.{name} as select * from frame_of_analysis")
    connection.unregister("frame_of_analysis")
    connection.execute(f"comment on table result.{name} is {literal(module.QUESTION)}")
    for column, words in module.COLUMNS.items():
        connection.execute(f'comment on column result.{name}."{column}" is {literal(words)}')
