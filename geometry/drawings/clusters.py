"""Points that are one but for rounding."""

from __future__ import annotations

import numpy as np

from .stroke import Array


def clusters(points: Array, tiny: float) -> Array:
    """(n,) label of the cluster of each point: points in the same or in touching cells of side
    `tiny`.

    Cells instead of pairwise distances keep the cost linear however many points coincide.
    """
    from ..planar.arrangement import connected

    cells, home = np.unique(np.floor(points / (tiny or 1.0)), axis=0, return_inverse=True)
    number = {cell: k for k, cell in enumerate(map(tuple, cells.tolist()))}
    # Four of the eight neighbours: each pair of cells is met from one of the two.
    pairs = [
        (k, other)
        for (x, y), k in number.items()
        for step in ((1, -1), (1, 0), (1, 1), (0, 1))
        if (other := number.get((x + step[0], y + step[1]))) is not None
    ]
    label = connected(len(cells), np.array(pairs, dtype=np.int64).reshape(-1, 2))
    return np.asarray(label[home.ravel()])
