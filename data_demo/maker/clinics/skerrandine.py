"""Skerrandine Marsh Carers: tab-separated, month first, coded with a legend, place names only, a clutch."""

from maker.clinics.writer import Writer, headings

TREATMENTS, CHECKS = 4, 5
NEST_CAUSES = ("orphaned", "weather", "domestic_animal", "predator_attack", "starvation_weakness")
NEST_GROUPS = ("duck_or_goose", "other_bird")
LEGEND = {
    "outcome": [
        "Released",
        "Released at another site",
        "Dead when brought in",
        "Died within a day",
        "Died later",
        "Euthanased straight away",
        "Euthanased later",
        "Kept for good",
        "Moved to another carer or clinic",
        "Still with us",
        "Card lost",
    ],
    "cause": {
        "Fishing tackle": "FISH",
        "Tangled in something else": "TANGLE",
        "Hit by a car": "CAR",
        "Hit by a boat": "BOAT",
        "Wild predator": "PRED",
        "Dog or cat": "PET",
        "Flew into something": "HIT",
        "Sick": "SICK",
        "Oiled": "OIL",
        "Weak or starved": "WEAK",
        "Orphan": "ORPH",
        "Blown in by a storm": "WIND",
        "Harmed on purpose": "HARM",
        "Cause not known": "UNK",
    },
    "severity": {"Light": "A", "Middling": "B", "Heavy": "C", "Life at risk": "D"},
    "yes_no": {"Yes": "1", "No": "0", "Cannot tell": "9"},
    "life_stage": {"Adult": "A", "Nearly grown": "S", "Young": "J", "Hatchling": "H"},
}
LEGEND["outcome"] = {meaning: str(n) for n, meaning in enumerate(LEGEND["outcome"], 1)}
COLUMNS = headings(
    "CARD|DATE IN|FOUND|ANIMAL|HOW MANY|SEX|STAGE|KG|PLACE|REPORTED BY|TEL|CAUSE|TACKLE|HOW|HOOK|WHERE ON BODY|"
    "LINE HANGING|LEAD|SEV|ARRIVED"
)
END_COLUMNS = headings(
    "WORSE ON|RESULT|DATE OUT|N RELEASED|N DIED|N EUTH|TACKLE WENT|LEFT IN|SENT TO|CAME FROM|THEIR CARD|BAND|REMARKS"
)


def columns():
    done = [f"{what} {n}" for n in range(1, TREATMENTS + 1) for what in ("DID", "DID ON", "WORKED")]
    checks = [f"{what} {n}" for n in range(1, CHECKS + 1) for what in ("CHECK", "CHECK ON")]
    return COLUMNS + done + checks + END_COLUMNS


