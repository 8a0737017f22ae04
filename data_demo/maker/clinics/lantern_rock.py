"""Lantern Rock Wildlife Rescue: mostly free text, in two overlapping yearly exports.

The later export corrects some rows of the earlier one and lacks a few.
"""

import csv
import datetime as dt

from maker.clinics.writer import Writer, headings

FIRST_EXPORT, SECOND_STARTS = dt.date(2024, 1, 8), dt.date(2022, 1, 1)
COLUMNS = headings(
    "Ref|In|Animal|M/F|Age|Wt|Where found|Lat|Long|Brought in by|Contact|Why|Story|How bad|First treatment|"
    "Treated on|What we did|Outcome|Out|Went to|Came from|Their number|Ring"
)
GEAR = {
    "hook": "hook",
    "lure": "lure",
    "line": "fishing line",
    "net": "net",
    "sinker": "sinker",
    "rope_or_twine": "rope",
    "several": "hook line and sinker",
}
SITES = {
    "oesophagus": "gullet",
    "stomach": "stomach",
    "intestine": "gut",
    "gizzard": "gizzard",
    "throat_glottis": "back of the throat",
    "mouth": "mouth",
    "tongue": "tongue",
    "beak_or_jaw": "beak",
    "wing": "wing",
    "foot_or_leg": "leg",
    "neck": "neck",
    "head": "head",
    "body_wall": "side",
    "flipper": "flipper",
    "tail": "tail",
    "several_sites": "body all over",
}
INJURIES = {
    "ingested": [
        "Swallowed {gear}, x-ray shows it in the {site}.",
        "Has swallowed a {gear}. On the film it is in the {site}.",
    ],
    "embedded": ["{gear} stuck in {site}.", "Hooked in the {site} ({gear})."],
    "entangled": ["Tangled in {gear} round the {site}.", "Wrapped up in {gear}, mainly {site}."],
    "constricting": [
        "{gear} cutting in round the {site}, tight.",
        "{gear} wound tight on {site}, swollen below it.",
    ],
    "lead_poisoning": [
        "Lead {gear} in the {site} on x-ray, weak and green droppings.",
        "Lead poisoned, {gear} in {site}.",
    ],
}
FILM_WORDS = {
    "gear_unmoved": ["x-ray again, hook has not moved", "film: no change"],
    "gear_moved": ["x-ray, hook further down", "film: hook has moved on"],
    "gear_passed": ["x-ray clear, hook gone, passed it", "hook came out in the droppings"],
    "worse": ["going downhill, off food", "looks worse today"],
    "improved": ["picking up", "brighter today"],
}
RESULTS = {
    "success": "worked, out",
    "failed": "did not work, could not get it",
    "abandoned": "stopped half way",
}
OTHERS = [
    "Found sitting on the path, did not fly off.",
    "No signs of hooks or fishing line.",
    "Bright, bit everyone.",
    "Walked in by two kids with a towel.",
]


