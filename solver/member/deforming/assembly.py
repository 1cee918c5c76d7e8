"""The stiffness of all nodes as the elements give it: what is alike is held once, and answers
together."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from .element import Element

Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True, eq=False)
class Assembled:
    """Stiffness K of k distinct nodes, as its elements give it: what is alike is held once.

    Attributes
    ----------
    elements : tuple of Element
    ends : (e, 2) int
    count, size : int
        Nodes k and functions n.
    springs : mapping of node to (n, n)
    """

    elements: tuple[Element, ...]
    ends: NDArray[np.intp]
    count: int
    size: int
    springs: Mapping[int, Array]

    @property
    def alike(self) -> list[tuple[Element, NDArray[np.intp]]]:
        """Elements, each with the places where it stands."""
        places: dict[int, list[int]] = {}
        for k, element in enumerate(self.elements):
            places.setdefault(id(element), []).append(k)
        return [(self.elements[own[0]], np.array(own)) for own in places.values()]

    def diagonal(self, node: int) -> Array:
        """(n, n) of a node."""
        n, found = self.size, np.zeros((self.size, self.size))
        if node in self.springs:
            found += self.springs[node]
        for element in np.flatnonzero(self.ends[:, 0] == node):
            found += self.elements[element].condensed[:n, :n]
        for element in np.flatnonzero(self.ends[:, 1] == node):
            found += self.elements[element].condensed[n:, n:]
        return found

    def beside(self, element: int) -> Array:
        """(n, n) rows of an element's first node, columns of its last."""
        return self.elements[element].condensed[: self.size, self.size :]

    def applied(self, values: Array) -> Array:
        """(k, n, c) product with values (k, n, c)."""
        out = np.zeros(values.shape)
        for node, spring in self.springs.items():
            out[node] += spring @ values[node]
        for element, own in self.alike:
            self.add(out, own, element.condensed @ side_by_side(values, self.ends[own]))
        return out

    def add(self, out: Array, own: NDArray[np.intp], forces: Array) -> None:
        """Add forces (2n, m c) on the ends of m elements to those of the nodes (k, n, c)."""
        n, c = self.size, out.shape[-1]
        both = forces.reshape(2, n, len(own), c)
        for end in (0, 1):
            # A node is the first of one element at most, and the last of one.
            out[self.ends[own, end]] += both[end].transpose(1, 0, 2)


def side_by_side(values: Array, ends: NDArray[np.intp]) -> Array:
    """(2n, m c) values at both ends of m elements, from those of the nodes (k, n, c)."""
    return np.asarray(values[ends].transpose(1, 2, 0, 3).reshape(2 * values.shape[1], -1))
