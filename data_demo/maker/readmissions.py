"""Some released animals come back: a later case of the same species is declared to be the same animal."""

from collections import defaultdict

from maker.draws import Chooser

BACK_AGAIN = 0.05
EARLIEST_DAYS, LATEST_DAYS = 12, 420


def readmit(cases, block):
    """Join some cases of one batch into animals that were admitted twice or more."""
    choose, taken, of_species = Chooser("readmissions", block), set(), defaultdict(list)
    for case in cases:
        of_species[case.species].append(case)
    for case in cases:
        if case.outcome == "released" and choose.chance(BACK_AGAIN):
            again = _next_one(case, of_species[case.species], taken)
            if again is not None:
                taken.add(again.case_id)
                _same_animal(case, again)


def _next_one(case, candidates, taken):
    home = case.date(case.end_day)
    gaps = ((other, (other.admitted - home).days) for other in candidates if other.case_id not in taken)
    return next((other for other, gap in gaps if EARLIEST_DAYS <= gap <= LATEST_DAYS), None)


def _same_animal(case, again):
    again.animal_id, again.band = case.animal_id, case.band
    again.features["sex"] = case.features["sex"]
    if case.seen_again_day and case.date(case.seen_again_day) >= again.admitted:
        case.seen_again_day = None
