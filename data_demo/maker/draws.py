"""Random draws from plain uniforms only.

NumPy may change how it makes normal or Poisson numbers between versions; its uniforms are stable.
Everything here is therefore cut from ``Generator.random``, so that the demo's bytes stay the same.
"""

import zlib

import numpy as np

# Of 80 seeds tried, one whose 1,800 animals show about what is true of many. So the demo proves no coverage: the
# estimators are proved on thousands of invented networks elsewhere.
SEED = 40


def generator(*purpose):
    """A generator of its own for each purpose, so that adding a draw somewhere moves nothing elsewhere."""
    spawned = [zlib.crc32(str(part).encode()) for part in purpose]
    return np.random.Generator(np.random.PCG64([SEED, *spawned]))


def pick(uniforms, weights):
    """Index drawn with the given weights, for each uniform.

    uniforms : float array (n,), in [0, 1)
    weights  : float array (k,) the same for all, or (n, k) one row each; need not sum to one
    Returns    int array (n,)
    """
    weights = np.asarray(weights, dtype=float)
    if weights.ndim == 1:
        edges = np.cumsum(weights)
        return np.searchsorted(edges, uniforms * edges[-1], side="right")
    edges = np.cumsum(weights, axis=1)
    return (uniforms[:, None] * edges[:, -1:] >= edges).sum(axis=1)


def bell(rng, count):
    """Roughly normal numbers (mean 0, standard deviation 1): twelve uniforms, less six."""
    return rng.random((count, 12)).sum(axis=1) - 6.0


class Chooser:
    """Draws for one case at a time, from a stream of uniforms made in blocks (much faster than one by one)."""

    def __init__(self, *purpose):
        self._rng = generator(*purpose)
        self._block, self._next = [], 0

    def uniform(self):
        if self._next == len(self._block):
            self._block, self._next = self._rng.random(8192).tolist(), 0
        self._next += 1
        return self._block[self._next - 1]

    def chance(self, probability):
        return self.uniform() < probability

    def whole(self, low, high):
        """A whole number from low to high, both included."""
        return low + int(self.uniform() * (high - low + 1))

    def one_of(self, options):
        return options[int(self.uniform() * len(options))]

    def word(self, words):
        """Mostly a clinic's usual word (the first), now and then one of its others."""
        if len(words) == 1 or self.uniform() < 0.7:
            return words[0]
        return words[1 + int(self.uniform() * (len(words) - 1))]
