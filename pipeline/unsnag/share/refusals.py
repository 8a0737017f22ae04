"""Why a question was refused, in one sentence, with the nearest name where one is not there."""

import json
import re
from collections.abc import Iterable

from rapidfuzz import fuzz, process

from unsnag.errors import Problem

WHO = "the query"
TIME, LARGE = "time", "large"
ONE_SELECT = "Write one SELECT; nothing can be changed here"
NO_WAY_OUT = "Ask only the tables; files, the network, settings and extensions are out of reach"
TO_A_FILE = "Ask with a SELECT, and add: --format csv > rows.csv, or --format parquet > rows.parquet"
NO_FILE = (
    "Ask only the tables; a file of your own can be read in Python or R beside an extract (unsnag extract)"
)
WRITERS = {"COPY", "EXPORT"}
READS_A_FILE = re.compile(r"^(read_|sniff_|parquet_|glob$)")
IS_A_FILE = re.compile(r"[/\\*]|\.(csv|tsv|txt|json|jsonl|ndjson|parquet|xlsx?|duckdb|db|toml|gz)$", re.I)
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
        "kind": lambda: (
            f"it is no SELECT but {what.replace('_', ' ')}",
            TO_A_FILE if what in WRITERS else ONE_SELECT,
        ),
        "table": lambda: _no_table(what, columns),
        "function": lambda: (
            f"the function '{what}' reaches beyond the tables and is switched off",
            NO_FILE if READS_A_FILE.match(what.lower()) else NO_WAY_OUT,
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
    sentence, remedy, *paste = said[kind]() if kind in said else _of_duckdb(what, request, columns)
    return Problem(WHO, sentence, remedy, paste)


def _how_many(count: str) -> str:
    return "it is empty" if count == "0" else f"it is {count} statements, not one"


def _parameters(asked: list[str], given: dict) -> tuple[str, str]:
    missing, idle = sorted(set(asked) - set(given)), sorted(set(given) - set(asked))
    if missing:
        names, verb = _listed([f"${name}" for name in missing]), "has" if len(missing) == 1 else "have"
        give = "Give it one" if len(missing) == 1 else "Give each one"
        return f"{names} {verb} no value", f"{give}: {' '.join(f'--set {name}=…' for name in missing)}"
    if asked:
        return f"it has no ${idle[0]}", f"Its parameters are: {', '.join('$' + name for name in asked)}"
    return f"it has no ${idle[0]}", "Leave --set away; the query has no $parameters"


def _listed(names: list[str]) -> str:
    return " and ".join(filter(None, (", ".join(names[:-1]), names[-1])))


def nearest_table(name: str, columns: dict[str, list[str]]) -> str:
    """ "Did you mean 'public.cases'?", or the list of all tables."""
    short = "." not in name
    names = {table.partition(".")[2] if short else table: table for table in reversed(columns)}
    found = _nearest(name, names, 70)
    return f"Did you mean '{names[found]}'?" if found else f"The tables are: {', '.join(columns)}"


def _nearest(name: str, names: Iterable[str], cutoff: int) -> str:
    """The name that is like all of it, else one that is like a part ("year", admission_year); "" if none is."""
    names = list(names)
    whole = process.extractOne(name.lower(), names, scorer=fuzz.ratio, score_cutoff=80)
    part = len(name) > 2 and process.extractOne(name.lower(), names, scorer=fuzz.WRatio, score_cutoff=cutoff)
    return (whole or part or [""])[0]


def _no_table(name: str, columns: dict[str, list[str]]) -> tuple[str, str]:
    if IS_A_FILE.search(name):
        return f"the file '{name}' is no table, and files are out of reach", NO_FILE
    return f"there is no table '{name}' that you may ask", nearest_table(name, columns)


def _of_duckdb(message: str, request: dict, columns: dict[str, list[str]]) -> tuple[str, ...]:
    """DuckDB's first sentence without its heading, and what to do about it; where it stops, lines that show it."""
    heading, _, text = _first_sentence(message).partition(": ")
    text = text or heading
    asked = _asked(request["sql"], columns)
    if name := _named("column", message):
        return f"there is no column '{name}' in the tables it reads", _nearest_column(name, asked or columns)
    if name := _named("function", message):
        return f"there is no function '{name}'", "See DuckDB's documentation for its functions"
    if heading == "Conversion Error" and (found := _converted(message, request["parameters"])):
        return f"{text} (the value of ${found})", f"Give another value: --set {found}=…"
    if heading == "Parser Error":
        return text, _nearest_after_from(request["sql"], columns), *_place(message)
    if BEYOND.search(text):
        return f"it reaches beyond the tables: {text}", NO_WAY_OUT
    return text, "Mend the query and ask again"


READ = re.compile(r'\b(?:from|join)\s+("?[\w.]+"?)', re.I)
ALSO_READ = re.compile(r'(?:\b(?:from|join)\s|,)\s*("?[\w.]+"?)', re.I)


def _asked(sql: str, columns: dict[str, list[str]]) -> dict[str, list[str]]:
    """The tables whose names stand after FROM, JOIN or a comma, with their columns."""
    words = {word.replace('"', "").lower().removeprefix("pooled.") for word in ALSO_READ.findall(sql)}
    return {
        table: names for table, names in columns.items() if words & {table, table.removeprefix("public.")}
    }


def _nearest_after_from(sql: str, columns: dict[str, list[str]]) -> str:
    """The table that a word after FROM may mean (CASE is a word of SQL), and that the place follows."""
    for word in READ.findall(sql):
        nearest = nearest_table(word, columns)
        if nearest.startswith("Did") and not _asked(f"from {word}", columns):
            return f"{nearest} It stops here"
    return "Mend the query here"


def _place(message: str) -> list[str]:
    """The line of the query at which it stops, and a mark under the place."""
    _, found, place = message.partition("\nLINE ")
    return [line.rstrip() for line in f"line {place}".splitlines()[:2]] if found else []


def _converted(message: str, parameters: dict) -> str:
    """The parameter whose value could not be converted, "" where none has it."""
    values = re.findall("""['"]([^'"]*)['"]""", message.partition("\nLINE ")[0])
    return next((name for name, given in parameters.items() if str(given) in values), "")


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
    found = _nearest(name, places, 60)
    if not found and len(columns) == 1:
        ((table, names),) = columns.items()
        return f"The columns of {table} are: {', '.join(names)}"
    if not found:
        return "The codebook lists every column: out/codebook.html"
    tables = places[found]
    others = f" and {len(tables) - 1} other table{'s' if len(tables) > 2 else ''}"
    where = tables[0] + (others if len(tables) > 1 else "")
    return f"Did you mean '{found}' (in {'public.cases' if 'public.cases' in tables else where})?"
