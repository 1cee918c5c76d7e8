"""The member's stiffness inverted, and the initial stress applied, on all shape functions at once.

Coefficients are (e, p + 1, n) of every element, its two ends first.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ..deforming.lobatto import sampled
from ..deforming.system import DeformingSystem
from .prestress import Terms

Array = NDArray[np.float64]

#: Factors of a state below this share of the largest of all are left out.
SMALL = 1e-5
#: States of one combination by their singular values, whose share of the largest is below this, are
#: left out; of the stress that is no more.
FEW = 2e-4


@dataclass(frozen=True, slots=True, eq=False)
class Nodal:
    """Second-order energy 1/2 a^T matrix a at a node, or of several, one after the other."""

    nodes: tuple[int, ...]
    matrix: Array


@dataclass(frozen=True, slots=True, eq=False)
class _Weighted:
    """States along some elements: of each the matrices C, L^T, L and M side by side (n, 4n), the
    elements where it counts, and its weighted factors there (e, g, 1)."""

    elements: NDArray[np.intp]
    states: list[tuple[Array, NDArray[np.intp], Array]]


class StressOperator:
    """x -> G x with the second-order energy 1/2 x^T G x of one combination.

    Forces on shape functions come back element by element; what neighbours share is theirs to add.
    """

    def __init__(
        self,
        nodes: Array,
        order: int,
        points: int,
        terms: Sequence[Terms],
        nodal: Sequence[Nodal],
        system: DeformingSystem,
        combination: int,
    ) -> None:
        _, w, self._value, self._slope = sampled(order, points)
        self._length = np.diff(nodes)
        self._nodal, self._system = nodal, system
        self._parts = [self._weighted(t, w, combination) for t in terms]

    def _weighted(self, t: Terms, w: Array, combination: int) -> _Weighted:
        """The states of one combination, fewer than those of all."""
        f = t.factors[combination]
        left, sizes, right = np.linalg.svd(f.reshape(-1, f.shape[-1]), full_matrices=False)
        some = sizes > FEW * sizes.max(initial=0.0)
        four = (t.C, t.L.swapaxes(1, 2), t.L, t.M)
        matrices = np.concatenate([np.tensordot(right[some], m, 1) for m in four], axis=2)
        factors = (left[:, some] * sizes[some]).reshape(*f.shape[:2], -1)
        size = np.abs(factors).max(axis=1, initial=0.0)
        counts = size > SMALL * size.max(initial=0.0)
        factors *= (w * self._length[t.elements, None] / 2)[..., None]
        rows = [np.flatnonzero(own) for own in counts.T]
        own = [factors[row, :, k, None] for k, row in enumerate(rows)]
        return _Weighted(t.elements, list(zip(matrices, rows, own, strict=True)))

    def __call__(self, x: Array) -> Array:
        out = np.zeros_like(x)
        n = x.shape[2]
        for part in self._parts:
            length = self._length[part.elements, None, None]
            given = x[part.elements]
            acting = np.zeros((len(given), len(self._value), 2 * n))
            for matrices, own, f in part.states:
                # Coefficients are fewer than places: the matrices come before the shapes.
                every = len(own) == len(given)
                some = given if every else given[own]
                y = (some.reshape(-1, n) @ matrices).reshape(*some.shape[:2], -1)
                here = np.matmul(self._slope, y[..., 2 * n :])
                here *= 2 / length[own]
                here += np.matmul(self._value, y[..., : 2 * n])
                here *= f
                if every:
                    acting += here
                else:
                    acting[own] += here
            out[part.elements] += np.matmul(self._value.T, acting[..., :n])
            out[part.elements] += np.matmul(self._slope.T, acting[..., n:]) * (2 / length)
        for single in self._nodal:
            places = [self._place(node) for node in single.nodes]
            acting = single.matrix @ np.concatenate([x[place] for place in places])
            for place, own in zip(places, np.split(acting, len(places)), strict=True):
                out[place] += own
        return out

    def released(self, x: Array) -> Array:
        """-G x: what the stress adds to a motion that it drives."""
        return -self(x)

    def _place(self, node: int) -> tuple[int, int]:
        """An element with the node, and which end it is."""
        hit = np.argwhere(self._system.ends == node)
        return int(hit[0, 0]), int(hit[0, 1])


class ElasticInverse:
    """f -> K^-1 f for forces on the shape functions, element by element."""

    def __init__(self, system: DeformingSystem) -> None:
        self._system = system
        groups: dict[int, list[int]] = {}
        for k, element in enumerate(system.elements):
            groups.setdefault(id(element), []).append(k)
        self._groups = [np.array(own) for own in groups.values()]

    def __call__(self, force: Array) -> Array:
        system = self._system
        e, p, n = force.shape
        flat = force.reshape(e, -1)
        ends = np.empty((e, 2 * n))
        for own in self._groups:
            ends[own] = system.elements[own[0]].carried(flat[own].T).T
        right = np.zeros((system.count, n, 1))
        np.add.at(right[..., 0], system.ends.ravel(), ends.reshape(-1, n))
        values = system.chain.solve(right)[..., 0]
        out = np.empty_like(flat)
        for own in self._groups:
            element = system.elements[own[0]]
            both = values[system.ends[own]].reshape(len(own), 2 * n)
            out[own] = element.whole(both.T, flat[own].T).T
        return out.reshape(e, p, n)
