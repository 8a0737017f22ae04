"""The shared words, as a draft compares a column's values with them."""

from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache

from unsnag.draft.columns import Column, word_counts
from unsnag.workspace.fields import all_fields


@dataclass(frozen=True)
class Vocabularies:
    """codes: vocabulary → folded word → code."""

    codes: Mapping[str, Mapping[str, str]]

    def share_known(self, vocabulary: str, counts: Counter[str]) -> float:
        """The share of cells whose value is a word of the vocabulary."""
        known = self.codes.get(vocabulary, {})
        total = sum(counts.values())
        return sum(times for word, times in counts.items() if word in known) / total if total else 0.0

    def share_known_in(self, field: str, column: Column) -> float:
        """The share of a column's cells that are words of a field's vocabulary."""
        return self.share_known(vocabulary_of(field), word_counts(column))


@cache
def vocabulary_of(field: str) -> str:
    """The vocabulary whose codes a field speaks."""
    return next(item.vocabulary for item in all_fields() if item.field == field)
