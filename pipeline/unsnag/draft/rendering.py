"""clinic.toml as text: every guess with its examples and how sure it is, every question as a comment."""

import json
from collections.abc import Iterable, Sequence

from unsnag.draft import headings
from unsnag.draft.guess import Guess
from unsnag.draft.shapes import Block
from unsnag.draft.sources import Draft, unused_weak
from unsnag.draft.vocabularies import Vocabularies
from unsnag.draft.years import lacks_years
from unsnag.read.names import fold
from unsnag.workspace.fields import kinds

CODES_AT_MOST = 30
STORED = (
    "# What is not read is stored all the same, in store/: a column that names people, or tells how to reach them,",
    "# belongs under private; what stands there never is.",
)


def clinic_toml(
    label: str, timezone: str, zone_note: str, drafts: Sequence[Draft], legends: Iterable[str]
) -> str:
    """The whole file."""
    lines = [
        "# Drafted by unsnag add-clinic from the files in exports/. Nothing here is certain: read every line,",
        "# correct it, and answer each QUESTION; then run: unsnag check",
        f"label = {quoted(label)}",
        f"timezone = {quoted(timezone)}{'   # ' + zone_note if zone_note else ''}",
    ]
    for draft in drafts:
        lines += ["", *source_lines(draft)]
    lines += list(legends)
    return "\n".join(lines) + "\n"


def quoted(text: str) -> str:
    """Text as a TOML basic string; JSON's escapes are among TOML's."""
    return json.dumps(text, ensure_ascii=False).replace("\x7f", "\\u007f")


def source_lines(draft: Draft) -> list[str]:
    """One [[source]] with its blocks."""
    table = draft.table
    lines = [f"# QUESTION: {question}" for question in draft.questions]
    lines += ["[[source]]", f"name = {quoted(draft.name)}", f"files = {quoted(draft.files)}"]
    lines += [f'format = "{table.format}"']
    if table.format == "delimited":
        lines += [f"delimiter = {quoted(table.delimiter)}"]
    if table.sheet:
        lines += [f"sheet = {quoted(table.sheet)}"]
    lines += [f'encoding = "{table.encoding}"   # found, not stated'] if table.encoding else []
    lines += [f"title_rows = {table.title_rows}"] if table.title_rows else []
    lines += [f"totals = {quoted(draft.totals)}"] if draft.totals else []
    lines += [draft.export_date] if draft.export_date else []
    if draft.order.order:
        lines += [f'date_order = "{draft.order.order}"   # {one_line(draft.order.why)}']
    if draft.sign.sign:
        lines += [f'decimal = "{draft.sign.sign}"   # {one_line(draft.sign.why)}']
    if draft.stamps_in:
        lines += [f'stamps_in = "{draft.stamps_in}"   # a heading says so']
    marks = sorted({mark for column in draft.columns for mark in column.marks}, key=fold)
    lines += [f"missing = [{', '.join(map(quoted, marks))}]"] if marks else []
    return (
        lines
        + _private_lines(draft)
        + _own_record(draft)
        + [line for block in draft.blocks for line in ["", *block_lines(draft, block)]]
        + _unused_lines(draft)
    )


def _private_lines(draft: Draft) -> list[str]:
    if not draft.private:
        return []
    # No examples here: a comment is a place where personal data must not end up either.
    rows = [f"    {quoted(name)},   # {why}" for name, why in draft.private.items()]
    return ["# Never stored:", "private = [", *rows, "]"]


def _own_record(draft: Draft) -> list[str]:
    guesses = [guess for guess in draft.guesses if guess.is_used]
    if not guesses and draft.record != "stay":
        return []
    head = "[source.stay]" if draft.record == "stay" else f"[[source.{draft.record}]]"
    return ["", head, *(guess_line(draft, guess) for guess in guesses)]


