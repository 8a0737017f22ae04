"""Questions kept in files: a workspace's queries/*.sql, and the values of their ``$parameters``."""

from dataclasses import dataclass
from pathlib import Path
from typing import Any

from rapidfuzz import process

from unsnag.errors import Problem


@dataclass(frozen=True)
class Saved:
    """A kept question: the file's name, what its first comment lines say, its SQL."""

    name: str
    description: str
    sql: str


def read_query(path: Path) -> Saved:
    """One file. The comment lines before its first other line are its description.

    Raises  Problem: it is not there, or is no text
    """
    try:
        sql = path.read_text(encoding="utf-8-sig")
    except FileNotFoundError:
        raise Problem(str(path), "this file is not there", "Check the path after --file") from None
    except (OSError, UnicodeDecodeError):
        raise Problem(str(path), "this is no text that can be read", "Save the query as UTF-8 text") from None
    said = []
    for line in sql.splitlines():
        if not line.startswith("--"):
            break
        said.append(line.removeprefix("--").strip())
    return Saved(path.stem, " ".join(filter(None, said)), sql)


def all_saved(workspace: Path) -> list[Saved]:
    """The questions that the workspace keeps, by name."""
    return [read_query(path) for path in sorted((workspace / "queries").glob("*.sql"))]


def find_saved(workspace: Path, name: str) -> Saved:
    """The kept question of this name.

    Raises  Problem: there is none, with the nearest name
    """
    kept = {saved.name: saved for saved in all_saved(workspace)}
    if name in kept:
        return kept[name]
    nearest = process.extractOne(name, list(kept), score_cutoff=60)
    remedy = f"Did you mean '{nearest[0]}'?" if nearest else "List them with: unsnag query WORKSPACE --list"
    raise Problem("queries/", f"there is no saved query '{name}'", remedy)


def parameters(pairs: list[str]) -> dict[str, Any]:
    """``name=value`` pairs as values: whole numbers, decimals, true and false, else text.

    A value in single quotes is text, whatever it looks like; a day is text that DuckDB takes for a day beside one.

    Raises  Problem: a pair has no name or no equals sign, or a name is given twice
    """
    values = {}
    for pair in pairs:
        name, sign, text = pair.partition("=")
        if not sign or not name.isidentifier():
            raise Problem("--set", f"'{pair}' is not name=value", "Write for instance: --set year=2024")
        if name in values:
            raise Problem("--set", f"'{name}' is given twice", "Give it once")
        values[name] = _value(text)
    return values


def _value(text: str) -> Any:
    if len(text) > 1 and text[0] == text[-1] == "'":
        return text[1:-1]
    if text in ("true", "false"):
        return text == "true"
    for kind in (_whole, _decimal):
        try:
            return kind(text)
        except ValueError:
            continue
    return text


def _whole(text: str) -> int:
    """Only plain digits: 007 and 1_000 are text to most people."""
    if str(int(text)) != text:
        raise ValueError
    return int(text)


def _decimal(text: str) -> float:
    if not any(sign in text for sign in ".e") or "_" in text:
        raise ValueError
    return float(text)
