"""What all five clinics' writers share: words, dates, slips, and what a stay looks like from inside its clinic."""

import datetime as dt

from maker.dirt import Dirt
from maker.draws import Chooser
from maker.endings import EXPORTED
from maker.lexicon import Lexicon
from maker.people import Finder

LABELS = {
    "marea_alta": "Refugio Marea Alta",
    "quennaby": "Quennaby Wildlife Hospital",
    "tern_street": "Tern Street Veterinary Clinic",
    "lantern_rock": "Lantern Rock Wildlife Rescue",
    "skerrandine": "Skerrandine Marsh Carers",
}


def headings(text):
    """Column headings out of one line of text, in order."""
    return text.split("|")


class Writer:
    """A clinic's pen. Subclasses lay out the file; this class knows the record."""

    clinic = ""
    date_format = "%Y-%m-%d"

    def __init__(self, folder):
        self.folder = folder
        folder.mkdir(parents=True, exist_ok=True)
        self.choose = Chooser("clinic", self.clinic)
        self.lexicon, self.dirt = Lexicon(self.clinic), Dirt(self.clinic)

    def create(self, name, encoding="utf-8"):
        """A new export file; line ends are written as given."""
        return (self.folder / name).open("w", encoding=encoding, newline="")

    def say(self, field, code):
        return self.lexicon.say(field, code, self.choose)

    def date(self, day):
        """A date as this clinic writes it."""
        return "" if day is None else day.strftime(self.date_format)

    def species(self, case, number):
        typo = self.lexicon.typos["species", case.species]
        if self.dirt.strikes("species_typo", number, bool(typo)):
            return typo
        return self.say("species", case.species)

    def ending(self, case, stay):
        """(outcome key, its date) as known to this clinic when it wrote its last export."""
        as_of = EXPORTED[self.clinic]
        left = case.date(stay.until_day)
        if left is None or left > as_of:
            return "@in_care", None
        if stay.goes_to:
            return "transferred_out", left
        if case.status == "record_lost":
            return "@record_lost", None
        return f"{case.outcome}@{case.timing}" if case.timing else case.outcome, left

    def transferred_to(self, case, stay):
        if stay.goes_to:
            return LABELS[stay.goes_to.clinic] if self.choose.chance(0.85) else ""
        return case.transferred_to

    def came_from(self, case, stay):
        """(clinic, number) that the receiving clinic typed: both, the name only, or nothing."""
        before = stay.came_from
        luck = self.choose.uniform()
        if before is None:
            return case.arrived_from, ""
        if luck > 0.85:
            return "", ""
        if luck > 0.6:
            return LABELS[before.clinic], ""
        return LABELS[before.clinic], self._as_typed(before.number)

    def _as_typed(self, number):
        """A clinic's number in whatever form another one types it."""
        forms = [
            number,
            number.lower(),
            number.replace("-", "/"),
            number.replace("/", " "),
            number.replace("-", ""),
        ]
        return self.choose.one_of(forms)

    def mass_g(self, case, number):
        """Mass in grams, now and then a thousand times too large: kilograms and grams mixed up."""
        grams = case.features["mass_g"]
        return grams * 1000 if self.dirt.strikes("mass_slip", number) else grams

    def point(self, case, number):
        """Latitude and longitude, now and then the wrong way round."""
        if self.dirt.strikes("swapped_coordinates", number):
            return case.longitude, case.latitude
        return case.latitude, case.longitude

    def severity(self, case, number):
        if self.dirt.strikes("blank_severity", number):
            return ""
        return self.say("severity", case.features["severity"])

    def body_site(self, case, number):
        site = case.features["body_site"]
        if self.dirt.strikes("blank_body_site", number, bool(site)):
            return ""
        return self.say("body_site", site)

    def outcome_date(self, left, number):
        """The day of the ending, now and then a year too early."""
        if self.dirt.strikes("ending_before_admission", number, left is not None):
            return left - dt.timedelta(days=365)
        return left

    def finder(self):
        return Finder(self.choose)
