"""What the steward should do next, gravest first: each a sentence, why it matters, and where to do it."""

from dataclasses import dataclass

OLD_EXPORT_DAYS = 120  # a quarter and a month: a clinic that sends every quarter is late


@dataclass(frozen=True)
class Task:
    """One thing to do.

    title : what, with its number
    why   : what hangs on it
    where : the file or the command, or both
    """

    title: str
    why: str
    where: str


@dataclass(frozen=True)
class State:
    """What the tasks are told from.

    clinics      : rows of feedback.clinics as dictionaries
    broken_laws  : laws of conservation that do not hold
    refused      : records that could not be used
    words        : (clinic, field, word, times) without a code, most records first
    grey_pairs   : pairs of stays that nobody has decided
    year         : the year of the report
    edition      : number of its newest edition, 0 for none
    changed      : whether anything has changed since that edition
    """

    clinics: list[dict]
    broken_laws: int
    refused: int
    words: list[tuple]
    grey_pairs: int
    year: int
    edition: int
    changed: bool
    workspace: str


def tasks(state: State) -> list[Task]:
    """The things to do, in the order in which they should be done."""
    told = [_missing(state), _laws(state), _refused(state), _words(state), _links(state), _late(state)]
    return [task for task in (*told, _questions(state), _edition(state)) if task]


def many(number: int, noun: str) -> str:
    """ "1 word", "1,200 words"."""
    return f"{number:,} {noun}" if number == 1 else f"{number:,} {noun}s"


def _missing(state: State) -> Task | None:
    names = [row["label"] for row in state.clinics if row["is_missing"]]
    if not names:
        return None
    title = f"Mend the exports of {many(len(names), 'clinic')}: {', '.join(names)}"
    return Task(
        title,
        "Their animals are missing from every figure, and the report says so.",
        f"unsnag check {state.workspace} says what is wrong with each file",
    )


def _laws(state: State) -> Task | None:
    if not state.broken_laws:
        return None
    title = f"{many(state.broken_laws, 'law')} of conservation does not hold"
    return Task(
        title, "Records were lost or doubled on the way. Do not publish.", "Report it with the file's layout"
    )


def _refused(state: State) -> Task | None:
    if not state.refused:
        return None
    why = "They count nowhere until the clinic corrects them, or the layout reads them rightly."
    return Task(
        f"Look at {many(state.refused, 'refused record')}",
        why,
        "private/<clinic>/questions.csv, level refused",
    )


def _words(state: State) -> Task | None:
    if not state.words:
        return None
    times = sum(row[3] for row in state.words)
    clinic, field, word, most = state.words[0]
    example = f"“{word}” ({field.replace('_', ' ')}, {clinic}, {most:,} times)"
    why = f"Most often: {example}. Until then they count as not stated."
    return Task(
        f"Code {many(len(state.words), 'word')}, written {many(times, 'time')}",
        why,
        f"unsnag terms {state.workspace} --write drafts the rows of each terms.csv",
    )


def _links(state: State) -> Task | None:
    if not state.grey_pairs:
        return None
    why = "Each may be one animal in two records. Undecided, they are kept apart."
    where = f"unsnag links {state.workspace} and private/links.html; write into decisions/links.csv"
    return Task(f"Decide {many(state.grey_pairs, 'uncertain pair')} of stays", why, where)


def _late(state: State) -> Task | None:
    late = [row for row in state.clinics if (row["export_age_days"] or 0) > OLD_EXPORT_DAYS]
    if not late:
        return None
    names = ", ".join(f"{row['label']} ({row['newest_export']})" for row in late)
    why = "Their animals still in care have ended somehow by now; until they send, they count as open."
    title = f"Ask {many(len(late), 'clinic')} for a new export: {names}"
    return Task(title, why, "put it beside the last one and run again")


def _questions(state: State) -> Task | None:
    asked = [row for row in state.clinics if row["questions"]]
    if not asked:
        return None
    number = sum(row["questions"] for row in asked)
    title = f"Send {many(len(asked), 'clinic')} its questions, {number:,} in all"
    if len(asked) > 1:
        title = f"Send {len(asked)} clinics their questions, {number:,} in all"
    return Task(title, "Only the clinic can answer them.", "private/<clinic>/feedback.html and questions.csv")


def _edition(state: State) -> Task | None:
    command = f"unsnag publish {state.workspace} --year {state.year}"
    if not state.edition:
        why = "A published edition can be cited, and later runs say what has changed since."
        return Task(f"Publish the report of {state.year}, when it is ready", why, command)
    if not state.changed:
        return None
    title = f"Decide whether {state.year} needs another edition"
    why = f"What has changed since edition {state.edition} stands at the end of the report."
    return Task(title, why, f'{command} --reason "…"')
