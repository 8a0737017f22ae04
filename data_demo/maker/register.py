"""Case numbers: every clinic counts its admissions in its own way."""

from collections import Counter

from maker.case import Stay
from maker.dirt import RATES
from maker.draws import Chooser
from maker.endings import EXPORTED

FORMS = {
    "marea_alta": lambda year, count, running: f"MA-{year}-{count:04d}",
    "quennaby": lambda year, count, running: f"QWH{year % 100:02d}/{count:04d}",
    "tern_street": lambda year, count, running: f"TS{running:06d}",
    "lantern_rock": lambda year, count, running: f"{count}/{year % 100:02d}",
    "skerrandine": lambda year, count, running: f"S{year}-{count:03d}",
}


class Register:
    """Gives stays their numbers in order of admission, and keeps count from batch to batch."""

    def __init__(self):
        self._years, self._running = Counter(), Counter()
        self._choose = Chooser("register")

    def _number(self, clinic, year):
        self._years[clinic, year] += 1
        self._running[clinic] += 1
        return FORMS[clinic](year, self._years[clinic, year], self._running[clinic])

    def enter(self, cases):
        """Number all stays but those that began after their clinic's last export; returns (case, stay) by admission."""
        entries = [(case, stay) for case in cases for stay in case.stays]
        entries = [
            entry for entry in entries if entry[0].date(entry[1].from_day) <= EXPORTED[entry[1].clinic]
        ]
        entries.sort(key=lambda entry: entry[0].date(entry[1].from_day))
        numbered = []
        for case, stay in entries:
            stay.number = self._number(stay.clinic, case.date(stay.from_day).year)
            numbered.append((case, stay))
            if self._choose.chance(RATES["second_number"]):
                numbered.append((case, self._second_entry(case, stay)))
        return numbered

    def _second_entry(self, case, stay):
        """The same animal, typed again by a colleague under a new number."""
        again = Stay(
            stay.clinic, stay.from_day, stay.until_day, came_from=stay.came_from, goes_to=stay.goes_to
        )
        again.second_entry = True
        again.number = self._number(stay.clinic, case.date(stay.from_day).year)
        case.stays.append(again)
        return again
