"""The true cases and stays, written as they are told: cases.csv and stays.csv."""

import csv

FEATURES = ("sex", "life_stage", "mass_g", "cause", "injury", "gear", "body_site", "severity", "arrival")
STAY_COLUMNS = ["case_id", "clinic", "case_number", "from_date", "until_date", "second_entry"]


class TruthWriter:
    """The two files, kept open while batches come in."""

    def __init__(self, folder):
        folder.mkdir(parents=True, exist_ok=True)
        names = ("cases.csv", "stays.csv")
        self.files = [(folder / name).open("w", encoding="utf-8", newline="") for name in names]
        self.cases, self.stays = (csv.writer(file, lineterminator="\n") for file in self.files)
        self.stays.writerow(STAY_COLUMNS)
        self.has_header = False

    def write(self, case):
        exported = [stay for stay in case.stays if stay.number]
        for stay in exported:
            dates = [case.date(stay.from_day), case.date(stay.until_day) or ""]
            is_second = "yes" if stay.second_entry else "no"
            self.stays.writerow([case.case_id, stay.clinic, stay.number, *dates, is_second])
        chain = " > ".join(stay.number for stay in exported if not stay.second_entry)
        row = _beginning(case, chain) | _course(case)
        if not self.has_header:
            self.cases.writerow(row)
            self.has_header = True
        self.cases.writerow(row.values())

    def close(self):
        for file in self.files:
            file.close()


def _beginning(case, chain):
    return {
        "case_id": case.case_id,
        "animal_id": case.animal_id,
        "stays": chain,
        "admission_date": case.admitted,
        "animals": case.animals,
        "species": case.species,
        "taxon_group": case.taxon_group,
        "place": case.place["place"],
        "arrived_from": case.arrived_from,
    } | {name: case.features[name] for name in FEATURES}


def _course(case):
    first = next((procedure for procedure in case.procedures if procedure.result), None)
    return {
        "first_treatment": first.code if first else "",
        "first_treatment_days": first.day if first else "",
        "outcome": case.outcome,
        "outcome_timing": case.timing,
        "outcome_status": case.status,
        "stay_days": "" if case.end_day is None else case.end_day,
        "euthanasia_reason": case.reason,
        "transferred_to": case.transferred_to,
        "gear_fate": case.gear_items[0].fate if case.gear_items else "",
        "gear_at_release": case.gear_at_release,
    }
