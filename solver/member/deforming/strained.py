"""Imposed strains on the sections of a member that deform: their loads, and the stress that they
take away."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ....geometry.outline.polygons import region_polygons
from ....geometry.section import Section
from ...section.deforming.enrichment import enriched
from ...section.deforming.own_response import own_responses
from ...section.deforming.own_strain import Own, OwnStrain, own_strain, pressure
from ...section.deforming.reduced import ReducedSection
from ..model.imposed import Settlement, Strained, StrainField, strain_field
from ..model.member import Member, Segment
from .course import Course, MemberPart
from .lobatto import sampled

Array = NDArray[np.float64]
Ints = NDArray[np.intp]

#: Chords of arcs leave the outline by at most this share of its size.
_CHORDS = 1e-4
#: Stations of a tapered part at which an imposed strain is integrated.
_STATIONS = 7


@dataclass(frozen=True, slots=True, eq=False)
class Active:
    """An imposed strain at a station: e by triangle and point, and its factors (c,)."""

    field: StrainField
    factor: Array
    factors: Array

    def at(self, triangles: Ints, points: Array) -> Array:
        """e (t, q) at points (t, q, 2)."""
        return self.factor[triangles, None] * self.field.shape(points[..., 0], points[..., 1])


def with_strained_shapes(
    member: Member, segments: Sequence[Segment], reduced: Mapping[str, ReducedSection]
) -> dict[str, ReducedSection]:
    """The sections of a member with the shapes that imposed strains bring about in them, where
    these do not leave them plane."""
    shapes: list[Array] = []
    for name, section in reduced.items():
        strains: list[Own] = []
        turns = False
        for segment in segments:
            ends = [s for s in (segment.section, segment.section_end) if s and s.name == name]
            for action in member.imposed:
                if not ends or isinstance(action, Settlement):
                    continue
                if action.start < segment.end and action.end > segment.start:
                    field = strain_field(action, ends[0])
                    region = regions_of(section, ends[0].outline)
                    if not field.plane:
                        turns |= len(field.kinks) > 0
                        strains.append(Active(field, field.factors[region], np.zeros(0)).at)
        if strains:
            shapes.append(own_responses(section, strains, turns))
    if not shapes:
        return dict(reduced)
    fields = np.concatenate(shapes, axis=2)
    none = np.zeros((len(fields), 0))
    found = enriched(tuple(reduced.values()), fields, none, called="shape under own strain")
    return dict(zip(reduced, found, strict=True))


class ImposedStrains:
    """All imposed strains of a member, integrated once for each part.

    Parameters
    ----------
    member : Member
    course : Course
    """

    def __init__(self, member: Member, course: Course) -> None:
        self.member, self.course = member, course
        self.actions: tuple[Strained, ...] = tuple(
            a for a in member.imposed if not isinstance(a, Settlement)
        )
        self._known: dict[tuple[int, float, int], OwnStrain] = {}
        self._regions: dict[tuple[int, int], Ints] = {}

    def factors(self, action: Strained) -> Array:
        """(c,) of the action in every combination."""
        return np.array([c.factors.get(action.case, 0.0) for c in self.member.combined])

    def active(self, part: MemberPart, z: float, middle: float) -> list[Active]:
        """Those at a station z of a part, near `middle` on the side that is meant."""
        return [
            self.acting(action, part, z)
            for action in self.actions
            if action.start < middle < action.end
        ]

    def loads(self, action: Strained, nodes: Array, order: int) -> Array:
        """(e, (p + 1) n) of one action on the shape functions of every element."""
        n = self.course.size
        found = np.zeros((len(nodes) - 1, (order + 1) * n))
        middle = (nodes[1:] + nodes[:-1]) / 2
        x, w, value, slope = sampled(order, order + 2)
        long = np.diff(nodes) > 0
        for k in np.flatnonzero(long & (middle > action.start) & (middle < action.end)):
            part = self.course.part(float(middle[k]))
            length = nodes[k + 1] - nodes[k]
            z = nodes[k] + length * (1 + x) / 2
            still, along = self._along(action, part, z)[:, :2].transpose(1, 0, 2)
            found[k] = (
                (value * (w * length / 2)[:, None]).T @ (still * part.ratio)
                + (slope * w[:, None]).T @ along
            ).ravel()
        return found

    def stress(self, points: Array, z: Array, side: str, combinations: int) -> Array | None:
        """(m, k, c) normal stress D e to be taken away at points (k, 2) and stations (m,); None
        where there is none."""
        if not self.actions:
            return None
        found = np.zeros((len(z), len(points), combinations))
        for m, station in enumerate(z):
            part, middle = self.course.part(float(station), side), _beside(self, station, side)
            section = part.at(float(station))
            triangle = section.place_of(points)[0]
            level = pressure(section.elastic)[triangle]
            for one in self.active(part, float(station), middle):
                e = one.at(triangle, points[:, None])[:, 0]
                found[m] += np.outer(level * e, one.factors)
        return found

    def resultants(self, z: Array, side: str, combinations: int) -> Array:
        """(m, 7, c) what D e sums up to at stations."""
        found = np.zeros((len(z), 7, combinations))
        for m, station in enumerate(z):
            middle = _beside(self, station, side)
            for action in self.actions:
                if action.start < middle < action.end:
                    own = self.own(action, self.course.part(float(station), side), float(station))
                    found[m] += np.outer(own.resultants, self.factors(action))
        return found

    def own(self, action: Strained, part: MemberPart, z: float) -> OwnStrain:
        """The integrals of an action over the section of a part at a station."""
        # Parts of one section, bent alike, share what is known of it.
        whole, z = (part.at(0.0), 0.0) if part.tapered is None else (part, z)
        key = (id(whole), z, self.actions.index(action))
        if key not in self._known:
            active = self.acting(action, part, z)
            self._known[key] = own_strain(part.at(z), active.at, len(active.field.kinks) > 0)
        return self._known[key]

    def free_states(self, z: Array, combinations: int) -> Array:
        """(2, n, m, c) a and a' at stations (m,) whose strain comes nearest to the imposed ones: so
        much of the motion brings no stress."""
        found = np.zeros((2, self.course.size, len(z), combinations))
        index = np.array([self.course.index(float(s)) for s in z])
        for action in self.actions:
            for k in np.unique(index):
                own = np.flatnonzero((index == k) & (z > action.start) & (z < action.end))
                if len(own):
                    states = self._along(action, self.course.parts[k], z[own])[:, 2:]
                    more = np.einsum("msn,c->snmc", states, self.factors(action))
                    found[:, :, own] += more
        return found

    def growth(self, z: float, combinations: int, side: str = "right") -> Array:
        """(n, c) motion of the section at a station, were its imposed strains held by nothing."""
        middle = np.array([_beside(self, z, side)])
        return np.asarray(self.free_states(middle, combinations)[0, :, 0])

    def _along(self, action: Strained, part: MemberPart, z: Array) -> Array:
        """(m, 4, n) work on a and on a', and the nearest state, at stations."""

        def table(own: OwnStrain) -> Array:
            return np.concatenate([[own.still, own.along], own.state])

        if part.tapered is None:
            found = table(self.own(action, part, float(z[0])))
            return np.broadcast_to(found, (len(z), *found.shape))
        from scipy.interpolate import BarycentricInterpolator

        share = (1 - np.cos(np.pi * np.arange(_STATIONS) / (_STATIONS - 1))) / 2
        at = part.start + share * (part.end - part.start)
        rows = np.array([table(self.own(action, part, float(s))) for s in at])
        return np.asarray(BarycentricInterpolator(at, rows)(z))

    def acting(self, action: Strained, part: MemberPart, z: float) -> Active:
        """An action in the section of a part at a station."""
        segment = self.member.segment_at((part.start + part.end) / 2)
        if part.taper is None:
            field = strain_field(action, segment.section)
        else:
            # Sections of the classical theory may cut the taper; this one's ends tell its heights.
            own = self.member.segment_at(z) if z < part.end else segment
            field = strain_field(action, own.section_at(z), segment.section)
        region = self._region(part, segment.section.outline)
        return Active(field, field.factors[region], self.factors(action))

    def _region(self, part: MemberPart, outline: Section | None) -> Ints:
        """(t,) region of the outline that each triangle lies in; the first outside of it."""
        key = (id(part.straight), id(outline))
        if key not in self._regions:
            self._regions[key] = regions_of(part.straight, outline)
        return self._regions[key]


def _beside(own: ImposedStrains, z: float, side: str) -> float:
    """A station just on the side that is meant, inside the member."""
    length = own.member.length
    step = 1e-7 * length
    if side == "left" or z + step >= length:
        return max(z - step, step)
    return z + step


def regions_of(section: ReducedSection, outline: Section | None) -> Ints:
    """(t,) region of an outline that each triangle lies in; the first outside of it."""
    mesh = section.fields.mesh
    found = np.zeros(len(mesh.triangles), np.intp)
    if outline is None or len(outline.regions) == 1:
        return found
    import shapely

    middle = mesh.corners.mean(axis=1)
    for k, polygon in enumerate(region_polygons(outline, _CHORDS * outline.size())):
        found[shapely.contains_xy(polygon, middle[:, 0], middle[:, 1])] = k
    return found
