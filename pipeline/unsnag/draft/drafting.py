"""Draft a clinic: copy its files into a new folder, look at them, write what they seem to say."""

import re
import shutil
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from pathlib import Path

import duckdb

from unsnag import models, settings_tables, terms_help
from unsnag.draft.answers import Answers
from unsnag.draft.rendering import clinic_toml, legend_lines
from unsnag.draft.sniff import Table, tables_of
from unsnag.draft.sources import Draft, ask, assign, draft_source, files_pattern, same_columns
from unsnag.draft.vocabularies import Vocabularies, vocabulary_of
from unsnag.errors import Problem
from unsnag.layout_cells import MAIN_FIELDS
from unsnag.read.names import column_key, fold
from unsnag.read.source import SourceLayout
from unsnag.terms_help import Helper, Word
from unsnag.workspace import Clinic, Network, Workspace
from unsnag.workspace.clinic import PLAIN_NAME
from unsnag.workspace.fields import kinds
from unsnag.workspace.load import shared_codes
from unsnag.workspace.questions import Questions
from unsnag.workspace.settings_file import read_settings
from unsnag.workspace.terms import read_terms

LATEST = date(9999, 12, 31)


@dataclass(frozen=True)
class Drafted:
    """A drafted clinic: its files, how many guesses of each confidence, what is to be asked, words to code."""

    folder: Path
    drafts: tuple[Draft, ...]
    questions: tuple[str, ...]
    open_words: int


def draft_clinic(
    network: Path,
    name: str,
    paths: Sequence[Path],
    answers: Answers,
    tell: Callable[[str], None] = lambda what: None,
) -> Drafted:
    """Write clinics/<name>/: exports/, clinic.toml, terms.csv. Nothing is written if the files cannot be read.

    network : the workspace's folder; its other clinics may be unfinished

    Raises  Problem, Problems: the name is taken or no folder's name, or a file cannot be read
    """
    folder = network / "clinics" / name
    _refuse(network, folder, name, paths)
    made = folder.with_name(f".{name}.drafting")
    shutil.rmtree(made, ignore_errors=True)
    try:
        drafted = _draft(others(network), name, paths, made, answers, tell)
        made.replace(folder)
    finally:
        shutil.rmtree(made, ignore_errors=True)
    return Drafted(folder, *drafted)


def others(network: Path) -> Workspace:
    """The workspace as far as it can be read: a draft must not wait for other clinics' questions."""
    ignored: list[Problem] = []
    clinics, terms = [], []
    for path in sorted((network / "clinics").glob("*/clinic.toml")):
        clinic = read_settings(path, Clinic, {"name": path.parent.name}, ignored)
        clinics += [clinic] if clinic else []
    codes = shared_codes() | {"clinic": frozenset(clinic.name for clinic in clinics)}
    for clinic in clinics:
        terms += read_terms(network / "clinics" / clinic.name / "terms.csv", clinic.name, codes)[0]
    return Workspace(network, Network(name=""), tuple(clinics), tuple(terms), "", Questions())


def _refuse(network: Path, folder: Path, name: str, paths: Sequence[Path]) -> None:
    if not (network / "network.toml").is_file():
        raise Problem(
            str(network), "this is no workspace: network.toml is missing", "Give the folder that holds it"
        )
    if not re.match(PLAIN_NAME, name):
        raise Problem(
            name, "this can be no clinic's folder", "Use small letters, digits and single underscores"
        )
    if folder.exists():
        raise Problem(
            str(folder),
            "there is such a clinic already",
            f"A further export of the clinic goes into clinics/{name}/exports/, to where files in its clinic.toml "
            "points; for another clinic take another name, to draft this one anew remove that folder",
        )
    for path in paths:
        if not path.is_file():
            raise Problem(str(path), "there is no such file", "Give the clinic's export files")
    names = [path.name for path in paths]
    for twice in sorted({each for each in names if names.count(each) > 1}):
        raise Problem(twice, "two of the files have this name", "Rename one of them")


def _draft(workspace, name, paths, made: Path, answers: Answers, tell) -> tuple:
    groups = _grouped(_tables(name, paths, tell))
    with duckdb.connect() as connection:
        models.load_codes(connection)
        settings_tables.write(connection, workspace)
        settings_tables.write_shared_words(connection, LATEST)
        words = Vocabularies(terms_help.shared_codes(connection))
        drafts = []
        for source, tables in _named(groups):
            tell(f"looking at {source}")
            layout = _copied(name, source, tables, made, is_alone=len(groups) == 1)
            drafts.append(draft_source(connection, layout, tables, words, answers))
    for draft in drafts:
        if _shares_numbers_of_stays(draft, drafts):
            assign(draft, words, "procedure")
            draft.questions.append(
                f"What is a row of '{draft.name}': a procedure, a finding, a piece of gear? Drafted as procedure."
            )
        ask(draft)
    timezone, note, asked = _timezone(workspace, answers)
    legends = [line for draft in drafts for line in legend_lines(draft, words)]
    label = answers.label or name.replace("_", " ").title()
    (made / "clinic.toml").write_text(clinic_toml(label, timezone, note, drafts, legends), encoding="utf-8")
    rows = terms_help.draft_rows(
        Helper(words.codes, workspace.terms), name, list(_words(drafts, words, legends))
    )
    terms_help.write_rows(made / "terms.csv", rows)
    coded = [line for line in legends if line.startswith("[legend.")]
    questions = list(dict.fromkeys(question for draft in drafts for question in draft.questions))
    questions += asked + [f"What do the codes of {line[8:-1]} mean? Fill in {line}." for line in coded]
    return tuple(drafts), tuple(questions), len(rows)


