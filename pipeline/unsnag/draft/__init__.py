"""The draft room: export files nobody has seen before → clinic.toml and terms.csv to be corrected, and questions."""

from unsnag.draft.answers import Answers
from unsnag.draft.drafting import Drafted, draft_clinic

__all__ = ["Answers", "Drafted", "draft_clinic"]
