"""places/siting.toml: what a bin is assumed to do, where none may stand, and how places are counted."""

from pathlib import Path
from typing import Annotated

from pydantic import Field, model_validator

from unsnag.errors import Problem
from unsnag.places import Places
from unsnag.workspace.network import Frozen
from unsnag.workspace.settings_file import read_settings

Metres = Annotated[float, Field(gt=0, le=50_000)]
Share = Annotated[float, Field(ge=0, le=1)]


class Excluded(Frozen):
    """A site where no new bin may stand, and why."""

    site_id: str
    reason: str


class Reduction(Frozen):
    """The share of tackle cases within reach that one bin is assumed to prevent: no result, an assumption."""

    assumed: Share = 0.3
    low: Share = 0.1
    high: Share = 0.5
    reason: str = "assumed, no source; see what the bins already there did"

    @model_validator(mode="after")
    def assumed_lies_between(self):
        if not self.low <= self.assumed <= self.high:
            raise ValueError("assumed must lie between low and high")
        return self


class Siting(Frozen):
    """How cases belong to places, and the rules that new bins keep.

    at_site_m         : a case within this many metres of a site is one of its cases; a bin there reaches it
    most_uncertain_m  : a place known less exactly than this belongs to no site
    just_outside_m    : a case within this many metres of a council counts as just outside it
    apart_m           : at most one bin within this many metres
    most_bins         : how many new bins the sets are worked out for
    minimum           : council → fewest new bins in it
    least_tackle      : a group of animals is compared if tackle injured at least this many of it …
    least_share       : … and at least this share of its rescues
    """

    at_site_m: Metres = 500
    most_uncertain_m: Metres = 1000
    just_outside_m: Metres = 2000
    apart_m: Metres = 200
    most_bins: Annotated[int, Field(ge=1, le=50)] = 6
    excluded: tuple[Excluded, ...] = ()
    minimum: dict[str, Annotated[int, Field(ge=1)]] = {}
    least_tackle: Annotated[int, Field(ge=1)] = 5
    least_share: Share = 0.05
    reduction: Reduction = Reduction()
    replicates: Annotated[int, Field(ge=99, le=99_999)] = 999
    seed: int = 1

    @property
    def reasons(self) -> dict[str, str]:
        """Site → why no new bin may stand there."""
        return {each.site_id: each.reason for each in self.excluded}

    @property
    def rules(self) -> dict[str, str]:
        """Every rule in words, to be published beside what rests on it."""
        plain = self.model_dump(exclude={"excluded", "minimum", "reduction"})
        reduction = {f"reduction.{key}": value for key, value in self.reduction.model_dump().items()}
        minimum = {f"minimum.{council}": least for council, least in self.minimum.items()}
        told = plain | reduction | minimum
        return {key: f"{value:g}" if isinstance(value, float) else str(value) for key, value in told.items()}


def read_siting(path: Path, places: Places, problems: list[Problem]) -> Siting:
    """The settings of places/siting.toml, all defaults if there is none; what is wrong goes to the problems."""
    siting = read_settings(path, Siting, {}, problems) if path.is_file() else Siting()
    if siting is None:
        return Siting()
    sites = {site.site_id: site.council for site in places.sites}
    for each in siting.excluded:
        if each.site_id not in sites:
            problems.append(_unknown(path, "excluded", "site", each.site_id, sites))
    for council in siting.minimum:
        if council not in sites.values():
            problems.append(_unknown(path, "minimum", "council with a site", council, set(sites.values())))
    return siting


def _unknown(path: Path, key: str, what: str, name: str, known) -> Problem:
    listed = ", ".join(sorted(known)) or "none"
    return Problem(f"{path}, key {key}", f"there is no {what} '{name}'", f"Name one of: {listed}")
