"""A member as a solid: movement and stress at points of its sections, station by station.

By the theory that leads: sections that deform where it runs, the classical one elsewhere. Where no
stress is stated (`exclusion`: sharp corners, loads, bearings, held ends, steps), it is NaN.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from ...geometry.errors import InputError
from ...solver.member.deforming.exclusion import (
    disturbed_stations,
    loaded_spots,
    near_spots,
    plate_thickness,
)
from ...solver.section.deforming.elasticity.strain import strains
from ...solver.section.elements.basis import places_at
from ...solver.section.torsion.peak import left_out
from ..drawing.sampling import cut_triangle, turned
from ..stress.field_arrays import sampled_fields

if TYPE_CHECKING:
    from ...solver.member.deforming.course import MemberPart
    from ...solver.member.deforming.solution import DeformingSolution
    from ...solver.member.model.member import Segment
    from ...solver.member.review.assessment import Assessment

Array = NDArray[np.float64]
Ints = NDArray[np.int64]
#: Order of the six stresses, in the axes of the section.
STRESSES = ("xx", "yy", "zz", "yz", "xz", "xy")
#: Cuts of a triangle's edge, and samples through the mean wall, by the two theories.
_CUTS, _THROUGH_WALL = 2, 3.0


@dataclass(frozen=True, slots=True, eq=False)
class SolidPiece:
    """A piece of the member between two stations, cut alike all along.

    Attributes
    ----------
    z : (s,)
        Stations.
    points : (s, k, 2)
        Of the section, in its axes; they move along a taper.
    triangles : (m, 3) int
        Between the k points.
    displacement : (s, k, 3)
        Along x, y and z of the section.
    stress : (s, k, 6)
        xx, yy, zz, yz, xz, xy; NaN where none is stated.
    """

    z: Array
    points: Array
    triangles: Ints
    displacement: Array
    stress: Array


def solid_pieces(assessment: Assessment, combination: int, stations: int) -> list[SolidPiece]:
    """Every piece of the member under a combination, about so many stations in all.

    Raises
    ------
    InputError
        Where the classical theory stands alone and a section tapers, or is known by its figures
        alone: such sections have no shape.
    """
    if stations < 2:
        raise InputError(f"a solid needs 2 stations at least, got {stations}")
    found = assessment.deformed
    if found is None:
        return [_classical(assessment, s, combination, stations) for s in _segments(assessment)]
    return [
        piece
        for part in found.solution.course.parts
        for piece in _deforming(assessment, found.solution, part, combination, stations)
    ]


# -- sections that deform --------------------------------------------------------------------------
def _deforming(
    assessment: Assessment,
    solution: DeformingSolution,
    part: MemberPart,
    combination: int,
    stations: int,
) -> Iterator[SolidPiece]:
    z = _stations(part.start, part.end, stations, solution.member.length)
    inside = np.clip(z, part.start, np.nextafter(part.end, part.start))
    _, a, rate = solution.functions(z[:-1])
    _, last, last_rate = solution.functions(z[-1:], "left")
    state = np.concatenate([a, last])[..., combination]
    rates = np.concatenate([rate, last_rate])[..., combination]
    points, moved, stress = [], [], []
    cells: Ints = np.empty((0, 3), dtype=np.int64)
    rows: tuple[Array, Array, Array, Array] | None = None
    for k, at in enumerate(inside):
        if rows is None or part.tapered is not None:
            cells, rows = _rows(part, float(at))
        place, u, still, along = rows
        points.append(place)
        moved.append(u @ state[k])
        stress.append(still @ state[k] + along @ rates[k])
    cells = turned(points[0], cells)
    piece = SolidPiece(z, np.array(points), cells, np.array(moved), np.array(stress))
    _leave_out(assessment, solution, part, piece)
    yield piece


def _rows(part: MemberPart, z: float) -> tuple[Ints, tuple[Array, Array, Array, Array]]:
    """Small triangles, points (k, 2), and rows of displacement (k, 3, n) and stress (k, 6, n)."""
    section = part.at(z)
    solid = np.flatnonzero(section.elastic.solid)
    xi, eta, cells = cut_triangle(_CUTS)
    spots = section.fields.spots(solid, places_at(section.fields.order, xi, eta))
    u, gradient = section.fields.at(spots)
    still, along = strains(u, gradient, spots.points, section.curvature, spots.speed)
    laws, n = section.elastic.of(solid), u.shape[-1]
    return _spread(cells, len(solid), len(xi)), (
        spots.points.reshape(-1, 2),
        u.reshape(-1, 3, n),
        laws.stress(still).reshape(-1, 6, n),
        laws.stress(along).reshape(-1, 6, n) / part.ratio,
    )


def _leave_out(
    assessment: Assessment, solution: DeformingSolution, part: MemberPart, piece: SolidPiece
) -> None:
    """Put NaN where no stress is stated; everywhere, when its peak does not settle."""
    sections, found = assessment.request.sections, assessment.deformed
    if found is not None and not found.settled:
        piece.stress[:] = np.nan
        return
    zone = plate_thickness(solution)
    for at in disturbed_stations(solution, zone):
        piece.stress[abs(piece.z - at) <= zone] = np.nan
    spots = loaded_spots(solution)
    name = solution.member.segment_at((part.start + part.end) / 2).section.name
    solved = sections.get(name)
    corners = () if solved is None or solved.result is None else solved.result.corners
    for k, z in enumerate(piece.z):
        piece.stress[k, left_out(piece.points[k], corners)] = np.nan
        for close, within in near_spots(piece.points[k], np.array([z]), spots, zone):
            if within.any():
                piece.stress[k, close] = np.nan


# -- sections that keep their shape ----------------------------------------------------------------
def _segments(assessment: Assessment) -> tuple[Segment, ...]:
    for segment in assessment.solution.mesh.member.segments:
        if segment.section_end is not None:
            raise InputError(
                f"section {segment.section.name!r} tapers and keeps its shape: its solid is not "
                "written; let sections deform, or give the taper in steps"
            )
        if assessment.request.sections[segment.section.name].search is None:
            raise InputError(
                f"section {segment.section.name!r} is known by its figures alone and has no shape"
            )
    return assessment.solution.mesh.member.segments


def _classical(
    assessment: Assessment, segment: Segment, combination: int, stations: int
) -> SolidPiece:
    solution = assessment.solution
    search = assessment.request.sections[segment.section.name].search
    assert search is not None  # `_segments` has seen it
    fields = sampled_fields(search.units, _THROUGH_WALL)
    z = _stations(segment.start, segment.end, stations, solution.mesh.member.length)
    x, y = fields.points.T
    (sx, sy), (cx, cy) = segment.section.shear_centre, segment.section.centroid
    moved, stress = np.empty((len(z), len(x), 3)), np.zeros((len(z), len(x), 6))
    for k, station in enumerate(z):
        side = "left" if k == len(z) - 1 else "right"
        at = solution.at(station, side=side)
        u, v, w, phi, turn_x, turn_y = (
            float(getattr(at, word)[0, combination])
            for word in ("u", "v", "w", "phi", "theta_x", "theta_y")
        )
        _, state = solution.states_at(station, side=side)
        warped = float(state[0, 6, combination])
        moved[k, :, 0] = u - (y - sy) * phi
        moved[k, :, 1] = v + (x - sx) * phi
        moved[k, :, 2] = w + turn_x * (y - cy) - turn_y * (x - cx) + warped * fields.warping
        sigma, tau = fields.combined(at.actions[0, combination])
        stress[k, :, 2], stress[k, :, 3], stress[k, :, 4] = sigma, tau[:, 1], tau[:, 0]
    stress[:, fields.near_corner] = np.nan
    points = np.broadcast_to(fields.points, (len(z), *fields.points.shape))
    return SolidPiece(z, points, fields.triangles, moved, stress)


def _stations(start: float, end: float, stations: int, length: float) -> Array:
    count = max(2, round(stations * (end - start) / length) + 1)
    return np.linspace(start, end, count)


def _spread(cells: Ints, triangles: int, points: int) -> Ints:
    """The small triangles of all triangles, which have so many points each."""
    return np.asarray((cells + points * np.arange(triangles)[:, None, None]).reshape(-1, 3))
