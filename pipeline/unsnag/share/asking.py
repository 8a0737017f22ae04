"""Ask a database a question in a process of its own: bounded in time, memory and rows, and unable to change a byte."""

import json
import os
import subprocess
import sys
import threading
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import pandas as pd

from unsnag.databases import reading
from unsnag.share.cohorts import PANDAS
from unsnag.share.refusals import LARGE, TIME, refusal

CHILD = Path(__file__).with_name("child.py")
LARGEST_BATCH = 256 * 1024 * 1024
# The child inherits nothing else: what stands in the environment is nobody's answer.
INHERITED = ("HOME", "PATH", "PYTHONHOME", "PYTHONPATH", "SYSTEMROOT", "LD_LIBRARY_PATH")


@dataclass(frozen=True)
class Limits:
    """What one question may take.

    seconds   : of time, from start to last row; then its process is killed
    megabytes : of address space, Python and DuckDB themselves included (they take about 400)
    rows      : that are handed out; the answer says when there were more
    """

    seconds: int = 60
    megabytes: int = 2048
    rows: int = 100_000


@dataclass
class Answer:
    """The rows of a SELECT with the names and DuckDB types of its columns.

    rows   : tuples of what JSON has; days, times and exact decimals are text
    is_cut : whether there were more rows than the limit
    """

    names: list[str] = field(default_factory=list)
    types: list[str] = field(default_factory=list)
    rows: list[tuple[Any, ...]] = field(default_factory=list)
    is_cut: bool = False

    def frame(self) -> pd.DataFrame:
        """The rows as a frame: whole numbers and truths nullable, text as ``string``; days stay text."""
        frame = pd.DataFrame(self.rows, columns=self.names, dtype=object)
        kinds = {
            name: PANDAS[kind] for name, kind in zip(self.names, self.types, strict=True) if kind in PANDAS
        }
        return frame.astype(kinds)


def ask(
    path: Path,
    sql: str,
    parameters: dict[str, Any] | None = None,
    limits: Limits = Limits(),
    *,
    all_schemas: bool = False,
) -> Answer:
    """The rows of one SELECT on a database that it can neither change nor leave.

    parameters  : name → value of each ``$name`` of the query
    all_schemas : let it read every schema of the file, not ``public`` alone

    Raises  Problem: in one sentence why it is refused, with the nearest name where one is not there
    """
    columns = columns_of(path, all_schemas)
    request = {
        "path": str(path),
        "sql": sql,
        "parameters": parameters or {},
        "schemas": [] if all_schemas else ["public"],
        "tables": sorted(columns),
        **vars(limits),
    }
    answer = Answer()
    for line in _lines(request, limits):
        if "refused" in line:
            raise refusal(line["refused"], line["what"], request, columns)
        answer.names = line.get("columns", answer.names)
        answer.types = line.get("types", answer.types)
        answer.rows += map(tuple, line.get("rows", ()))
        answer.is_cut = line.get("is_cut", False)
    return answer


def columns_of(path: Path, all_schemas: bool) -> dict[str, list[str]]:
    """schema.table → its columns, of the schemas that may be asked."""
    with reading(path) as connection:
        rows = connection.execute(
            "select schema_name || '.' || table_name, list(column_name order by column_index) from duckdb_columns() "
            "where database_name = 'pooled' and not internal and ($all or schema_name = 'public') "
            "group by all order by all",
            {"all": all_schemas},
        ).fetchall()
    return dict(rows)


def _lines(request: dict, limits: Limits) -> Iterator[dict]:
    """What the child says, line by line; its silence is a refusal too."""
    environment = {name: os.environ[name] for name in INHERITED if name in os.environ}
    child = subprocess.Popen(
        [sys.executable, "-P", str(CHILD)],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        stderr=subprocess.DEVNULL,
        env=environment | {"MALLOC_ARENA_MAX": "2", "TZ": "UTC"},
    )
    is_late = threading.Event()
    clock = threading.Timer(limits.seconds, lambda: (is_late.set(), child.kill()))
    clock.start()
    try:
        yield from _spoken(child, request, is_late)
    finally:
        clock.cancel()
        child.kill()
        child.wait()
        child.stdout.close()


def _spoken(child: subprocess.Popen, request: dict, is_late: threading.Event) -> Iterator[dict]:
    try:
        with child.stdin as stream:
            stream.write(json.dumps(request).encode() + b"\n")
    except BrokenPipeError:
        pass  # it died before it could listen: said below
    while line := child.stdout.readline(LARGEST_BATCH):
        if not line.endswith(b"\n"):
            yield {
                "refused": LARGE if len(line) == LARGEST_BATCH else TIME if is_late.is_set() else "memory",
                "what": "",
            }
            return
        said = json.loads(line)
        yield said
        if "end" in said or "refused" in said:
            return
    yield {"refused": TIME if is_late.is_set() else "memory", "what": ""}
