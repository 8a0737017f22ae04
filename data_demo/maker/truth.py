"""The truth hidden in the demo: written beside it, so that every later number can be proved against it."""

import csv

import numpy as np

from maker import care, coast
from maker import rates as r
from maker.draws import generator
from maker.strategies import QUESTIONS

CASE_COLUMNS = (
    "case_id,animal_id,stays,admission_date,species,taxon_group,sex,life_stage,mass_g,place,cause,injury,gear,body_site,"
    "severity,arrival,first_treatment,first_treatment_days,outcome,outcome_timing,outcome_status,stay_days,euthanasia_reason,"
    "transferred_to,gear_fate,gear_at_release"
).split(",")
STAY_COLUMNS = "case_id,clinic,case_number,from_date,until_date,second_entry".split(",")
CLONES = 6000
EVERYONE = 20000


class TruthWriter:
    """cases.csv and stays.csv, written as the cases are told."""

    def __init__(self, folder):
        folder.mkdir(parents=True, exist_ok=True)
        self.folder = folder
        self.files = [open(folder / name, "w", encoding="utf-8", newline="") for name in ("cases.csv", "stays.csv")]
        self.cases, self.stays = (csv.writer(file, lineterminator="\n") for file in self.files)
        self.cases.writerow(CASE_COLUMNS)
        self.stays.writerow(STAY_COLUMNS)

    def write(self, case):
        exported = [stay for stay in case.stays if stay.number]
        for stay in exported:
            self.stays.writerow([case.case_id, stay.clinic, stay.number, case.date(stay.from_day),
                                 case.date(stay.until_day) or "", "yes" if stay.second_entry else "no"])  # fmt: skip
        chain = [stay.number for stay in exported if not stay.second_entry]
        self.cases.writerow(self._row(case, " > ".join(chain)))

    def _row(self, case, chain):
        f = case.features
        first = next((p for p in case.procedures if p.result), None)
        return [
            case.case_id, case.animal_id, chain, case.admitted, case.species, case.taxon_group, f["sex"], f["life_stage"],
            f["mass_g"], case.place["place"], f["cause"], f["injury"], f["gear"], f["body_site"], f["severity"], f["arrival"],
            first.code if first else "", first.day if first else "", case.outcome, case.timing, case.status,
            "" if case.end_day is None else case.end_day, case.reason, case.transferred_to,
            case.gear_items[0].fate if case.gear_items else "", case.gear_at_release,
        ]  # fmt: skip

    def close(self):
        for file in self.files:
            file.close()


def outcomes_under(question, strategy, herd):
    """Everyone eligible lives under the strategy, many times over. Returns group -> (animals, released, dead) at the horizon."""
    eligible = question.is_eligible(herd) & ~herd["dead_on_arrival"]
    times = max(1, CLONES // max(1, int(eligible.sum())))
    clones = {name: np.tile(values[eligible], times) for name, values in herd.items()}
    rng = generator("truth", question.name)
    ward = care.live(clones, rng, strategy, can_be_lost=False, keep_log=False, until=question.horizon_days)
    released = np.isin(ward.end, (r.RELEASED, r.RELEASED_ELSEWHERE))
    dead = np.isin(ward.end, (r.DIED, r.EUTHANASED))
    groups = {"all": np.isin(clones[question.by], list(question.groups.values()))}
    groups |= {name: clones[question.by] == value for name, value in question.groups.items()}
    return {name: (int(mask.sum()) // times, released[mask].mean(), dead[mask].mean()) for name, mask in groups.items()}


def write_effects(path, herd):
    """effects.toml: true release and death at the horizon, for each question, strategy and group."""
    herd = {name: values[:EVERYONE] for name, values in herd.items()}
    lines = [
        "# True outcomes of the invented animals at each question's horizon, had all of them been cared for under the strategy.",
        "# From simulating every eligible animal (admitted alive) under it many times; good to about one in a hundred.",
    ]
    for question in QUESTIONS:
        for name, strategy in {"usual_care": None, **question.strategies}.items():
            for group, (count, released, dead) in outcomes_under(question, strategy, herd).items():
                lines += ["", "[[effect]]", f'question = "{question.name}"', f'strategy = "{name}"', f'group = "{group}"',
                          f"animals = {count}", f"horizon_days = {question.horizon_days}",
                          f"released = {released:.3f}", f"died_or_euthanased = {dead:.3f}"]  # fmt: skip
    path.write_text("\n".join(lines) + "\n", encoding="utf-8", newline="\n")


def write_sites(path):
    """sites.toml: planted hot spots, the busy place, and what the bins truly do."""
    lines = ["# What is planted on the invented coast. Odds: tackle cases against all other rescues, 1 = the coast's usual."]
    for place in coast.PLACES:
        kind = "hot_spot" if float(place["tackle_odds"]) >= 3 else "busy" if float(place["crowd"]) >= 5 else ""
        if kind:
            lines += ["", f"[[{kind}]]", f'place = "{place["place"]}"', f"crowd = {place['crowd']}", f"tackle_odds = {place['tackle_odds']}"]
    for bin_ in coast.BINS:
        lines += ["", "[[bin]]", f'bin_id = "{bin_["bin_id"]}"', f'place = "{bin_["place"]}"', f"true_rate_ratio = {bin_['true_rate_ratio']}"]
        if bin_["peak_from"]:
            lines += [f"chance_peak_from = {bin_['peak_from']}", f"chance_peak_until = {bin_['peak_until']}", f"chance_peak_factor = {bin_['peak_factor']}"]
    path.write_text("\n".join(lines) + "\n", encoding="utf-8", newline="\n")


def write_dirt(path, writers):
    """dirt.toml: each kind of slip, how often, and in which records; and the words left uncoded on purpose."""
    lines = ["# Slips put into the exports on purpose, by clinic: the case numbers struck."]
    for writer in writers.values():
        for kind, numbers in sorted(writer.dirt.numbers.items()):
            listed = ", ".join(f'"{number}"' for number in numbers)
            lines += ["", "[[slip]]", f'clinic = "{writer.clinic}"', f'kind = "{kind}"', f"count = {len(numbers)}", f"case_numbers = [{listed}]"]
        for field, word in writer.lexicon.uncoded():
            lines += ["", "[[uncoded]]", f'clinic = "{writer.clinic}"', f'field = "{field}"', f'word = "{word}"']
    path.write_text("\n".join(lines) + "\n", encoding="utf-8", newline="\n")
