"""A section's solved fields, sampled finely enough to draw smooth contours from them."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

if TYPE_CHECKING:
    from ..geometry.section import Section

Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True, eq=False)
class FieldView:
    """What the figures draw.

    Attributes
    ----------
    section : Section
    title, subtitle : str
    points : (n, 2) float array
        Sample points; those on element borders appear once per element, so a field may jump there.
    triangles : (m, 3) int array
    stress_function : (n,) float array
        phi per unit torque, 1/length^2.
    stress : (n, 2) float array
        Shear stress per unit torque, 1/length^3.
    warping : (n,) float array
        omega about the shear centre, length^2.
    centroid, shear_centre : (x, y)
    principal_angle : float
        Of the major axis from x, radians.
    peak : float
        Greatest stress per unit torque away from refused corners, 1/length^3.
    peak_at : (x, y)
    corners : (k, 2) float array
        Sharp re-entrant corners where the stress has no bound.
    """

    section: Section
    title: str
    subtitle: str
    points: Array
    triangles: NDArray[np.int64]
    stress_function: Array
    stress: Array
    warping: Array
    centroid: tuple[float, float]
    shear_centre: tuple[float, float]
    principal_angle: float
    peak: float
    peak_at: tuple[float, float]
    corners: Array

    @property
    def magnitude(self) -> Array:
        """(n,) shear stress magnitude per unit torque."""
        return np.asarray(np.hypot(*self.stress.T))

    @property
    def wall(self) -> float:
        """Mean wall thickness: twice the area over the length of all contours."""
        contours = list(self.section.contours())
        return float(2 * sum(c.area() for c in contours) / sum(c.length() for c in contours))

    @property
    def closed(self) -> bool:
        """True when the section has a cell the flow can run around."""
        return any(region.holes for region in self.section.regions)

    def shared(self) -> tuple[Array, NDArray[np.int64], NDArray[np.int64]]:
        """Nodes met in several elements made one: points, triangles, a sample for each point.

        Right for the stress function alone, which is continuous everywhere, also across a slit.
        """
        grid = np.round((self.points - self.points.min(axis=0)) / (1e-9 * self.section.size()))
        _, sample, joined = np.unique(grid, axis=0, return_index=True, return_inverse=True)
        return self.points[sample], joined.reshape(-1)[self.triangles], sample


class Lookup:
    """Values at any point from the nearest sample: enough for colours and arrow directions."""

    def __init__(self, view: FieldView) -> None:
        from scipy.spatial import cKDTree

        self._view = view
        self._tree = cKDTree(view.points)

    def magnitude(self, points: Array) -> Array:
        """(k,) stress magnitude near the points."""
        return self._view.magnitude[self._nearest(points)]

    def direction(self, points: Array) -> Array:
        """(k, 2) unit direction of the flow near the points."""
        stress = self._view.stress[self._nearest(points)]
        length = np.maximum(np.hypot(*stress.T), np.finfo(float).tiny)
        return np.asarray(stress / length[:, None])

    def _nearest(self, points: Array) -> NDArray[np.int64]:
        if not len(points):
            return np.empty(0, dtype=np.int64)
        return np.asarray(self._tree.query(points)[1], dtype=np.int64)
