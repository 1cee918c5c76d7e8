"""Stress of all stages together: at every station and point, each stage's own stress added up.

Where the section grows, each stage stresses what stands then: the girder carries its share alone,
then together with the slab. The points are those of the border of every stage's material.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from ....geometry.errors import InputError
from ....geometry.outline.polygons import region_polygons
from ....geometry.section import Section
from ...section.torsion.peak import left_out
from ..deforming.envelope import DeformingStress
from ..deforming.exclusion import disturbed_stations, loaded_spots, plate_thickness
from ..deforming.shapes import border_spots
from ..deforming.solution import DeformingSolution
from ..model.solved_section import SolvedSection
from .history import Totals
from .stage_answer import StageAnswer
from .summed_stress import summed_stress

Array = NDArray[np.float64]

#: How far a point of the border is drawn into its triangle, as a share of the way to its middle.
_INWARD = 1e-3
#: Places on each border edge.
_PLACES = 3
#: Chords keep this close to arcs, over the section's size.
_CHORDS = 1e-5
#: Even stations along the member, besides the nodes.
_EVEN = 61


def total_stress(totals: Totals, sections: Mapping[str, SolvedSection]) -> DeformingStress:
    """Largest stresses after the stages of `totals`.

    Raises
    ------
    InputError
        Where a section has no outline, or where it changes and the classical theory stands alone.
    """
    loaded = [a for a in totals.answers if a.solutions]
    if not loaded:
        raise InputError("no stage so far brings a load")
    if isinstance(loaded[0].solutions[0], DeformingSolution):
        return _deforming(totals, loaded, sections)
    return summed_stress(totals, loaded, sections)


@dataclass(frozen=True, slots=True, eq=False)
class _Points:
    """Points (k, 2) of the border between two stations, strength (k,) there, NaN without."""

    start: float
    end: float
    place: Array
    strength: Array


def _deforming(
    totals: Totals, loaded: Sequence[StageAnswer], sections: Mapping[str, SolvedSection]
) -> DeformingStress:
    solutions: list[DeformingSolution] = [s for a in loaded for s in a.solutions]  # type: ignore[misc]
    zone = max(plate_thickness(s) for s in solutions)
    z = _stations(solutions, zone)
    spots = [spot for s in solutions for spot in loaded_spots(s)]
    count = len(totals.names)
    out = np.zeros((5, len(z), count))
    points = np.zeros((len(z), count, 2))
    strong = True
    for stretch in _stretches(loaded, sections):
        own = np.flatnonzero((z >= stretch.start) & (z <= stretch.end))
        if not len(own):
            continue
        strong = strong and bool(np.isfinite(stretch.strength).all())
        for side in ("right", "left"):
            inner = own[(z[own] < stretch.end) if side == "right" else (z[own] > stretch.start)]
            if not len(inner):
                continue
            stress = sum(_added(a, stretch.place, z[inner], side, count) for a in loaded)
            _keep(np.asarray(stress), stretch, z, inner, (spots, zone), out, points)
    corners = any(s.result is not None and bool(s.result.corners) for s in sections.values())
    return DeformingStress(
        z, out[0], out[1], out[2], out[3], out[4] if strong else None, points, totals.names,
        zone, corners,
    )  # fmt: skip


def _stations(solutions: Sequence[DeformingSolution], zone: float) -> Array:
    """Even stations, nodes and middles of all stages, without the surroundings of what
    disturbs."""
    length = solutions[0].member.length
    nodes = [s.field.nodes for s in solutions]
    even = np.linspace(0.0, length, _EVEN)
    z = np.unique(np.concatenate([even, *nodes, *((n[1:] + n[:-1]) / 2 for n in nodes)]))
    z = z[np.append(True, np.diff(z) > 1e-9 * length)]
    disturbed = {at for s in solutions for at in disturbed_stations(s, zone)}
    for at in disturbed:
        z = z[np.abs(z - at) > zone]
    near = [at + side * 1.001 * zone for at in disturbed for side in (-1, 1)]
    return np.unique(np.concatenate([z, [s for s in near if 0 < s < length]]))


def _stretches(
    loaded: Sequence[StageAnswer], sections: Mapping[str, SolvedSection]
) -> list[_Points]:
    """Points of every stage's border, between the ends of all parts of all stages."""
    solutions = [a.solutions[0] for a in loaded]
    ends = sorted({e for s in solutions for p in s.course.parts for e in (p.start, p.end)})  # type: ignore[union-attr]
    found = []
    for start, end in pairwise(ends):
        if end - start < 1e-9 * ends[-1]:
            continue
        middle = (start + end) / 2
        places, strengths = [], []
        for solution in solutions:
            assert isinstance(solution, DeformingSolution)
            if solution.course.part(middle).tapered is not None:
                raise InputError("stresses of stages are not added up in tapered segments")
            section = sections[solution.member.section_at(middle).name]
            place, strength = _border(solution, middle, section)
            places.append(place)
            strengths.append(strength)
        place, first = np.unique(np.round(np.concatenate(places), 9), axis=0, return_index=True)
        found.append(_Points(start, end, place, np.concatenate(strengths)[first]))
    return found


