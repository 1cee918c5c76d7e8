"""Placements: moves, turns, mirrorings and scalings of the section plane (similarities, so arcs
stay arcs)."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from ..errors import GeometryError


@dataclass(frozen=True, slots=True, eq=False)
class Placement:
    """The map x -> matrix x + offset, a similarity of the plane.

    `first.then(second)` applies `first`, then `second`.
    """

    matrix: NDArray[np.float64]
    offset: NDArray[np.float64]

    @classmethod
    def move(cls, dx: float, dy: float) -> Placement:
        """Translate by (dx, dy)."""
        return cls(np.eye(2), np.array([dx, dy], dtype=float))

    @classmethod
    def rotate(cls, angle: float, about: Sequence[float] = (0.0, 0.0)) -> Placement:
        """Turn anticlockwise by `angle` radians about a point."""
        c, s = np.cos(angle), np.sin(angle)
        return cls._about(np.array([[c, -s], [s, c]]), about)

    @classmethod
    def mirror(
        cls, point: Sequence[float] = (0.0, 0.0), direction: Sequence[float] = (0.0, 1.0)
    ) -> Placement:
        """Mirror in the line through `point` along `direction` (default: the y axis)."""
        d = np.asarray(direction, dtype=float)
        norm = float(np.hypot(*d))
        if not norm > 0:
            raise GeometryError("the mirror line needs a direction, got (0, 0)")
        d = d / norm
        return cls._about(2 * np.outer(d, d) - np.eye(2), point)

    @classmethod
    def scale(cls, factor: float) -> Placement:
        """Scale about the origin by a positive factor."""
        if not 0 < factor < np.inf:
            raise GeometryError(f"scale factor must be positive, got {factor}")
        return cls(factor * np.eye(2), np.zeros(2))

    @classmethod
    def _about(cls, matrix: NDArray[np.float64], point: Sequence[float]) -> Placement:
        p = np.asarray(point, dtype=float)
        return cls(matrix, p - matrix @ p)

    @property
    def mirrors(self) -> bool:
        """True when the map turns left into right."""
        return self._determinant < 0

    @property
    def stretch(self) -> float:
        """Length of an image by that of its original."""
        return float(np.sqrt(abs(self._determinant)))

    @property
    def stays(self) -> bool:
        """True when every point is its own image."""
        return bool((self.matrix == np.eye(2)).all() and not self.offset.any())

    @property
    def _determinant(self) -> float:
        (a, b), (c, d) = self.matrix.tolist()
        return float(a * d - b * c)

    def apply(self, points: ArrayLike) -> NDArray[np.float64]:
        """Image of (n, 2) points."""
        return np.asarray(points, dtype=float) @ self.matrix.T + self.offset

    def then(self, second: Placement) -> Placement:
        """This map followed by `second`."""
        return Placement(second.matrix @ self.matrix, second.matrix @ self.offset + second.offset)
