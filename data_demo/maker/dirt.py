"""Realistic slips in the exports, each kind counted, so that checks can be proved against the truth."""

from collections import defaultdict

from maker.draws import Chooser

RATES = {
    "species_typo": 0.015,
    "blank_severity": 0.015,
    "blank_body_site": 0.02,
    "impossible_found_date": 0.006,
    "ending_before_admission": 0.006,
    "repeated_row": 0.008,
    "swapped_coordinates": 0.008,
    "mass_slip": 0.010,
    "second_number": 0.006,
}


class Dirt:
    """The slips of one clinic: ``numbers`` lists the case numbers struck by each kind."""

    def __init__(self, clinic):
        self._choose = Chooser("dirt", clinic)
        self.numbers = defaultdict(list)

    def strikes(self, kind, number, applies=True):
        """Whether this slip happens to this record. A slip that cannot apply here is never counted."""
        hit = self._choose.chance(RATES[kind])
        if hit and applies:
            self.numbers[kind].append(number)
        return hit and applies

    def add(self, kind, number):
        self.numbers[kind].append(number)
