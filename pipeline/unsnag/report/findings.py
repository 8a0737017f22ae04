"""The findings: each a function of the published tables and the year, named in report.toml by its own name.

A finding is made of rows that stand in the report's tables, so every number in it can be looked up there. What
cannot be told apart is said to be so; no test of a hypothesis is run here.
"""

from collections.abc import Callable

from unsnag.report import findings_care, findings_notes, findings_short, site_frames, words
from unsnag.report.effects_in_words import planned_comparisons
from unsnag.report.published import Published
from unsnag.report.words import Finding

HEADLINE = {"is_headline": True}
Rule = Callable[[Published, int], list[Finding]]


def _headline_of_year(published: Published, year: int):
    return words.row(
        published.frames["release_rates"], grouping="admission_year", group_code=str(year), **HEADLINE
    )


def answer(published: Published, year: int) -> list[Finding]:
    """The year in one paragraph."""
    line = _headline_of_year(published, year)
    if line is None:
        return [Finding("", f"No animal injured by fishing tackle was admitted in {year}.", is_clear=False)]
    if words.is_missing(line.numerator):
        return [Finding("", f"The figures of {year} are {line.note}.", is_clear=False)]
    taken_in = f"In {year} the clinics took in {words.animals(line.animals)} injured by fishing tackle."
    released = (
        f"Of the {words.count(line.denominator)} that came alive and whose case ended in release, death or"
        f" euthanasia, {words.count(line.numerator)} went free: {words.rate(line)}."
    )
    text = " ".join(filter(None, [taken_in, released, _still_open(line)]))
    return [Finding("", text, is_clear=not words.is_missing(line.percent))]


def _still_open(line) -> str:
    said = words.unresolved(line)
    if not said or words.is_missing(line.bound_low):
        return ""
    return f"Not counted are animals without a known ending ({said}); with them the rate lies {words.bounds(line)}."


def against_the_year_before(published: Published, year: int) -> list[Finding]:
    """The year beside the one before it."""
    now, before = _headline_of_year(published, year), _headline_of_year(published, year - 1)
    if now is None or before is None or words.is_missing(before.percent) or words.is_missing(now.percent):
        return []
    text = f"Released in {year}: {words.rate(now)}; in {year - 1}: {words.rate(before)}."
    if not words.is_apart(now, before):
        return [Finding(f"Too few to tell {year} from {year - 1}.", f"{text} The intervals overlap.", False)]
    direction = "more" if now.percent > before.percent else "less"
    return [
        Finding(f"Released {direction} often than in {year - 1}.", f"{text} The intervals do not overlap.")
    ]


def _extremes(grouping: str, what: str) -> Rule:
    """A finding that sets the highest of a feature's groups beside the lowest."""

    def finding(published: Published, year: int) -> list[Finding]:
        frame = published.frames["release_rates"]
        frame = frame[(frame["grouping"] == grouping) & frame["is_headline"] & frame["percent"].notna()]
        frame = frame[frame["group_code"] != "not_stated"].sort_values("percent", kind="stable")
        if len(frame) < 2:
            return []
        low, *_, high = frame.itertuples(index=False)
        names = words.lower_first(high.group_label), words.lower_first(low.group_label)
        text = f"{words.rate(high)} against {words.rate(low)}, all years, of {len(frame)} {what}."
        if words.is_apart(low, high):
            head = f"Released most often: {names[0]}; least often: {names[1]}."
            return [Finding(head, f"{text} The two intervals do not overlap.")]
        head = f"Too few to tell {names[0]} from {names[1]}, the highest and lowest release rates."
        return [Finding(head, f"{text} The intervals overlap.", False)]

    return finding


def _most_frequent(level: str, axis: str, head: str, what: str) -> Rule:
    """A finding that names the largest share of a feature."""

    def finding(published: Published, year: int) -> list[Finding]:
        frame = published.frames["shares"]
        frame = frame[(frame["level"] == level) & (frame["axis"] == axis) & frame["percent"].notna()]
        frame = frame[frame["code"] != "not_stated"].rename(columns={"count": "n"})
        if frame.empty:
            return []
        line = next(frame.sort_values("n", ascending=False, kind="stable").itertuples(index=False))
        text = f"{words.share(line, line.total, what)}, all years."
        return [Finding(f"{head}: {words.lower_first(line.label)}.", text)]

    return finding


