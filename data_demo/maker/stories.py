"""From the simulated arrays to cases: features in shared codes, stays, what was done, how it ended."""

import datetime as dt

import numpy as np

from maker import animals, care, coast, endings, tackle, treatment, ward
from maker import rates as r
from maker.case import Case, Stay
from maker.draws import Chooser, generator

INJURIES = {
    r.SWALLOWED_REPTILE: "ingested",
    r.SWALLOWED_WARM: "ingested",
    r.MOUTH: "embedded",
    r.EXTERNAL: "embedded",
    r.LEAD: "lead_poisoning",
    r.OTHER: "",
}
AS_DRAWN = (
    "cause",
    "gear",
    "body_site",
    "pace",
    "triage_score",
    "mass_g",
    "found_before",
    "radius_m",
    "problem",
)
TYPED_A_DAY_LATE = 0.12


def tell(herd, block, first_number=1):
    """Live through the herd's care and tell it: a list of cases in order of admission."""
    alive = ~herd["dead_on_arrival"]
    lived = care.live({name: values[alive] for name, values in herd.items()}, generator("care", block))
    events = iter(lived.events_by_case())
    ends, end_days = np.full(len(alive), r.DIED), np.zeros(len(alive), int)
    ends[alive], end_days[alive] = lived.end, lived.end_day
    herd = herd | {"end": ends, "end_day": end_days, "number": first_number + np.arange(len(alive))}
    choose = Chooser("stories", block)
    rows = zip(*(values.tolist() for values in herd.values()), strict=True)
    rows = (dict(zip(herd, row, strict=True)) for row in rows)
    return [_case(row, [] if row["dead_on_arrival"] else next(events), choose) for row in rows]


def _case(row, events, choose):
    case = _admitted(row, choose)
    _set_stays(case, row["clinic"], events, choose)
    if not row["dead_on_arrival"]:
        treatment.fill_in(case, row["site"], events, row["end_day"], choose)
    endings.settle(case, row["end"], choose)
    if row["dead_on_arrival"]:
        case.timing = "before_admission"
    if case.is_tackle():
        case.gear_items = tackle.gear_items(case, choose)
    if row["banded"]:
        case.band = f"{choose.one_of(['ORB', 'CHIP'])}{choose.whole(10000, 99999)}{row['number'] % 100:02d}"
    endings.after_release(case, choose)
    return case


def _admitted(row, choose):
    return Case(
        case_id=f"C{row['number']:07d}",
        animal_id=f"A{row['number']:07d}",
        admitted=coast.FIRST_DAY + dt.timedelta(days=row["day"]),
        species=animals.NAMES[row["species"]],
        taxon_group=animals.GROUPS[row["species"]],
        features=_features(row, choose),
        place=coast.PLACES[row["place"]],
        latitude=row["latitude"],
        longitude=row["longitude"],
        end_day=row["end_day"],
        arrived_from=choose.one_of(endings.OUTSIDE_NETWORK) if row["from_outside"] else "",
    )


def _features(row, choose):
    """The recorded features in shared codes."""
    entangled = choose.word(["entangled", "constricting"])
    return {name: row[name] for name in AS_DRAWN} | {
        "injury": INJURIES.get(row["problem"], entangled),
        "hook_kind": animals.HOOK_KINDS[row["hook_kind"]],
        "line": bool(row["line"]),
        "severity": animals.SEVERITIES[row["severity"]],
        "body_condition": animals.CONDITIONS[row["body_condition"]],
        "injury_age": animals.AGES[row["injury_age"]],
        "sex": animals.SEX[row["sex"]],
        "life_stage": animals.STAGES[row["life_stage"]],
        "arrival": "dead" if row["dead_on_arrival"] else "alive",
    }


def _set_stays(case, clinic, events, choose):
    """One stay a clinic, in a chain: a hand-over is typed on its day, or now and then a day late by the receiver."""
    case.stays = [Stay(coast.CLINICS[clinic], 0)]
    for day, kind, target in events:
        if kind == ward.TRANSFER and case.end_day > day:
            before = case.stays[-1]
            is_late = choose.chance(TYPED_A_DAY_LATE)
            after = Stay(coast.CLINICS[target], day + is_late, came_from=before)
            before.until_day, before.goes_to = day, after
            case.stays.append(after)
