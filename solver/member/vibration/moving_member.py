"""A member made ready to vibrate: its elements' stiffness and mass, what holds it, what it carries.

The shape functions along an element are those of statics, so that K and M speak of one motion. A
vector of the member is its coefficients (e, p + 1, n, c) of all elements, followed by its values
(k, n, c) at the nodes, on which single masses act.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from ..deforming.element import Element
from ..deforming.lobatto import sampled
from ..deforming.system import DeformingSystem, Links, system_of

Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True, eq=False)
class MassAlong:
    """Mass per length of an element, at its Gauss points.

    Attributes
    ----------
    z, weight : (g,)
        Stations, and weights that integrate over the element.
    value : (g, p + 1)
        Shape functions.
    mass : (g or 1, n, n)
        Kinetic energy per length 1/2 (da/dt)^T mass (da/dt).
    rigid : (g or 1, n, 6)
        Functions of the section's rigid motions: translations x, y, z and rotations about the axes
        through the section's origin.
    """

    z: Array
    weight: Array
    value: Array
    mass: Array
    rigid: Array

    def matrix(self) -> Array:
        """((p + 1) n, (p + 1) n) of the element."""
        g, p = self.value.shape
        n = self.mass.shape[1]
        if len(self.mass) == 1:
            return np.kron(self._shape(), self.mass[0])
        pairs = np.einsum("g,gi,gj->ijg", self.weight, self.value, self.value).reshape(-1, g)
        full = (pairs @ self.mass.reshape(g, -1)).reshape(p, p, n, n)
        return np.asarray(full.transpose(0, 2, 1, 3).reshape(p * n, p * n))

    def times(self, a: Array) -> Array:
        """The matrix times coefficients (p + 1, n, c), without the matrix."""
        if len(self.mass) == 1:
            return np.asarray(np.tensordot(self._shape(), self.mass[0] @ a, axes=1))
        at = np.tensordot(self.value, a, axes=1)
        return np.tensordot((self.weight[:, None] * self.value).T, self.mass @ at, axes=1)

    def _shape(self) -> Array:
        """(p + 1, p + 1) products of the shape functions."""
        return np.asarray((self.weight[:, None] * self.value).T @ self.value)


@dataclass(frozen=True, slots=True, eq=False)
class MovingMember:
    """K and M of a member.

    Attributes
    ----------
    nodes : (e + 1,)
    size : int
        Number n of functions.
    closed : bool
        Whether the last node is the first.
    planar : (n,) bool
        Which functions move the section in its plane.
    elements : tuple of Element
    along : tuple of MassAlong
    held : mapping of node to (r, n)
        Rows whose product with a is zero.
    springs : mapping of node to (n, n)
    points : mapping of node to (n, n)
        Masses at stations.
    ties : mapping of element to (r, 2n)
        Rows whose product with a of both its ends is zero, at hinges and kinks.
    """

    nodes: Array
    size: int
    closed: bool
    planar: NDArray[np.bool_]
    elements: tuple[Element, ...]
    along: tuple[MassAlong, ...]
    held: Mapping[int, Array]
    springs: Mapping[int, Array]
    points: Mapping[int, Array]
    ties: Mapping[int, Array] = field(default_factory=dict)

    @property
    def count(self) -> int:
        """Number of distinct nodes."""
        return len(self.nodes) - self.closed

    @property
    def functions(self) -> int:
        """Number p + 1 of shape functions of an element."""
        return int(self.along[0].value.shape[1])

    def system(self) -> DeformingSystem:
        """K, factorised.

        Raises
        ------
        SolveError
            A motion that nothing holds.
        """
        links = Links(self.held, self.springs, ties=self.ties)
        return system_of(self.elements, self.size, links, closed=self.closed)

    def at_nodes(self, coefficients: Array) -> Array:
        """(k, n, c) values at the nodes from coefficients (e, p + 1, n, c)."""
        first = coefficients[:, 0]
        if self.closed:
            return first
        return np.concatenate([first, coefficients[-1:, 1]])

    def heavy(self, coefficients: Array) -> tuple[Array, Array]:
        """M times a vector: forces (e, (p + 1) n, c) on the elements and (k, n, c) at the nodes."""
        e, p, n, c = coefficients.shape
        inner = np.stack([m.times(a) for m, a in zip(self.along, coefficients, strict=True)])
        inner = inner.reshape(e, p * n, c)
        values = self.at_nodes(coefficients)
        nodal = np.zeros_like(values)
        for node, mass in self.points.items():
            nodal[node] = mass @ values[node]
        return inner, nodal


def gauss_of(a: float, b: float, order: int, points: int) -> tuple[Array, Array, Array]:
    """Stations, weights and shape functions (g, p + 1) of an element from a to b."""
    x, w, value, _ = sampled(order, points)
    return a + (b - a) * (1 + x) / 2, w * (b - a) / 2, value
