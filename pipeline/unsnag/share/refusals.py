"""Why a question was refused, in one sentence, with the nearest name where one is not there."""

import json
import re

from rapidfuzz import fuzz, process

from unsnag.errors import Problem

WHO = "the query"
TIME, LARGE = "time", "large"
ONE_SELECT = "Write one SELECT; nothing can be changed here"
NO_WAY_OUT = "Ask only the tables; files, the network, settings and extensions are out of reach"
NAMED = {
    "column": re.compile(r'(?:Referenced column|column named) "([^"]+)"|Column "([^"]+)" .*not found', re.I),
    "function": re.compile(
        r"(?:Scalar|Table|Aggregate)?\s*Function with name \"?([\w.]+)\"? does not exist", re.I
    ),
}
BEYOND = re.compile(r"extension|file ?system|external access|configuration|disabled|permission", re.I)


def refusal(kind: str, what: str, request: dict, columns: dict[str, list[str]]) -> Problem:
    """The refusal in words.

    kind    : what the child said: one of its own kinds, or the name of DuckDB's error
    what    : the word it is about, or DuckDB's message
    request : what was asked, with its limits
    columns : schema.table → columns that may be asked
    """
    said = {
        "statements": lambda: (_how_many(what), ONE_SELECT),
        "kind": lambda: (f"it is no SELECT but {what.replace('_', ' ')}", ONE_SELECT),
        "table": lambda: (f"there is no table '{what}' that you may ask", nearest_table(what, columns)),
        "function": lambda: (
            f"the function '{what}' reaches beyond the tables and is switched off",
            NO_WAY_OUT,
        ),
        "show": lambda: ("SHOW and a bare DESCRIBE are switched off", "Write: describe public.cases"),
        "parameters": lambda: _parameters(json.loads(what), request["parameters"]),
        "memory": lambda: (
            f"it needs more than the {request['megabytes']:,} MB that a question may take",
            "Ask for fewer rows or shorter values, or aggregate first",
        ),
        TIME: lambda: (
            f"it took longer than {request['seconds']} seconds and was stopped",
            "Ask for less, check the join's conditions, or give more --seconds",
        ),
        LARGE: lambda: ("its rows hold too much text to hand out", "Ask for fewer columns or shorter values"),
    }
    sentence, remedy = said[kind]() if kind in said else _of_duckdb(what, columns)
    return Problem(WHO, sentence, remedy)


def _how_many(count: str) -> str:
    return "it is empty" if count == "0" else f"it is {count} statements, not one"


def _parameters(asked: list[str], given: dict) -> tuple[str, str]:
    missing, idle = sorted(set(asked) - set(given)), sorted(set(given) - set(asked))
    if missing:
        return f"${missing[0]} has no value", f"Give it one: --set {missing[0]}=…"
    if asked:
        return f"it has no ${idle[0]}", f"Its parameters are: {', '.join('$' + name for name in asked)}"
    return f"it has no ${idle[0]}", "Leave --set away; the query has no $parameters"


def nearest_table(name: str, columns: dict[str, list[str]]) -> str:
    """ "Did you mean 'public.cases'?", or the list of all tables."""
    names = {table: table.partition(".")[2] for table in columns}
    found = process.extractOne(name.rpartition(".")[2].lower(), names, scorer=fuzz.WRatio, score_cutoff=70)
    return f"Did you mean '{found[2]}'?" if found else f"The tables are: {', '.join(columns)}"


def _of_duckdb(message: str, columns: dict[str, list[str]]) -> tuple[str, str]:
    """DuckDB's first sentence without its heading, and what to do about it."""
    heading, _, text = _first_sentence(message).partition(": ")
    text = text or heading
    if name := _named("column", message):
        return f"there is no column '{name}' in the tables it reads", _nearest_column(name, columns)
    if name := _named("function", message):
        return f"there is no function '{name}'", "See DuckDB's documentation for its functions"
    if BEYOND.search(text):
        return f"it reaches beyond the tables: {text}", NO_WAY_OUT
    return text, "Mend the query and ask again"


def _first_sentence(message: str) -> str:
    first = message.partition("\n\nLINE")[0].partition("\nCandidate")[0].partition("\n\nCandidate")[0]
    return " ".join(first.partition("\nLINE")[0].split())


def _named(kind: str, message: str) -> str:
    match = NAMED[kind].search(message)
    return next((group for group in match.groups() if group), "") if match else ""


def _nearest_column(name: str, columns: dict[str, list[str]]) -> str:
    places = {}
    for table, names in columns.items():
        for column in names:
            places.setdefault(column, []).append(table)
    found = process.extractOne(name.lower(), list(places), scorer=fuzz.WRatio, score_cutoff=60)
    if not found:
        return "The codebook lists every column: out/codebook.html"
    tables = places[found[0]]
    where = tables[0] if len(tables) == 1 else f"{tables[0]} and {len(tables) - 1} other tables"
    return f"Did you mean '{found[0]}' (in {'public.cases' if 'public.cases' in tables else where})?"
