"""Ordinates on one line of travel, element by element: polynomials, so that thousands of places
cost no more than their values."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ..deforming.amplitude import Amplitudes
from ..deforming.lobatto import shapes
from ..model.load import Place, Where
from ..model.member import Member

Array = NDArray[np.float64]
Index = NDArray[np.intp]

#: Orders beyond the field's own where the section tapers, and rows change along an element.
MORE = 4


@dataclass(frozen=True, slots=True, eq=False)
class LineOrdinates:
    """Ordinates of c results on a line.

    Attributes
    ----------
    polynomials : Amplitudes
        Coefficients (e, q + 1, 1, c).
    """

    polynomials: Amplitudes

    def at(self, z: Array, side: str = "right") -> Array:
        """(m, c) results of a unit load, downward, at stations z (m,)."""
        element, value = self._shapes(z, side)
        own = self.polynomials.coefficients[element][:, :, 0]
        return np.asarray(np.matmul(value[:, None], own)[:, 0])

    def single(self, z: Array, result: Index, side: str = "right") -> Array:
        """(m,) one result at each station."""
        element, value = self._shapes(z, side)
        own = self.polynomials.coefficients[element, :, 0, result]
        return np.asarray(np.einsum("mi,mi->m", value, own))

    def _shapes(self, z: Array, side: str) -> tuple[Index, Array]:
        nodes = self.polynomials.nodes
        element = self.polynomials.locate(z, side)
        start, end = nodes[element], nodes[element + 1]
        x = np.clip((2 * z - start - end) / (end - start), -1.0, 1.0)
        return element, shapes(self.polynomials.order, x)[0]


def across(member: Member, place: Where, z: Array) -> Array:
    """(m,) how far across a place of the section lies at stations z (m,)."""
    return _component(member, place, z, 0)


def above(member: Member, place: Where, z: Array) -> Array:
    """(m,) how high it lies."""
    return _component(member, place, z, 1)


def _component(member: Member, place: Where, z: Array, k: int) -> Array:
    if not isinstance(place, Place):
        return np.full(len(z), float(place[k]))
    first = member.segments[0].section
    if all(s.section is first and s.section_end is None for s in member.segments):
        return np.full(len(z), member.locate(place, first)[k])
    return np.array([member.locate(place, member.section_at(float(s)))[k] for s in z])


def fitted(nodes: Array, order: int, values: Callable[[Array], Array]) -> Array:
    """Coefficients (e, order + 1, c) of polynomials through values (m, c) at Chebyshev's places of
    every element between nodes (e + 1,)."""
    x = -np.cos(np.pi * (np.arange(order + 1) + 0.5) / (order + 1))
    z = (nodes[:-1, None] + nodes[1:, None]) / 2 + np.diff(nodes)[:, None] / 2 * x
    table = values(z.ravel()).reshape(len(nodes) - 1, order + 1, -1)
    return np.asarray(np.linalg.solve(shapes(order, x)[0][None], table))
