"""The strategies that the planned questions compare, each as a target daily chance of a first intervention.

A strategy is a function (day, ward, chance, gentle) -> (chance, gentle): the usual daily chance goes in, the target comes
out; ``gentle`` is the chance that the first intervention is the gentler kind. Retrievals that a strategy forces are
spread over the last three days of its window (1/3, 1/2, all), as METHODS 3 has it.
"""

from typing import NamedTuple

import numpy as np

from maker import rates as r


def within(last_day, gentle=None):
    """Intervene by ``last_day`` at the latest."""

    def strategy(day, ward, chance, usual_gentle):
        forced = {last_day - 2: 1 / 3, last_day - 1: 1 / 2, last_day: 1.0}
        target = np.full_like(chance, forced[day]) if day in forced else chance
        return target, usual_gentle if gentle is None else np.full_like(usual_gentle, gentle)

    return strategy


def not_before(first_day):
    """No intervention before ``first_day``; usual care from then on."""
    return lambda day, ward, chance, gentle: (chance * (day >= first_day), gentle)


def between(first_day, last_day):
    """None before ``first_day``, then by ``last_day``."""

    def strategy(day, ward, chance, gentle):
        return within(last_day)(day, ward, chance, gentle) if day >= first_day else (chance * 0, gentle)

    return strategy


def if_worse_or_unmoved(at_day):
    """Watch; on any day on which the animal is worse intervene with chance 1/2; unmoved on the latest film at ``at_day``:
    intervene within three days (1/3, 1/2, all); else none before ``at_day`` and usual care after it."""

    def strategy(day, ward, chance, gentle):
        target = chance * (day >= at_day)
        if at_day <= day < at_day + 3:
            target = np.where(ward.unmoved >= 1, 1 / (at_day + 3 - day), target)
        return np.where(ward.worse, 1 / 2, target), gentle

    return strategy


def first_kind(gentle):
    """Usual timing; the first intervention is always (1) or never (0) the gentler kind."""
    return lambda day, ward, chance, usual: (chance, np.full_like(usual, gentle))


class Question(NamedTuple):
    """A planned comparison: whom it is about, by what its effect differs, until when, and its strategies."""

    name: str
    problems: tuple
    by: str
    groups: dict
    horizon_days: int
    strategies: dict


_GUT = {"oesophagus": 0, "stomach": 1, "intestine": 2}
QUESTIONS = [
    Question("swallowed_hook_turtle", (r.SWALLOWED_REPTILE,), "site", _GUT, 120, {
        "retrieve_within_7_days": within(7), "watch_21_days": not_before(21),
        "retrieve_if_worse_or_unmoved_at_14": if_worse_or_unmoved(14)}),
    Question("swallowed_hook_bird", (r.SWALLOWED_WARM,), "site", _GUT, 60, {
        "retrieve_within_3_days": within(3), "watch_10_days": not_before(10),
        "retrieve_if_worse_or_unmoved_at_7": if_worse_or_unmoved(7)}),
    Question("endoscopy_or_surgery_first", (r.SWALLOWED_REPTILE, r.SWALLOWED_WARM), "site",
             {"oesophagus": 0, "stomach": 1}, 120, {"endoscopy_first": first_kind(1), "surgery_first": first_kind(0)}),
    Question("remove_or_cut_line", (r.MOUTH,), "site", {"mouth": 0, "throat_glottis": 1}, 60, {
        "remove_within_2_days": within(2, gentle=0), "cut_line_within_2_days": within(2, gentle=1)}),
    Question("early_or_late_disentangling", (r.ENTANGLED,), "severity",
             {"mild": 0, "moderate": 1, "severe": 2, "critical": 3}, 42,
             {"disentangle_within_2_days": within(2), "disentangle_on_day_3_to_5": between(3, 5)}),
    Question("chelation_with_retained_lead", (r.LEAD,), "site", {"lead_below_60": 0, "lead_60_or_more": 1}, 60, {
        "chelate_within_2_days": within(2), "no_chelation": not_before(10_000)}),
]  # fmt: skip
