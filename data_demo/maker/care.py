"""What happens to each animal, day by day: an explicit causal model, so that the truth under any strategy can be had.

Within a day the order is: film (the gear has passed, moved or not) -> worse -> intervention, with its own risk ->
second attempt after a failed one -> death -> euthanasia -> release -> transfer. Interventions are decided from what the
records hold: clinic, problem, body site, severity, day, latest film and whether the animal is worse.
"""

import numpy as np

from maker import rates as r

LAST_FOLLOW_UP_DAY = 260
STARTING = {"gear": True, "worse": False, "tried": False, "failed": False, "eased": False}


def _logistic(x):
    return 1.0 / (1.0 + np.exp(-x))


class Ward:
    """All animals in care, as arrays (n,), and what is logged about them."""

    def __init__(self, animals, keep_log=True):
        for name in ("problem", "site", "severity", "line", "clinic", "pace"):
            setattr(self, name, animals[name].copy())
        count = len(self.problem)
        for name, value in STARTING.items():
            setattr(self, name, np.full(count, value))
        self.gear &= self.problem != r.OTHER
        self.case = np.arange(count)
        self.unmoved = np.zeros(count, dtype=int)
        self.next_film = np.where(self.has_films(), r.FILM_EVERY[self.problem], -1)
        self.last_film = np.zeros(count, dtype=int)
        self.ready = np.where(self.problem == r.OTHER, r.OTHER_STAYS[self.severity], 9999)
        self.ready = np.where(self.has_films(), np.where(self.pace == 1, 40, 24), self.ready)
        self.log, self.keep_log = [], keep_log
        self.end = np.full(count, r.IN_CARE)
        self.end_day = np.full(count, LAST_FOLLOW_UP_DAY)

    def has_films(self):
        return r.FILM_EVERY[self.problem] > 0

    def keep_only(self, staying):
        """Forget those that have ended: later days get cheaper."""
        for name, value in list(vars(self).items()):
            if isinstance(value, np.ndarray) and name not in ("end", "end_day"):
                setattr(self, name, value[staying])

    def note(self, day, event, mask, detail=None):
        """Log that ``event`` happened to the animals in ``mask`` today; ``detail`` is an int array or number."""
        if self.keep_log and mask.any():
            cases = self.case[mask]
            extra = np.zeros(len(cases), dtype=int) if detail is None else np.broadcast_to(detail, mask.shape)[mask]
            self.log.append((cases, np.full(len(cases), day), np.full(len(cases), event), extra))


FILM_PASSED, FILM_MOVED, FILM_UNMOVED, WORSE, BETTER, ATTEMPT, TRANSFER = range(7)


def _films(ward, day, rng):
    due = ward.gear & (ward.next_film == day)
    chance = r.PASSES[ward.problem, ward.site] * np.where(ward.line, 0.7, 1.0)
    looked = rng.random((3, len(due)))
    passed = due & (looked[0] < 1 - (1 - chance) ** (day - ward.last_film))
    unmoved = due & ~passed & (looked[1] < r.UNMOVED[ward.site])
    # A hook left on purpose is not filmed: it is seen to have come away.
    shed = ward.gear & (ward.problem == r.MOUTH) & (looked[0] < chance)
    ward.note(day, FILM_PASSED, passed | shed)
    ward.note(day, FILM_UNMOVED, unmoved)
    ward.note(day, FILM_MOVED, due & ~passed & ~unmoved)
    ward.unmoved = np.where(due, np.where(unmoved, ward.unmoved + 1, 0), ward.unmoved)
    wobble = (looked[2] * 3).astype(int) - 1
    ward.last_film = np.where(due, day, ward.last_film)
    ward.next_film = np.where(due, day + r.FILM_EVERY[ward.problem] + wobble, ward.next_film)
    gone = passed | shed
    ward.gear &= ~gone
    ward.ready = np.where(gone, day + 3 + ward.severity, ward.ready)


