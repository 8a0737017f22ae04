"""The questions in words: what was planned, in which animals, and which treatments it is about."""

from unsnag.stats.emulation.wording import in_words

LABELS = "select vocabulary || ':' || code as word, label from codes.words_for_codes"
TREATMENTS = "select code, treatment_code from codes.procedure where treatment_code is not null"
BESIDE = {"watch_at_least": "watched", "watch_then": "watched", "line_cut_and_left": "line_cut_hook_left"}


def planned_rows(mart, questions):
    """Rows of effect_questions, in the order of the questions."""
    labels = dict(mart.frame(LABELS).itertuples(index=False, name=None))
    treatments = dict(mart.frame(TREATMENTS).itertuples(index=False, name=None))
    return [
        (each.name, each.asks, each.planned, each.reason, _animals(each, labels), _strategies(each),
         each.horizon_days, *(_listed(each, name) for name in ("injury", "taxon_group", "body_site")),
         "|".join(_treatments(each, treatments)))
        for each in questions
    ]  # fmt: skip


def _animals(question, labels):
    """Whom it is about, in the words of the shared codes."""
    parts = []
    for feature, codes in question.population.items():
        if feature != "arrival":
            words = [labels.get(f"{feature}:{code}", code).lower() for code in codes]
            parts.append(f"{feature.replace('_', ' ')}: {', '.join(words)}")
    return "; ".join(parts)


def _strategies(question):
    return "; ".join(
        f"{each.name.replace('_', ' ')}: {in_words(each.settings)}" for each in question.strategy
    )


def _listed(question, feature):
    """Codes of a feature that the question is about, one after the other; empty: any."""
    return "|".join(question.population.get(feature, ()))


def _treatments(question, treatments):
    """Treatments that it compares: what counts as intervening, and what stands against it."""
    compared = [treatments[code] for code in question.intervention if code in treatments]
    compared += [BESIDE[kind] for each in question.strategy if (kind := each.settings["kind"]) in BESIDE]
    return list(dict.fromkeys(compared))
