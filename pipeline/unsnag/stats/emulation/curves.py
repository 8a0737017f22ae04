"""Weighted Aalen-Johansen curves and what they say at the horizon."""

import numpy as np

MEASURES = ("released", "died_or_euthanased", "days_free", "days_lost")


def weighted_incidence(weight, end_day, ending, counts, endings=4):
    """Cumulative incidence of competing endings when weights change from day to day.

    weight  : float array (n, days), weight of each case on each day in view, 0 after
    end_day : int array (n,), last day in view
    ending  : int array (n,), 0 .. endings - 1, -1 if not seen to end
    counts  : array (n,), how often each case is taken
    Returns   float array (days, endings), incidence by the end of each day; nan from the day on which nobody is
              left in view although some have not ended
    Source    Aalen & Johansen (1978), Scand J Stat 5:141, with weights as in survfit. A day's endings are
              counted with that day's weights; losses follow endings on the same day.
    """
    seen = ending >= 0
    place = end_day[seen] * endings + ending[seen]
    share = weight[seen, end_day[seen]] * counts[seen]
    ended = np.bincount(place, share, minlength=weight.shape[1] * endings).reshape(-1, endings)
    return _aalen_johansen(np.einsum("i,ij->j", counts, weight), ended)


def _aalen_johansen(at_risk, ended):
    with np.errstate(divide="ignore", invalid="ignore"):
        nobody = at_risk <= 0
        hazard = np.where(nobody[:, None], 0.0, ended / at_risk[:, None])
        before = np.concatenate([[1.0], np.cumprod(1 - hazard.sum(axis=1))[:-1]])
        # Where everybody has ended nothing more can come; where some have not, nothing is known of them.
        hazard[nobody & (before >= 1e-12)] = np.nan
        return np.cumsum(before[:, None] * hazard, axis=0)


def horizon_measures(curve):
    """What a curve says at its last day H.

    curve   : float array (H + 1, 4), incidence of released, died, euthanased, other
    Returns   float array (4,), in the order of MEASURES: chance of release; of death or euthanasia; restricted mean
              days free (released) and lost (dead) within days 0 to H, where an ending on day d counts H - d days.
    """
    released, dead = curve[:, 0], curve[:, 1] + curve[:, 2]
    return np.array([released[-1], dead[-1], released[:-1].sum(), dead[:-1].sum()])
