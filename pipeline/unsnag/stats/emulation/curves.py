"""Weighted Aalen-Johansen curves and what they say at the horizon."""

import numpy as np

NEGLIGIBLE = 0.01  # one animal in a hundred
MEASURES = ("released", "died_or_euthanased", "days_free", "days_lost")


def weighted_incidence(weight, end_day, ending, counts, endings=4):
    """Cumulative incidence of competing endings when weights change from day to day.

    weight  : float array (n, days), weight of each case on each day in view, 0 after
    end_day : int array (n,), last day in view
    ending  : int array (n,), 0 .. endings - 1, -1 if not seen to end
    counts  : array (n,), or (groups, n), how often each case is taken
    Returns   float array (days, endings), or (groups, days, endings), incidence by the end of each day. From the day
              on which nobody is left in view, though more than NEGLIGIBLE have not ended, it is nan.
    Source    Aalen & Johansen (1978), Scand J Stat 5:141, with weights as in survfit. A day's endings are
              counted with that day's weights; losses follow endings on the same day.
    """
    counts = np.asarray(counts, float)
    many = np.atleast_2d(counts)
    seen = np.flatnonzero(ending >= 0)
    place = end_day[seen] * endings + ending[seen]
    with np.errstate(invalid="ignore"):  # none of an endless weight: no number, and no curve
        share = weight[seen, end_day[seen]] * many[:, seen]
    shape = (len(many), weight.shape[1], endings)
    place = (place + np.arange(len(many))[:, None] * shape[1] * endings).ravel()
    ended = np.bincount(place, share.ravel(), minlength=np.prod(shape)).reshape(shape)
    return _aalen_johansen(np.einsum("gi,ij->gj", many, weight), ended).reshape(
        *counts.shape[:-1], *shape[1:]
    )


def _aalen_johansen(at_risk, ended):
    """Curves (groups, days, endings) from weighted numbers at risk (groups, days) and ended (groups, days, endings)."""
    with np.errstate(divide="ignore", invalid="ignore"):
        nobody = at_risk <= 0
        hazard = np.where(nobody[..., None], 0.0, ended / at_risk[..., None])
        left = np.cumprod(1 - hazard.sum(axis=-1), axis=-1)
        before = np.concatenate([np.ones_like(left[:, :1]), left[:, :-1]], axis=-1)
        # Of the few that may be left when nobody is in view any more, the last figures are the best that is known.
        hazard[nobody & (before > NEGLIGIBLE)] = np.nan
        hazard[np.isinf(at_risk)] = np.nan  # weights that outgrew all numbers: no share of them can be told
        return np.cumsum(before[..., None] * hazard, axis=-2)


def horizon_measures(curve):
    """What a curve says at its last day H.

    curve   : float array (..., H + 1, 4), incidence of released, died, euthanased, other
    Returns   float array (..., 4), in the order of MEASURES: chance of release; of death or euthanasia; restricted mean
              days free (released) and lost (dead) within days 0 to H, where an ending on day d counts H - d days.
    """
    released, dead = curve[..., 0], curve[..., 1] + curve[..., 2]
    days = (each[..., :-1].sum(axis=-1) for each in (released, dead))
    return np.stack([released[..., -1], dead[..., -1], *days], axis=-1)
