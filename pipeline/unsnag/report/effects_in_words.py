"""The planned comparisons as a vet reads them: what was compared in which animals, how much, how sure."""

import pandas

from unsnag.report import words
from unsnag.report.published import Published, in_letters
from unsnag.report.words import Finding

MEASURES = {
    "released": "released",
    "died_or_euthanased": "died or euthanased",
    "days_free": "days free",
    "days_lost": "days lost to death",
}
OUTCOMES = ("released", "died_or_euthanased")
SAYS_SOMETHING = ("more", "fewer", "no clear difference", "depends on the group")
UNTOLD = ("too few to tell", "cannot be told apart")


def planned_comparisons(published: Published, year: int) -> list[Finding]:
    """One finding a question: each strategy beside the first, both outcomes, in all eligible animals."""
    effects = published.frames["effects"]
    effects = effects[(effects["effect_by"] == "all") & effects["measure"].isin(OUTCOMES)]
    planned = published.frames["effect_questions"].set_index("question")
    return [
        _finding(rows, planned["animals"].get(question, ""))
        for question, rows in effects.groupby("question", sort=False)
    ]


def _finding(rows: pandas.DataFrame, animals: str) -> Finding:
    first = rows.iloc[0]
    about = f"{words.animals(first.eligible)} ({animals.lower()}), to day {first.horizon_days}."
    said = [_contrast(contrast) for _, contrast in rows.groupby("strategy", sort=False)]
    is_clear = bool(rows["verdict"].isin(SAYS_SOMETHING).any())
    return Finding(first.asks, " ".join([about, *said]), is_clear)


def _contrast(rows: pandas.DataFrame) -> str:
    """A strategy beside the first one: release, then death."""
    by_measure = {row.measure: row for row in rows.itertuples(index=False)}
    first = rows.iloc[0]
    head = f"{in_letters(first.strategy)}, against {plain(first.reference)}:"
    said = [outcome(by_measure[measure]) for measure in OUTCOMES if measure in by_measure]
    return f"{head} {'; '.join(said)}."


def outcome(row) -> str:
    """One outcome of one contrast: difference in animals of 100, interval, verdict, certainty and reasons."""
    what, because = MEASURES[row.measure], f" ({row.reasons})" if row.reasons else ""
    if row.verdict in UNTOLD or words.is_missing(row.difference):
        return f"{what}, {row.verdict}{because}"
    figures = f"{_of_hundred(row.difference)} of 100 {what} ({words.NINETY_FIVE} {_limits(row)})"
    sure = f", certainty {row.certainty}" if row.certainty else ""
    return f"{figures}, {row.verdict}{sure}{because}"


def _of_hundred(value: float) -> str:
    """ "12 more", "3 fewer", "as many"."""
    whole = round(value)
    return f"{abs(whole)} {'more' if whole > 0 else 'fewer'}" if whole else "as many"


def _limits(row) -> str:
    return f"{_of_hundred(row.low)} to {_of_hundred(row.high)}"


def plain(name: str) -> str:
    """A name of questions.toml inside a sentence."""
    return name.replace("_", " ")


def effects_in_words(published: Published, year: int) -> pandas.DataFrame:
    """public.effects, both outcomes, all eligible animals first, with its names as words."""
    frame = published.frames["effects"]
    frame = frame[frame["measure"].isin(OUTCOMES)]
    frame = frame.assign(
        question_label=frame["question"].map(in_letters),
        contrast_label=frame["strategy"].map(in_letters) + ", against " + frame["reference"].map(plain),
        measure_label=frame["measure"].map(MEASURES).str.capitalize(),
        animals_label=frame["group_label"].where(frame["effect_by"] != "all", "All eligible animals"),
        is_all=frame["effect_by"] == "all",
        outcome_order=frame["measure"].map(OUTCOMES.index),
    )
    order = ["question", "strategy", "outcome_order", "is_all", "effect_by", "group_code"]
    frame = frame.sort_values(order, ascending=[True, True, True, False, True, True], kind="stable")
    return frame.drop(columns=["is_all", "outcome_order"]).reset_index(drop=True)


def effect_tables_in_words(source: str):
    """A frame of one of the tables beside the verdicts, with its names as words."""

    def frame(published: Published, year: int) -> pandas.DataFrame:
        rows = published.frames[source]
        names = [name for name in ("question", "strategy", "reference", "ending") if name in rows]
        said = {f"{name}_label": rows[name].map(in_letters) for name in names}
        if "measure" in rows:
            said["measure_label"] = rows["measure"].map(lambda name: in_letters(MEASURES.get(name, name)))
        if "planned" in rows:
            said |= {"planned": rows["planned"].astype(str).str[:10], "animals_label": rows["animals"]}
        return rows.assign(**said)

    return frame


def treatments_with_pointers(published: Published, year: int) -> pandas.DataFrame:
    """public.outcomes_by_treatment with the planned comparison that each row points to."""
    frame = published.frames["outcomes_by_treatment"]
    key = ["injury_code", "taxon_group_code", "body_site_code", "treatment_code"]
    pointers = published.frames.get("effect_pointers")
    if pointers is None or pointers.empty:
        return frame.assign(planned_comparison="none planned")
    named = pointers.assign(planned_comparison=pointers["question"].map(plain))
    named = named.groupby(key)["planned_comparison"].agg("; ".join).reset_index()
    return frame.merge(named, on=key, how="left").fillna({"planned_comparison": "none planned"})


# Name in report.toml → the public tables that it needs, and how it is made; report/derived.py takes them over.
FRAMES = {
    "effects_in_words": (("effects",), effects_in_words),
    "treatments_with_pointers": (("outcomes_by_treatment",), treatments_with_pointers),
} | {
    f"{name}_in_words": ((name,), effect_tables_in_words(name))
    for name in ("effect_curves", "effect_bias", "effect_flow", "effect_balance", "effect_sensitivity",
                 "effect_interactions", "effect_questions")
}  # fmt: skip
