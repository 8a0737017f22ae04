"""Findings for the first page: long sections of the report, each in one sentence with its number."""

from unsnag.report import words
from unsnag.report.effects_in_words import OUTCOMES, SAYS_SOMETHING, outcome, plain
from unsnag.report.published import Published, in_letters
from unsnag.report.words import Finding


def planned_in_short(published: Published, year: int) -> list[Finding]:
    """What the planned comparisons answer, together: the clear contrasts, or that there is none."""
    effects = published.frames["effects"]
    effects = effects[(effects["effect_by"] == "all") & effects["measure"].isin(OUTCOMES)]
    asked = effects["question"].nunique()
    clear = effects[effects["verdict"].isin(SAYS_SOMETHING)]
    noun = "comparison" if asked == 1 else "comparisons"
    if clear.empty:
        head = "Which intervention works: too few to tell yet."
        counts = effects["verdict"].value_counts().sort_index()
        said = words.listing([f"{number} times “{verdict}”" for verdict, number in counts.items()])
        text = f"{asked} planned {noun}, each contrast judged on release and on death: {said}."
        return [Finding(head, text, is_clear=False)]
    said = [
        f"{in_letters(row.strategy)}, against {plain(row.reference)}: {outcome(row)}"
        for row in clear.itertuples(index=False)
    ]
    head = (
        f"Which intervention works: {clear['question'].nunique()} of {asked} planned {noun} can be answered."
    )
    return [Finding(head, f"{'; '.join(said)}.")]


def hottest_place(published: Published, year: int) -> list[Finding]:
    """The places where tackle is more than its share of rescues, in one sentence."""
    circles = published.frames["hot_spots"]
    hot = circles[(circles["scan"] == "same_groups") & (circles["finding"] == "beyond chance")]
    if hot.empty:
        text = f"{len(circles)} circles were tried against chance, all years together."
        return [Finding("No place stands out beyond chance.", text, is_clear=False)]
    named = [circle.sites or "a place without a candidate site" for circle in hot.itertuples()]
    first = hot.iloc[0]
    head = f"Where tackle injures more than its share: {words.listing(named)}."
    ratio = words.number(first["relative_risk"])
    text = f"At the first, tackle is {ratio} times the share of rescues that it is elsewhere, all years"
    if not words.is_missing(first["tackle"]):
        text += f" ({words.count(first['tackle'])} of {words.count(first['rescues'])} rescues)"
    return [Finding(head, f"{text}.")]


FINDINGS = {
    "planned_in_short": (("effects",), planned_in_short),
    "hottest_place": (("hot_spots",), hottest_place),
}
