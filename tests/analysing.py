"""How a test runs one analysis on the store of a small network."""

from unsnag.analyse import Mart
from unsnag.databases import reading


def computed(built, module, **settings):
    """What the analysis returns: a frame, or frames by name.

    built    : networks.Built
    settings : what the analysis asks of the network's settings
    """
    with reading(built.folder / "store" / "cases.duckdb") as connection:
        return module.compute(Mart(connection, settings))
