"""How a case ended, as far as its last clinic knew on the day of its export."""

import datetime as dt

from maker import rates as r

EXPORTED = {
    "marea_alta": dt.date(2025, 1, 4),
    "quennaby": dt.date(2025, 1, 2),
    "tern_street": dt.date(2025, 1, 6),
    "lantern_rock": dt.date(2025, 1, 6),
    "skerrandine": dt.date(2025, 1, 3),
}
OUTSIDE_NETWORK = ["Farrowgate Zoo Hospital", "Isle Marine Aquarium", "Dr Pellinstone, private practice"]
OUTCOMES = {
    r.RELEASED: "released",
    r.DIED: "died",
    r.EUTHANASED: "euthanased",
    r.KEPT: "permanent_care",
    r.MOVED_OUT: "transferred_out",
    r.LOST: "",
    r.RELEASED_ELSEWHERE: "released_elsewhere",
}
AT_ONCE = {"died": "within_24_hours", "euthanased": "at_triage"}
SEEN_AGAIN = 0.07


def settle(case, end, choose):
    """Set outcome, timing, status and reason; forget what happened after the export."""
    days_seen = (EXPORTED[case.stays[-1].clinic] - case.admitted).days
    if end == r.IN_CARE or case.end_day > days_seen:
        case.status, case.end_day = "in_care", None
        _forget_after(case, days_seen)
        return
    _forget_after(case, case.end_day)
    case.stays[-1].until_day = case.end_day
    case.outcome = OUTCOMES[end]
    if end == r.LOST:
        case.status = "record_lost"
    if case.outcome in AT_ONCE:
        case.timing = AT_ONCE[case.outcome] if case.end_day == 0 else "later"
    if case.outcome == "euthanased":
        case.reason = _euthanasia_reason(case, choose)
    if case.outcome == "transferred_out":
        case.transferred_to = choose.one_of(OUTSIDE_NETWORK)


def _forget_after(case, last_day):
    case.findings = [finding for finding in case.findings if finding.day <= last_day]
    case.procedures = [procedure for procedure in case.procedures if procedure.day <= last_day]


def _euthanasia_reason(case, choose):
    if case.end_day == 0:
        return choose.word(["injury_beyond_treatment", "suffering"])
    if any(procedure.complication not in ("", "none") for procedure in case.procedures):
        return "complication"
    return choose.word(["poor_prognosis", "welfare_in_care", "suffering", "not_stated_reason"])


def after_release(case, choose):
    """Gear still inside at release; a few banded animals are seen again."""
    if not case.outcome.startswith("released"):
        return
    if case.is_tackle():
        case.gear_at_release = "yes" if case.gear_items[0].fate == "left_in" else "no"
    if case.band and choose.chance(SEEN_AGAIN):
        day = case.end_day + choose.whole(20, 300)
        case.seen_again_day = day if case.date(day) <= EXPORTED[case.stays[-1].clinic] else None
