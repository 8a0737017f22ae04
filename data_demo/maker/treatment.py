"""What was done for an animal and what was seen, as dated procedures and findings."""

from maker import rates as r
from maker import ward
from maker.case import Finding, Procedure

ANAESTHESIA = {
    r.ENDOSCOPY: "general",
    r.SURGERY: "general",
    r.REMOVAL: "local",
    r.LINE_CUT: "none",
    r.DISENTANGLE: "sedation",
    r.CHELATION: "none",
}
PROCEDURES = {
    r.ENDOSCOPY: "endoscopic_retrieval",
    r.LINE_CUT: "line_cut_hook_left",
    r.DISENTANGLE: "disentangling",
    r.CHELATION: "chelation",
}
REMOVALS = ["manual_removal", "barb_cut_and_backed_out", "pushed_through"]
TROUBLES = [
    "infection",
    "wound_breakdown",
    "haemorrhage",
    "perforation",
    "reflux_aspiration",
    "other_complication",
]
FIRST_CARE = ["fluids", "analgesia", "antibiotics", "wound_care", "tube_feeding"]
FINDINGS = {
    ward.FILM_PASSED: "gear_passed",
    ward.FILM_MOVED: "gear_moved",
    ward.FILM_UNMOVED: "gear_unmoved",
    ward.WORSE: "worse",
    ward.BETTER: "improved",
}
SWALLOWED = (r.SWALLOWED_REPTILE, r.SWALLOWED_WARM)
LEAD_TESTED_UNTIL = 60


def fill_in(case, site, events, end_day, choose):
    """Append the procedures and findings of a case, in order of days.

    site     : the model's column, for the first lead level
    events   : list of (day, event, detail) from the ward's log
    """
    problem = case.features["problem"]
    acted_at_once = any(kind == ward.ATTEMPT and day == 0 for day, kind, _ in events)
    _first_day(case, problem, acted_at_once, choose)
    for day, kind, detail in events:
        if kind == ward.ATTEMPT:
            _attempt(case, day, ward.unpacked(detail), choose)
        elif kind != ward.TRANSFER:
            _finding(case, day, kind)
    if problem == r.LEAD:
        _lead_levels(case, site, end_day, choose)
    case.procedures.sort(key=lambda procedure: procedure.day)
    case.findings.sort(key=lambda finding: finding.day)


def _first_day(case, problem, acted_at_once, choose):
    case.procedures.extend(Procedure(0, code) for code in FIRST_CARE if choose.chance(0.28))
    is_filmed = problem in (*SWALLOWED, r.LEAD) or (problem != r.OTHER and choose.chance(0.3))
    if is_filmed:
        case.procedures.append(Procedure(0, "radiograph"))
        case.findings.append(Finding(0, "gear_in_place"))
    if problem in SWALLOWED and not acted_at_once:
        case.procedures.append(Procedure(0, "watch"))


def _finding(case, day, kind):
    if kind in (ward.FILM_PASSED, ward.FILM_MOVED, ward.FILM_UNMOVED) and case.features["problem"] != r.MOUTH:
        case.procedures.append(Procedure(day, "radiograph"))
    case.findings.append(Finding(day, FINDINGS[kind]))


def _attempt(case, day, was, choose):
    kind = was["kind"]
    code = _procedure(kind, case.features["body_site"], choose)
    result = "success" if was["success"] else choose.word(["failed", "abandoned"])
    reason = _reason(case, was["again"])
    trouble = _complication(was, choose)
    case.procedures.append(Procedure(day, code, reason, ANAESTHESIA[kind], result, trouble))
    if was["success"] and kind == r.SURGERY and case.features["pace"] == 1:
        case.procedures.extend(_milestones(day, choose))


def _procedure(kind, body_site, choose):
    if kind == r.SURGERY:
        return "surgery_oesophagotomy" if body_site == "oesophagus" else "surgery_coeliotomy"
    return choose.word(REMOVALS) if kind == r.REMOVAL else PROCEDURES[kind]


def _complication(was, choose):
    if was["died"]:
        return choose.one_of(["anaesthetic", "haemorrhage"])
    return choose.one_of(TROUBLES) if was["trouble"] else "none"


def _reason(case, is_repeat):
    if is_repeat:
        return "failed_attempt"
    seen = [finding.code for finding in case.findings]
    if "worse" in seen:
        return "worse"
    films = [code for code in seen if code in ("gear_moved", "gear_unmoved")]
    return "unmoved" if films[-1:] == ["gear_unmoved"] else "planned"


def _milestones(day, choose):
    """Convalescence of a turtle after such an operation (common practice, no source)."""
    wet = day + choose.whole(10, 14)
    tank = wet + choose.whole(6, 8)
    sutures = day + choose.whole(40, 43)
    steps = {"dry_dock": day + 1, "immersion": wet, "return_to_tank": tank, "suture_removal": sutures}
    return [Procedure(at, code) for code, at in steps.items()]


def _lead_levels(case, site, until, choose):
    level = choose.whole(14, 38) if site == 0 else choose.whole(45, 160)
    chelated = min((p.day for p in case.procedures if p.code == "chelation"), default=10**6)
    for day in range(0, min(until, LEAD_TESTED_UNTIL) + 1, 7):
        case.procedures.append(Procedure(day, "blood_lead_test"))
        case.findings.append(Finding(day, "lead_level", str(max(3, round(level))), "ug/dL"))
        level *= 0.5 if day >= chelated else 0.85
