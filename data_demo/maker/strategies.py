"""The strategies that the planned questions compare, each as a target daily chance; usual practice elsewhere.

A strategy is a function (day, ward, usual chances) -> chances. What a strategy forces within a window of k days has the
chances 1/k, 1/(k-1) ... 1 on its days, as METHODS 3 has it.
"""

from typing import NamedTuple

import numpy as np

from maker import animals
from maker import rates as r

FORCED_OVER = 3


def _forced(usual, left):
    """Usual chance until the last FORCED_OVER days of a window; ``left`` is the number of days left, today included."""
    return np.where(left > FORCED_OVER, usual, 1 / np.maximum(left, 1))


def attempt_within(days):
    """Attempt by day ``days`` at the latest."""
    return lambda day, ward, usual: usual._replace(attempt=_forced(usual.attempt, days - day + 1))


def watch_at_least(days):
    """No attempt before day ``days``; usual practice from then on."""
    return lambda day, ward, usual: usual._replace(attempt=usual.attempt * (day >= days))


def watch_then(unmoved_at):
    """No attempt until a finding calls for it: worse on any day, or unmoved on the latest film on day ``unmoved_at`` or
    later; then within three days."""

    def strategy(day, ward, usual):
        since_worse = np.where(ward.worse, day - ward.worse_since, -1)
        since_unmoved = np.where(
            ward.unmoved_since >= 0, np.minimum(day - ward.unmoved_since, day - unmoved_at), -1
        )
        since = np.maximum(since_worse, since_unmoved)
        return usual._replace(attempt=np.where(since < 0, 0.0, 1 / np.maximum(FORCED_OVER - since, 1)))

    return strategy


def first_means(endoscopy):
    """Usual timing; the first retrieval is always (1) or never (0) by endoscope."""
    return lambda day, ward, usual: usual._replace(endoscopy=np.full_like(usual.endoscopy, endoscopy))


def line_cut_and_left(days):
    """Line cut by day ``days``, hook left for good."""

    def strategy(day, ward, usual):
        return usual._replace(attempt=usual.attempt * 0, line_cut=_forced(usual.line_cut, days - day + 1))

    return strategy


class Question(NamedTuple):
    """A planned comparison: whom it is about, by what its effect differs, until when, and its strategies."""

    name: str
    is_eligible: object
    by: str
    groups: dict
    horizon_days: int
    strategies: dict


def _problem(*problems):
    return lambda herd: np.isin(herd["problem"], problems)


def _swallowed_by_bird(herd):
    mammals = np.isin(np.array(animals.GROUPS)[herd["species"]], ["seal_or_sealion", "otter_or_platypus"])
    return _problem(r.SWALLOWED_WARM)(herd) & ~mammals


def _mouth_with_line(herd):
    return _problem(r.MOUTH)(herd) & herd["line"]


_GUT = {"oesophagus": 0, "stomach": 1, "intestine": 2}
_GRADES = {grade: level for level, grade in enumerate(animals.SEVERITIES)}
QUESTIONS = [
    Question(
        "swallowed_hook_turtle",
        _problem(r.SWALLOWED_REPTILE),
        "site",
        _GUT,
        120,
        {
            "retrieve_within_7_days": attempt_within(7),
            "watch_21_days": watch_at_least(21),
            "retrieve_if_worse_or_unmoved_at_14": watch_then(14),
        },
    ),
    Question(
        "swallowed_hook_bird",
        _swallowed_by_bird,
        "site",
        _GUT,
        60,
        {
            "retrieve_within_3_days": attempt_within(3),
            "watch_10_days": watch_at_least(10),
            "retrieve_if_worse_or_unmoved_at_7": watch_then(7),
        },
    ),
    Question(
        "endoscopy_or_surgery_first",
        _problem(r.SWALLOWED_REPTILE, r.SWALLOWED_WARM),
        "site",
        {"oesophagus": 0, "stomach": 1},
        120,
        {"endoscopy_first": first_means(1), "surgery_first": first_means(0)},
    ),
    Question(
        "remove_or_cut_line",
        _mouth_with_line,
        "site",
        {"mouth": 0, "throat_glottis": 1},
        60,
        {"remove_within_2_days": attempt_within(2), "line_cut_and_left": line_cut_and_left(2)},
    ),
    Question(
        "early_or_late_disentangling",
        _problem(r.ENTANGLED),
        "severity",
        _GRADES,
        42,
        {"disentangle_within_2_days": attempt_within(2), "stabilise_3_days_first": watch_at_least(3)},
    ),
    Question(
        "chelation_with_retained_lead",
        _problem(r.LEAD),
        "site",
        {"lead_below_40": 0, "lead_40_or_more": 1},
        60,
        {"chelate_within_2_days": attempt_within(2), "no_chelation_for_21_days": watch_at_least(21)},
    ),
]
