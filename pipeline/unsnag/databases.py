"""Open the project's DuckDB files: to read, or to build one anew and swap it in.

Files are attached under a name of ours. DuckDB would otherwise call the catalog of public.duckdb 'public' and find
``public.cases`` ambiguous, because that is its schema's name too.
"""

import shutil
from contextlib import contextmanager
from pathlib import Path

import duckdb

from unsnag.models import literal

# How every file is built. Rows keep the order of insertion, so that two runs give the same bytes on any number of
# threads. A million cases must fit beside other programs: what needs more memory goes to a folder beside the file.
SETTINGS = {"preserve_insertion_order": "true", "memory_limit": "2GB", "enable_progress_bar": "false"}


@contextmanager
def reading(path: Path, **config: str):
    """A read-only connection whose bare ``schema.table`` names are those of the file."""
    connection = duckdb.connect(config=config)
    try:
        connection.execute(f"attach {literal(str(path))} as pooled (read_only)")
        connection.execute("use pooled")
        yield connection
    finally:
        connection.close()


@contextmanager
def swapped_in(path: Path, start_from: Path | None = None):
    """A new DuckDB file, empty or a copy, that takes the place of ``path`` only if the block ends well.

    A run that fails or is killed leaves the last good file as it was.
    """
    path.parent.mkdir(parents=True, exist_ok=True)
    building = path.with_name(path.name + ".building")
    for stale in (building, building.with_name(building.name + ".wal")):
        stale.unlink(missing_ok=True)
    spilled = path.with_name(path.name + ".spilled")
    shutil.rmtree(spilled, ignore_errors=True)
    if start_from is not None:
        shutil.copyfile(start_from, building)
    connection = duckdb.connect()
    try:
        connection.execute(f"attach {literal(str(building))} as pooled")
        connection.execute("use pooled")
        for name, value in (SETTINGS | {"temp_directory": str(spilled)}).items():
            connection.execute(f"set {name} = {literal(value)}")
        yield connection
        connection.execute("checkpoint pooled")
    except BaseException:
        connection.close()
        building.unlink(missing_ok=True)
        raise
    connection.close()
    building.replace(path)
