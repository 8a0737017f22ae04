"""What an analysis of a network's own has to be, and what is said where it is not."""

import importlib.util
import re
import traceback
from pathlib import Path
from types import ModuleType

from unsnag.errors import Problem, UnsnagError, raise_all

NAME = re.compile(r"[a-z][a-z0-9_]*")
WORDS = ("TITLE", "QUESTION", "CAUTION")
COUNTS = ("clinics", "animals")


def find(workspace: Path) -> list[ModuleType]:
    """The modules of the workspace's folder analyses/, by name.

    Raises  Problem, Problems: one cannot be imported, or does not keep the contract
    """
    modules, problems = [], []
    for path in sorted((workspace / "analyses").glob("*.py")):
        try:
            modules.append(_module(path))
        except UnsnagError as problem:
            problems.append(problem)
    raise_all(problems)
    return modules


def _module(path: Path) -> ModuleType:
    if not NAME.fullmatch(path.stem):
        raise Problem(who(path), "its name cannot be a table's", "Use small letters, digits and underscores")
    spec = importlib.util.spec_from_file_location(f"own_{path.stem}", path)
    module = importlib.util.module_from_spec(spec)
    try:
        spec.loader.exec_module(module)
    except Exception as error:
        raise slip(path, error) from None
    _check_contract(path, module)
    return module


def who(path: Path) -> str:
    """The file as an error names it."""
    return f"analyses/{path.name}"


def slip(path: Path, error: Exception) -> Problem:
    """An error of the author's code, with the last line of the file that it went through."""
    frames_of = traceback.extract_tb(error.__traceback__)
    lines = [frame.lineno for frame in frames_of if frame.filename == str(path)]
    if isinstance(error, SyntaxError):
        lines = [error.lineno]
    where = f"{who(path)}, line {lines[-1]}" if lines else who(path)
    return Problem(
        where, f"{type(error).__name__}: {error}".splitlines()[0], "Mend the analysis and run again"
    )


def _check_contract(path: Path, module: ModuleType) -> None:
    for name in WORDS:
        if not isinstance(getattr(module, name, None), str):
            raise Problem(who(path), f"{name} is missing", f'Add a line: {name} = "…"')
    columns = getattr(module, "COLUMNS", None)
    if not isinstance(columns, dict) or not all(
        isinstance(words, str) and words for words in columns.values()
    ):
        raise Problem(
            who(path), "COLUMNS does not say what each column means", "Give column → meaning with unit"
        )
    for name in COUNTS:
        if name not in columns:
            raise Problem(
                who(path), f"there is no column '{name}'", "Count it: it decides what may be published"
            )
    if not callable(getattr(module, "compute", None)):
        raise Problem(who(path), "there is no compute(mart)", "Write one that gives the frame")
