"""Findings on care and what follows it: hooks under watch, attempts at removal, convalescence, after release."""

from unsnag.report import words
from unsnag.report.published import Published
from unsnag.report.words import Finding

ASKED_DAY, HORIZON = 14, 28  # about two weeks without movement bring a decision (common practice, no source)


def watched_hooks(published: Published, year: int) -> list[Finding]:
    """What happens first to a hook that has not moved by day 14."""
    everywhere = {"taxon_group_code": "all", "body_site_code": "all"}
    asked = {"landmark_days": ASKED_DAY, "horizon_days": HORIZON} | everywhere
    passed, attempt, dead = (
        words.row(published.frames["look_ahead"], event=event, **asked)
        for event in ("passed", "attempt", "dead")
    )
    if passed is None or words.is_missing(passed.chance):
        return []
    head = (
        f"Unmoved on day {ASKED_DAY}: {words.percent(passed.chance)} of swallowed hooks passed by themselves within "
        f"{HORIZON} days."
    )
    text = (
        f"{words.animals(passed.animals)} under watch, all years; {words.NINETY_FIVE} "
        f"{words.interval(passed.low, passed.high)}, or {words.percent(passed.chance_if_early)} if each passed right "
        f"after the last film that still showed it. Retrieval came first in {words.percent(attempt.chance)}, death or "
        f"euthanasia in {words.percent(dead.chance)}. These are chances under the clinics’ usual practice, not if left "
        "alone."
    )
    return [Finding(head, text)]


def endoscopic_attempts(published: Published, year: int) -> list[Finding]:
    """How often the first endoscopic attempt succeeded, and how often an operation followed a failure."""
    frame = published.frames["procedures"].rename(columns={"count": "n"})
    kind = {"axis": "treatment", "code": "endoscopic_retrieval"}
    first = words.row(frame, measure="first_attempt", answer="success", **kind)
    if first is None or words.is_missing(first.percent):
        return []
    head = f"A first endoscopic attempt got everything out in {words.percent(first.percent)}."
    counted = words.share(first, first.total, "animals with a stated result")
    text = f"{counted}; of {words.count(first.not_stated)} more the result is not stated. {_conversions(frame, kind)}"
    return [Finding(head, text.strip())]


def _conversions(frame, kind: dict[str, str]) -> str:
    line = words.row(frame, measure="after_failure", answer="surgery", **kind)
    if line is None or words.is_missing(line.n):
        return ""
    return f"An operation followed {words.count(line.n)} of {words.count(line.total)} failed ones."


def released_after_coeliotomy(published: Published, year: int) -> list[Finding]:
    """How long after a coeliotomy freshwater turtles went free, beside common practice."""
    line = words.row(published.frames["milestones"], milestone="release")
    if line is None or words.is_missing(line.median_days):
        return []
    head = f"Half of the released turtles went free within {words.days(line.median_days)} of their operation."
    text = (
        f"{words.animals(line.animals)}, all years; {words.count(line.within)} of them on day "
        f"{words.count(line.from_days)} or later, as is common practice (no source)."
    )
    return [Finding(head, text)]


def seen_after_release(published: Published, year: int) -> list[Finding]:
    """How many released animals were met again."""
    frame = published.frames["after_release"].rename(columns={"count": "n"})
    seen, again, dead = (
        words.row(frame, grouping="all", event=event)
        for event in ("seen_again", "readmitted", "recovered_dead")
    )
    if seen is None or words.is_missing(seen.n):
        return []
    head = f"{words.count(seen.n)} of {words.count(seen.released)} released animals were met again."
    text = (
        f"{words.count(again.n)} were admitted again and {words.count(dead.n)} found dead, all years. Of the others "
        "nothing is known: not seen is not alive."
    )
    return [Finding(head, text)]


# Name in report.toml → the public tables that the finding needs, and the finding.
FINDINGS = {
    "watched_hooks": (("look_ahead",), watched_hooks),
    "endoscopic_attempts": (("procedures",), endoscopic_attempts),
    "released_after_coeliotomy": (("milestones",), released_after_coeliotomy),
    "seen_after_release": (("after_release",), seen_after_release),
}
