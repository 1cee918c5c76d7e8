"""A section's solved fields, sampled finely enough to draw smooth contours from them."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from ..text.number import bounds, number, unit_text
from .sampling import patches

if TYPE_CHECKING:
    from ...geometry.section import Section
    from ...solver.section import SectionResult
    from ...solver.section.torsion.interval import TorsionField

Array = NDArray[np.float64]
Ints = NDArray[np.int64]

#: Samples through a mean wall.
_THROUGH_WALL = 12


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
    triangles: Ints
    stress_function: Array
    stress: Array
    warping: Array
    centroid: tuple[float, float]
    shear_centre: tuple[float, float]
    principal_angle: float
    peak: float
    peak_at: tuple[float, float]
    corners: Array

    @classmethod
    def of(cls, result: SectionResult) -> FieldView:
        """Sample a solved section; stress is the mean of its two estimates."""
        section, j = result.section, result.torsion_constant
        wall = mean_wall(section)
        points, triangles, phi, stress, omega = torsion_samples(result.field, wall / _THROUGH_WALL)
        warping = result.warping_properties.about_shear_centre(points, omega)
        peak, place = _peak(result, points, stress / j)
        x, y = (float(c) for c in result.shear_centre)
        unit = unit_text(f"{section.unit}^4") if section.unit else ""
        interval = bounds(result.torsion_constant_lower, result.torsion_constant_upper)
        return cls(
            section=section,
            title=section.name,
            subtitle=f"J = {number(j)} {unit}, guaranteed within {interval} {unit}",
            points=points,
            triangles=triangles,
            stress_function=phi / j,
            stress=stress / j,
            warping=warping,
            centroid=(float(result.centroid[0]), float(result.centroid[1])),
            shear_centre=(x, y),
            principal_angle=result.second_moments.angle,
            peak=peak,
            peak_at=place,
            corners=np.array([c.point for c in result.corners]).reshape(-1, 2),
        )

    @property
    def magnitude(self) -> Array:
        """(n,) shear stress magnitude per unit torque."""
        return np.asarray(np.hypot(*self.stress.T))

    @property
    def wall(self) -> float:
        """Mean wall thickness: twice the area over the length of all contours."""
        return mean_wall(self.section)

    @property
    def closed(self) -> bool:
        """True when the section has a cell the flow can run around."""
        return any(region.holes for region in self.section.regions)

    def within(self, window: tuple[float, float, float, float]) -> FieldView:
        """The same view with the triangles that touch a window (xmin, ymin, xmax, ymax) alone."""
        x0, y0, x1, y1 = window
        corners = self.points[self.triangles]
        near = (corners.min(axis=1) < (x1, y1)) & (corners.max(axis=1) > (x0, y0))
        near = near.all(axis=1)
        used, triangles = np.unique(self.triangles[near], return_inverse=True)
        return replace(
            self,
            points=self.points[used],
            triangles=triangles.reshape(-1, 3),
            stress_function=self.stress_function[used],
            stress=self.stress[used],
            warping=self.warping[used],
        )

    def shared(self) -> tuple[Array, NDArray[np.int64], NDArray[np.int64]]:
        """Nodes met in several elements made one: points, triangles, a sample for each point.

        Right for the stress function alone, which is continuous everywhere, also across a slit.
        """
        grid = np.round((self.points - self.points.min(axis=0)) / (1e-11 * self.section.size()))
        _, sample, joined = np.unique(grid, axis=0, return_index=True, return_inverse=True)
        triangles = np.sort(joined.reshape(-1)[self.triangles], axis=1)
        # layers toward the corners of a very thin wall fall together: lines would run round them
        # for ever
        whole = (np.diff(triangles, axis=1) > 0).all(axis=1)
        return self.points[sample], np.unique(triangles[whole], axis=0), sample


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


def mean_wall(section: Section) -> float:
    """Twice the area over the length of all contours."""
    contours = list(section.contours())
    return float(2 * sum(c.area() for c in contours) / sum(c.length() for c in contours))


def torsion_samples(field: TorsionField, spacing: float) -> tuple[Array, Ints, Array, Array, Array]:
    """Points, triangles, phi, stress and omega per unit twist, cut to about the spacing."""
    parts = []
    count = 0
    for patch in patches(field.mesh, field.order, spacing):
        some, stations = patch.triangles, patch.stations
        n, q, _ = stations.points.shape
        r = stations.points - field.origin
        slope, turn = stations.gradients(field.phi[some]), stations.gradients(field.omega[some])
        g = field.shear[some][:, None]
        stress = 0.5 * np.stack(
            [
                slope[..., 1] + g * (turn[..., 0] - r[..., 1]),
                g * (turn[..., 1] + r[..., 0]) - slope[..., 0],
            ],
            axis=2,
        )
        triangles = patch.cells + count + q * np.arange(n)[:, None, None]
        count += n * q
        phi, omega = stations.values(field.phi[some]), stations.values(field.omega[some])
        points = stations.points.reshape(-1, 2)
        parts.append(
            (points, triangles.reshape(-1, 3), phi.ravel(), stress.reshape(-1, 2), omega.ravel())
        )
    points, triangles, phi, stress, omega = (
        np.concatenate(part) for part in zip(*parts, strict=True)
    )
    return points, triangles, phi, stress, omega


def _peak(result: SectionResult, points: Array, stress: Array) -> tuple[float, tuple[float, float]]:
    """Greatest stress per unit torque that can be trusted, and its place."""
    modulus = result.torsion_modulus
    if modulus.value is not None and modulus.at is not None:
        return 1 / modulus.value, modulus.at
    if modulus.away is not None and modulus.away_at is not None:
        return 1 / modulus.away, modulus.away_at
    size = np.hypot(*stress.T)  # every border point lies near a corner: leave the top out
    at = int(np.argsort(size)[int(0.99 * (len(size) - 1))])
    return float(size[at]), (float(points[at, 0]), float(points[at, 1]))