def ways_of_counting(published: Published, year: int) -> list[Finding]:
    """How far the ways of counting lie apart for the same animals."""
    frame = published.frames["release_rates"]
    frame = frame[(frame["grouping"] == "admission_year") & (frame["group_code"] == str(year))]
    frame = frame[frame["percent"].notna()].sort_values("percent", kind="stable")
    if len(frame) < 2:
        return []
    low, *_, high = frame.itertuples(index=False)
    return [
        Finding(
            f"The same animals give from {words.percent(low.percent)} to {words.percent(high.percent)}.",
            f"“{low.convention_label}”: {words.rate(low)}. “{high.convention_label}”: {words.rate(high)}.",
        )
    ]


def stays_of_released(published: Published, year: int) -> list[Finding]:
    """How long the released stayed."""
    line = words.row(published.frames["stays"], grouping="all", ending="released")
    if line is None or words.is_missing(line.median_days):
        return []
    middle = f"{words.number(line.quartile_low, 0)} to {words.days(line.quartile_high)}"
    return [
        Finding(
            f"Half of the released had left within {words.days(line.median_days)}.",
            f"{words.animals(line.animals)}, all years; the middle half stayed {middle}.",
        )
    ]


def nothing_lost(published: Published, year: int) -> list[Finding]:
    """Whether every record is accounted for."""
    laws = published.frames["conservation"]
    broken = laws[~laws["holds"].astype(bool)]
    if broken.empty:
        return [
            Finding(
                "No record was lost.", f"All {len(laws)} sums from the clinics' files to the cases agree."
            )
        ]
    names = words.listing([f"“{law}”" for law in broken["law"]])
    return [
        Finding("Records are not accounted for.", f"{len(broken)} of {len(laws)} sums fail: {names}.", False)
    ]


def stays_joined(published: Published, year: int) -> list[Finding]:
    """How many records were joined into how many cases, and whether another way of joining would change the figures."""
    ways = published.frames["link_influence"].set_index("scenario")
    records, cases = (words.count(ways.loc[name, "cases"]) for name in ("none_joined", "as_counted"))
    rates = ways["percent"].dropna()
    if rates.empty:
        return [
            Finding(
                f"{records} records are {cases} cases.", f"One animal's records are one of these {cases}."
            )
        ]
    reach = f"{words.number(rates.min(), 1)} and {words.number(rates.max(), 1)} %"
    return [
        Finding(
            f"{records} records are {cases} cases.",
            f"Had more or fewer of them been joined, the share released would lie between {reach}.",
        )
    ]


def records_questioned(published: Published, year: int) -> list[Finding]:
    """How many records the rules of good data question."""
    rules = published.frames["data_quality"]
    asked = rules[rules["count"] > 0]
    times = words.count(asked["count"].sum())
    head = f"{len(asked)} of {len(rules)} rules of good data question something."
    return [Finding(head, f"{times} questions in all; each goes back to its clinic.")]


# Name in report.toml → the public tables that the finding needs, and the finding.
FINDINGS: dict[str, tuple[tuple[str, ...], Rule]] = {
    "answer": (("release_rates",), answer),
    "against_the_year_before": (("release_rates",), against_the_year_before),
    "release_by_injury": (("release_rates",), _extremes("injury", "kinds of injury")),
    "release_by_taxon_group": (("release_rates",), _extremes("taxon_group", "groups of animals")),
    "release_by_severity": (("release_rates",), _extremes("severity", "grades of severity")),
    "most_frequent_gear": (
        ("shares",),
        _most_frequent("gear_item", "gear", "The tackle found most often", "pieces"),
    ),
    "most_frequent_injury": (
        ("shares",),
        _most_frequent("animal", "injury", "The most frequent injury", "animals"),
    ),
    "most_frequent_animals": (
        ("shares",),
        _most_frequent("animal", "taxon_group", "The animals that come most", "animals"),
    ),
    "ways_of_counting": (("release_rates",), ways_of_counting),
    "stays_of_released": (("stays",), stays_of_released),
    "planned_comparisons": (("effects", "effect_questions"), planned_comparisons),
    "nothing_lost": (("conservation",), nothing_lost),
    "stays_joined": (("link_influence",), stays_joined),
    "records_questioned": (("data_quality",), records_questioned),
    **findings_care.FINDINGS,
    **findings_notes.FINDINGS,
    **findings_short.FINDINGS,
    **site_frames.FINDINGS,
}


def said(names: list[str], published: Published, year: int) -> list[Finding]:
    """The findings of these names whose tables are there."""
    found: list[Finding] = []
    for name in names:
        needs, finding = FINDINGS[name]
        if all(published.has_rows(table) for table in needs):
            found += finding(published, year)
    return found
