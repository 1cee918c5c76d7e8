"""How a force takes hold of the section, and whose motion a support feels.

- A point of the material: the force acts there, and the motion is that of the point.
- A point outside it: the force acts at the nearest point of the material, and the moment of the arm
  between the two is spread as Saint-Venant's stress of that moment.
- A point in the void of a cell, the shear centre and the centroid: the force is spread over the
  section as Saint-Venant's stresses of its resultants. So are torques and moments.
- A level, as of a deck: the material along it is held, its movement across and its rotation.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from ...section.deforming.outline import (
    enclosed,
    level_material,
    level_patterns,
    nearest_materials,
)
from ...section.deforming.reduced import ReducedSection
from ..model.load import Place, Where
from ..model.member import Member
from .course import Course, MemberPart
from .traction import torsional_warping, unit_tractions

Array = NDArray[np.float64]

#: Cells of a tapered part, at whose ends the grip of a line load is found.
TAPER_CELLS = 8

#: Places of which forces are spread over the section as resultants.
SPREAD = ("shear_centre", "centroid")


class Grips:
    """Rows (r, n) of a course, found once for each section and point.

    Parameters
    ----------
    member : Member
    course : Course
    """

    def __init__(self, member: Member, course: Course) -> None:
        self.member, self.course = member, course
        self._known: dict[tuple[object, ...], Array] = {}

    def force(self, z: float, place: Where, side: str = "right") -> Array:
        """(3, n): what a unit force along x, y, z at a place works on."""
        part = self.course.part(z, side)
        point = self.member.locate(place, self.member.section_at(z))
        named = isinstance(place, Place) and place.origin in SPREAD and not (place.dx or place.dy)
        if named:
            return self._once(part, z, ("spread", *point), lambda s, q: spread(q, point))
        return self.point_force(z, point, side)

    def point_force(self, z: float, point: tuple[float, float], side: str = "right") -> Array:
        """The same at a point (x, y)."""
        part = self.course.part(z, side)
        return self._once(
            part, z, ("point", *point), lambda s, q: _taken(s, q, np.array([point]))[0]
        )

    def point_forces(self, part: MemberPart, points: Array) -> Array:
        """(k, 3, n): the same at many points (k, 2) of a part that does not taper."""
        return _taken(part.straight, self._tractions(part, part.start), points)

    def own_twist(self, z: float, side: str = "right") -> Array:
        """(n,): the section's own deformation per unit rate of twist, see `torsional_warping`."""
        part = self.course.part(z, side)
        found = self._once(part, z, ("twist",), lambda s, _: torsional_warping(s, s.rigid))
        return np.asarray(found[0])

    def spread_force(self, z: float, point: tuple[float, float], side: str = "right") -> Array:
        """(3, n): forces through a point, spread over the section."""
        part = self.course.part(z, side)
        return self._once(part, z, ("spread", *point), lambda s, q: spread(q, point))

    def level(self, z: float, level: float, side: str = "right") -> Array:
        """(2, n): what takes hold of the material at a level works on: its movement across there,
        and its rotation."""
        part = self.course.part(z, side)
        return self._once(part, z, ("level", level), lambda s, _: _level_rows(s, level))

    def moment(self, z: float, side: str = "right") -> Array:
        """(3, n): what unit moments M_x, M_y, T work on: the mean rotations."""
        return self._tractions(self.course.part(z, side), z)[:, 3:].T

    def warping(self, z: float, side: str = "right") -> Array:
        """(1, n): the rate of twist that the axial motion shows; its dual is -B."""
        part = self.course.part(z, side)
        return self._once(part, z, ("warping",), _warping)

    def _once(self, part: MemberPart, z: float, key: tuple[object, ...], make: object) -> Array:
        station = z if part.tapered is not None else None
        full = (id(part.straight), station, *key)
        if full not in self._known:
            section = part.shape(z)
            tractions = self._tractions(part, z)
            self._known[full] = np.atleast_2d(make(section, tractions))  # type: ignore[operator]
        return self._known[full]

    def between(self, part: MemberPart, z: Array, place: Where) -> Array:
        """(m, 3, n) rows of a force at stations of a tapered part, in proportion between those of a
        few stations, made exact for the rigid motions between."""
        grid = np.linspace(part.start, part.end, TAPER_CELLS + 1)
        found = []
        for station in z:
            k = min(int(np.searchsorted(grid, station, side="right")) - 1, TAPER_CELLS - 1)
            a, b = float(grid[k]), float(grid[k + 1])
            share = (station - a) / (b - a)
            row = (1 - share) * self.force(a, place) + share * self.force(b, place, "left")
            rigid = part.rigid(float(station))
            point = self.member.locate(place, self.member.section_at(float(station)))
            exact = np.hstack([np.eye(3), arm_moments(point)])
            found.append(row + (exact - row @ rigid) @ np.linalg.pinv(rigid))
        return np.array(found)

    def tractions(self, z: float) -> Array:
        """(n, 6) unit tractions at a station, of the piece before it."""
        return self._tractions(self.course.part(z, "left"), z)

    def _tractions(self, part: MemberPart, z: float) -> Array:
        """(n, 6) unit tractions at a station; see `traction`. In a taper they are those of its two
        ends in proportion, made exact for the rigid motions between."""
        first = self._unit(part.straight)
        if part.taper is None:
            return first
        last = part.taper.last
        share = float(part.taper.share(np.array(z)))
        mixed = (1 - share) * first + share * self._unit(last)
        rigid = (1 - share) * part.straight.rigid + share * last.rigid
        return np.asarray(mixed @ np.linalg.inv(rigid.T @ mixed))

    def _unit(self, section: ReducedSection) -> Array:
        key = (id(section), "tractions")
        if key not in self._known:
            self._known[key] = unit_tractions(section, section.rigid)
        return self._known[key]


