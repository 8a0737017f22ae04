"""Gray's test: does the incidence of one ending differ between groups, the others competing?"""

import numpy as np

from unsnag.stats.arguments import divide
from unsnag.stats.hazards import daily_hazards
from unsnag.stats.score_tests import compare_groups


def gray_test(stay_days, ending, group, of, causes, stratum=None, animals=None):
    """Compare the cumulative incidence of one ending between groups.

    Not for late entries: the size of a subdistribution's risk set rests on everybody being seen from day 0.

    stay_days : int array (n,), whole days from admission to ending or last sight
    ending    : str array (n,); any not among ``causes`` is a censoring
    group     : array (n,), labels of the groups compared
    of        : the ending compared, one of ``causes``
    causes    : sequence of the endings that compete
    stratum   : array (n,), e.g. the clinic: groups are compared within strata; one stratum if left out
    animals   : int array (n,), animals that a row stands for, so that compact counts will do; 1 if left out
    Returns     ScoreTest
    Raises      ValueError: lengths differ, or ``of`` is not among the causes
    Source      Gray (1988) Ann Stat 16:1141-1154, rho = 0; ties as in cuminc of R cmprsk.
    """
    if of not in causes:
        raise ValueError(f"of: {of} is not among the causes {', '.join(causes)}")
    position = list(causes).index(of)

    def score(counts):
        return gray_score(counts, position)

    return compare_groups(score, stay_days, ending, group, causes, stratum=stratum, animals=animals)


def gray_score(counts, of):
    """Gray's score of each group and its covariance, in one stratum.

    counts : RiskCounts of g groups, nobody entering late
    of     : int, position of the compared ending among the causes
    Returns     score, float array (g,), sums to 0; covariance, float array (g, g)
    """
    hazards = daily_hazards(counts.days, counts.at_risk, counts.events)
    mine = counts.events[:, of]
    incidence = np.cumsum(hazards.before * hazards.cause[:, of], axis=1)
    # At risk, had those with another ending stayed at risk until they would have been censored.
    enlarged = divide(counts.at_risk, hazards.before, 0.0) * (1 - _just_before(incidence))
    score = (mine - mine.sum(axis=0) * divide(enlarged, enlarged.sum(axis=0), 0.0)).sum(axis=1)
    return score, _covariance(hazards, mine, counts.events.sum(axis=1) - mine)


def _covariance(hazards, mine, others):
    """Covariance under the null, when one pooled incidence serves all groups.

    The score is a sum, over groups k and days, of the group's surprises in either kind of ending. ``direct``
    (groups i x groups k x days) is what a surprise in k does to score i that day; ``later`` is what it still
    does afterwards, through the group's own chance of being in care.
    """
    at_risk, before = hazards.at_risk, hazards.before
    size = divide(at_risk, before, 0.0)
    all_size, endings = size.sum(axis=0), mine.sum(axis=0)
    pooled = np.cumsum(divide(endings, all_size, 0.0))
    direct = np.eye(len(size))[:, :, None] * size - size[:, None] * divide(size, all_size, 0.0)
    spread = np.cumsum(direct * divide(endings, all_size * (1 - _just_before(pooled)), 0.0), axis=2)
    later = spread[:, :, -1:] - spread
    rest = divide(1 - pooled, hazards.in_care, 0.0)
    by_mine = direct + np.where(hazards.in_care > 0, 1 - rest, 1.0) * later
    by_others = rest * later
    mine_variance = divide(before * endings, all_size * at_risk, 0.0) * _untied(endings, all_size * before)
    others_variance = divide(before**2 * others, at_risk**2, 0.0) * _untied(others, at_risk)
    return _products(by_mine, mine_variance) + _products(by_others, others_variance)


def _products(effects, variance):
    return np.einsum("ikt,jkt,kt->ij", effects, effects, variance)


def _untied(endings, at_risk):
    """Factor by which several endings on one day vary less than as many single ones."""
    return 1 - divide(np.maximum(endings - 1, 0), at_risk - 1, 0.0)


def _just_before(incidence):
    """The value just before each day; 0 before the first."""
    return np.concatenate([np.zeros((*incidence.shape[:-1], 1)), incidence[..., :-1]], axis=-1)
