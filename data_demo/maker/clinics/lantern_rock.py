"""Lantern Rock Wildlife Rescue: mostly free text, in two overlapping yearly exports.

The later export corrects some rows of the earlier one and lacks a few.
"""

import csv
import datetime as dt

from maker.clinics import free_text
from maker.clinics.writer import Writer, headings

UNTOLD = ("radiograph", "blood_lead_test")
FIRST_EXPORT, SECOND_STARTS = dt.date(2024, 1, 8), dt.date(2022, 1, 1)
COLUMNS = headings(
    "Ref|In|Animal|M/F|Age|Wt|Where found|Lat|Long|Brought in by|Contact|Why|Story|How bad|Main treatment|"
    "Treated on|What we did|Outcome|Out|Went to|Came from|Their number|Ring"
)


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
        in_both = SECOND_STARTS <= admitted <= FIRST_EXPORT
        is_lacking = in_both and self.is_lacking(stay)
        if admitted <= FIRST_EXPORT:
            self.csvs[0].writerow(self.as_first_typed(row, case, stay, in_both and not is_lacking))
        if admitted >= SECOND_STARTS and not is_lacking:
            for _ in range(1 + self.dirt.strikes("repeated_row", stay.number)):
                self.csvs[1].writerow(row)

    def is_lacking(self, stay):
        lacking = self.choose.chance(0.02)
        if lacking:
            self.dirt.add("lacking_in_later_export", stay.number)
        return lacking

    def as_first_typed(self, row, case, stay, is_typed_again):
        """The row as it stood in the first export: some things unknown yet, some corrected later."""
        left = case.date(stay.until_day)
        if left is None or left > FIRST_EXPORT:
            row = row | {
                "Outcome": self.say("outcome", "@in_care"),
                "Out": "",
                "Went to": "",
                "What we did": self.progress(case, stay, FIRST_EXPORT),
                **self.main_treatment(case, stay, FIRST_EXPORT),
            }
        elif is_typed_again and self.choose.chance(0.06):
            self.dirt.add("corrected_in_later_export", stay.number)
            row = row | {"Wt": str(case.features["mass_g"] + 50)}
        return row

    def row(self, case, stay):
        f, number, finder = case.features, stay.number, self.finder()
        latitude, longitude = self.point(case, number)
        outcome, left = self.ending(case, stay)
        centre, their_number = self.came_from(case, stay)
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
            **self.main_treatment(case, stay, dt.date.max),
            "What we did": self.progress(case, stay, dt.date.max),
            "Outcome": self.say("outcome", outcome),
            "Out": self.date(self.outcome_date(left, number)),
            "Went to": self.transferred_to(case, stay) if outcome == "transferred_out" else "",
            "Came from": centre,
            "Their number": their_number,
            "Ring": case.band,
        }

    def main_treatment(self, case, stay, until):
        """The first attempt to get the gear out; failing that what else was done about it, or that it was watched."""
        done = [p for p in case.during(stay, case.procedures) if case.date(p.day) <= until]
        about_gear = [p for p in done if p.result] or [p for p in done if p.code == "watch"]
        attempts = [p for p in about_gear if p.code not in free_text.LEAVES_GEAR] or about_gear
        if not attempts:
            return {"Main treatment": "", "Treated on": ""}
        treatment = self.say("procedure", attempts[0].code)
        return {"Main treatment": treatment, "Treated on": self.date(case.date(attempts[0].day))}

    def weight(self, case, number):
        grams = self.mass_g(case, number)
        return f"{grams / 1000:g} kg" if self.choose.chance(0.5) else str(grams)

    def story(self, case, number):
        found = self.date(case.date(-case.features["found_before"]))
        if self.dirt.strikes("impossible_found_date", number):
            found = f"30/02/{case.admitted.year}"
        return f"Found {found}. {free_text.story(case, self.choose)}{self.contact()}"

    def contact(self):
        if self.choose.chance(0.05):
            finder = self.finder()
            ring = f" Ring {finder.name} {finder.phone} when released."
            return self.choose.one_of([ring, f" Lives at {finder.address}, {finder.email}."])
        return ""

    def progress(self, case, stay, until):
        """A diary in one cell: "12/03/2021 x-ray again, hook has not moved; 14/03/2021 scope - worked, out"."""
        seen = [f for f in case.during(stay, case.findings) if f.code != "gear_in_place"]
        done = [p for p in case.during(stay, case.procedures) if p.code not in UNTOLD]
        lines = [(f.day, 0, free_text.sighting(case, f, self.choose)) for f in seen]
        lines += [(p.day, 1, free_text.deed(self.say("procedure", p.code), p)) for p in done]
        told = sorted((line for line in lines if case.date(line[0]) <= until), key=lambda line: line[:2])
        return "; ".join(f"{self.date(case.date(day))} {text}" for day, _, text in told)

    def close(self):
        for file in self.files:
            file.close()
