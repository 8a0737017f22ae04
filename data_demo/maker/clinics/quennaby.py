"""Quennaby Wildlife Hospital: one XLSX workbook with title rows and three sheets."""

import datetime as dt

from maker import workbook
from maker.clinics.writer import Writer, headings

TITLES = {
    "Patients": [["Quennaby Wildlife Hospital"], ["Patient register, exported 2 January 2025"], []],
    "Procedures": [["Procedures and convalescence"], []],
    "X-rays": [["Radiology and bloods"]],
}
PATIENTS = headings(
    "Patient no.|Arrived|Found on|Species|Sex|Age|Weight (g)|Condition score|Triage|Location|Lat|Long|+/- m|Rescuer|"
    "Rescuer mobile|Rescuer e-mail|Reason for admission|Tackle|Type of injury|Hook|Hook size|Barb|Line kg|Line m|"
    "Where in body|Trailing line|Lead?|Grade|Age of injury|On arrival|Disposition|Date out|Euthanasia reason|"
    "Tackle at end|Released with tackle|Referred to|Referred from|Their no.|Band/chip|Released at|Resighted|"
    "Resighting notes|Comments"
)
PROCEDURES = [
    "Patient",
    "Seq",
    "Date",
    "Procedure",
    "Why",
    "Anaesthesia",
    "Result",
    "Complication",
    "Vet notes",
]
X_RAYS = ["Patient", "Date", "Finding", "Value", "Unit", "Radiology notes"]


class Quennaby(Writer):
    clinic = "quennaby"

    def __init__(self, folder):
        super().__init__(folder)
        self.book, self.sheets = workbook.new_workbook(TITLES)
        for name, header in (("Patients", PATIENTS), ("Procedures", PROCEDURES), ("X-rays", X_RAYS)):
            for title in [*TITLES[name], header]:
                self.sheets[name].append(title)

    def date(self, day):
        """A true spreadsheet date."""
        return None if day is None else dt.datetime(day.year, day.month, day.day)

    def write(self, case, stay):
        row = self.arrival(case, stay) + self.gear(case, stay) + self.end(case, stay)
        for _ in range(1 + self.dirt.strikes("repeated_row", stay.number)):
            self.sheets["Patients"].append([value if value != "" else None for value in row])
        self.procedures(case, stay)
        self.findings(case, stay)

    def arrival(self, case, stay):
        f, finder, number = case.features, self.finder(), stay.number
        latitude, longitude = self.point(case, number)
        found = self.date(case.date(-f["found_before"]))
        if self.dirt.strikes("impossible_found_date", number):
            found = f"31/09/{case.admitted.year}"
        return [
            number,
            self.date(case.date(stay.from_day)),
            found,
            self.species(case, number),
            self.say("sex", f["sex"]),
            self.say("life_stage", f["life_stage"]),
            self.mass_g(case, number),
            self.say("body_condition", f["body_condition"]),
            f["triage_score"],
            case.place["place"],
            round(latitude, 5),
            round(longitude, 5),
            f["radius_m"],
            finder.name,
            finder.phone,
            finder.email,
            self.say("cause", f["cause"]),
        ]

    def gear(self, case, stay):
        f, number = case.features, stay.number
        ends = [
            self.severity(case, number),
            self.say("injury_age", f["injury_age"]) if case.is_tackle() else "",
            self.say("arrival", f["arrival"]),
        ]
        if not case.is_tackle():
            return [""] * 10 + ends
        item = case.gear_items[0]
        return [
            self.say("gear", item.gear),
            self.say("injury", item.injury),
            self.say("hook_kind", item.hook_kind),
            item.hook_size,
            self.say("barb", item.barb),
            int(item.line_strength) if item.line_strength else "",
            float(item.line_length) if item.line_length else "",
            self.body_site(case, number),
            self.say("yes_no", item.line_trailing),
            self.say("yes_no", item.lead),
            *ends,
        ]

    def end(self, case, stay):
        outcome, left = self.ending(case, stay)
        centre, their_number = self.came_from(case, stay)
        is_last = stay.goes_to is None and left is not None
        home = is_last and case.outcome.startswith("released")
        again = self.date(case.date(case.seen_again_day)) if home else None
        return [
            self.say("outcome", outcome),
            self.date(self.outcome_date(left, stay.number)),
            self.say("euthanasia_reason", case.reason) if is_last else "",
            self.say("gear_fate", case.gear_items[0].fate) if is_last and case.gear_items else "",
            self.say("yes_no", case.gear_at_release) if home else "",
            self.transferred_to(case, stay) if outcome == "transferred_out" else "",
            centre,
            their_number,
            case.band,
            case.place["place"] if home else "",
            again,
            "Alive and well, read by telescope" if again else "",
            self.comment(case),
        ]

    def comment(self, case):
        finder = self.finder()
        if self.choose.chance(0.04):
            return f"Pls update {finder.name} on {finder.phone} or {finder.email}."
        if self.choose.chance(0.02):
            return f"Collected from {finder.address}."
        return (
            "Swallowed hook, line coming out of mouth."
            if case.features["injury"] == "ingested" and case.features["line"]
            else ""
        )

    def procedures(self, case, stay):
        done = [p for p in case.during(stay, case.procedures) if p.code != "radiograph"]
        for order, p in enumerate(done, 1):
            self.sheets["Procedures"].append(
                [
                    stay.number,
                    order,
                    self.date(case.date(p.day)),
                    self.say("procedure", p.code),
                    self.say("procedure_reason", p.reason) or None,
                    self.say("anaesthesia", p.anaesthesia) or None,
                    self.say("procedure_result", p.result) or None,
                    self.say("complication", p.complication) or None,
                    None,
                ]
            )

    def findings(self, case, stay):
        for f in case.during(stay, case.findings):
            is_lead = f.code == "lead_level"
            self.sheets["X-rays"].append(
                [
                    stay.number,
                    self.date(case.date(f.day)),
                    "Blood lead" if is_lead else self.say("finding", f.code),
                    int(f.value) if is_lead else None,
                    f.unit or None,
                    None,
                ]
            )

    def close(self):
        workbook.save(self.book, self.sheets, self.folder / "quennaby_register.xlsx")