class LanternRock(Writer):
    clinic = "lantern_rock"
    date_format = "%d/%m/%Y"

    def __init__(self, folder):
        super().__init__(folder)
        names = ["register_2024-01-08.csv", "register_2025-01-06.csv"]
        self.files = [self.create(name) for name in names]
        self.csvs = [csv.DictWriter(file, COLUMNS, lineterminator="\n", restval="") for file in self.files]
        for writer in self.csvs:
            writer.writeheader()

    def write(self, case, stay):
        admitted = case.date(stay.from_day)
        row = self.row(case, stay)
        both = SECOND_STARTS <= admitted <= FIRST_EXPORT
        if admitted <= FIRST_EXPORT:
            self.csvs[0].writerow(self.as_first_typed(row, case, stay, both))
        if admitted >= SECOND_STARTS and not (both and self.is_lacking(stay)):
            for _ in range(1 + self.dirt.strikes("repeated_row", stay.number)):
                self.csvs[1].writerow(row)

    def is_lacking(self, stay):
        lacking = self.choose.chance(0.02)
        if lacking:
            self.dirt.add("lacking_in_later_export", stay.number)
        return lacking

    def as_first_typed(self, row, case, stay, both):
        """The row as it stood in the first export: some things unknown yet, some corrected later."""
        left = case.date(stay.until_day)
        if left is None or left > FIRST_EXPORT:
            row = row | {
                "Outcome": self.say("outcome", "@in_care"),
                "Out": "",
                "Went to": "",
                "What we did": self.progress(case, stay, FIRST_EXPORT),
            }
        elif both and self.choose.chance(0.06):
            self.dirt.add("corrected_in_later_export", stay.number)
            row = row | {"Wt": str(case.features["mass_g"] + 50)}
        return row

    def row(self, case, stay):
        f, number, finder = case.features, stay.number, self.finder()
        latitude, longitude = self.point(case, number)
        outcome, left = self.ending(case, stay)
        centre, their_number = self.came_from(case, stay)
        first = next((p for p in case.during(stay, case.procedures) if p.result or p.code == "watch"), None)
        return {
            "Ref": number,
            "In": self.date(case.date(stay.from_day)),
            "Animal": self.species(case, number),
            "M/F": self.say("sex", f["sex"]),
            "Age": self.say("life_stage", f["life_stage"]),
            "Wt": self.weight(case, number),
            "Where found": case.place["place"],
            "Lat": f"{latitude:.4f}",
            "Long": f"{longitude:.4f}",
            "Brought in by": finder.name,
            "Contact": finder.phone,
            "Why": self.say("cause", f["cause"]),
            "Story": self.story(case, number),
            "How bad": self.severity(case, number),
            "First treatment": self.say("procedure", first.code) if first else "",
            "Treated on": self.date(case.date(first.day)) if first else "",
            "What we did": self.progress(case, stay, dt.date.max),
            "Outcome": self.say("outcome", outcome),
            "Out": self.date(self.outcome_date(left, number)),
            "Went to": self.transferred_to(case, stay) if outcome == "transferred_out" else "",
            "Came from": centre,
            "Their number": their_number,
            "Ring": case.band,
        }

    def weight(self, case, number):
        grams = self.mass_g(case, number, 1000)
        return f"{grams / 1000:g} kg" if self.choose.chance(0.5) else str(grams)

    def story(self, case, number):
        f = case.features
        found = f"Found {self.date(case.date(-f['found_before']))}. "
        if self.dirt.strikes("impossible_found_date", number):
            found = f"Found 30/02/{case.admitted.year}. "
        if not case.is_tackle():
            return found + self.choose.one_of(OTHERS) + self.contact()
        text = self.choose.one_of(INJURIES[f["injury"]]).format(
            gear=GEAR[f["gear"]], site=SITES[f["body_site"]]
        )
        line = " Line hanging out." if f["line"] else " No line showing." if self.choose.chance(0.3) else ""
        kind = (
            f" {f['hook_kind'].replace('_', ' ')} hook."
            if f["hook_kind"] in ("treble", "circle") and f["gear"] == "hook"
            else ""
        )
        return found + text[0].upper() + text[1:] + line + kind + self.contact()

    def contact(self):
        if self.choose.chance(0.05):
            finder = self.finder()
            return self.choose.one_of(
                [
                    f" Ring {finder.name} {finder.phone} when released.",
                    f" Lives at {finder.address}, {finder.email}.",
                ]
            )
        return ""

    def progress(self, case, stay, until):
        """A diary in one cell: "12/03 x-ray again, hook has not moved; 14/03 scope - worked, out"."""
        events = [
            (p.day, 1, p)
            for p in case.during(stay, case.procedures)
            if p.code not in ("radiograph", "blood_lead_test")
        ]
        events += [
            (f.day, 0, f)
            for f in case.during(stay, case.findings)
            if f.code in FILM_WORDS or f.code == "lead_level"
        ]
        lines = [
            f"{self.date(case.date(day))} {self.diary(event)}"
            for day, _, event in sorted(events, key=lambda e: e[:2])
            if case.date(day) <= until
        ]
        return "; ".join(lines)

    def diary(self, event):
        if event.code == "lead_level":
            return f"lead {event.value} ug/dL"
        if event.code in FILM_WORDS:
            return self.choose.one_of(FILM_WORDS[event.code])
        word = self.say("procedure", event.code)
        why = {
            "worse": " because worse",
            "unmoved": " as hook not moving",
            "failed_attempt": " after failed try",
        }.get(event.reason, "")
        went = f" - {RESULTS[event.result]}" if event.result else ""
        trouble = (
            f", {event.complication.replace('_', ' ')}" if event.complication not in ("", "none") else ""
        )
        return word + why + went + trouble

    def close(self):
        for file in self.files:
            file.close()