def _worsening(ward, day, rng):
    luck = rng.random((2, len(ward.case)))
    chance = r.WORSENS[ward.problem, ward.site] * (0.6 + 0.4 * ward.severity) * np.where(ward.line, 1.3, 1.0)
    chance = chance * np.where(ward.eased, _easing(ward), 1.0)
    worse = ward.gear & ~ward.worse & (luck[0] < chance)
    better = ward.worse & ~ward.gear & (luck[1] < 0.15)
    ward.note(day, WORSE, worse)
    ward.note(day, BETTER, better)
    ward.worse = (ward.worse | worse) & ~better


def _easing(ward):
    """What line cutting or chelation leaves of the gear's own harm."""
    return np.where(ward.problem == r.LEAD, r.CHELATED[ward.site], np.array([0.9, 0.35, 0.35])[ward.site])


def intervention_chance(ward, day):
    """The clinics' usual daily chance of a first intervention, from the recorded past alone."""
    odds = r.HABIT[ward.clinic] + r.HABIT_BY_SITE[ward.problem, ward.site]
    odds = odds + r.HABIT_BY_SEVERITY[ward.problem] * ward.severity
    odds = odds + r.HABIT_IF_WORSE * ward.worse + r.HABIT_IF_UNMOVED * (ward.unmoved >= 2)
    return _logistic(odds + r.HABIT_ON_FIRST_DAY * (day == 0))


def gentle_chance(ward):
    """The usual chance that the first intervention is the gentler kind: endoscopy, or line cut and hook left."""
    line_cut = r.PREFERS_LINE_CUT[ward.site] + r.CLINIC_GENTLE[ward.clinic] - 0.2 * ward.severity
    endoscopy = r.PREFERS_ENDOSCOPY[ward.site] + r.CLINIC_GENTLE[ward.clinic] - 0.25 * ward.severity
    return _logistic(np.where(ward.problem == r.MOUTH, line_cut, endoscopy))


def _kinds(ward, is_gentle):
    swallowed = np.where(is_gentle, r.ENDOSCOPY, r.SURGERY)
    mouth = np.where(is_gentle, r.LINE_CUT, r.REMOVAL)
    options = [swallowed, swallowed, mouth, r.REMOVAL, r.DISENTANGLE, r.CHELATION, r.SURGERY]
    return np.choose(ward.problem, [np.broadcast_to(option, ward.problem.shape) for option in options])


def _interventions(ward, day, rng, strategy):
    luck = rng.random((7, len(ward.case)))
    chance, gentle = intervention_chance(ward, day), gentle_chance(ward)
    if strategy is not None:
        chance, gentle = strategy(day, ward, chance, gentle)
    first = ward.gear & ~ward.tried & (luck[0] < chance)
    again = ward.gear & ward.failed & (luck[0] < r.TRIES_AGAIN)
    kind = _kinds(ward, luck[1] < gentle)
    repeat = np.select([ward.problem <= r.SWALLOWED_WARM, ward.problem == r.ENTANGLED], [r.SURGERY, r.DISENTANGLE], r.REMOVAL)
    acted = first | again
    kind = np.where(again, repeat, kind)
    died = acted & (luck[2] < _operative_risk(ward, kind, day))
    success = acted & ~died & (luck[3] < _by_kind(r.SUCCEEDS, kind, ward.site))
    trouble = acted & ~died & (luck[4] < np.array([r.COMPLICATED[k] for k in range(6)])[kind])
    ward.note(day, ATTEMPT, acted, kind + 10 * success + 100 * trouble + 1000 * again + 10000 * died)
    _after_attempt(ward, day, acted, kind, success, trouble, luck[5])
    return acted, died


def _after_attempt(ward, day, acted, kind, success, trouble, luck):
    leaves_gear = (kind == r.LINE_CUT) | (kind == r.CHELATION)
    ward.tried |= acted
    ward.failed = np.where(acted, ~success, ward.failed)
    ward.gear &= ~(success & ~leaves_gear)
    ward.eased |= success & leaves_gear
    ward.worse |= trouble
    least = np.array([r.STAYS_AFTER[k][0] for k in range(6)])[kind]
    spread = np.array([r.STAYS_AFTER[k][1] for k in range(6)])[kind]
    warm_surgery = (kind == r.SURGERY) & (ward.pace == 2)
    least, spread = np.where(warm_surgery, 13, least), np.where(warm_surgery, 9, spread)
    stay = day + least + (luck * (spread + 1)).astype(int)
    ward.ready = np.where(success, stay, ward.ready)


