"""Stresses on the border of the material of a section, where all that bends, twists and shears is
largest."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from ...section.deforming.elasticity.strain import strains
from ...section.deforming.reduced import ReducedSection
from ...section.torsion.peak import left_out
from ...section.torsion.sharp_corner import SharpCorner
from ..model.solved_section import SolvedSection
from .course import MemberPart
from .shapes import border_spots
from .solution import DeformingSolution

Array = NDArray[np.float64]

#: Places on each border edge.
PLACES = 3


@dataclass(frozen=True, slots=True, eq=False)
class Surface:
    """Rows of stress (k, 6, n) at points (k, 2) of the border and their triangles (k,), one over
    their strength, and places (c, 2) of sharp corners."""

    points: Array
    triangles: NDArray[np.intp]
    still: Array
    along: Array
    over: Array | None
    corners: Array

    def stress(self, a: Array, rate: Array) -> Array:
        """(k, 6, m, c) of functions and their rates (m, n, c)."""
        found = np.einsum("kdn,mnc->kdmc", self.still, a, optimize=True)
        found += np.einsum("kdn,mnc->kdmc", self.along, rate, optimize=True)
        return np.asarray(found)


def surface_of(
    part: MemberPart,
    z: float,
    solution: DeformingSolution,
    sections: Mapping[str, SolvedSection],
) -> Surface:
    """The border of a part at a station, away from sharp corners."""
    section = part.at(z)
    mesh = section.fields.mesh
    # The sections of a taper differ at every station.
    found = _border if part.tapered is None else _border.__wrapped__
    place, still, along, triangles = found(section, part.ratio)
    keep = np.ones(len(place), bool)
    # A taper bears the name of the section that it starts with.
    known = (part.start + part.end) / 2 if part.taper is None else part.taper.start
    solved = sections.get(solution.member.segment_at(known).section.name)
    over = None
    corners: tuple[SharpCorner, ...] = ()
    region = mesh.region[triangles]
    if solved is not None and solved.result is not None:
        corners = _moved(solved.result.corners, part, z)
        keep &= ~left_out(place, corners)
        if solved.has_strength and len(set(solved.strengths)) == 1:
            over = np.full(len(place), 1 / float(solved.strengths[0] or 1.0))
        elif solved.has_strength and len(solution.course.parts) == 1:
            over = 1 / np.array(solved.strengths, float)[region]
    return Surface(
        place[keep],
        triangles[keep],
        still[keep],
        along[keep],
        None if over is None else over[keep],
        np.array([corner.point for corner in corners]).reshape(-1, 2),
    )


@lru_cache(maxsize=4)
def _border(section: ReducedSection, ratio: float) -> tuple[Array, Array, Array, NDArray[np.intp]]:
    """Points (k, 2) of the border, their stress for functions and for rates (k, 6, n), and their
    triangles (k,)."""
    points, still, along, owner = [], [], [], []
    for own, spots in border_spots(section, PLACES):
        u, gradient = section.fields.at(spots)
        a, b = strains(u, gradient, spots.points, section.curvature, spots.speed)
        laws = section.elastic.of(own)
        n = u.shape[-1]
        points.append(spots.points.reshape(-1, 2))
        still.append(laws.stress(a).reshape(-1, 6, n))
        along.append(laws.stress(b).reshape(-1, 6, n) / ratio)
        owner.append(np.repeat(own, PLACES))
    return tuple(np.concatenate(each) for each in (points, still, along, owner))  # type: ignore[return-value]


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
