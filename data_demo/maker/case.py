"""One case as it truly was: the animal, its stays, what was done, what was seen. Days count from admission."""

import datetime as dt
from dataclasses import dataclass, field
from typing import NamedTuple


class Procedure(NamedTuple):
    day: int
    code: str
    reason: str = ""
    anaesthesia: str = ""
    result: str = ""
    complication: str = ""


class Finding(NamedTuple):
    day: int
    code: str
    value: str = ""
    unit: str = ""


class GearItem(NamedTuple):
    gear: str
    injury: str
    body_site: str
    hook_kind: str = ""
    hook_size: str = ""
    barb: str = ""
    line_strength: str = ""
    line_length: str = ""
    line_trailing: str = ""
    lead: str = ""
    fate: str = ""
    fate_day: int | None = None


@dataclass(slots=True)
class Stay:
    clinic: str
    from_day: int
    until_day: int | None = None  # None: still there
    number: str = ""
    came_from: "Stay | None" = None
    goes_to: "Stay | None" = None
    second_entry: bool = False  # the same animal typed again under a new number


@dataclass(slots=True)
class Case:
    case_id: str
    animal_id: str
    admitted: dt.date
    species: str
    taxon_group: str
    features: dict
    place: dict
    latitude: float
    longitude: float
    stays: list[Stay] = field(default_factory=list)
    procedures: list[Procedure] = field(default_factory=list)
    findings: list[Finding] = field(default_factory=list)
    gear_items: list[GearItem] = field(default_factory=list)
    outcome: str = ""
    timing: str = ""
    status: str = "final"
    reason: str = ""
    end_day: int | None = None
    animals: int = 1  # more in the one row for a clutch
    transferred_to: str = ""
    arrived_from: str = ""  # a clinic outside the network
    band: str = ""
    seen_again_day: int | None = None
    gear_at_release: str = ""

    def date(self, day):
        """The calendar date of a day of the case, or None."""
        return None if day is None else self.admitted + dt.timedelta(days=int(day))

    def is_tackle(self):
        return self.features["cause"] == "fishing_tackle"

    def during(self, stay, records):
        """Those procedures or findings that belong to this stay: on a hand-over day, to the clinic that hands over."""
        before = -1 if stay.came_from is None else stay.came_from.until_day
        last = 10**6 if stay.until_day is None else stay.until_day
        return [record for record in records if before < record.day <= last]
