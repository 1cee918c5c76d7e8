"""What a member carries that vibrates with it, in one list: loads marked as mass, and masses."""

from __future__ import annotations

import math
from dataclasses import dataclass

from ....geometry.errors import InputError
from ....geometry.units import Units
from ..model.load import LineLoad, PointLoad, SelfWeight, Vector, Where
from ..model.member import Member


@dataclass(frozen=True, slots=True)
class CarriedLine:
    """Mass per length from `start` to `end`, linear between, at a place of the section."""

    start: float
    end: float
    first: float
    last: float
    place: Where
    own_line: bool
    title: str

    def at(self, z: float) -> float:
        """Mass per length at a station."""
        share = (z - self.start) / (self.end - self.start)
        return (1 - share) * self.first + share * self.last


@dataclass(frozen=True, slots=True)
class CarriedPoint:
    """A mass at a station, and its rotary inertia about z."""

    at: float
    mass: float
    rotary: float
    place: Where
    title: str


@dataclass(frozen=True, slots=True)
class Carried:
    """All of them.

    Attributes
    ----------
    own : float
        Factor on the mass of the sections.
    lines, points : tuples
    left_out : tuple of str
        Loads that weigh on the member and are not marked as mass.
    """

    own: float
    lines: tuple[CarriedLine, ...]
    points: tuple[CarriedPoint, ...]
    left_out: tuple[str, ...]


def carried_by(member: Member, units: Units) -> Carried:
    """Masses of a member in the mass unit of its densities.

    Raises
    ------
    InputError
        A load whose mass is not a number.
    """
    per_mass = units.gravity
    own = 1.0
    lines, points, left_out = [], [], []
    for load in member.loads:
        if isinstance(load, SelfWeight):
            own = load.gravity / per_mass
            if not own > 0:
                raise InputError(
                    f"{load.title}: the mass of the sections follows from their weight, and its "
                    f"factor is {own:g}; give a positive one"
                )
            continue
        down = load.force[1] < 0 or (
            isinstance(load, LineLoad) and (load.force_end or (0, 0))[1] < 0
        )
        if not load.as_mass:
            if down:
                left_out.append(load.title)
            continue
        share = load.as_mass / per_mass
        if isinstance(load, PointLoad):
            points.append(
                CarriedPoint(
                    load.at, share * _weight(member, load.force), 0.0, load.place, load.title
                )
            )
            continue
        last = load.force if load.force_end is None else load.force_end
        lines.append(
            CarriedLine(
                load.start, load.end, share * _weight(member, load.force),
                share * _weight(member, last), load.place,
                load.measured_along == "line", load.title,
            )
        )  # fmt: skip
    for mass in member.masses:
        points.append(CarriedPoint(mass.at, mass.mass, mass.rotary_inertia, mass.place, mass.title))
    return Carried(own, tuple(lines), tuple(points), tuple(dict.fromkeys(left_out)))


def _weight(member: Member, force: Vector) -> float:
    """How much of a force acts downward, plumb."""
    return math.fsum(a * b for a, b in zip(member.pitch.down, force, strict=True))