def guess_line(draft: Draft, guess: Guess) -> str:
    """field = "Column"   # how sure: examples"""
    # No examples of notes: people are named in them.
    is_note = kinds(guess.record)[guess.field] == "note"
    examples = "free text" if is_note else one_line(guess.column.examples)
    return f"{guess.field} = {_cell(draft, guess)}   # {guess.confidence}: {examples}"


def _cell(draft: Draft, guess: Guess) -> str:
    column, kind, more = quoted(guess.column.name), kinds(guess.record)[guess.field], ""
    if guess.field == "mass" and (unit := headings.unit_of(guess.column.name)):
        more = f', unit = "{unit}"'
    if kind == "key" and draft.restarts and guess.record == "stay":
        more = f", year_of = {quoted(draft.restarts)}"
    if kind == "date" and lacks_years(guess.column) and (year := year_column(draft, guess)):
        more = f", year_of = {quoted(year)}"
    if guess.also:
        return f"{{ first_of = [{', '.join([column, *map(quoted, guess.also)])}]{more} }}"
    return f"{{ column = {column}{more} }}" if more else column


def year_column(draft: Draft, guess: Guess) -> str:
    """What completes the days of a column that have no year: in a stay's row its admission, found already or not."""
    admission = draft.guess("admission_date")
    is_admission = guess.field == "admission_date" or (admission and admission.column is guess.column)
    return draft.year_of if is_admission or draft.record != "stay" else "admission_date"


def block_lines(draft: Draft, block: Block) -> list[str]:
    """A child block."""
    lines = [f"[[source.{block.record}]]"]
    if block.numbers:
        are_digits = block.numbers[0].isdigit()
        lines += [f"repeat = {len(block.numbers) if are_digits else json.dumps(list(block.numbers))}"]
    if block.each:
        lines += [f"each = {quoted(block.each)}"]
    if block.where:
        lines += [f"where = {{ {quoted(block.where[0])} = [{quoted(block.where[1])}] }}"]
    lines += [f"{name} = {{ constant = {quoted(value)} }}" for name, value in block.constants]
    if block.facts:
        column, between, form = block.facts
        parted = f"between = {quoted(between)}, " if between else ""
        lines += [f"facts = {{ column = {quoted(column)}, {parted}form = {quoted(form)} }}"]
        lines += ['year_of = "admission_date"'] if block.lacks_years and draft.record == "stay" else []
    for guess in block.guesses:
        lines += [guess_line(draft, guess) if guess.is_used else "# " + guess_line(draft, guess)]
    return lines


def _unused_lines(draft: Draft) -> list[str]:
    """Columns that nothing reads, with the weak guesses to uncomment."""
    weak = {guess.column.name: guess for guess in unused_weak(draft)}
    lines = []
    for column in draft.unused:
        if column.name in weak and draft.record == weak[column.name].record:
            lines += [f"# not read; {guess_line(draft, weak[column.name])}"]
        else:
            lines += [f"# not read: {quoted(column.name)}: {one_line(column.examples)}"]
    return ["", *STORED, *lines] if lines else []


def legend_lines(draft: Draft, words: Vocabularies) -> list[str]:
    """A legend to fill in for each field whose words are mere codes."""
    lines = []
    for guess in draft.guesses:
        said = guess.column.said
        is_term = kinds(guess.record)[guess.field] == "term"
        are_codes = said and len(said) <= CODES_AT_MOST and all(value.length <= 3 for value in said)
        if guess.is_used and is_term and are_codes and words.share_known_in(guess.field, guess.column) < 0.5:
            lines += ["", "# QUESTION: What do these codes mean? Fill in the words of the clinic's own legend.",
                      f"[legend.{guess.field}]"]  # fmt: skip
            lines += [f'# {quoted(value.text)} = "…"   # {value.times} times' for value in said]
    return lines


def one_line(text: str) -> str:
    """A text that cannot end its comment."""
    return "".join(sign if sign.isprintable() else " " for sign in text)
