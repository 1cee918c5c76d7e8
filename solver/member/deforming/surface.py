"""Stresses on the border of the material of a section, where all that bends, twists and shears is
largest."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from ...section.deforming.elasticity.strain import strains
from ...section.deforming.reduced import ReducedSection
from ...section.torsion.peak import LEFT_OUT, left_out
from ...section.torsion.sharp_corner import SharpCorner
from ..model.solved_section import SolvedSection
from .course import MemberPart
from .shapes import along_edge, border_edges, border_spots
from .solution import DeformingSolution

Array = NDArray[np.float64]

#: Places on each border edge, and where stress is largest.
PLACES, CLOSE = 5, 17

#: What is left out about a point of the section, x, y and radius.
Circle = tuple[float, float, float]
#: A place at the border of what is left out is this much outside, relative.
_OUTSIDE = 1 + 1e-6


@dataclass(frozen=True, slots=True, eq=False)
class Surface:
    """Rows of stress (6, k, 2 n) for functions, then their rates, at points (k, 2) of the border
    and their triangles (k,), one over their strength, and places (c, 2) of sharp corners."""

    points: Array
    triangles: NDArray[np.intp]
    rows: Array
    over: Array | None
    corners: Array

    def stress(self, state: Array) -> Array:
        """(6, k, ...) of functions and then their rates (2 n, ...)."""
        six, k, wide = self.rows.shape
        found = self.rows.reshape(six * k, wide) @ state.reshape(wide, -1)
        return np.asarray(found.reshape(six, k, *state.shape[1:]))


def surface_of(
    part: MemberPart,
    z: float,
    solution: DeformingSolution,
    sections: Mapping[str, SolvedSection],
    places: int = 3,
    left: Sequence[Circle] | None = None,
    columns: Array | None = None,
) -> Surface:
    """The border of a part at a station, away from sharp corners.

    Parameters
    ----------
    places : int
        On each edge.
    left : sequence of Circle, optional
        What is left out besides: the border is looked at where it leaves these, and the
        surroundings of corners, too, for there the stress is often largest.
    columns : (n, c), optional
        Combinations of the functions that stand for them.
    """
    section = part.at(z)
    if columns is not None:
        mixed = section.fields.coefficients @ columns
        section = replace(section, fields=replace(section.fields, coefficients=mixed))
    mesh = section.fields.mesh
    # A taper bears the name of the section that it starts with.
    known = (part.start + part.end) / 2 if part.taper is None else part.taper.start
    solved = sections.get(solution.member.segment_at(known).section.name)
    over = None
    corners: tuple[SharpCorner, ...] = ()
    if solved is not None and solved.result is not None:
        corners = _moved(solved.result.corners, part, z)
    # The sections of a taper differ at every station.
    found = _border if part.tapered is None else _border.__wrapped__
    circles: tuple[Circle, ...] = ()
    if left is not None:
        circles = *left, *((*corner.point, LEFT_OUT * corner.clearance) for corner in corners)
    points, triangles, rows = found(section, part.ratio, places, circles, corners)
    region = mesh.region[triangles]
    if solved is not None:
        if solved.has_strength and len(set(solved.strengths)) == 1:
            over = np.full(len(points), 1 / float(solved.strengths[0] or 1.0))
        elif solved.has_strength and len(solution.course.parts) == 1:
            over = 1 / np.array(solved.strengths, float)[region]
    at = np.array([corner.point for corner in corners]).reshape(-1, 2)
    return Surface(points, triangles, rows, over, at)


Rows = tuple[Array, NDArray[np.intp], Array]


@lru_cache(maxsize=2)  # large: parts of one section come one after another
def _border(
    section: ReducedSection,
    ratio: float,
    places: int,
    circles: tuple[Circle, ...],
    corners: tuple[SharpCorner, ...],
) -> Rows:
    """Points (k, 2) of the border, on each edge and where it leaves circles, away from corners;
    their triangles (k,), and rows of stress (6, k, 2 n) for functions, then for rates."""
    fields = section.fields
    found = [(own, spots, *fields.at(spots)) for own, spots in border_spots(section, places)]
    own, xi, eta = _crossings(section, circles)
    if len(own):
        spots = fields.each(own, xi, eta)
        found.append((own, spots, *fields.at_each(spots)))
    points, rows, triangles = [], [], []
    for own, spots, u, gradient in found:
        still, along = strains(u, gradient, spots.points, section.curvature, spots.speed)
        laws = section.elastic.of(own)
        both = np.concatenate([laws.stress(still), laws.stress(along) / ratio], axis=-1)
        points.append(spots.points.reshape(-1, 2))
        rows.append(both.reshape(-1, *both.shape[-2:]).transpose(1, 0, 2))
        triangles.append(np.repeat(own, spots.points.shape[1]))
    place = np.concatenate(points)
    keep = ~left_out(place, corners)
    wanted = np.concatenate(rows, axis=1).compress(keep, axis=1)
    return place[keep], np.concatenate(triangles)[keep], wanted


def _crossings(
    section: ReducedSection, circles: tuple[Circle, ...]
) -> tuple[NDArray[np.intp], Array, Array]:
    """Triangles (k,) and places in them where edges of the border leave circles: the square of the
    distance is one of second degree along an edge, nearly so along an arc."""
    triangle, which = border_edges(section.fields.mesh, section.elastic)
    order = np.argsort(which, kind="stable")  # as `border_spots` has them
    triangle, which = triangle[order], which[order]
    ends = np.concatenate([spots.points for _, spots in border_spots(section, 3)])
    own, at = [np.zeros(0, np.intp)], [np.zeros(0)]
    for x, y, radius in circles:
        start, middle, end = (((ends - (x, y)) ** 2).sum(axis=2) - (_OUTSIDE * radius) ** 2).T
        bend, slope = 2 * (start - 2 * middle + end), 4 * middle - 3 * start - end
        inside = slope**2 - 4 * bend * start
        root = np.sqrt(np.maximum(inside, 0.0))
        for sign in (-1, 1):
            with np.errstate(divide="ignore", invalid="ignore"):
                s = (sign * root - slope) / (2 * bend)
            on = np.flatnonzero((inside > 0) & (s > 0) & (s < 1))
            own.append(on)
            at.append(s[on])
    edge, s = np.concatenate(own), np.concatenate(at)
    return triangle[edge], *along_edge(which[edge], s)


def _moved(corners: tuple[SharpCorner, ...], part: MemberPart, z: float) -> tuple[SharpCorner, ...]:
    """Corners of the first section of a taper where they are at a station; their clearance, about
    the thickness of a wall, is taken to stay."""
    if part.taper is None or not corners:
        return corners
    share = float(part.taper.share(np.array(z)))
    first, last = (s.fields.mesh.vertices for s in (part.straight, part.taper.last))
    place = np.array([corner.point for corner in corners])
    vertex = np.hypot(*(place[:, None] - first).transpose(2, 0, 1)).argmin(axis=1)
    there = (1 - share) * first[vertex] + share * last[vertex]
    return tuple(
        replace(corner, point=(float(x), float(y)))
        for corner, (x, y) in zip(corners, there, strict=True)
    )


def mises_squared(stress: Array) -> Array:
    """Square of the von Mises stress of six stresses (6, ...)."""
    xx, yy, zz, yz, xz, xy = stress
    shear = yz**2 + xz**2 + xy**2
    return np.asarray(((xx - yy) ** 2 + (yy - zz) ** 2 + (zz - xx) ** 2) / 2 + 3 * shear)
