"""Do the 95 % limits of rates hold the truth as often as they say?

    PYTHONPATH=pipeline python tests/benchmarks/coverage_rates.py --networks 4000

One proportion and the difference of two: exact, by summing over all outcomes. Rates pooled over clinics: by
simulation, beside the plain limits that they replace. Promised: exact limits at least 95 %; approximate ones 94 to
96 % on average over the true share, the minimum told; pooled over five clinics or more 93 to 97 %.
"""

import argparse

import numpy as np
from scipy.special import expit, logit
from scipy.stats import binom, t
from unsnag.stats.clustering import clustered_rate
from unsnag.stats.proportions import clopper_pearson, newcombe_difference, wilson

SHARES = np.linspace(0.02, 0.98, 97)
SIZES = (10, 20, 40, 100)


def one_proportion():
    """Coverage of one proportion, for every group size, over the true shares."""
    for name, limits in (("exact", clopper_pearson), ("Wilson", wilson)):
        for size in SIZES:
            counts = np.arange(size + 1)
            low, high = limits(counts, size)
            held = (low[:, None] <= SHARES) & (high[:, None] >= SHARES)
            yield f"{name}, {size} animals", (binom.pmf(counts[:, None], size, SHARES) * held).sum(axis=0)


def two_proportions():
    """Coverage of a difference, for every pair of group sizes, over a grid of true shares."""
    shares = SHARES[::8]
    for size_1, size_2 in ((10, 10), (20, 40), (40, 100)):
        count_1, count_2 = np.arange(size_1 + 1), np.arange(size_2 + 1)
        _, low, high = newcombe_difference(count_1[:, None], size_1, count_2, size_2)
        chance_1, chance_2 = (
            binom.pmf(c, n, shares[:, None]) for c, n in ((count_1, size_1), (count_2, size_2))
        )
        truth = shares[:, None] - shares
        held = (low <= truth[..., None, None]) & (truth[..., None, None] <= high)
        coverage = np.einsum("ai,bj,abij->ab", chance_1, chance_2, held)
        yield f"Newcombe, {size_1} and {size_2} animals", coverage.ravel()


def pooled_over_clinics(networks, random):
    """Coverage of the pooled rate; clinics of one size or very unequal, more or less alike."""
    for clinics in (5, 8, 15):
        for unequal in (False, True):
            cases = [
                _pooled(networks, random, clinics, unequal, alike, share)
                for alike in (0.0, 0.03, 0.1)
                for share in (0.5, 0.8, 0.93)
            ]
            sizes = "unequal" if unequal else "equal"
            for name, coverage in zip(("pooled", "plain"), np.transpose(cases), strict=True):
                yield f"{name}, {clinics} {sizes} clinics", coverage


def _pooled(networks, random, clinics, unequal, alike, share):
    shape = (networks, clinics)
    spread = np.exp(random.normal(0, 0.8, shape)) if unequal else np.ones(shape)
    size = np.maximum(5, np.round(20 * spread)).astype(int)
    strength = 1 / alike - 1 if alike else np.inf
    rate = random.beta(share * strength, (1 - share) * strength, shape) if alike else np.full(shape, share)
    count = random.binomial(size, rate)
    answer = clustered_rate(count, size)
    told = answer.reason == ""
    plain = _plain(count, size, answer.estimate)
    return [
        np.mean(((low <= share) & (high >= share))[told]) for low, high in ((answer.low, answer.high), plain)
    ]


def _plain(count, size, rate):
    """The usual cluster-robust limits, t on clinics minus 1, on the logit scale."""
    clinics = size.shape[-1]
    surprise = ((count - rate[:, None] * size) ** 2).sum(axis=-1)
    error = np.sqrt(clinics / (clinics - 1) * surprise) / size.sum(axis=-1)
    with np.errstate(invalid="ignore"):
        spread = t.isf(0.025, clinics - 1) * error / (rate * (1 - rate))
    return expit(logit(rate) - spread), expit(logit(rate) + spread)


def main():
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--networks", type=int, default=4000, help="simulated networks for each setting")
    networks = parser.parse_args().networks
    random = np.random.default_rng(20240701)
    print(f"{'limits':36} {'mean':>6} {'lowest':>7} {'highest':>8}")
    for settings in (one_proportion(), two_proportions(), pooled_over_clinics(networks, random)):
        for name, coverage in settings:
            print(f"{name:36} {coverage.mean():6.3f} {coverage.min():7.3f} {coverage.max():8.3f}")


if __name__ == "__main__":
    main()