def spread(tractions: Array, point: tuple[float, float]) -> Array:
    """(3, n) rows of forces through a point by unit tractions (n, 6)."""
    return np.asarray(tractions[:, :3].T + arm_moments(point) @ tractions[:, 3:].T)


def arm_moments(arm: tuple[float, float]) -> Array:
    """(3, 3): moments M_x, M_y, T of unit forces along x, y, z at an arm (x, y)."""
    x, y = arm
    return np.array([[0.0, 0.0, -y], [0.0, 0.0, x], [y, -x, 0.0]])


def _taken(section: ReducedSection, tractions: Array, points: Array) -> Array:
    """(k, 3, n) what forces at points (k, 2) work on."""
    mesh = section.material
    near = nearest_materials(mesh, points)
    arms = points - near
    off = np.flatnonzero(arms.any(axis=1))
    void = off[enclosed(mesh, points[off])] if off.size else off
    held = np.setdiff1d(np.arange(len(points)), void)
    found = np.empty((len(points), 3, section.size))
    found[held] = section.displacement_rows(near[held])
    for k in np.setdiff1d(off, void):
        found[k] += arm_moments((arms[k, 0], arms[k, 1])) @ tractions[:, 3:].T
    for k in void:
        found[k] = spread(tractions, (points[k, 0], points[k, 1]))
    return found


def _level_rows(section: ReducedSection, level: float) -> Array:
    """Of the material that is nearest to a level: its mean movement across, and its rotation by the
    straight line through how far its points move up; carried on to the level itself."""
    points, weights = level_material(section.material, level)
    rows = section.displacement_rows(points)[:, :2]
    across, turn = np.einsum("kdr,kdn->rn", level_patterns(points, weights), rows)
    return np.stack([across - (level - points[0, 1]) * turn, turn])


def _warping(section: ReducedSection, tractions: Array) -> Array:
    psi = torsional_warping(section, section.rigid)
    axial = section.axial.T @ (section.axial @ psi)
    size = float(axial @ axial)
    return np.asarray(axial / size if size > 0 else axial)
