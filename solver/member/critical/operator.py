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


@dataclass(frozen=True, slots=True, eq=False)
class Nodal:
    """Second-order energy 1/2 a^T matrix a at a node."""

    node: int
    matrix: Array


@dataclass(frozen=True, slots=True, eq=False)
class _Weighted:
    """Terms with the places and weighted factors of each state."""

    terms: Terms
    states: list[tuple[NDArray[np.intp], Array, int]]


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
        """Factors times weights at the places where they count."""
        f = t.factors[combination]
        least = SMALL * np.abs(f).max(initial=0.0)
        weighted = f * (w * self._length[t.elements, None] / 2)[..., None]
        flat, size = weighted.reshape(-1, f.shape[-1]), np.abs(f).reshape(-1, f.shape[-1])
        rows = [np.flatnonzero(size[:, k] > least) for k in range(f.shape[-1])]
        kept = [(k, own) for k, own in enumerate(rows) if len(own)]
        return _Weighted(t, [(own, flat[own, k, None], k) for k, own in kept])

    def __call__(self, x: Array) -> Array:
        out = np.zeros_like(x)
        for part in self._parts:
            t, own = part.terms, part.terms.elements
            length = self._length[own, None, None]
            a = np.matmul(self._value, x[own])
            rate = np.matmul(self._slope, x[own]) * (2 / length)
            e, g, n = a.shape
            a, rate = a.reshape(-1, n), rate.reshape(-1, n)
            still, along = np.zeros_like(a), np.zeros_like(a)
            for rows, f, k in part.states:
                every = len(rows) == len(a)
                at, by = (a, rate) if every else (a[rows], rate[rows])
                here = f * (at @ t.C[k] + by @ t.L[k])
                there = f * (at @ t.L[k].T + by @ t.M[k])
                if every:
                    still += here
                    along += there
                else:
                    still[rows] += here
                    along[rows] += there
            out[own] += np.matmul(self._value.T, still.reshape(e, g, n))
            out[own] += np.matmul(self._slope.T, along.reshape(e, g, n)) * (2 / length)
        for single in self._nodal:
            element, end = self._place(single.node)
            out[element, end] += single.matrix @ x[element, end]
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
