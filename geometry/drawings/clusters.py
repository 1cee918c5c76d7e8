"""Points that are one but for rounding."""

from __future__ import annotations

import numpy as np

from .stroke import Array


def clusters(points: Array, tiny: float) -> Array:
    """(n,) label of the cluster of each point: points in the same or in touching cells of side
    `tiny`.

    Cells instead of pairwise distances keep the cost linear however many points coincide.
    """
    cells: dict[tuple[int, int], int] = {}
    parent: list[int] = []

    def root(i: int) -> int:
        while parent[i] != i:
            parent[i] = parent[parent[i]]
            i = parent[i]
        return i

    labels = []
    for x, y in (points / (tiny or 1.0)).tolist():
        cell = (int(x // 1), int(y // 1))
        if cell not in cells:
            cells[cell] = len(parent)
            parent.append(len(parent))
            for dx in (-1, 0, 1):
                for dy in (-1, 0, 1):
                    other = cells.get((cell[0] + dx, cell[1] + dy))
                    if other is not None:
                        parent[root(other)] = root(cells[cell])
        labels.append(cells[cell])
    return np.array([root(i) for i in labels])
