"""Loads whose place lies off the section's material: what carries them there decides how walls
bend, so it is said how they are taken."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from ..deforming.grip import SPREAD
from ..deforming.outline import enclosed, in_material, material_mesh, nearest_material
from ..deforming.solution import DeformingSolution
from ..model.load import LineLoad, Place, PointLoad

#: Nearer to the material than this part of the section's extent, a place is on it.
_ON = 1e-6


def off_material(solution: DeformingSolution, unit: str) -> tuple[str, ...]:
    """One sentence for each load that acts off the material, in the file's unit of length."""
    return tuple(dict.fromkeys(_sentences(solution, unit)))


def _sentences(solution: DeformingSolution, unit: str) -> Iterator[str]:
    member = solution.member
    for load in member.loads:
        if isinstance(load, PointLoad):
            at, forces = load.at, load.force
        elif isinstance(load, LineLoad):
            at, forces = load.start, (*load.force, *(load.force_end or ()))
        else:
            continue
        place = load.place
        named = isinstance(place, Place) and place.origin in SPREAD and not (place.dx or place.dy)
        if named or not any(forces):
            continue
        x, y = member.locate(place, member.section_at(at))
        side = "left" if at >= member.length else "right"
        mesh = material_mesh(solution.course.part(at, side).shape(at))
        if in_material(mesh, (x, y)):
            continue
        near = nearest_material(mesh, (x, y))
        least = _ON * float(np.ptp(mesh.vertices, axis=0).max())
        away = float(np.hypot(x - near[0], y - near[1]))
        if away <= least:
            continue
        x, y, foot_x, foot_y = (0.0 if abs(v) < least else v for v in (x, y, *near))
        where = f"{load.title} acts at ({x:.4g}, {y:.4g}) {unit}"
        foot = f"({foot_x:.4g}, {foot_y:.4g})"
        if enclosed(mesh, (x, y)):
            yield (
                f"{where}, in the void of a cell, {away:.3g} {unit} from the wall at {foot}: its "
                "force and torque are spread over the whole section, which so neither distorts "
                "nor bends its walls; if the wall carries it, give a point of the wall"
            )
        else:
            yield (
                f"{where}, {away:.3g} {unit} off the material: its force acts at the nearest "
                f"point {foot}, and the moment of that arm is spread over the whole section as by "
                "a stiff bracket; a bracket on one wall bends that wall besides; give a point of "
                "the material if the load stands on one"
            )
