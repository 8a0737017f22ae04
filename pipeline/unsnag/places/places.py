"""What the workspace says of places, checked: WGS84 decimal degrees, names unique, days in order."""

from datetime import date
from typing import NamedTuple

from shapely.geometry.base import BaseGeometry


class Council(NamedTuple):
    """A council and its area, outer rings counter-clockwise (RFC 7946, section 3.1.6)."""

    council: str
    area: BaseGeometry
    where: str


class Site(NamedTuple):
    """A place where a bin could stand; ``council`` is the one that it lies in or the file states."""

    site_id: str
    site: str
    kind: str
    council: str
    latitude: float
    longitude: float
    where: str


class Bin(NamedTuple):
    """A bin for fishing line; ``decided`` is the day on which its place was chosen, None if unknown."""

    bin_id: str
    site_id: str
    decided: date | None
    installed: date
    removed: date | None
    where: str


class Places(NamedTuple):
    """All places of a workspace, in the order of their ids; ``notes`` says what was mended on reading."""

    councils: tuple[Council, ...] = ()
    sites: tuple[Site, ...] = ()
    bins: tuple[Bin, ...] = ()
    notes: tuple[str, ...] = ()
