"""From the simulated arrays to cases: procedures and findings in order, stays, endings, bands, readmissions."""

import datetime as dt

import numpy as np

from maker import animals, care, coast, ward
from maker import rates as r
from maker.case import Case, Finding, GearItem, Procedure, Stay
from maker.draws import Chooser, generator

EXPORTED = {
    "marea_alta": dt.date(2025, 1, 7),
    "quennaby": dt.date(2025, 1, 6),
    "tern_street": dt.date(2025, 1, 10),
    "lantern_rock": dt.date(2025, 1, 6),
    "skerrandine": dt.date(2025, 1, 3),
}
OUTSIDE_NETWORK = ["Farrowgate Zoo Hospital", "Isle Marine Aquarium", "Dr Pellinstone, private practice"]
ANAESTHESIA = {r.ENDOSCOPY: "general", r.SURGERY: "general", r.REMOVAL: "local", r.LINE_CUT: "none",
               r.DISENTANGLE: "sedation", r.CHELATION: "none"}  # fmt: skip
TROUBLES = ["infection", "wound_breakdown", "haemorrhage", "perforation", "reflux_aspiration", "other_complication"]
FIRST_CARE = ["fluids", "analgesia", "antibiotics", "wound_care", "tube_feeding"]
ENDINGS = {r.RELEASED: "released", r.DIED: "died", r.EUTHANASED: "euthanased", r.KEPT: "permanent_care",
           r.MOVED_OUT: "transferred_out", r.LOST: "", r.RELEASED_ELSEWHERE: "released_elsewhere"}  # fmt: skip
FILMS = {ward.FILM_PASSED: "gear_passed", ward.FILM_MOVED: "gear_moved", ward.FILM_UNMOVED: "gear_unmoved",
         ward.WORSE: "worse", ward.BETTER: "improved"}  # fmt: skip


