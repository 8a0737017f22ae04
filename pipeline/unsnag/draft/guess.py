"""Which column fills which field: headings and contents together, each field and column used once."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from unsnag.draft import headings
from unsnag.draft.columns import PROSE, Column, word_counts
from unsnag.draft.days import is_dates
from unsnag.draft.decimals import is_numbers
from unsnag.draft.vocabularies import Vocabularies
from unsnag.workspace.fields import all_fields

SURE, LIKELY, WEAK = 0.8, 0.55, 0.35
NAMED_PEOPLE = 0.9
# Yes, no and small numbers stand in many columns, so that they speak for no field by themselves.
OF_ANY_FIELD = frozenset({"yes_no", "triage_score"})


@dataclass(frozen=True)
class Guess:
    """A column for a field, and how sure: from 0 to 1.

    also : columns that say the same in other files, after a column was renamed
    """

    record: str
    field: str
    column: Column
    score: float
    also: tuple[str, ...] = ()

    @property
    def is_used(self) -> bool:
        """A weak guess is written as a comment only."""
        return self.score >= LIKELY

    @property
    def confidence(self) -> str:
        """In words."""
        return "sure" if self.score >= SURE else "likely" if self.score >= LIKELY else "a weak guess"


def guesses(record: str, columns: Sequence[Column], words: Vocabularies) -> list[Guess]:
    """The best column for each field of a record, in the model's order."""
    scored = [
        Guess(record, item.field, column, score(item, column, words))
        for item in all_fields()
        if item.record == record
        for column in columns
    ]
    order = [item.field for item in all_fields() if item.record == record]
    taken: dict[str, Guess] = {}
    for guess in sorted(
        scored, key=lambda each: (-each.score, each.column.position, order.index(each.field))
    ):
        is_free = guess.field not in taken and all(
            guess.column is not other.column for other in taken.values()
        )
        if guess.score >= WEAK and is_free:
            taken[guess.field] = guess
    used = {guess.column.name for guess in taken.values()}
    renamed = [guess for guess in scored if guess.score >= LIKELY and guess.column.name not in used]
    found = [_with_renamed(guess, renamed) for guess in taken.values()]
    return sorted(found, key=lambda guess: order.index(guess.field))


def _with_renamed(guess: Guess, others: Sequence[Guess]) -> Guess:
    """The guess with the columns that fill its field in those files that lack its own."""
    also, files = [], guess.column.files
    for other in others:
        if other.field == guess.field and other.column.files and not files & other.column.files:
            also.append(other.column.name)
            files |= other.column.files
    return replace(guess, also=tuple(also))


def score(item, column: Column, words: Vocabularies) -> float:
    """How well a column fits a field, from 0 to 1; contents that cannot be the field's rule it out."""
    heading = headings.likeness(column.name, item.record, item.field)
    if not column.filled:
        return 0.9 * heading
    content = CONTENTS[item.kind](item, column, words)
    if content is None:
        return 0.0
    if item.kind == "term":
        alone = 0.75 * content if content >= 0.6 and item.vocabulary not in OF_ANY_FIELD else 0.0
        return max(0.75 * heading + 0.25 * content, alone)
    return heading * (0.75 + 0.25 * content)


def _key(item, column: Column, words) -> float | None:
    if item.record == "stay" and (is_dates(column) and not is_numbers(column)):
        return None
    return column.distinct_share if item.record == "stay" else 0.5


def _date(item, column: Column, words) -> float | None:
    return min(1.0, column.day_share + column.share("yearless")) if is_dates(column) else None


def _number(item, column: Column, words) -> float | None:
    return column.number_share if is_numbers(column) else None


def _count(item, column: Column, words) -> float | None:
    small = sum(value.times for value in column.said if value.text.isdigit() and len(value.text) <= 3)
    return small / column.filled if small >= 0.7 * column.filled else None


def _term(item, column: Column, words: Vocabularies) -> float | None:
    if is_dates(column) and not is_numbers(column):
        return None
    return None if column.words_a_cell > PROSE else words.share_known(item.vocabulary, word_counts(column))


def _text(item, column: Column, words) -> float | None:
    return None if is_dates(column) and not is_numbers(column) else 0.5


def _place(item, column: Column, words) -> float | None:
    return None if is_numbers(column) or is_dates(column) else 0.5


def _note(item, column: Column, words) -> float | None:
    return min(1.0, column.words_a_cell / PROSE) if not is_numbers(column) and not is_dates(column) else None


CONTENTS = {
    "key": _key,
    "date": _date,
    "number": _number,
    "count": _count,
    "term": _term,
    "text": _text,
    "place": _place,
    "note": _note,
}


def private_columns(columns: Sequence[Column], used: Sequence[Guess]) -> dict[str, str]:
    """Column → why it may hold personal data."""
    sure = {guess.column.name for guess in used if guess.score >= SURE}
    found = {}
    for column in columns:
        heading = headings.private_likeness(column.name)
        if column.share("removed") >= 0.3:
            found[column.name] = "contact details stand in it"
        elif heading >= 0.8 and column.name not in sure:
            found[column.name] = "its heading speaks of a person or of how to reach one"
        elif _looks_like_names(column) and column.name not in {guess.column.name for guess in used}:
            found[column.name] = "perhaps people's names; take it out of the list if it holds none"
    return found


def _looks_like_names(column: Column) -> bool:
    """Two or three capitalised words nearly everywhere."""
    parts = [(value, value.text.split()) for value in column.said]
    named = sum(
        value.times
        for value, words in parts
        if 2 <= len(words) <= 3 and all(word[:1].isupper() and word[1:2].islower() for word in words)
    )
    return column.filled >= 5 and named >= NAMED_PEOPLE * column.filled
