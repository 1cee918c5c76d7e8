"""Area properties: exact line integrals over the contours, weighted by elastic modulus in composite
sections."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ....geometry.outline.moments import area_and_first_moments, contour_moments
from ....geometry.outline.placement import Placement
from ....geometry.section import Section

Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class SecondMoments:
    """Second moments of area about the centroid, length^4.

    `x` = int y^2 dA, `y` = int x^2 dA, `xy` = int x y dA; `major`, `minor` about the principal
    axes; `angle` (radians, in (-pi/2, pi/2]) turns the x axis anticlockwise onto the major axis.
    """

    x: float
    y: float
    xy: float
    major: float
    minor: float
    angle: float

    @property
    def angle_deg(self) -> float:
        """The angle in degrees."""
        return float(np.rad2deg(self.angle))


@dataclass(frozen=True, slots=True)
class ElasticModuli:
    """Second moment over the distance to the extreme fibre, length^3.

    `x_top`, `x_bottom` (about the x axis, on the side of +y and of -y), `y_right`, `y_left` (about
    the y axis, on the side of +x and of -x); `major`, `minor` about the principal axes, of the side
    that has the smaller one.
    """

    x_top: float
    x_bottom: float
    y_right: float
    y_left: float
    major: float
    minor: float


@dataclass(frozen=True, slots=True, eq=False)
class AreaProperties:
    """Area properties of a section; composite ones are transformed to the reference material.

    Attributes
    ----------
    area : float
        int E dA / E_ref.
    gross_area : float
        int dA.
    mass_per_length : float or None
        None when a density is missing.
    centroid : (2,)
        Of the modulus-weighted area.
    second_moments, elastic_moduli
    radii_of_gyration : (4,)
        About x, y, major, minor.
    third_moments : (2,)
        int x r^2 dA and int y r^2 dA about the centroid, r^2 = x^2 + y^2.
    """

    area: float
    gross_area: float
    mass_per_length: float | None
    centroid: Array
    second_moments: SecondMoments
    elastic_moduli: ElasticModuli
    radii_of_gyration: Array
    third_moments: Array


def area_properties(section: Section) -> AreaProperties:
    """Integrate the contours of a section.

    The reference modulus is that of the first region.
    """
    centroid = section_centroid(section)
    m = _weighted_moments(section, centroid, 3)
    area = float(m[0, 0])
    moments = second_moments(float(m[0, 2]), float(m[2, 0]), float(m[1, 1]))
    densities = [r.material.density for r in section.regions]
    mass = None
    if all(d is not None for d in densities):
        mass = float(
            sum(
                d * r.area()
                for d, r in zip(densities, section.regions, strict=True)
                if d is not None
            )
        )
    principal = np.array([moments.x, moments.y, moments.major, moments.minor])
    return AreaProperties(
        area,
        float(sum(r.area() for r in section.regions)),
        mass,
        centroid,
        moments,
        _elastic_moduli(section, centroid, moments),
        np.sqrt(principal / area),
        np.array([m[3, 0] + m[1, 2], m[2, 1] + m[0, 3]]),
    )


def section_centroid(section: Section) -> Array:
    """(2,) centroid of the modulus-weighted area."""
    points = np.vstack([r.outline.points for r in section.regions])
    near = (points.min(axis=0) + points.max(axis=0)) / 2
    total, first = 0.0, np.zeros(2)
    for weight, region in zip(modulus_ratios(section), section.regions, strict=True):
        area, moments = area_and_first_moments(region.contours, near)
        total, first = total + weight * area, first + weight * moments
    return np.asarray(near + first / total)


def modulus_ratios(section: Section) -> Array:
    """(r,) elastic modulus of each region by that of the first one."""
    e = np.array([r.material.elastic_modulus for r in section.regions])
    return np.asarray(e / e[0])


def shear_ratios(section: Section) -> Array:
    """(r,) shear modulus of each region by that of the first one."""
    g = np.array([r.material.shear for r in section.regions])
    return np.asarray(g / g[0])


def _weighted_moments(section: Section, origin: Array, degree: int) -> Array:
    about = (float(origin[0]), float(origin[1]))
    total = np.zeros((degree + 1, degree + 1))
    for weight, region in zip(modulus_ratios(section), section.regions, strict=True):
        total += weight * contour_moments(region.contours, about, degree)
    return total


def second_moments(ix: float, iy: float, ixy: float) -> SecondMoments:
    """With the principal axes, from int y^2 dA, int x^2 dA and int x y dA."""
    mean, half = (ix + iy) / 2, (ix - iy) / 2
    radius = float(np.hypot(half, ixy))
    if radius <= 1e-12 * mean:  # every axis is principal: keep the given ones
        return SecondMoments(ix, iy, ixy, max(ix, iy), min(ix, iy), 0.0)
    # I(a) = mean + half cos 2a - I_xy sin 2a is largest at tan 2a = -I_xy / half
    angle = 0.5 * float(np.arctan2(-ixy, half))
    if angle <= -np.pi / 2 + 1e-12:
        angle += np.pi
    return SecondMoments(ix, iy, ixy, mean + radius, mean - radius, angle)


def _elastic_moduli(section: Section, centroid: Array, moments: SecondMoments) -> ElasticModuli:
    x0, y0, x1, y1 = section.bounds()
    turned = section.placed(
        Placement.rotate(-moments.angle, (float(centroid[0]), float(centroid[1])))
    )
    u0, v0, u1, v1 = turned.bounds()
    return ElasticModuli(
        moments.x / (y1 - centroid[1]),
        moments.x / (centroid[1] - y0),
        moments.y / (x1 - centroid[0]),
        moments.y / (centroid[0] - x0),
        moments.major / max(v1 - centroid[1], centroid[1] - v0),
        moments.minor / max(u1 - centroid[0], centroid[0] - u0),
    )