class Teller:
    """Tells the stories of one herd."""

    def __init__(self, block):
        self.choose = Chooser("stories", block)

    def _attempt_code(self, kind, group, site):
        if kind == r.SURGERY:
            return "surgery_oesophagotomy" if site == "oesophagus" else "surgery_coeliotomy"
        if kind == r.REMOVAL:
            return self.choose.word(["manual_removal", "barb_cut_and_backed_out", "pushed_through"])
        return {r.ENDOSCOPY: "endoscopic_retrieval", r.LINE_CUT: "line_cut_hook_left",
                r.DISENTANGLE: "disentangling", r.CHELATION: "chelation"}[kind]  # fmt: skip

    def _attempt(self, case, day, detail):
        was = ward.unpacked(detail)
        kind = was["kind"]
        code = self._attempt_code(kind, case.taxon_group, case.features["body_site"])
        troubled = self.choose.one_of(TROUBLES) if was["trouble"] else "none"
        if was["died"]:
            troubled = "anaesthetic" if self.choose.chance(0.5) else "haemorrhage"
        result = "success" if was["success"] else ("abandoned" if self.choose.chance(0.2) else "failed")
        case.procedures.append(Procedure(day, code, _reason(case, was["again"]), ANAESTHESIA[kind], result, troubled))
        if was["success"] and kind == r.SURGERY and case.features["pace"] == 1:
            case.procedures.extend(self._milestones(day))

    def _milestones(self, day):
        """Convalescence of a turtle after a coeliotomy (common practice, no source)."""
        wet = day + self.choose.whole(10, 14)
        tank = wet + self.choose.whole(6, 8)
        return [Procedure(day + 1, "dry_dock"), Procedure(wet, "immersion"), Procedure(tank, "return_to_tank"),
                Procedure(day + self.choose.whole(40, 43), "suture_removal")]  # fmt: skip

    def _first_day(self, case, problem, acted_at_once):
        for code in FIRST_CARE:
            if self.choose.chance(0.28):
                case.procedures.append(Procedure(0, code))
        if problem in (r.SWALLOWED_REPTILE, r.SWALLOWED_WARM, r.LEAD) or (problem != r.OTHER and self.choose.chance(0.3)):
            case.procedures.append(Procedure(0, "radiograph"))
            case.findings.append(Finding(0, "gear_in_place"))
        if problem in (r.SWALLOWED_REPTILE, r.SWALLOWED_WARM) and not acted_at_once:
            case.procedures.append(Procedure(0, "watch"))

    def _lead_levels(self, case, site, until):
        level = self.choose.whole(22, 58) if site == 0 else self.choose.whole(65, 160)
        chelated = min((p.day for p in case.procedures if p.code == "chelation"), default=10**6)
        for day in range(0, min(until, 60) + 1, 7):
            case.procedures.append(Procedure(day, "blood_lead_test"))
            case.findings.append(Finding(day, "lead_level", str(max(3, round(level))), "ug/dL"))
            level *= 0.5 if day >= chelated else 0.85

    def events(self, case, herd_row, events, end_day):
        """Fill in what was done and seen."""
        problem = herd_row["problem"]
        acted_at_once = any(kind == ward.ATTEMPT and day == 0 for day, kind, _ in events)
        self._first_day(case, problem, acted_at_once)
        for day, kind, detail in events:
            if kind == ward.ATTEMPT:
                self._attempt(case, day, detail)
            elif kind != ward.TRANSFER:
                if kind <= ward.FILM_UNMOVED and problem != r.MOUTH:
                    case.procedures.append(Procedure(day, "radiograph"))
                case.findings.append(Finding(day, FILMS[kind]))
        if problem == r.LEAD:
            self._lead_levels(case, herd_row["site"], end_day)

    def gear(self, case, herd_row):
        """The main gear item, and for some animals a second hook."""
        f, choose = case.features, self.choose
        is_hook = f["gear"] in ("hook", "lure", "several")
        has_line = f["line"] or f["gear"] == "line"
        case.gear_items.append(GearItem(
            f["gear"], f["injury"], f["body_site"],
            hook_kind=f["hook_kind"] if is_hook else "",
            hook_size=choose.one_of(["1/0", "2/0", "4/0", "6", "4", "2"]) if is_hook and choose.chance(0.6) else "",
            barb=choose.word(["barbed", "barbless", "crushed"]) if is_hook and choose.chance(0.7) else "",
            line_strength=str(choose.one_of([3, 4, 6, 8, 10, 15, 20])) if has_line and choose.chance(0.4) else "",
            line_length=str(choose.one_of([10, 20, 30, 50, 80, 150, 200])) if has_line and choose.chance(0.5) else "",
            line_trailing="yes" if f["line"] else "no",
            lead="yes" if herd_row["problem"] == r.LEAD else choose.word(["no", "uncertain"]),
            **_fate(case),
        ))  # fmt: skip
        if f["gear"] == "several" or (is_hook and choose.chance(0.05)):
            case.gear_items.append(GearItem("hook", "embedded", choose.one_of(["foot_or_leg", "neck", "tail"]),
                                            hook_kind="treble", fate="removed", fate_day=0))  # fmt: skip

    def stays(self, case, clinic, events):
        """One stay a clinic; a hand-over is typed on its day, or now and then a day late by the receiver."""
        case.stays.append(Stay(coast.CLINICS[clinic], 0))
        for day, kind, detail in events:
            if kind == ward.TRANSFER and case.end_day > day:
                before, after = case.stays[-1], Stay(coast.CLINICS[detail], day + self.choose.chance(0.12))
                before.until_day, before.goes_to, after.came_from = day, after, before
                case.stays.append(after)

    def ending(self, case, end):
        """Outcome, timing, status and reason, cut off at the day on which the last clinic wrote its export."""
        clinic = case.stays[-1].clinic
        days_seen = (EXPORTED[clinic] - case.admitted).days
        if end == r.IN_CARE or case.end_day > days_seen:
            case.status, case.end_day = "in_care", None
            case.findings = [f for f in case.findings if f.day <= days_seen]
            case.procedures = [p for p in case.procedures if p.day <= days_seen]
            return
        case.procedures = [p for p in case.procedures if p.day <= case.end_day]
        case.stays[-1].until_day = case.end_day
        case.outcome = ENDINGS[end]
        if end == r.LOST:
            case.status = "record_lost"
            return
        if case.outcome in ("died", "euthanased"):
            early = "at_triage" if case.outcome == "euthanased" else "within_24_hours"
            case.timing = early if case.end_day == 0 else "later"
        if case.outcome == "euthanased":
            case.reason = self._euthanasia_reason(case)
        if case.outcome == "transferred_out":
            case.transferred_to = self.choose.one_of(OUTSIDE_NETWORK)

    def _euthanasia_reason(self, case):
        if case.end_day == 0:
            return self.choose.word(["injury_beyond_treatment", "suffering"])
        if any(p.complication not in ("", "none") for p in case.procedures):
            return "complication"
        return self.choose.word(["poor_prognosis", "welfare_in_care", "suffering", "not_stated_reason"])

    def after_release(self, case):
        """Bands and chips, gear still inside, and a few animals seen again."""
        if case.outcome not in ("released", "released_elsewhere"):
            return
        if case.is_tackle():
            case.gear_at_release = "yes" if case.gear_items[0].fate == "left_in" else "no"
        if case.band and self.choose.chance(0.07):
            case.seen_again_day = case.end_day + self.choose.whole(20, 300)


def _reason(case, is_repeat):
    if is_repeat:
        return "failed_attempt"
    seen = [f.code for f in case.findings]
    if "worse" in seen:
        return "worse"
    films = [code for code in seen if code in ("gear_moved", "gear_unmoved")]
    return "unmoved" if films[-2:] == ["gear_unmoved", "gear_unmoved"] else "planned"


