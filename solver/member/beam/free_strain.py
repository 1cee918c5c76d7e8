"""What a section does under strains of its own when nothing holds it: it stretches and curves.

The free strain is the plane nearest to e(x, y) by stiffness: int E (plane - e) {1, x, y} dA = 0, by
integrals around the outline,

    int f dA = - closed integral of F dx,   dF/dy = f,

exact where edges are straight and polylines turn where edges are cut. What the plane leaves of e is
in equilibrium with itself within the section: sigma = E (plane - e).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ....geometry.outline.contour import edge_points, edge_tangents, split_long_arcs
from ..model.constants import SectionConstants
from ..model.imposed import Strained, StrainField, strain_field
from ..model.member import Segment

Array = NDArray[np.float64]

#: Longest piece of an arc: where the strain turns inside one, its error falls below 1e-9.
_ARC = np.pi / 64
#: Gauss points of an edge's piece: exact for the cubics of a straight one.
_X, _W = np.polynomial.legendre.leggauss(6)


@dataclass(frozen=True, slots=True)
class FreeStrain:
    """Strain at the centroid and curvatures: e = axial + about_x y - about_y x from there."""

    axial: float
    about_x: float
    about_y: float

    def at(self, points: Array, centroid: tuple[float, float]) -> Array:
        """(p,) the plane at points (p, 2)."""
        x, y = (points - np.asarray(centroid)).T
        return np.asarray(self.axial + self.about_x * y - self.about_y * x)

    def blended(self, other: FreeStrain, share: float) -> FreeStrain:
        """The share of the way to another."""
        a, b = 1 - share, share
        return FreeStrain(
            a * self.axial + b * other.axial,
            a * self.about_x + b * other.about_x,
            a * self.about_y + b * other.about_y,
        )


def free_strain(action: Strained, segment: Segment, z: float) -> FreeStrain:
    """The free strain at a station of a segment; in proportion between the ends of a taper."""
    first = section_strain(strain_field(action, segment.section), segment.section)
    if segment.section_end is None:
        return first
    last = section_strain(strain_field(action, segment.section_end), segment.section_end)
    share = (z - segment.start) / (segment.end - segment.start)
    return first.blended(last, min(max(share, 0.0), 1.0))


def section_strain(field: StrainField, section: SectionConstants) -> FreeStrain:
    """The free strain of one section."""
    if section.outline is None:
        return FreeStrain(float(field.factors[0] * field.values[0]), 0.0, 0.0)
    total = np.zeros(3)
    for factor, region in zip(field.factors, section.outline.regions, strict=True):
        if factor:
            total += factor * region.material.elastic_modulus * _moments(field, region.contours)
    force, first_x, first_y = total
    c_x, c_y = section.centroid
    e = section.elastic_modulus
    m_x, m_y = first_y - c_y * force, c_x * force - first_x
    i_x, i_y, i_xy = section.second_moment_x, section.second_moment_y, section.product_moment
    det = e * (i_x * i_y - i_xy**2)
    return FreeStrain(
        float(force / (e * section.area)),
        float((i_y * m_x + i_xy * m_y) / det),
        float((i_xy * m_x + i_x * m_y) / det),
    )


def _moments(field: StrainField, contours: tuple[object, ...]) -> Array:
    """Integrals of the strain, of x and of y times it, without the factor."""
    total = np.zeros(3)
    for contour in contours:
        start, end, bulge = contour.points, contour.ends, contour.bulges  # type: ignore[attr-defined]
        if len(field.kinks):
            start, end, bulge = _cut(*split_long_arcs(start, end, bulge, _ARC), field.kinks)
        else:
            start, end, bulge = split_long_arcs(start, end, bulge, np.pi / 8)
        u = (_X + 1) / 2
        x, y = edge_points(start, end, bulge, u).reshape(-1, 2).T
        dx = (edge_tangents(start, end, bulge, u)[..., 0] * (_W / 2)).ravel()
        once, with_y = _primitives(field, y)
        slope = (field.across[1] - field.across[0]) / (field.sides[1] - field.sides[0])
        side = field.across[0] + slope * (x - field.sides[0])
        once = once + side * y
        with_y = with_y + side * y**2 / 2
        total -= np.array([once @ dx, (x * once) @ dx, with_y @ dx])
    return total


def _primitives(field: StrainField, y: Array) -> tuple[Array, Array]:
    """Integrals over y, from the lowest level, of the polyline and of y times it."""
    if len(field.levels) == 1:
        return field.values[0] * y, field.values[0] * y**2 / 2
    low, high = field.levels[:-1], field.levels[1:]
    slope = np.diff(field.values) / (high - low)
    level = field.values[:-1] - slope * low

    def once(t: Array, k: NDArray[np.intp] | slice) -> Array:
        return np.asarray(level[k] * t + slope[k] * t**2 / 2)

    def with_y(t: Array, k: NDArray[np.intp] | slice) -> Array:
        return np.asarray(level[k] * t**2 / 2 + slope[k] * t**3 / 3)

    every = slice(None)
    k = np.clip(np.searchsorted(field.levels, y) - 1, 0, len(low) - 1)
    found = []
    for part in (once, with_y):
        whole = np.concatenate([[0.0], np.cumsum(part(high, every) - part(low, every))])
        found.append(whole[k] + part(y, k) - part(low[k], k))
    return found[0], found[1]


def _cut(start: Array, end: Array, bulge: Array, levels: Array) -> tuple[Array, Array, Array]:
    """Straight edges cut where they cross a level."""
    for level in levels:
        a, b = start[:, 1] - level, end[:, 1] - level
        own = np.flatnonzero((a * b < 0) & (bulge == 0))
        if not len(own):
            continue
        share = (a[own] / (a[own] - b[own]))[:, None]
        middle = start[own] + share * (end[own] - start[own])
        start = np.concatenate([start, middle])
        last = end[own].copy()
        end = end.copy()
        end[own] = middle
        end = np.concatenate([end, last])
        bulge = np.concatenate([bulge, np.zeros(len(own))])
    return start, end, bulge
