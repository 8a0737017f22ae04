"""A record → a bin with its days, at one of the candidate sites."""

from datetime import date

from unsnag.errors import Problem
from unsnag.places.places import Bin, Site
from unsnag.places.points import Box, has_point, point
from unsnag.places.records import Record
from unsnag.stats.sites.distance import distance_m

# A bin farther from its site than this stands somewhere else.
AT_SITE_M = 500.0


def bin_of(record: Record, region: Box, sites: list[Site]) -> Bin:
    """A bin.

    Raises  Problem: no id, no day of installation, days out of order, or no site where it stands
    """
    bin_id = record.cells.get("bin_id", "")
    if not bin_id:
        raise Problem(record.where, "the bin has no bin_id", "Fill in the column bin_id")
    decided, installed, removed = (_day(record, key) for key in ("decided", "installed", "removed"))
    if installed is None:
        raise Problem(
            record.where, f"bin {bin_id} has no day of installation", "Fill in the column installed"
        )
    if decided and decided > installed:
        raise Problem(record.where, f"bin {bin_id} was installed before it was decided", "Correct the days")
    if removed and removed <= installed:
        raise Problem(record.where, f"bin {bin_id} was removed before it stood", "Correct the days")
    return Bin(bin_id, _site(record, bin_id, region, sites), decided, installed, removed, record.where)


def _day(record: Record, key: str) -> date | None:
    text = record.cells.get(key, "")
    try:
        return date.fromisoformat(text[:10]) if text else None
    except ValueError:
        raise Problem(record.where, f"'{text}' in {key} is no day", "Write it like 2024-01-31") from None


def _site(record: Record, bin_id: str, region: Box, sites: list[Site]) -> str:
    """The site that the record names or lies at."""
    known = {site.site_id: site for site in sites}
    stated = record.cells.get("site_id", "")
    if stated and stated not in known:
        raise Problem(
            record.where, f"there is no site '{stated}' for bin {bin_id}", "Add it to sites, or correct it"
        )
    if not has_point(record):
        if stated:
            return stated
        raise Problem(
            record.where, f"bin {bin_id} has no place", "Give its site_id, or latitude and longitude"
        )
    return _site_at(record, bin_id, point(record, f"bin {bin_id}", region), known, stated)


def _site_at(
    record: Record, bin_id: str, at: tuple[float, float], known: dict[str, Site], stated: str
) -> str:
    candidates = [known[stated]] if stated else list(known.values())
    far = {
        site.site_id: float(distance_m([at[1]], [at[0]], [site.latitude], [site.longitude])[0])
        for site in candidates
    }
    nearest = min(far, key=lambda site_id: (far[site_id], site_id), default="")
    if not nearest or far[nearest] > AT_SITE_M:
        apart = f"{far[nearest]:.0f} m from the site '{nearest}'" if nearest else "at no site"
        raise Problem(
            record.where, f"bin {bin_id} stands {apart}", "Add its place to sites, or correct its point"
        )
    return nearest