def _by_kind(table, kind, column):
    return np.array([table[k] for k in range(6)])[kind, column]


def _operative_risk(ward, kind, day):
    risk = _by_kind(r.DIES_OPERATED, kind, ward.severity)
    for special, factors in r.SITE_RISK.items():
        risk = np.where(kind == special, risk * factors[ward.site], risk)
    stabilised = (kind == r.DISENTANGLE) & (day >= 2) & (ward.severity >= 2)
    return np.where(stabilised, risk * r.STABILISED, risk) * np.where(ward.worse, 1.5, 1.0)


def _dying(ward, day, rng, acted):
    luck = rng.random((2, len(ward.case)))
    of_gear = r.DIES_WITH_GEAR[ward.problem, ward.site] * np.where(ward.eased, _easing(ward), 1.0) * ward.gear
    chance = r.DIES_OF_INJURY[ward.severity] * np.exp(-day / 14) + of_gear + r.DIES_IF_WORSE[ward.problem] * ward.worse
    died = luck[0] < chance
    at_triage = r.EUTHANASED_AT_TRIAGE[ward.severity] * (day == 0) * ~acted
    later = r.EUTHANASED_IF_WORSE[ward.severity] * ward.worse
    return died, ~died & (luck[1] < at_triage + later)


def _going_home(ward, day, rng):
    luck = rng.random((2, len(ward.case)))
    gear_out = ~ward.gear | ward.eased
    usual = r.GOES_HOME[ward.severity] * np.where(ward.pace == 2, 1.3, 1.0)
    chance = np.where(gear_out, usual, np.where(ward.has_films(), 0.02, 0.0))
    home = (day >= ward.ready) & ~ward.worse & (luck[0] < chance)
    kept = home & (luck[1] < 0.012 * (1 + ward.severity))
    return np.where(kept, r.KEPT, np.where(luck[1] > 0.96, r.RELEASED_ELSEWHERE, r.RELEASED)), home


def _moving(ward, day, rng, staying):
    luck = rng.random((4, len(ward.case)))
    moves = staying & (day < 10) & (luck[0] < r.MOVES_ON[ward.clinic])
    leaves = moves & (luck[1] < r.LEAVES_NETWORK)
    edges = np.cumsum(r.MOVES_TO, axis=1)[ward.clinic]
    target = (luck[2][:, None] * edges[:, -1:] >= edges).sum(axis=1)
    arrives = moves & ~leaves
    ward.note(day, TRANSFER, arrives, target)
    ward.clinic = np.where(arrives, target, ward.clinic)
    return leaves, staying & ~moves & (luck[3] < r.GETS_LOST)


def live(animals, rng, strategy=None, can_be_lost=True, keep_log=True, until=LAST_FOLLOW_UP_DAY):
    """Live through everyone's care. Returns the ward: ``end`` (n,), ``end_day`` (n,), ``log`` of events.

    strategy : None (usual care) or a function (day, ward, chance, gentle) -> (chance, gentle) for the first intervention
    """
    ward = Ward(animals, keep_log)
    for day in range(until + 1):
        if not len(ward.case):
            break
        _films(ward, day, rng)
        _worsening(ward, day, rng)
        acted, operative = _interventions(ward, day, rng, strategy)
        died, euthanased = _dying(ward, day, rng, acted)
        how_home, home = _going_home(ward, day, rng)
        end = np.select([operative | died, euthanased, home], [r.DIED, r.EUTHANASED, how_home], r.IN_CARE)
        leaves, lost = _moving(ward, day, rng, end == r.IN_CARE)
        if can_be_lost:
            end = np.select([leaves, lost], [r.MOVED_OUT, r.LOST], end)
        over = end != r.IN_CARE
        ward.end[ward.case[over]], ward.end_day[ward.case[over]] = end[over], day
        ward.keep_only(~over)
    return ward