LEAVES_GEAR = ("line_cut_hook_left", "chelation")
REMOVES_GEAR = ("endoscopic_retrieval", "surgery_coeliotomy", "surgery_oesophagotomy", "manual_removal",
                "barb_cut_and_backed_out", "pushed_through", "disentangling")  # fmt: skip


def _fate(case):
    out = next((p.day for p in case.procedures if p.code in REMOVES_GEAR and p.result == "success"), None)
    passed = next((f.day for f in case.findings if f.code == "gear_passed"), None)
    if out is not None:
        return {"fate": "removed", "fate_day": out}
    if passed is not None:
        return {"fate": "passed", "fate_day": passed}
    if case.status != "final" or case.outcome == "transferred_out":
        return {"fate": "", "fate_day": None}
    return {"fate": "left_in", "fate_day": None}


INJURIES = {r.SWALLOWED_REPTILE: "ingested", r.SWALLOWED_WARM: "ingested", r.MOUTH: "embedded", r.EXTERNAL: "embedded",
            r.LEAD: "lead_poisoning", r.OTHER: ""}  # fmt: skip


def _features(row, choose):
    """The recorded features in shared codes."""
    injury = INJURIES.get(row["problem"]) if row["problem"] != r.ENTANGLED else choose.word(["entangled", "constricting"])
    return {
        "cause": row["cause"], "injury": injury, "gear": row["gear"], "body_site": row["body_site"],
        "hook_kind": animals.HOOK_KINDS[row["hook_kind"]], "line": bool(row["line"]), "pace": row["pace"],
        "severity": animals.SEVERITIES[row["severity"]], "body_condition": animals.CONDITIONS[row["body_condition"]],
        "triage_score": row["triage_score"], "injury_age": animals.AGES[row["injury_age"]],
        "sex": animals.SEX[row["sex"]], "life_stage": animals.STAGES[row["life_stage"]], "mass_g": row["mass_g"],
        "found_before": row["found_before"], "radius_m": row["radius_m"], "problem": row["problem"],
        "arrival": "dead" if row["dead_on_arrival"] else "alive",
    }  # fmt: skip


def tell(herd, block, first_number=1):
    """Live through the herd's care and tell it: a list of cases in order of admission."""
    alive = ~herd["dead_on_arrival"]
    lived = care.live({name: values[alive] for name, values in herd.items()}, generator("care", block))
    events = iter(lived.events_by_case())
    ends, end_days = np.zeros(len(alive), int), np.zeros(len(alive), int)
    ends[alive], end_days[alive] = lived.end, lived.end_day
    ends[~alive] = r.DIED
    teller = Teller(block)
    rows = zip(*(values.tolist() for values in herd.values()), strict=True)
    cases = []
    for index, values in enumerate(rows):
        row = dict(zip(herd, values, strict=True))
        happened = [] if row["dead_on_arrival"] else next(events)
        cases.append(_one_case(teller, row, happened, int(ends[index]), int(end_days[index]), first_number + index))
    return cases


def _one_case(teller, row, events, end, end_day, number):
    place = coast.PLACES[row["place"]]
    case = Case(f"C{number:07d}", f"A{number:07d}", coast.FIRST_DAY + dt.timedelta(days=row["day"]),
                animals.NAMES[row["species"]], animals.GROUPS[row["species"]], _features(row, teller.choose), place,
                row["latitude"], row["longitude"], end_day=end_day)  # fmt: skip
    teller.stays(case, row["clinic"], events)
    if row["dead_on_arrival"]:
        case.outcome, case.timing, case.stays[0].until_day = "died", "before_admission", 0
    else:
        teller.events(case, row, events, end_day)
        teller.ending(case, end)
    if case.is_tackle():
        teller.gear(case, row)
    if row["banded"]:
        case.band = f"{teller.choose.one_of(['ORB', 'CHIP'])}{teller.choose.whole(10000, 99999)}{number % 100:02d}"
    teller.after_release(case)
    case.procedures.sort(key=lambda procedure: procedure.day)
    case.findings.sort(key=lambda finding: finding.day)
    return case


BACK_AGAIN = 0.05


def readmit(cases, block):
    """Some released animals come back: a later case of the same species is declared to be the same animal."""
    choose = Chooser("readmissions", block)
    taken = set()
    by_species = {}
    for case in cases:
        by_species.setdefault(case.species, []).append(case)
    for case in cases:
        if case.outcome != "released" or not choose.chance(BACK_AGAIN):
            continue
        home = case.date(case.end_day)
        later = (c for c in by_species[case.species] if 12 <= (c.admitted - home).days <= 420 and c.case_id not in taken)
        again = next(later, None)
        if again is not None:
            taken.add(again.case_id)
            _same_animal(case, again)


def _same_animal(case, again):
    again.animal_id, again.band = case.animal_id, case.band
    again.features["sex"] = case.features["sex"]
    if case.seen_again_day and case.date(case.seen_again_day) > again.admitted:
        case.seen_again_day = None
