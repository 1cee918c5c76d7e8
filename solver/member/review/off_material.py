"""Loads whose place lies off the section's material: what carries them there decides how walls
bend, so it is said how they are taken."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from ...section.deforming.outline import enclosed, in_material, nearest_material
from ..deforming.grip import SPREAD
from ..deforming.solution import DeformingSolution
from ..model.load import LineLoad, Place, PointLoad

#: Nearer to the material than this part of the section's extent, a place is on it.
_ON = 1e-6


def off_material(solution: DeformingSolution, unit: str) -> tuple[str, ...]:
    """One sentence for the loads that act at each place off the material, in the file's unit of
    length."""
    titles: dict[str, dict[str, None]] = {}
    for title, words in _places(solution, unit):
        titles.setdefault(words, {})[title] = None
    return tuple(f"{_named(list(loads))}: {words}" for words, loads in titles.items())


def _named(titles: list[str]) -> str:
    """A load, or the first of several with how many act there too."""
    first, *others = titles
    if not others:
        return first
    return f"{first} and {len(others)} other load{'s' if len(others) > 1 else ''}"


def _places(solution: DeformingSolution, unit: str) -> Iterator[tuple[str, str]]:
    """Title of each load off the material, and what is said of its place."""
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
        mesh = solution.course.part(at, side).shape(at).material
        if in_material(mesh, (x, y)):
            continue
        near = nearest_material(mesh, (x, y))
        least = _ON * float(np.ptp(mesh.vertices, axis=0).max())
        away = float(np.hypot(x - near[0], y - near[1]))
        if away > least:
            x, y, foot_x, foot_y = (0.0 if abs(v) < least else v for v in (x, y, *near))
            foot = f"({foot_x:.4g}, {foot_y:.4g})"
            inside = enclosed(mesh, np.array([[x, y]])).any()
            taken = _in_a_void if inside else _beside
            yield load.title, f"({x:.4g}, {y:.4g}) {unit} lies {taken(f'{away:.3g} {unit}', foot)}"


def _in_a_void(away: str, foot: str) -> str:
    return (
        f"in the void of a cell, {away} from the wall at {foot}: force and torque are spread over "
        "the whole section, and so neither distort it nor bend its walls; if the wall carries "
        "them, give a point of the wall"
    )


def _beside(away: str, foot: str) -> str:
    return (
        f"{away} off the material: the force acts at the nearest point {foot}, and the moment of "
        "that arm is spread over the whole section as by a stiff bracket; a bracket on one wall "
        "bends that wall besides; give a point of the material if the load stands on one"
    )
