"""What happens to each animal, day by day: an explicit causal model, so that the truth under any strategy can be had.

Within a day the order is: findings (the gear has passed, moved or not; the animal is worse) -> line cut -> attempt,
with its own risk -> death -> euthanasia -> release -> transfer or loss. What is done is decided from what the records
hold: clinic, problem, body site, severity, day, latest film, whether the animal is worse, whether the line is cut.
"""

from typing import NamedTuple

import numpy as np

from maker import rates as r
from maker import ward as w


class Chances(NamedTuple):
    """The daily chances of what a clinic decides, float arrays (n,): what a strategy may change."""

    attempt: np.ndarray  # a first attempt: retrieval, disentangling or chelation
    line_cut: np.ndarray
    endoscopy: np.ndarray  # that a first retrieval of a swallowed hook is endoscopic, not surgical


def _logistic(x):
    return 1.0 / (1.0 + np.exp(-x))


def usual_chances(ward, day):
    """What the clinics do by habit, given the recorded past."""
    odds = r.HABIT[ward.clinic] + r.HABIT_BY_SITE[ward.problem, ward.site]
    odds = odds + r.HABIT_BY_SEVERITY[ward.problem] * ward.severity + r.HABIT_ON_FIRST_DAY * (day == 0)
    odds = odds + r.HABIT_IF_WORSE * ward.worse + r.HABIT_IF_UNMOVED * (ward.unmoved_since >= 0)
    odds = odds + r.HABIT_LATER[ward.problem] * (day >= r.FIRST_DECISIONS[ward.problem])
    odds = odds + r.HABIT_IF_LINE_CUT * ((ward.problem == r.MOUTH) & ward.eased)
    gentle = r.CLINIC_GENTLE[ward.clinic] - 0.25 * ward.severity
    line_cut = _logistic(r.CUTS_LINE[ward.site] + gentle + r.HABIT_IF_WORSE * ward.worse)
    return Chances(_logistic(odds), line_cut, _logistic(r.PREFERS_ENDOSCOPY[ward.site] + gentle))


def _findings(ward, day, rng):
    luck = rng.random((5, len(ward.case)))
    due = ward.gear & (ward.next_film == day)
    chance = r.PASSES[ward.problem, ward.site] * np.where(ward.line, 0.7, 1.0)
    # Passing is noticed at a film; a hook in the mouth is looked at every day.
    passed = due & (luck[0] < 1 - (1 - chance) ** (day - ward.last_film))
    passed |= ward.gear & (ward.problem == r.MOUTH) & (luck[0] < chance)
    unmoved = due & ~passed & (luck[1] < r.UNMOVED[ward.site])
    moved = due & ~passed & ~unmoved
    for event, mask in ((w.FILM_PASSED, passed), (w.FILM_UNMOVED, unmoved), (w.FILM_MOVED, moved)):
        ward.note(day, event, mask)
    ward.unmoved_since = np.where(
        unmoved & (ward.unmoved_since < 0), day, np.where(moved, -1, ward.unmoved_since)
    )
    ward.last_film = np.where(due, day, ward.last_film)
    ward.next_film = np.where(
        due, day + r.FILM_EVERY[ward.problem] + (luck[2] * 3).astype(int) - 1, ward.next_film
    )
    ward.gear &= ~passed
    ward.ready = np.where(passed, day + 3 + ward.severity, ward.ready)
    _worsening(ward, day, luck[3:])


def _worsening(ward, day, luck):
    chance = r.WORSENS[ward.problem, ward.site] * (0.6 + 0.4 * ward.severity) * np.where(ward.line, 1.3, 1.0)
    worse = ward.gear & ~ward.worse & (luck[0] < chance * _easing(ward))
    better = ward.worse & ~ward.gear & (luck[1] < r.RECOVERS)
    ward.note(day, w.WORSE, worse)
    ward.note(day, w.BETTER, better)
    ward.worse_since = np.where(worse, day, np.where(better, -1, ward.worse_since))


def _easing(ward):
    """What a cut line or chelation leaves of the gear's own harm."""
    left = np.where(ward.problem == r.LEAD, r.CHELATED[ward.site], r.SHORTENED[ward.site])
    return np.where(ward.eased, left, 1.0)


def _line_cutting(ward, day, luck, chance):
    cut = ward.gear & ~ward.tried & ~ward.eased & ward.line & (ward.problem == r.MOUTH) & (luck[0] < chance)
    ward.note(day, w.ATTEMPT, cut, w.attempt(r.LINE_CUT, 1, 0, 0, 0))
    ward.eased |= cut
    ward.ready = np.where(cut, day + 8 + (luck[1] * 7).astype(int), ward.ready)


def _first_kind(ward, is_endoscopic):
    swallowed = np.where(is_endoscopic, r.ENDOSCOPY, r.SURGERY)
    return np.where(ward.problem <= r.SWALLOWED_WARM, swallowed, r.KIND_OF_PROBLEM[ward.problem])


