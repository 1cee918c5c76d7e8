"""Where no stress is stated: within a plate's thickness of loaded points and lines, bearings, held
ends and steps, where elastic stress has no bound or is not what a beam can tell."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from ..model.load import LineLoad, PointLoad
from ..model.member import SAME_STATION
from ..model.tendon_path import tendon_runs
from .holds import bearing_point
from .solution import DeformingSolution

Array = NDArray[np.float64]


def plate_thickness(solution: DeformingSolution) -> float:
    """Mean thickness of the walls, 2 A / perimeter, the largest of all sections."""
    found = []
    for part in solution.course.parts:
        mesh = part.straight.material
        border = mesh.edge_triangles()[:, 1] < 0
        ends = mesh.vertices[mesh.edges[border]]
        perimeter = float(np.hypot(*(ends[:, 1] - ends[:, 0]).T).sum())
        area = solution.member.section_at((part.start + part.end) / 2).area
        found.append(2 * area / perimeter)
    return max(found)


def disturbed_stations(solution: DeformingSolution, zone: float) -> list[float]:
    """Stations about which nothing is stated of the whole section: held ends, steps, and where
    forces act at points or over less than the zone.

    A few functions cannot show how a single force spreads: what is missing beside it appears all
    over its section, and is gone within the zone.
    """
    short = [spot[:2] for spot in loaded_spots(solution) if spot[1] - spot[0] <= 2 * zone]
    ends = {z for pair in short for z in pair}
    return [*held_ends(solution), *steps(solution), *sorted(ends)]


def held_ends(solution: DeformingSolution) -> list[float]:
    """Stations where the section's shape or warping is held rigidly."""
    rigid = {node for node, brace in solution.braces if brace.stiffness is None}
    nodes = sorted(solution.holds.clamped | rigid)
    return [float(solution.field.nodes[node]) for node in nodes]


def steps(solution: DeformingSolution) -> list[float]:
    """Stations where the material of the section changes: an edge along which stress has no
    bound."""
    found = []
    for before, after in pairwise(solution.course.parts):
        if before.straight is not after.straight:
            one, other = (part.at(after.start).elastic.solid for part in (before, after))
            if not np.array_equal(one, other):
                found.append(after.start)
    return found


Spot = tuple[float, float, float, float]


def loaded_spots(solution: DeformingSolution) -> list[Spot]:
    """(first z, last z, x, y) where a force acts at a point of the section."""
    member = solution.member
    found: list[Spot] = []
    for load in member.loads:
        if isinstance(load, PointLoad) and any(load.force):
            x, y = member.locate(load.place, member.section_at(load.at))
            found.append((load.at, load.at, x, y))
        elif isinstance(load, LineLoad) and any((*load.force, *(load.force_end or ()))):
            x, y = member.locate(load.place, member.section_at(load.start))
            found.append((load.start, load.end, x, y))
    for tendon in member.tendons:
        runs = tendon_runs(tendon, member)
        bent = [(run, run.start) for run in runs if run.kink is not None]  # on its deviators
        for run, z in ((runs[0], tendon.start), (runs[-1], tendon.end), *bent):
            x, y = run.line(np.array([z]))[0][0] + np.asarray(member.line)
            found.append((z, z, float(x), float(y)))
    for support in member.supports:
        side = "left" if support.at >= member.length * (1 - SAME_STATION) else "right"
        for bearing in support.bearings:
            section = member.section_at(support.at)
            level = section.shear_centre[1] if bearing.y is None else section.height(bearing.y)
            point = (bearing.x, level)
            x, y = bearing_point(solution.grips, support.at, bearing, point, side)
            found.append((support.at, support.at, x, y))
    return found


def near_spots(
    points: Array, z: Array, spots: list[Spot], zone: float
) -> Iterator[tuple[NDArray[np.bool_], NDArray[np.bool_]]]:
    """Points (k, 2) and stations z (m,) within the zone of each spot."""
    for start, end, x, y in spots:
        close = np.hypot(points[:, 0] - x, points[:, 1] - y) <= zone
        within = (z >= start - zone) & (z <= end + zone)
        if close.any() and within.any():
            yield close, within
