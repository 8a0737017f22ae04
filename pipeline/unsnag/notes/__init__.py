"""Free text: what a clinic's notes say of gear, injury, treatment and outcome, in English and Spanish.

Rules, word lists and cues are data in ``sql/codes/notes_*.csv``; this package only applies them. Structured
columns win over notes elsewhere; here a text is understood by itself.
"""

from unsnag.notes.bulk import understand_all
from unsnag.notes.explain import explain
from unsnag.notes.mention import Mention, firmest
from unsnag.notes.read import understand
from unsnag.notes.rules import Rules, load_rules

__all__ = ["Mention", "Rules", "explain", "firmest", "load_rules", "understand", "understand_all"]
