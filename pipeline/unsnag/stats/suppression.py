"""Which cells of published tables must be withheld so that nobody can compute those that rest on few clinics."""

from collections import defaultdict
from itertools import chain

import numpy as np

TOLERANCE = 1e-9


def withheld_cells(cell, total, animals, clinics, minimum):
    """Cells to withhold: those of fewer clinics than the minimum, and the cells that would give them away.

    A sum is anything that adds up in public: the cells of a table and the cell of their total. What is withheld in
    one sum can be computed from the rest of it, so at least two cells and enough clinics must stand behind that
    rest; the smallest cells are added until they do. Then linear algebra over all sums looks for cells that
    several sums together would still give away.

    cell     : str sequence (n,), the cell of each row
    total    : str sequence (n,), the sum that the cell stands in; a cell may stand in several
    animals  : int sequence (n,), animals in the cell
    clinics  : sequence (n,) of lists, the clinics that they came to
    minimum  : clinics that a published cell must rest on
    Returns     dict, withheld cell → whether it rests on too few clinics itself, in the order of the cells' names
    Source      complementary suppression: Cox (1980) J Am Stat Assoc 75:377-385 (from memory)
    """
    sums = defaultdict(dict)
    for row in zip(cell, total, animals, clinics, strict=True):
        sums[row[1]][row[0]] = (row[2], frozenset(row[3]))
    small = {name for cells in sums.values() for name, (_, behind) in cells.items() if len(behind) < minimum}
    hidden = set(small)
    while added := _to_close(sums, hidden, minimum) or _to_blur(sums, hidden, small):
        hidden |= added
    return {name: name in small for name in sorted(hidden)}


def _to_close(sums, hidden, minimum):
    """The smallest shown cell of every sum whose withheld part is one cell, or rests on too few clinics."""
    added = set()
    for cells in sums.values():
        behind = [clinics for name, (_, clinics) in cells.items() if name in hidden]
        if behind and (len(behind) < 2 or len(frozenset().union(*behind)) < minimum):
            added |= _smallest_shown([cells], hidden)
    return added


def _to_blur(sums, hidden, small):
    """For every small cell that the sums together give away, the smallest shown cell of its sums."""
    added = set()
    for name in sorted(small & determined(sums, hidden)):
        added |= _smallest_shown([cells for cells in sums.values() if name in cells], hidden)
    return added


def _smallest_shown(groups, hidden):
    shown = [
        (animals, name) for cells in groups for name, (animals, _) in cells.items() if name not in hidden
    ]
    return {min(shown)[1]} if shown else set()


def determined(sums, hidden):
    """Withheld cells that follow from the sums: their unit vectors lie in the sums' row space.

    sums    : dict, sum → the cells in it
    hidden  : set of withheld cells
    Returns     set of cells
    """
    rows = {frozenset(cells) & hidden for cells in map(frozenset, sums.values())} - {frozenset()}
    return set(chain.from_iterable(map(_determined_in, _connected(rows))))


def _connected(rows):
    """The rows parted into groups that share no cell: small matrices instead of one large one."""
    groups = []
    for row in sorted(rows, key=sorted):
        touching = [group for group in groups if any(row & other for other in group)]
        groups = [group for group in groups if group not in touching] + [
            [row, *chain.from_iterable(touching)]
        ]
    return groups


def _determined_in(rows):
    names = sorted(frozenset().union(*rows))
    matrix = np.array([[name in row for name in names] for row in rows], dtype=float)
    _, values, basis = np.linalg.svd(matrix, full_matrices=False)
    length = (basis[values > TOLERANCE] ** 2).sum(axis=0)
    return [name for name, share in zip(names, length, strict=True) if share > 1 - TOLERANCE]
