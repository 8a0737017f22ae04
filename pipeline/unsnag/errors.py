"""What went wrong, in parts: who, what, how many, what to do, lines to paste.

A user's slip is never a traceback. Every room raises :class:`Problem`, or gathers several in :class:`Problems`
so that a data steward sees them all in one run; the command line prints :func:`render`.
"""

from collections.abc import Iterable, Sequence
from typing import Self


class UnsnagError(Exception):
    """The base of everything that a user can put right.

    who    : the clinic, file (with its line or key) or command that it is about
    what   : what is wrong, a sentence; the final full stop may be left out
    remedy : what to do about it, a sentence in the imperative
    paste  : lines to paste into the file that the remedy names
    count  : how many things are wrong; it is printed before ``what`` ("2 injury terms have no code")
    """

    def __init__(
        self, who: str, what: str, remedy: str = "", paste: Sequence[str] = (), count: int | None = None
    ) -> None:
        super().__init__(who, what, remedy, tuple(paste), count)
        self.who = who
        self.what = what
        self.remedy = remedy
        self.paste = tuple(paste)
        self.count = count

    def __str__(self) -> str:
        return render(self)


class Problem(UnsnagError):
    """One thing that is wrong."""


class Problems(UnsnagError):
    """Several problems, shown together: the steward mends them in one go."""

    def __init__(self, problems: Iterable[UnsnagError]) -> None:
        self.problems = tuple(_flat(problems))
        count = len(self.problems)
        super().__init__("", "problem" if count == 1 else "problems", count=count)

    def __reduce__(self) -> tuple[type[Self], tuple]:
        """Pickle by the problems, not by the parts: processes that work side by side hand errors back."""
        return type(self), (self.problems,)


def _flat(problems: Iterable[UnsnagError]) -> Iterable[UnsnagError]:
    for problem in problems:
        if isinstance(problem, Problems):
            yield from problem.problems
        else:
            yield problem


def raise_all(problems: Iterable[UnsnagError]) -> None:
    """Do nothing if there is no problem, else raise them all.

    Raises  Problem: the only one; Problems: several
    """
    gathered = Problems(problems)
    if len(gathered.problems) == 1:
        raise gathered.problems[0]
    if gathered.problems:
        raise gathered


def render(problem: UnsnagError) -> str:
    """The text that a user reads: one problem, or several with a blank line between and their number at the end."""
    if not isinstance(problem, Problems):
        return _render_one(problem)
    texts = list(dict.fromkeys(_render_one(each) for each in problem.problems))
    if len(texts) > 1:
        texts.append(f"{len(texts)} problems.")
    return "\n\n".join(texts)


def _render_one(problem: UnsnagError) -> str:
    what = problem.what if problem.count is None else f"{problem.count} {problem.what}"
    first = _ended(f"{problem.who}: {what}" if problem.who else what, ".")
    remedy = _ended(problem.remedy, ":" if problem.paste else ".")
    return "\n".join([first, *([remedy] if remedy else []), *(f"  {line}" for line in problem.paste)])


def _ended(sentence: str, mark: str) -> str:
    """The sentence with its final mark; a full stop before pasted lines becomes the colon that announces them."""
    sentence = sentence.rstrip()
    if not sentence or sentence[-1] in ":?!":
        return sentence
    return sentence.removesuffix(".") + mark
