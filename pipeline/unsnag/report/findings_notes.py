"""The finding on texts: how much of the case table was read in them, and how far that moves the release rate."""

from unsnag.report import words
from unsnag.report.published import Published
from unsnag.report.words import Finding


def added_by_texts(published: Published, year: int) -> list[Finding]:
    """How many tackle cases owe something to texts, and the release rate with and without them."""
    line = words.row(published.frames["notes_influence"], grouping="all", group_code="all")
    if line is None or words.is_missing(line.owing):
        return []
    head = (
        f"{words.count(line.owing)} of {words.animals(line.animals_with)} injured by fishing tackle owe something to "
        "what clinics wrote in texts."
    )
    return [Finding(head, _moved(line))]


def _moved(line) -> str:
    if words.is_missing(line.points_moved):
        return f"How far that moves the release rate is not told ({line.note})."
    before, after = words.percent(line.percent_without), words.percent(line.percent_with)
    cases = f"by columns alone {words.count(line.animals_without)} are tackle cases"
    if before == after:
        return f"The release rate stays at {after} without it; {cases}."
    return f"The release rate moves from {before} to {after} with it; {cases}."


# Name in report.toml → the public tables that the finding needs, and the finding.
FINDINGS = {"added_by_texts": (("notes_influence",), added_by_texts)}
