"""Tern Street Veterinary Clinic: JSON Lines, events nested, stamps with offsets (some UTC, some near midnight)."""

import datetime as dt
import json
from zoneinfo import ZoneInfo

from maker.clinics.writer import Writer

ZONE = ZoneInfo("Australia/Sydney")
UTC = dt.UTC
NEAR_MIDNIGHT = 0.12


class TernStreet(Writer):
    clinic = "tern_street"

    def __init__(self, folder):
        super().__init__(folder)
        self.file = self.create("patients_2025-01-06.jsonl")

    def stamp(self, day):
        """A moment of that local day: mostly in working hours, some minutes after or before midnight, a third in UTC.

        Within a record the moments of one day follow each other as things happened.
        """
        if day is None:
            return None
        minute = self.choose.whole(8 * 60, 18 * 60)
        if self.choose.chance(NEAR_MIDNIGHT):
            minute = self.choose.one_of(
                [self.choose.whole(1, 50), self.choose.whole(23 * 60 + 5, 23 * 60 + 50)]
            )
        minute = min(max(minute, self.latest.get(day, 0)), 24 * 60 - 1)
        self.latest[day] = minute + 1
        local = dt.datetime(day.year, day.month, day.day, minute // 60, minute % 60, tzinfo=ZONE)
        moment = local.astimezone(UTC) if self.choose.chance(0.33) else local
        return moment.isoformat()

    def write(self, case, stay):
        self.latest = {}
        record = self.patient(case, stay)
        record["gear"] = [self.gear(case, stay, item, n) for n, item in enumerate(case.gear_items)]
        record["events"] = self.events(case, stay)
        record |= self.end(case, stay)
        line = json.dumps(record, ensure_ascii=False, separators=(",", ":"))
        for _ in range(1 + self.dirt.strikes("repeated_row", stay.number)):
            self.file.write(line + "\n")

    def patient(self, case, stay):
        f, number, finder = case.features, stay.number, self.finder()
        latitude, longitude = self.point(case, number)
        found = case.date(-f["found_before"]).isoformat()
        if self.dirt.strikes("impossible_found_date", number):
            found = f"{case.admitted.year}-02-30"
        return {
            "ref": number,
            "admitted_at": self.stamp(case.date(stay.from_day)),
            "found": found,
            "species": self.species(case, number),
            "sex": self.say("sex", f["sex"]),
            "stage": self.say("life_stage", f["life_stage"]),
            "mass_g": self.mass_g(case, number),
            "condition": self.say("body_condition", f["body_condition"]),
            "triage": f["triage_score"],
            "place": case.place["place"],
            "lat": round(latitude, 5),
            "lon": round(longitude, 5),
            "radius_m": f["radius_m"],
            "finder_name": finder.name,
            "finder_phone": finder.phone,
            "finder_email": finder.email,
            "cause": self.say("cause", f["cause"]),
            "severity": self.severity(case, number),
            "injury_age": self.say("injury_age", f["injury_age"]) if case.is_tackle() else None,
            "arrival": self.say("arrival", f["arrival"]),
        }

    def gear(self, case, stay, item, n):
        return {
            "kind": self.say("gear", item.gear),
            "injury": self.say("injury", item.injury),
            "site": self.body_site(case, stay.number) if n == 0 else self.say("body_site", item.body_site),
            "hook": self.say("hook_kind", item.hook_kind) or None,
            "size": item.hook_size or None,
            "barb": self.say("barb", item.barb) or None,
            "line_kg": item.line_strength or None,
            "line_m": float(item.line_length) if item.line_length else None,
            "trailing": self.say("yes_no", item.line_trailing) or None,
            "lead": self.say("yes_no", item.lead) or None,
            "fate": self.say("gear_fate", item.fate) or None,
            "fate_on": case.date(item.fate_day).isoformat() if item.fate_day is not None else None,
        }

    def events(self, case, stay):
        done = [(p.day, 1, self.treatment, p) for p in case.during(stay, case.procedures)]
        seen = [(f.day, 0, self.finding, f) for f in case.during(stay, case.findings)]
        return [tell(case, event) for _, _, tell, event in sorted(done + seen, key=lambda item: item[:2])]

    def treatment(self, case, procedure):
        event = {
            "type": "treatment",
            "at": self.stamp(case.date(procedure.day)),
            "what": self.say("procedure", procedure.code),
        }
        details = {
            "why": ("procedure_reason", procedure.reason),
            "anaesthesia": ("anaesthesia", procedure.anaesthesia),
            "result": ("procedure_result", procedure.result),
            "trouble": ("complication", procedure.complication),
        }
        return event | {name: self.say(field, code) for name, (field, code) in details.items() if code}

    def finding(self, case, finding):
        at = self.stamp(case.date(finding.day))
        if finding.code == "lead_level":
            return {"type": "lab", "at": at, "test": "Pb", "value": int(finding.value), "unit": finding.unit}
        kind = "exam" if finding.code in ("worse", "improved") else "xray"
        return {"type": kind, "at": at, "seen": self.say("finding", finding.code)}

    def end(self, case, stay):
        outcome, left = self.ending(case, stay)
        centre, their_number = self.came_from(case, stay)
        is_last = stay.goes_to is None and left is not None
        home = is_last and case.outcome.startswith("released")
        return {
            "outcome": self.say("outcome", outcome),
            "closed_at": self.stamp(self.outcome_date(left, stay.number)),
            "euthanasia_reason": (self.say("euthanasia_reason", case.reason) or None) if is_last else None,
            "gear_left": (self.say("yes_no", case.gear_at_release) or None) if home else None,
            "sent_to": (self.transferred_to(case, stay) or None) if outcome == "transferred_out" else None,
            "came_from": centre or None,
            "came_from_ref": their_number or None,
            "chip": case.band or None,
            "released_at_place": case.place["place"] if home else None,
            "resighted": case.date(case.seen_again_day).isoformat() if home and case.seen_again_day else None,
            "note": self.note(case),
        }

    def note(self, case):
        finder = self.finder()
        if self.choose.chance(0.04):
            return f"{finder.name} ({finder.email}, {finder.phone}) wants to attend the release."
        return (
            "Hook seen on film, line up the oesophagus."
            if case.features["injury"] == "ingested" and case.features["line"]
            else None
        )

    def close(self):
        self.file.close()
