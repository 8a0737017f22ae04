"""Gray's test: does the incidence of one ending differ between groups, the others competing?"""

import numpy as np

from unsnag.stats.score_tests import compare_groups


def gray_test(stay_days, ending, group, of, causes, stratum=None):
    """Compare the cumulative incidence of one ending between groups.

    Not for late entries: the size of a subdistribution's risk set rests on everybody being seen from day 0.

    stay_days : int array (n,), whole days from admission to ending or last sight
    ending    : str array (n,); any not among ``causes`` is a censoring
    group     : array (n,), labels of the groups compared
    of        : the ending compared, one of ``causes``
    causes    : sequence of the endings that compete
    stratum   : array (n,), e.g. the clinic: groups are compared within strata; one stratum if left out
    Returns     ScoreTest
    Raises      ValueError: lengths differ, or ``of`` is not among the causes
    Source      Gray (1988) Ann Stat 16:1141-1154, rho = 0; ties as in cuminc of R cmprsk.
    """
    if of not in causes:
        raise ValueError(f"of: {of} is not among the causes {', '.join(causes)}")
    position = list(causes).index(of)

    def score(counts):
        return gray_score(counts.at_risk, counts.events, position)

    return compare_groups(score, stay_days, ending, group, causes, stratum=stratum)


def gray_score(at_risk, events, of):
    """Gray's score of each group and its covariance, in one stratum, from compact counts.

    at_risk : float array (g, k), animals in care on the day, by group
    events  : float array (g, c, k), endings on the day
    of      : int, position of the compared ending among the c causes
    Returns     score, float array (g,), sums to 0; covariance, float array (g, g)
    """
    mine, others = events[:, of], events.sum(axis=1) - events[:, of]
    in_care = np.cumprod(1 - _ratio(mine + others, at_risk), axis=1)
    before = _just_before(in_care, 1.0)
    incidence = np.cumsum(before * _ratio(mine, at_risk), axis=1)
    # At risk, had those with another ending stayed at risk until they would have been censored.
    enlarged = _ratio(at_risk, before) * (1 - _just_before(incidence, 0.0))
    score = (mine - mine.sum(axis=0) * _ratio(enlarged, enlarged.sum(axis=0))).sum(axis=1)
    return score, _covariance(at_risk, mine, others, in_care, before)


def _covariance(at_risk, mine, others, in_care, before):
    """Covariance under the null, when one pooled incidence serves all groups.

    The score is a sum, over groups k and days, of the group's surprises in either kind of ending. ``direct``
    (groups i x groups k x days) is what a surprise in k does to score i that day; ``later`` is what it still
    does afterwards, through the group's own chance of being in care.
    """
    size = _ratio(at_risk, before)
    all_size, endings = size.sum(axis=0), mine.sum(axis=0)
    pooled = np.cumsum(_ratio(endings, all_size))
    direct = np.eye(len(size))[:, :, None] * size - size[:, None] * _ratio(size, all_size)
    spread = np.cumsum(direct * _ratio(endings, all_size * (1 - _just_before(pooled, 0.0))), axis=2)
    later = spread[:, :, -1:] - spread
    rest = _ratio(1 - pooled, in_care)
    by_mine = direct + np.where(in_care > 0, 1 - rest, 1.0) * later
    by_others = rest * later
    mine_variance = _ratio(before * endings, all_size * at_risk) * _untied(endings, all_size * before)
    others_variance = _ratio(before**2 * others, at_risk**2) * _untied(others, at_risk)
    return np.einsum("ikt,jkt,kt->ij", by_mine, by_mine, mine_variance) + np.einsum(
        "ikt,jkt,kt->ij", by_others, by_others, others_variance
    )


def _untied(endings, at_risk):
    """Factor by which several endings on one day vary less than as many single ones."""
    return 1 - _ratio(np.maximum(endings - 1, 0), at_risk - 1)


def _just_before(values, first):
    start = np.full((*values.shape[:-1], 1), first)
    return np.concatenate([start, values[..., :-1]], axis=-1)


def _ratio(part, whole):
    """part / whole, and 0 where whole is 0 or less."""
    part, whole = np.broadcast_arrays(part, whole)
    return np.divide(part, whole, out=np.zeros(part.shape), where=whole > 0)
