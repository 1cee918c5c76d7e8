"""Dyads of tractions: what they work on where the section turns, to second order."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from ...section.deforming.reduced import ReducedSection
from ...section.deforming.span import products, scalar_product
from ..deforming.course import Course

Array = NDArray[np.float64]


class LinearFields:
    """The motions e_i x_j of a course's sections, i = x, y, z, j = x, y, found once for each."""

    def __init__(self, course: Course) -> None:
        self._course = course
        self._known: dict[int, Array] = {}

    def at(self, z: float, side: str) -> Array:
        """(n, 3, 2) their coefficients, linear along a taper as its points are."""
        part = self._course.part(z, side)
        first = self._of(part.straight)
        if part.taper is None:
            return first
        share = float(part.taper.share(np.array([z]))[0])
        return (1 - share) * first + share * self._of(part.taper.last)

    def dyad(self, z: float, side: str, row: Array) -> Array:
        """(3, 3) sum of t r^T about the section's origin of the tractions `row` (n,)."""
        return np.column_stack([np.einsum("n,nij->ij", row, self.at(z, side)), np.zeros(3)])

    def _of(self, section: ReducedSection) -> Array:
        if id(section) not in self._known:
            self._known[id(section)] = linear_fields(section)
        return self._known[id(section)]


def linear_fields(section: ReducedSection) -> Array:
    """(n, 3, 2) coefficients of the motions e_i x_j, i = x, y, z, j = x, y."""
    fields = section.fields
    lines = fields.lines
    product = scalar_product(fields)
    n = section.size
    motions = np.zeros((len(lines), 3, 6))
    for k in range(6):
        motions[:, k // 2, k] = lines[:, k % 2]
    # In a taper the functions are orthonormal on the first section alone.
    own = products(product, fields.coefficients, fields.coefficients)
    right = products(product, fields.coefficients, motions)
    return np.asarray(np.linalg.solve(own, right).reshape(n, 3, 2))


def height(dyad: Array) -> Array:
    """(3, 3) H of the energy 1/2 theta . H theta that forces with a dyad P r^T add."""
    d = (dyad + dyad.T) / 2
    return np.asarray(np.trace(d) * np.eye(3) - d)
