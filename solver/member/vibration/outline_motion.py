"""How the outlines of sections move in the modes, largest displacement 1, and what that makes of
their modal masses."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from ....geometry.outline.contour import edge_points
from ..deforming.shapes import border_spots
from ..model.solved_section import SolvedSection
from .beam_member import BeamRows

if TYPE_CHECKING:
    from .analysis import Vibration

Array = NDArray[np.float64]

#: Places on each edge of an outline, its ends among them.
PLACES = 3

#: Stations at which the largest displacement is sought.
SEARCH = 81


@dataclass(frozen=True, slots=True, eq=False)
class OutlineMotion:
    """The outline of the section at a station.

    Attributes
    ----------
    z : float
    edges : (e, s, 2)
        Places along its edges, undeformed.
    moved : (e, s, 3, c)
        Their displacement in the modes, scaled so that the largest of the member is 1.
    """

    z: float
    edges: Array
    moved: Array


@dataclass(frozen=True, slots=True, eq=False)
class ModeShapes:
    """Modes scaled to a largest displacement of 1.

    Attributes
    ----------
    scale : (c,)
        Factor on the modes of unit modal mass.
    generalised_mass : (c,)
        a^T M a of the scaled modes, in the mass unit.
    largest_at : (c,)
        Station of the largest displacement.
    """

    scale: Array
    generalised_mass: Array
    largest_at: Array


class Outlines:
    """Outlines of a vibrating member, their rows found once for each part."""

    def __init__(self, vibration: Vibration, sections: Mapping[str, SolvedSection]) -> None:
        self.vibration, self.sections = vibration, sections
        self._known: dict[tuple[object, ...], tuple[Array, Array]] = {}
        z = np.linspace(0.0, vibration.member.length, SEARCH)
        size = np.array([self._size(float(s)) for s in z])
        largest = size.max(axis=0)
        scale = 1 / np.maximum(largest, 1e-300)
        mass = scale**2 / vibration.units.inertia
        self.shapes = ModeShapes(scale, mass, z[size.argmax(axis=0)])

    def at(self, z: float) -> OutlineMotion:
        """The outline at a station."""
        edges, rows = self.rows(z)
        moved = rows @ self.functions(z)
        return OutlineMotion(z, edges, moved * self.shapes.scale)

    def _size(self, z: float) -> Array:
        """(c,) largest displacement of the outline."""
        _, rows = self.rows(z, 2)
        moved = rows @ self.functions(z)
        return np.asarray(np.linalg.norm(moved, axis=2).max(axis=(0, 1)))

    def functions(self, z: float) -> Array:
        """(n, c) of the modes of unit modal mass at a station."""
        side = "left" if z >= self.vibration.member.length else "right"
        return np.asarray(self.vibration.field.at(np.array([z]), side)[1][0])

    def rows(self, z: float, places: int = PLACES) -> tuple[Array, Array]:
        """Edges (e, s, 2), and rows (e, s, 3, n) that turn functions into their movement."""
        course, member = self.vibration.course, self.vibration.member
        side = "left" if z >= member.length else "right"
        if course is None:
            constants = member.section_at(z)
            key: tuple[object, ...] = (constants.name, places)
            if key not in self._known:
                self._known[key] = self._plain(z, places)
            return self._known[key]
        part = course.part(z, side)
        key = (id(part.section), None if part.tapered is None else z, places)
        if key not in self._known:
            section = part.at(z)
            edges, rows = [], []
            for _, spots in border_spots(section, places):
                edges.append(spots.points)
                rows.append(section.fields.at(spots)[0])
            self._known[key] = (np.concatenate(edges), np.concatenate(rows))
        return self._known[key]

    def _plain(self, z: float, places: int) -> tuple[Array, Array]:
        """Of a section that keeps its shape."""
        rows = self.vibration.rows
        assert isinstance(rows, BeamRows)
        constants = self.vibration.member.section_at(z)
        solved = self.sections.get(constants.name)
        share = np.linspace(0.0, 1.0, places)
        if solved is not None and solved.result is not None:
            contours = [c for r in solved.result.section.regions for c in r.contours]
            edges = np.concatenate(
                [edge_points(c.points, c.ends, c.bulges, share) for c in contours]
            )
        else:
            w = np.sqrt(3 * constants.second_moment_y / constants.area)
            h = np.sqrt(3 * constants.second_moment_x / constants.area)
            corners = np.array([[-w, -h], [w, -h], [w, h], [-w, h]]) + constants.centroid
            step = np.roll(corners, -1, axis=0) - corners
            edges = corners[:, None] + step[:, None] * share[:, None]
        found = np.array([[rows.force(z, (float(x), float(y))) for x, y in e] for e in edges])
        return edges, found
