"""What a group adds to its report without code: a foreword, a contact, a sign, and the year's stories.

They lie in the workspace's folder ``report/`` and go out as they are written:

report/foreword-2024.txt, or report/foreword.txt for every year without one of its own
report/contact.txt
report/logo.svg, .png or .jpg
report/stories/2024/*.txt    the first line is the story's title; blank lines part its paragraphs
"""

from dataclasses import dataclass
from pathlib import Path

from unsnag.errors import Problem, Problems
from unsnag.privacy import remove_contact_details

SIGNS = ("logo.svg", "logo.png", "logo.jpg")
LARGEST_SIGN = 1_000_000  # bytes; it stands inside the page


@dataclass(frozen=True)
class OwnWords:
    """The group's own words.

    foreword : paragraphs
    contact  : one text, "" for none
    sign     : file name and bytes of the group's sign, or nothing
    stories  : title and paragraphs of each
    """

    foreword: tuple[str, ...] = ()
    contact: str = ""
    sign: tuple[str, bytes] | None = None
    stories: tuple[tuple[str, tuple[str, ...]], ...] = ()


def read(workspace: Path, year: int) -> OwnWords:
    """The words of one year's report; a workspace without the folder ``report/`` has none.

    Raises  Problems: a file is no UTF-8 text, a story has no title or holds a contact detail, a sign is too large
    """
    folder = workspace / "report"
    problems: list[Problem] = []
    of_year = folder / f"foreword-{year}.txt"
    foreword = _text(of_year if of_year.is_file() else folder / "foreword.txt", problems)
    contact = _text(folder / "contact.txt", problems)
    stories = [_story(path, problems) for path in sorted((folder / "stories" / str(year)).glob("*.txt"))]
    sign = _sign(folder, problems)
    if problems:
        raise Problems(problems)
    return OwnWords(_paragraphs(foreword), contact, sign, tuple(stories))


def _text(path: Path, problems: list[Problem]) -> str:
    try:
        return path.read_text(encoding="utf-8-sig").strip() if path.is_file() else ""
    except UnicodeDecodeError:
        problems.append(Problem(str(path), "this is not UTF-8 text", "Save it as plain text in UTF-8"))
        return ""


def _paragraphs(text: str) -> tuple[str, ...]:
    parts = text.replace("\r\n", "\n").split("\n\n")
    return tuple(" ".join(part.split()) for part in parts if part.strip())


def _story(path: Path, problems: list[Problem]) -> tuple[str, tuple[str, ...]]:
    """A story is written by hand, so that a finder's telephone number in it would go out with it."""
    title, _, rest = _text(path, problems).partition("\n")
    paragraphs = _paragraphs(rest)
    if not title.strip() or not paragraphs:
        remedy = "Write the title on the first line and the story below it"
        problems.append(Problem(str(path), "the story has no title or no text", remedy))
    if any(remove_contact_details(text) != text for text in (title, *paragraphs)):
        what = "the story holds a telephone number, an e-mail address or a street address"
        problems.append(Problem(str(path), what, "Take it out: stories are published as they are"))
    return title.strip(), paragraphs


def _sign(folder: Path, problems: list[Problem]) -> tuple[str, bytes] | None:
    found = [folder / name for name in SIGNS if (folder / name).is_file()]
    if not found:
        return None
    content = found[0].read_bytes()
    if len(content) > LARGEST_SIGN:
        remedy = "Save a smaller picture, under 1 MB"
        problems.append(Problem(str(found[0]), "the picture is too large for the page", remedy))
    return found[0].name, content
