"""Elements along the member: energy of n functions at order p, inner functions condensed."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from typing import Any

import numpy as np
from numpy.typing import NDArray

from ....geometry.errors import SolveError
from .energy import Energy, Piece
from .lobatto import sampled

Array = NDArray[np.float64]

#: Gauss points beyond p + 1 where the matrices change along an element.
EXTRA_POINTS = 3


@dataclass(frozen=True, slots=True, eq=False)
class Element:
    """One element, ready to be assembled.

    Attributes
    ----------
    stiffness : ((p + 1) n, (p + 1) n) or None
        Shape function by shape function: both ends, then the inner ones; where it was to be kept.
    condensed : (2n, 2n)
        Left of it at the ends.
    factor : object
        Cholesky factor of the inner part, m = (p - 1) n.
    follow : (m, 2n)
        Inner coefficients that the ends alone produce.
    """

    stiffness: Array | None
    condensed: Array
    factor: Any
    follow: Array

    def carried(self, load: Array) -> Array:
        """Load ((p + 1) n, c) of the element brought to its ends (2n, c)."""
        ends = self.condensed.shape[0]
        return np.asarray(load[:ends] + self.follow.T @ load[ends:])

    def whole(self, ends: Array, load: Array) -> Array:
        """All coefficients ((p + 1) n, c) from those of the ends (2n, c) and the element's load."""
        inner = load[self.condensed.shape[0] :]
        found = self.follow @ ends
        if inner.any():
            from scipy.linalg import cho_solve

            found += cho_solve(self.factor, inner, check_finite=False)
        return np.concatenate([ends, found])


def stiffness_of(order: int, length: float, energy: Energy) -> Array:
    """((p + 1) n, (p + 1) n) of matrices (n, n), or (g, n, n) at the Gauss points."""
    points = energy.M.shape[0] if energy.M.ndim == 3 else order + 1
    _, w, value, slope = sampled(order, points)
    weight, slope = w * length / 2, slope * (2 / length)
    n = energy.M.shape[-1]
    size = (order + 1) * n
    if energy.M.ndim == 2:
        table = [
            np.einsum("g,gi,gj->ij", weight, a, b).ravel()
            for a, b in ((slope, slope), (slope, value), (value, slope), (value, value))
        ]
        parts = np.stack([energy.M, energy.L, energy.L.T, energy.C]).reshape(4, -1)
        blocks = (np.stack(table, axis=1) @ parts).reshape(order + 1, order + 1, n, n)
        return np.asarray(blocks.transpose(0, 2, 1, 3).reshape(size, size))

    def sum_of(a: Array, b: Array, matrix: Array) -> Array:
        pairs = np.einsum("g,gi,gj->ijg", weight, a, b).reshape(-1, points)
        full = (pairs @ matrix.reshape(points, -1)).reshape(order + 1, order + 1, n, n)
        return np.asarray(full.transpose(0, 2, 1, 3).reshape(size, size))

    cross = sum_of(slope, value, energy.L)
    found = sum_of(slope, slope, energy.M) + cross + cross.T + sum_of(value, value, energy.C)
    return np.asarray(found)


def element_of(order: int, stiffness: Array, *, keep: bool = False) -> Element:
    """Condense the inner functions of an element; `keep` its stiffness, which takes megabytes."""
    from scipy.linalg import LinAlgError, cho_factor, cho_solve

    n = len(stiffness) // (order + 1)
    ends = slice(0, 2 * n)
    own = slice(2 * n, None)
    try:
        factor = cho_factor(stiffness[own, own], check_finite=False)
    except LinAlgError as reason:
        raise SolveError(
            "the energy of an element is not positive: the section's matrices are not those of a "
            "stable material"
        ) from reason
    follow = -cho_solve(factor, stiffness[own, ends], check_finite=False)
    condensed = stiffness[ends, ends] + stiffness[ends, own] @ follow
    return Element(stiffness if keep else None, (condensed + condensed.T) / 2, factor, follow)


def null_element(order: int, energy: Array, *, keep: bool = False) -> Element:
    """An element without length, whose ends have an energy (2n, 2n) of their own; inner functions
    stand still."""
    inner = (order - 1) * len(energy) // 2
    stiffness = None
    if keep:
        stiffness = np.eye(len(energy) + inner)
        stiffness[: len(energy), : len(energy)] = energy
    return Element(stiffness, energy, (np.eye(inner), True), np.zeros((inner, len(energy))))


def elements_of(
    order: int, nodes: Array, pieces: list[Piece], *, keep: bool = False
) -> list[Element]:
    """One element between neighbouring nodes; those alike are one object. See `element_of`. Nodes
    at one station have an element without length and stiffness between them."""
    made: dict[tuple[int, float], Element] = {}
    found = []
    span = nodes[-1] - nodes[0]
    for a, b in pairwise(nodes):
        if a == b:
            n = pieces[0].energy.M.shape[-1]
            found.append(null_element(order, np.zeros((2 * n, 2 * n)), keep=keep))
            continue
        piece = next(p for p in pieces if p.end > (a + b) / 2)
        if piece.along is not None:
            x = sampled(order, order + 1 + EXTRA_POINTS)[0]
            energy = piece.along(a + (b - a) * (1 + x) / 2)
            found.append(element_of(order, stiffness_of(order, b - a, energy), keep=keep))
            continue
        key = (id(piece.energy), round((b - a) / span, 12))
        if key not in made:
            made[key] = element_of(order, stiffness_of(order, b - a, piece.energy), keep=keep)
        found.append(made[key])
    return found
