"""A strategy's plain data as words that a reader without the code understands."""

from .strategies import KINDS

WORDS = {
    "usual_care": "what the clinics do",
    "retrieve_within": "intervene by day {days}; what has to be forced is spread over the last {forced_over} days",
    "watch_at_least": "no intervention before day {days}, usual practice from then on",
    "watch_then": "watch; intervene within {within} days once {trigger}",
    "first_means": "usual timing; the first attempt is by {means}",
    "line_cut_and_left": "trailing line cut by day {days} (spread over {forced_over} days), the hook left for good",
}


def in_words(settings):
    """A strategy as a sentence.

    settings : dict of plain data, as in strategies.py
    """
    full = KINDS[settings["kind"]] | settings
    text = WORDS[full["kind"]].format(**full, trigger=_trigger(full))
    if full["kind"] == "retrieve_within" and full["means"]:
        text += f", first by {full['means']}"
    own = "; ".join(
        f"{group}: {', '.join(f'{key} {value}' for key, value in values.items())}".replace("_", " ")
        for group, values in full.get("by_taxon_group", {}).items()
    )
    return f"{text} ({own})" if own else text


def _trigger(full):
    worse = "it gets worse" if full.get("if_worse") else ""
    unmoved_at = full.get("if_unmoved_at", -1)
    unmoved = f"the gear is unmoved on day {unmoved_at} or later" if unmoved_at >= 0 else ""
    return " or ".join(part for part in (worse, unmoved) if part)