class Skerrandine(Writer):
    clinic = "skerrandine"

    def __init__(self, folder):
        super().__init__(folder)
        self.had_clutch = False
        self.columns = columns()
        self.file = self.create("cards_2025-01-03.tsv")
        self.line(dict(zip(self.columns, self.columns, strict=True)))

    def line(self, row):
        self.file.write("\t".join(str(row.get(name, "")) for name in self.columns) + "\n")

    def date(self, day):
        return "" if day is None else f"{day.month}/{day.day}/{day.year}"

    def coded(self, field, code):
        """What the legend calls it: the word, looked up."""
        word = self.say(field, code)
        return LEGEND[field][word] if word else ""

    def write(self, case, stay):
        row = self.arrival(case, stay) | self.gear(case, stay) | self.care(case, stay) | self.end(case, stay)
        if not self.had_clutch and self.is_clutch(case, stay):
            row |= self.clutch(case, stay)
        for _ in range(1 + self.dirt.strikes("repeated_row", stay.number)):
            self.line(row)

    def is_clutch(self, case, stay):
        is_nest = case.features["cause"] in NEST_CAUSES and case.taxon_group in NEST_GROUPS
        return is_nest and case.outcome == "released" and len(case.stays) == 1

    def clutch(self, case, stay):
        self.had_clutch, case.animals = True, 6
        self.dirt.add("clutch_row", stay.number)
        return {
            "HOW MANY": case.animals,
            "N RELEASED": 4,
            "N DIED": 2,
            "N EUTH": 0,
            "REMARKS": "Six from one nest, four made it.",
        }

    def arrival(self, case, stay):
        f, number, finder = case.features, stay.number, self.finder()
        found = self.date(case.date(-f["found_before"]))
        if self.dirt.strikes("impossible_found_date", number):
            found = f"13/31/{case.admitted.year}"
        return {
            "CARD": number,
            "DATE IN": self.date(case.date(stay.from_day)),
            "FOUND": found,
            "ANIMAL": self.species(case, number),
            "HOW MANY": 1,
            "SEX": self.say("sex", f["sex"]),
            "STAGE": self.coded("life_stage", f["life_stage"]),
            "KG": f"{self.mass_g(case, number) / 1000:g}",
            "PLACE": self.place(case),
            "REPORTED BY": finder.name,
            "TEL": finder.phone,
            "CAUSE": self.coded("cause", f["cause"]),
            "SEV": self.severity_coded(case, number),
            "ARRIVED": self.say("arrival", f["arrival"]),
        }

    def place(self, case):
        return case.place["place"].upper() if self.choose.chance(0.1) else case.place["place"]

    def severity_coded(self, case, number):
        word = self.severity(case, number)
        return LEGEND["severity"][word] if word else ""

    def gear(self, case, stay):
        if not case.is_tackle():
            return {}
        item = case.gear_items[0]
        return {
            "TACKLE": self.say("gear", item.gear),
            "HOW": self.say("injury", item.injury),
            "HOOK": self.say("hook_kind", item.hook_kind),
            "WHERE ON BODY": self.body_site(case, stay.number),
            "LINE HANGING": self.coded("yes_no", item.line_trailing),
            "LEAD": self.coded("yes_no", item.lead),
        }

    def care(self, case, stay):
        row = {}
        done = [
            p for p in case.during(stay, case.procedures) if p.code not in ("radiograph", "blood_lead_test")
        ]
        weighty = [p for p in done if p.result or p.code == "watch"]
        support = [p for p in done if p not in weighty][: max(0, TREATMENTS - len(weighty))]
        for n, p in enumerate(sorted(weighty[:TREATMENTS] + support, key=lambda p: p.day), 1):
            row |= {
                f"DID {n}": self.say("procedure", p.code),
                f"DID ON {n}": self.date(case.date(p.day)),
                f"WORKED {n}": self.say("procedure_result", p.result),
            }
        seen = case.during(stay, case.findings)
        films = [f for f in seen if f.code in ("gear_in_place", "gear_unmoved", "gear_moved", "gear_passed")]
        for n, f in enumerate(films[:CHECKS], 1):
            row |= {f"CHECK {n}": self.say("finding", f.code), f"CHECK ON {n}": self.date(case.date(f.day))}
        worse = [f.day for f in seen if f.code == "worse"]
        return row | {"WORSE ON": self.date(case.date(worse[0])) if worse else ""}

    def end(self, case, stay):
        outcome, left = self.ending(case, stay)
        centre, their_number = self.came_from(case, stay)
        is_last = stay.goes_to is None and left is not None
        home = is_last and case.outcome.startswith("released")
        return {
            "RESULT": self.coded("outcome", outcome),
            "DATE OUT": self.date(self.outcome_date(left, stay.number)),
            "TACKLE WENT": self.say("gear_fate", case.gear_items[0].fate)
            if is_last and case.gear_items
            else "",
            "LEFT IN": self.coded("yes_no", case.gear_at_release) if home else "",
            "SENT TO": self.transferred_to(case, stay) if outcome == "transferred_out" else "",
            "CAME FROM": centre,
            "THEIR CARD": their_number,
            "BAND": case.band,
            "REMARKS": self.remark(case),
        }

    def remark(self, case):
        finder = self.finder()
        if self.choose.chance(0.05):
            return f"Neighbour at {finder.address} keeps feeding it, tel {finder.phone}"
        return "reason for pts: " + case.reason.replace("_", " ") if case.reason else ""

    def close(self):
        self.file.close()
