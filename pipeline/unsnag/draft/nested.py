"""Nested lists of JSON Lines: what each list, or each kind of object in it, is in the model."""

from collections.abc import Sequence
from dataclasses import replace

import duckdb

from unsnag.draft import headings
from unsnag.draft.columns import Column, columns_of
from unsnag.draft.shapes import Block, best_record
from unsnag.draft.vocabularies import Vocabularies
from unsnag.read.source import SourceLayout
from unsnag.read.tables import table_name

KIND_HEADINGS = frozenset({"type", "kind", "event", "category", "tipo", "clase"})
KINDS_AT_MOST = 12


def nested_blocks(
    connection: duckdb.DuckDBPyConnection, layout: SourceLayout, nested: str, words: Vocabularies
) -> list[Block]:
    """A block for a nested list, or one for each kind of object that a key such as "type" tells apart."""
    table = table_name(layout, nested)
    columns = columns_of(connection, table)
    kind, whole = _kind_column(columns), best_record(columns, words)
    # A list of gear has a kind too, but there the kind is the thing itself.
    if kind is None or (whole and any(guess.column is kind and guess.is_used for guess in whole.guesses)):
        return [replace(whole, each=nested)] if whole else []
    found = []
    for value in kind.said:
        of_kind = columns_of(connection, table, (kind.name, value.text))
        filled = [column for column in of_kind if column.filled and column.name != kind.name]
        if block := best_record(filled, words):
            found.append(replace(block, each=nested, where=(kind.name, value.text)))
    return found


def _kind_column(columns: Sequence[Column]) -> Column | None:
    """The key that tells kinds apart, if objects of several kinds stand in the list."""
    if len(columns) < 4:
        return None
    return next(
        (
            column
            for column in columns
            if headings.bare(column.name) in KIND_HEADINGS and 2 <= len(column.said) <= KINDS_AT_MOST
        ),
        None,
    )
