"""Run the analyses of a network's own, and write what the floor lets through as result.own_<name>."""

from dataclasses import dataclass
from pathlib import Path
from types import ModuleType

import pandas as pd

from unsnag import analyse
from unsnag.analyse import Mart
from unsnag.databases import reading
from unsnag.errors import Problem
from unsnag.own import floor
from unsnag.own.contract import find, slip, who

SECRETS = ("pseudonym_key",)


@dataclass(frozen=True)
class Own:
    """An analysis of the network's own, computed: what may be published of it, and how many rows may not."""

    module: ModuleType
    shown: pd.DataFrame
    withheld: int

    @property
    def table(self) -> str:
        """Its table, in the schemas result and public."""
        return f"own_{Path(self.module.__file__).stem}"


def compute_all(workspace: Path, store: Path, settings: dict) -> list[Own]:
    """Run every analysis of the workspace's own on the store, which they can only read.

    settings : the parameters of the SQL files; ``minimum_clinics`` and ``minimum_cell`` make the floor
    """
    with reading(store) as connection:
        private = floor.private_words(connection)
        return [_own(connection, module, settings, private) for module in find(workspace)]


def check(workspace: Path, store: Path, settings: dict) -> list[Own]:
    """Run them twice, on one thread and on two, and compare.

    Raises  Problem: the second run gives other rows
    """
    runs = []
    for threads in ("1", "2"):
        with reading(store, threads=threads) as connection:
            private = floor.private_words(connection)
            runs.append([_own(connection, module, settings, private) for module in find(workspace)])
    for first, second in zip(*runs, strict=True):
        if not first.shown.equals(second.shown):
            path = Path(first.module.__file__)
            remedy = "Order its rows, and use no clock and no chance"
            raise Problem(who(path), "a second run gives other rows", remedy)
    return runs[0]


def _own(connection, module: ModuleType, settings: dict, private: set[str]) -> Own:
    path = Path(module.__file__)
    known = {name: value for name, value in settings.items() if name not in SECRETS}
    try:
        frame = module.compute(Mart(connection, known))
    except Exception as error:
        raise slip(path, error) from None
    if not isinstance(frame, pd.DataFrame) or list(frame.columns) != list(module.COLUMNS):
        raise Problem(
            who(path), "compute gives other columns than COLUMNS says", "Return frame[list(COLUMNS)]"
        )
    floor.check_cells(path, frame, private)
    shown = floor.above_floor(frame, settings["minimum_clinics"], settings["minimum_cell"])
    return Own(module, shown, len(frame) - len(shown))


def write(connection, owned: list[Own], minimum_clinics: int, minimum_animals: int) -> dict[str, int]:
    """result.own_<name> and result.own_analyses; what an earlier run wrote goes. Returns  table → number of rows."""
    connection.execute("create schema if not exists result")
    for (stale,) in connection.execute(STALE).fetchall():
        connection.execute(f"drop table result.{stale}")
    for own in owned:
        left_out = floor.in_words(own.withheld, minimum_clinics, minimum_animals)
        said = " ".join((own.module.QUESTION, own.module.CAUTION, left_out))
        analyse.write(connection, own.table, own.shown, own.module.COLUMNS, said)
    if owned:
        rows = [(o.table, o.module.TITLE, o.module.QUESTION, o.module.CAUTION, o.withheld) for o in owned]
        about = pd.DataFrame(rows, columns=list(ABOUT))
        analyse.write(connection, "own_analyses", about, ABOUT, ABOUT_TABLE)
    return {own.table: len(own.shown) for own in owned}


STALE = (
    "select table_name from information_schema.tables "
    "where table_schema = 'result' and starts_with(table_name, 'own_') order by 1"
)
ABOUT_TABLE = "The analyses of the network's own, one row each."
ABOUT = {
    "analysis": "name of its table",
    "title": "what it is about",
    "question": "what it asks",
    "caution": "what it cannot tell",
    "withheld": "rows that rest on too few clinics or animals, or would give one of those away",
}