def _tables(name: str, paths: Sequence[Path], tell) -> list[Table]:
    found = []
    for path in sorted(paths):
        tell(f"opening {path.name}")
        found += tables_of(name, path)
    return found


def _grouped(tables: Sequence[Table]) -> list[list[Table]]:
    """Tables of one kind together: exports of several years."""
    groups: list[list[Table]] = []
    for table in tables:
        near = next((group for group in groups if same_columns(group[0], table)), None)
        groups.append([table]) if near is None else near.append(table)
    return groups


def _named(groups: Sequence[list[Table]]) -> list[tuple[str, list[Table]]]:
    """Each group with a source name from its sheet or first file, no two alike."""
    named, taken = [], set()
    for tables in groups:
        stem = tables[0].sheet or re.sub(r"[\d-]+", " ", tables[0].path.stem)
        plain = re.sub(r"[^a-z0-9]+", "_", fold(stem)).strip("_")
        plain = plain if re.match(PLAIN_NAME, plain) else "records"
        while plain in taken:
            plain += "_2"
        taken.add(plain)
        named.append((plain, tables))
    return named


def _copied(clinic: str, source: str, tables: Sequence[Table], made: Path, is_alone: bool) -> SourceLayout:
    """The group's files under exports/, in a folder of their own if other kinds of files stand beside them."""
    table = tables[0]
    inside = "exports" if is_alone or table.format == "workbook" else f"exports/{source}"
    (made / inside).mkdir(parents=True, exist_ok=True)
    for each in tables:
        shutil.copyfile(each.path, made / inside / each.path.name)
    return SourceLayout(
        clinic=clinic, name=source, folder=made, files=files_pattern([each.path for each in tables], inside),
        format=table.format, delimiter=table.delimiter, sheet=table.sheet,
        encoding=table.encoding if len({each.encoding for each in tables}) == 1 else None,
        title_rows=table.title_rows, nested=table.nested,
    )  # fmt: skip


def _shares_numbers_of_stays(draft: Draft, drafts: Sequence[Draft]) -> bool:
    """A table taken for stays that lacks what a stay needs, and has the number column of one that has it."""
    if draft.record != "stay" or draft.guess("admission_date"):
        return False
    whole = [
        other.guess("case_number")
        for other in drafts
        if other.record == "stay" and other.guess("admission_date")
    ]
    numbers = {column_key(guess.column.name) for guess in whole if guess}
    return bool(numbers & {column_key(column.name) for column in draft.columns})


def _timezone(workspace: Workspace, answers: Answers) -> tuple[str, str, list[str]]:
    """The zone, a note, and a question if nothing speaks for one."""
    zones = {clinic.timezone for clinic in workspace.clinics} - {"UTC"}
    if not answers.timezone and len(zones) == 1:
        return zones.pop(), "as the network's other clinics", []
    question = "In which time zone is the clinic? Set timezone, such as Australia/Brisbane."
    if zone := answers.timezone or answers.to("timezone", question):
        return zone, "", []
    return "UTC", f"QUESTION: {question}", [question]


def _words(drafts: Sequence[Draft], words: Vocabularies, legends: Sequence[str]) -> Iterator[Word]:
    """The words of term columns that no shared list knows; bare codes wait for their legend, if one is drafted."""
    for draft in drafts:
        guesses = [guess for guess in draft.guesses if guess.is_used]
        guesses += [guess for block in draft.blocks for guess in block.guesses if guess.is_used]
        for guess in guesses:
            vocabulary = vocabulary_of(guess.field)
            if kinds(guess.record)[guess.field] != "term" or vocabulary == "clinic":
                continue
            for value in guess.column.said:
                is_known = fold(value.text) in words.codes.get(vocabulary, {})
                is_code = value.length <= 3 and f"[legend.{guess.field}]" in legends
                if not is_known and not is_code and value.words <= 12:
                    yield Word(guess.field, value.text, value.times)
        for block in draft.blocks:
            known, field = words.codes.get(block.record, {}), MAIN_FIELDS[block.record]
            yield from (
                Word(field, text, times) for text, times in block.told if text and fold(text) not in known
            )