def _border(solution: DeformingSolution, z: float, section: SolvedSection) -> tuple[Array, Array]:
    """Points just inside the border of the section at a station, and their strengths."""
    reduced = solution.course.part(z).at(z)
    mesh = reduced.fields.mesh
    corners = mesh.vertices[mesh.triangles]
    assert section.result is not None
    places, strengths = [], []
    for own, spots in border_spots(reduced, _PLACES):
        middle = corners[own].mean(axis=1)[:, None]
        inside = spots.points + _INWARD * (middle - spots.points)
        places.append(inside.reshape(-1, 2))
        strengths.append(_strength(inside.reshape(-1, 2), section))
    place, strength = np.concatenate(places), np.concatenate(strengths)
    # Where an arc curves away, the way to a triangle's middle may leave the material at first.
    keep = ~left_out(place, section.result.corners) & reduced.within(place)
    return place[keep], strength[keep]


def _strength(place: Array, section: SolvedSection) -> Array:
    assert section.result is not None
    if len(set(section.strengths)) == 1:
        (single,) = set(section.strengths)
        return np.full(len(place), np.nan if single is None else single)
    found = np.full(len(place), np.nan)
    for value, inside in zip(
        section.strengths, _inside(place, section.result.section), strict=True
    ):
        found[inside] = np.nan if value is None else value
    return found


def _inside(place: Array, section: Section) -> list[NDArray[np.bool_]]:
    """For each region, which points lie in it."""
    import shapely

    size = max(np.ptp(place, axis=0).max(), 1e-300)
    return [
        np.asarray(shapely.contains_xy(p, place[:, 0], place[:, 1]))
        for p in region_polygons(section, _CHORDS * float(size))
    ]


def _added(
    answer: StageAnswer,
    place: Array,
    z: Array,
    side: str,
    count: int,
) -> Array:
    """(m, k, 6, c) stress that a stage adds; zero at points where its material is not yet."""
    middle = float(z.mean())
    solution = answer.solutions[0]
    assert isinstance(solution, DeformingSolution)
    there = solution.course.part(middle).at(middle).within(place)
    found = np.zeros((len(z), len(place), 6, count))
    found[:, there] = np.concatenate(
        [s.stress(place[there], z, side) for s in answer.solutions],  # type: ignore[union-attr]
        axis=-1,
    )
    return found


def _keep(
    stress: Array,
    stretch: _Points,
    z: Array,
    own: NDArray[np.intp],
    left: tuple[list[tuple[float, float, float, float]], float],
    out: Array,
    points: Array,
) -> None:
    """Enter the largest of each station into `out`, where it is more than what stands there."""
    xx, yy, zz, yz, xz, xy = np.moveaxis(stress, 2, 0)
    shear = yz**2 + xz**2
    mises = np.sqrt(((xx - yy) ** 2 + (yy - zz) ** 2 + (zz - xx) ** 2) / 2 + 3 * (shear + xy**2))
    shear = np.sqrt(shear)
    radius = np.hypot((xx - yy) / 2, xy)
    high = np.maximum(zz, (xx + yy) / 2 + radius)
    low = np.minimum(zz, (xx + yy) / 2 - radius)
    spots, zone = left
    for start, end, x, y in spots:
        close = np.hypot(stretch.place[:, 0] - x, stretch.place[:, 1] - y) <= zone
        within = (z[own] >= start - zone) & (z[own] <= end + zone)
        block = np.ix_(within, close)
        for values in (mises, shear, high, low):
            values[block] = 0.0
    with np.errstate(invalid="ignore"):
        used = np.nan_to_num(mises / stretch.strength[:, None])
    best = mises.argmax(axis=1)
    value = np.take_along_axis(mises, best[:, None], axis=1)[:, 0]
    better = value > out[0][own]
    place = points[own]
    place[better] = stretch.place[best][better]
    points[own] = place
    for k, found in enumerate((value, shear.max(axis=1), high.max(axis=1))):
        out[k][own] = np.maximum(out[k][own], found)
    out[3][own] = np.minimum(out[3][own], low.min(axis=1))
    out[4][own] = np.maximum(out[4][own], used.max(axis=1))
