"""The n functions a(z) of a solved member at any station."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from .lobatto import shapes

Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True, eq=False)
class Amplitudes:
    """Piecewise polynomials.

    Attributes
    ----------
    nodes : (e + 1,)
    coefficients : (e, p + 1, n, c)
        Of the shape functions of every element, for c combinations.
    """

    nodes: Array
    coefficients: Array

    @property
    def order(self) -> int:
        """Degree of the polynomials."""
        return int(self.coefficients.shape[1]) - 1

    def locate(self, z: Array, side: str = "right") -> NDArray[np.intp]:
        """Element of stations z (m,); at a node the one that starts there, or with `side` "left"
        the one that ends there."""
        least = 1e-9 * (self.nodes[-1] - self.nodes[0])
        shift = least if side == "right" else -least
        found = np.searchsorted(self.nodes, z + shift, side="right") - 1
        return np.asarray(np.clip(found, 0, len(self.nodes) - 2))

    def at(self, z: Array, side: str = "right") -> tuple[NDArray[np.intp], Array, Array]:
        """Element (m,), a and a' (m, n, c) at stations z (m,)."""
        element = self.locate(z, side)
        start, length = self.nodes[element], np.diff(self.nodes)[element]
        x = np.clip(2 * (z - start) / length - 1, -1.0, 1.0)
        value, slope = shapes(self.order, x)
        own = self.coefficients[element]
        both = np.stack([value, slope * (2 / length)[:, None]], axis=1)
        found = (both @ own.reshape(*own.shape[:2], -1)).reshape(len(z), 2, *own.shape[2:])
        return element, found[:, 0], found[:, 1]