def _attempts(ward, day, rng, strategy):
    luck = rng.random((8, len(ward.case)))
    chances = usual_chances(ward, day)
    if strategy is not None:
        chances = strategy(day, ward, chances)
    _line_cutting(ward, day, luck[6:], chances.line_cut)
    first = ward.gear & ~ward.tried & (luck[0] < chances.attempt)
    again = ward.gear & ward.failed & (luck[0] < r.TRIES_AGAIN)
    repeat = np.where(ward.problem <= r.SWALLOWED_WARM, r.SURGERY, r.KIND_OF_PROBLEM[ward.problem])
    kind = np.where(again, repeat, _first_kind(ward, luck[1] < chances.endoscopy))
    acted = first | again
    died = acted & (luck[2] < _operative_risk(ward, kind, day))
    success = acted & ~died & (luck[3] < r.SUCCEEDS[kind, ward.site])
    trouble = acted & ~died & (luck[4] < r.COMPLICATED[kind])
    ward.note(day, w.ATTEMPT, acted, w.attempt(kind, success, trouble, again, died))
    _after_attempt(ward, day, acted, kind, success, trouble, luck[5])
    return acted, died


def _operative_risk(ward, kind, day):
    risk = r.DIES_OPERATED[kind, ward.severity] * r.SITE_RISK[kind, ward.site]
    stabilised = (kind == r.DISENTANGLE) & (day >= 2) & (ward.severity >= 2)
    return np.where(stabilised, risk * r.STABILISED, risk) * np.where(ward.worse, 1.5, 1.0)


def _after_attempt(ward, day, acted, kind, success, trouble, luck):
    ward.tried |= acted
    ward.failed = np.where(acted, ~success, ward.failed)
    ward.gear &= ~(success & (kind != r.CHELATION))
    ward.eased |= success & (kind == r.CHELATION)
    ward.worse_since = np.where(trouble & ~ward.worse, day, ward.worse_since)
    warm_surgery = (kind == r.SURGERY) & (ward.pace == 2)
    least = np.where(warm_surgery, r.WARM_SURGERY_STAYS[0], r.STAYS_AT_LEAST[kind])
    spread = np.where(warm_surgery, r.WARM_SURGERY_STAYS[1], r.STAYS_SPREAD[kind])
    stay = day + least + (luck * (spread + 1)).astype(int)
    too_soon = (kind == r.SURGERY) & (ward.pace == 1) & (luck > 1 - r.SENT_HOME_TOO_SOON)
    ward.ready = np.where(success, np.where(too_soon, day + 26, stay), ward.ready)


def _dying(ward, day, rng, acted):
    luck = rng.random((2, len(ward.case)))
    of_gear = r.DIES_WITH_GEAR[ward.problem, ward.site] * _easing(ward) * ward.gear
    chance = (
        r.DIES_OF_INJURY[ward.severity] * np.exp(-day / 14)
        + of_gear
        + r.DIES_IF_WORSE[ward.problem] * ward.worse
    )
    died = luck[0] < chance
    at_triage = r.EUTHANASED_AT_TRIAGE[ward.severity] * (day == 0) * ~acted
    return died, ~died & (luck[1] < at_triage + r.EUTHANASED_IF_WORSE[ward.severity] * ward.worse)


def _going_home(ward, day, rng):
    luck = rng.random((2, len(ward.case)))
    usual = r.GOES_HOME[ward.severity] * np.where(ward.pace == 2, 1.3, 1.0)
    chance = np.where(~ward.gear | ward.eased, usual, r.RELEASED_WITH_GEAR[ward.problem, ward.site])
    home = (day >= ward.ready) & ~ward.worse & (luck[0] < chance)
    kept = luck[1] < r.NON_RELEASABLE * (1 + ward.severity)
    return home, np.where(kept, r.KEPT, np.where(luck[1] > 0.96, r.RELEASED_ELSEWHERE, r.RELEASED))


def _moving(ward, day, rng, staying):
    luck = rng.random((4, len(ward.case)))
    moves = staying & (day < 10) & (luck[0] < r.MOVES_ON[ward.clinic])
    leaves = moves & (luck[1] < r.LEAVES_NETWORK)
    edges = np.cumsum(r.MOVES_TO, axis=1)[ward.clinic]
    target = (luck[2][:, None] * edges[:, -1:] >= edges).sum(axis=1)
    ward.note(day, w.TRANSFER, moves & ~leaves, target)
    ward.clinic = np.where(moves & ~leaves, target, ward.clinic)
    return leaves, staying & ~moves & (luck[3] < r.GETS_LOST)


def live(animals, rng, strategy=None, can_be_lost=True, keep_log=True, until=w.LAST_FOLLOW_UP_DAY):
    """Live through everyone's care. Returns the ward: ``end`` (n,), ``end_day`` (n,), ``log`` of events.

    strategy : None (usual care) or a function (day, ward, usual Chances) -> Chances
    """
    ward = w.Ward(animals, keep_log)
    for day in range(until + 1):
        if not len(ward.case):
            break
        _findings(ward, day, rng)
        acted, operative = _attempts(ward, day, rng, strategy)
        died, euthanased = _dying(ward, day, rng, acted)
        home, how = _going_home(ward, day, rng)
        end = np.select([operative | died, euthanased, home], [r.DIED, r.EUTHANASED, how], r.IN_CARE)
        leaves, lost = _moving(ward, day, rng, end == r.IN_CARE)
        if can_be_lost:
            end = np.select([leaves, lost], [r.MOVED_OUT, r.LOST], end)
        ward.close(end != r.IN_CARE, end, day)
    return ward
