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

#: States of a combination in a stretch of elements, by their singular values: those below this
#: share of the largest of all elements are left out; of the stress that is no more.
FEW = 2e-5
#: Elements of a stretch at least, and stretches at most. In a short one few states tell the stress,
#: but each stretch holds matrices of its own.
SHORT, STRETCHES = 8, 16


@dataclass(frozen=True, slots=True, eq=False)
class Nodal:
    """Second-order energy 1/2 a^T matrix a at a node, or of several, one after the other."""

    nodes: tuple[int, ...]
    matrix: Array


@dataclass(frozen=True, slots=True, eq=False)
class _Stretch:
    """States along e elements: the matrices C, L^T, L and M of all r states side by side
    (n, r 4n), and what leads from a state's coefficients to the places by its weighted factors,
    from those of a and of a', each (e, g, (p + 1) r)."""

    elements: NDArray[np.intp]
    matrices: Array
    value: Array
    slope: Array


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
        self._stretches = [own for t in terms for own in self._shared(t, w, combination)]

    def _shared(self, t: Terms, w: Array, combination: int) -> list[_Stretch]:
        """The states of one combination, stretch by stretch, each fewer than those of all."""
        f = t.factors[combination]
        e, _, r = f.shape
        largest = float(np.linalg.norm(f.reshape(-1, r), 2)) if f.any() else np.inf
        width = max(SHORT, -(-e // STRETCHES)) if r > SHORT else max(e, 1)
        found = []
        for first in range(0, e, width):
            own = f[first : first + width]
            left, sizes, right = np.linalg.svd(own.reshape(-1, r), full_matrices=False)
            some = sizes > FEW * largest
            if not some.any():
                continue
            factors = (left[:, some] * sizes[some]).reshape(*own.shape[:2], 1, -1)
            elements = t.elements[first : first + width]
            length = self._length[elements, None, None, None]
            factors = factors * (w[:, None, None] * length / 2)
            shape = (*own.shape[:2], -1)
            found.append(
                _Stretch(
                    elements,
                    _side_by_side(t, right[some]),
                    (self._value[:, :, None] * factors).reshape(shape),
                    (self._slope[:, :, None] * factors * (2 / length)).reshape(shape),
                )
            )
        return found

    def __call__(self, x: Array) -> Array:
        out = np.zeros_like(x)
        n = x.shape[2]
        for some in self._stretches:
            # Coefficients are fewer than places: the matrices come before the shapes.
            y = x[some.elements].reshape(-1, n) @ some.matrices
            y = y.reshape(len(some.elements), -1, 4 * n)
            acting = some.value @ y[..., : 2 * n]
            acting += some.slope @ y[..., 2 * n :]
            acting[..., n:] *= 2 / self._length[some.elements, None, None]
            out[some.elements] += self._value.T @ acting[..., :n]
            out[some.elements] += self._slope.T @ acting[..., n:]
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


def _side_by_side(t: Terms, mix: Array) -> Array:
    """(n, r 4n): C, L^T, L and M of r states that `mix` (r, all) makes of all."""
    r, n = len(mix), t.C.shape[1]
    out = np.empty((n, r, 4, n))
    for k, matrix in ((0, t.C), (2, t.L), (3, t.M)):
        out[:, :, k] = np.tensordot(mix, matrix, 1).transpose(1, 0, 2)
    out[:, :, 1] = out[:, :, 2].transpose(2, 1, 0)
    return out.reshape(n, -1)


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
