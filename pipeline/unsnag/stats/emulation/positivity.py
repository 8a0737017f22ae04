"""Were animals of every kind seen to follow a strategy? Weights cannot show what is missing: those who left can."""

import numpy as np

from .strategies import retrieval_target
from .weights import running_product

HARDLY = 0.01


def hardly_followed(trial, strategy, member):
    """Share of eligible animals that had less than one chance in a hundred of following a strategy.

    trial    : Trial; strategy : Strategy, one of its own
    member   : bool array (n,), cases looked at
    Returns    float in [0, 1]. Nobody like them is there to stand for them, and the weights of those who are there
               do not tell: intervals then miss the truth (tests/benchmarks/emulation_coverage.py, barely_overlapping)
    Source     Petersen et al. (2012), Stat Methods Med Res 21:31, practical violations of positivity
    """
    if trial.retrieval is None:
        return 0.0
    chance = trial.retrieval.chance(np.ones(len(member), int))
    following = chance_of_following(
        trial.days, strategy, trial.retrieval, trial.targets[strategy.name][0], chance
    )
    return float((following[member] < HARDLY).mean())


def chance_of_following(days, strategy, model, target, chance):
    """Chance that an animal would have followed a strategy's rule on retrieval; 1 for those who did.

    days           : PersonDays
    model          : DailyModel of retrieval
    target, chance : float arrays (r,), on the model's person-days: under the strategy, and as the records show
    Returns          float array (n,). Retrieved too early: the chance of none so far, and of none on the days still
                     to come on which the strategy forbids it, at the chance of that last day. Not retrieved in time:
                     the chance of a retrieval on one of the days on which it was allowed.
    """
    forbidden = target == 0
    left = np.flatnonzero(np.where(model.happened, forbidden, target == 1))
    case, first = np.unique(model.case[left], return_index=True)
    row = left[first]
    day, too_early = model.day[row], forbidden[row]
    shape = days.in_care.shape
    none_so_far, none_when_allowed = (
        running_product(shape, model.case, model.day, np.where(counted, 1 - chance, 1.0))[case, day]
        for counted in (forbidden, ~forbidden)
    )
    to_come = (1 - chance[row]) ** _days_still_forbidden(days, strategy, case, day)
    following = np.ones(shape[0])
    following[case] = np.where(too_early, none_so_far * to_come, 1 - none_when_allowed)
    return following


def _days_still_forbidden(days, strategy, case, day):
    """Days ahead on which a strategy would go on forbidding retrieval, each counted by the chance to see it.

    What was known stays as it is: a spell goes on, no new film.
    """
    taxon_group = days.cases["taxon_group"].to_numpy()[case]
    spells = [spell[case, day] for spell in (days.worse_days, days.unmoved_days)]
    open_share = _share_still_open(days)
    forbidden, expected = np.ones(len(case), bool), np.zeros(len(case))
    for ahead in range(1, days.horizon + 1):
        later = (np.where(spell >= 0, spell + ahead, -1) for spell in spells)
        forbidden &= retrieval_target(strategy, taxon_group, day + ahead, *later) == 0
        seen = np.minimum(day + ahead, days.horizon)
        expected += forbidden * (day + ahead <= days.horizon) * open_share[seen] / open_share[day]
    return expected


def _share_still_open(days):
    """Share of animals that would still carry their gear in care on each day if none were retrieved (Kaplan-Meier)."""
    retrieved_today = np.arange(days.horizon + 1) == days.retrieval_day[:, None]
    left_alone = (days.carrying & ~retrieved_today).sum(axis=0)
    stays_open = (days.carrying[:, 1:]).sum(axis=0)
    with np.errstate(invalid="ignore", divide="ignore"):
        staying = np.where(left_alone[:-1] > 0, stays_open / left_alone[:-1], 0.0)
    return np.maximum(np.cumprod(np.concatenate([[1.0], staying])), 1e-9)
