"""Several sources read one after another, or two at a time if their exports are long; what they hold is the same."""

import multiprocessing
import os
from collections.abc import Iterator, Sequence
from concurrent.futures import ProcessPoolExecutor
from pathlib import Path

from unsnag.errors import UnsnagError
from unsnag.read.files import matched_files
from unsnag.read.reading import ReadFile, read_files
from unsnag.read.source import SourceLayout

# A second process takes a second or two to start, about as long as ten megabytes take to be read.
ENOUGH_FOR_TWO = 50_000_000


def read_each(
    layouts: Sequence[SourceLayout], folder: Path
) -> Iterator[tuple[SourceLayout, list[ReadFile] | UnsnagError]]:
    """Each layout in its order, with what the source's files hold, or what is wrong with them.

    folder : for the clean files, a folder a source in it; they are gone once they are loaded
    """
    homes = [folder / str(number) for number in range(len(layouts))]
    if (os.cpu_count() or 1) == 1 or sum(map(_bytes, layouts)) < ENOUGH_FOR_TWO:
        yield from zip(layouts, map(_attempt, layouts, homes), strict=True)
        return
    # Spawned, not forked: a fork would copy the threads' locks of an open database.
    with ProcessPoolExecutor(2, mp_context=multiprocessing.get_context("spawn")) as pool:
        yield from zip(layouts, pool.map(_attempt, layouts, homes), strict=True)


def _attempt(layout: SourceLayout, home: Path) -> list[ReadFile] | UnsnagError:
    home.mkdir()
    try:
        return read_files(layout, home)
    except UnsnagError as problem:
        return problem


def _bytes(layout: SourceLayout) -> int:
    """How long a source's files are together; what cannot be found is said when it is read."""
    try:
        return sum(path.stat().st_size for path in matched_files(layout))
    except (UnsnagError, OSError):
        return 0
