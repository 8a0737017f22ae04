"""What the user of a draft says: beforehand, or when asked on a terminal."""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date


@dataclass(frozen=True)
class Answers:
    """What is known; None is drafted or asked.

    ask : (what it is about, question) → the answer as the option of that name takes it, or None; no ``ask`` means
          that nobody can be asked, and the question is left in the draft
    """

    label: str | None = None
    timezone: str | None = None
    exported: date | None = None
    date_order: str | None = None
    ask: Callable[[str, str], str | None] | None = None

    def to(self, about: str, question: str) -> str | None:
        """The answer to a question, if anybody answers."""
        return self.ask(about, question) if self.ask else None
