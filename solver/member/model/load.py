"""Loads: forces at points of the section, torques and moments, self-weight; cases and combinations.

Force components are those of the member's frame at the station: x across, y up, z along. A force at
a point of the section twists the member by its moment about the shear centre there: m = (x - x_s)
F_y - (y - y_s) F_x.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal

from ....geometry.errors import InputError
from .faces import Face
from .wind import WindPressure

Vector = tuple[float, float, float]


@dataclass(frozen=True, slots=True)
class Place:
    """A point of the section: `dx`, `dy` from "shear_centre", "centroid", "origin", a point the
    member names, or a face of the section."""

    origin: str | Face = "shear_centre"
    dx: float = 0.0
    dy: float = 0.0


Where = tuple[float, float] | Place
"""A point in the section's own axes, or a `Place`."""


@dataclass(frozen=True, slots=True)
class PointLoad:
    """Force and moments at one station.

    `force` (F_x, F_y, F_z) acts at `place`; `moment` (M_x, M_y, T) and `bimoment` are applied
    besides. `of` names the secondary beam whose end shear it is, `as_mass` is the share of its
    weight (-F_y) that vibrates with the member, `placed` whether it travels and stands there for
    one combination alone: elements are not refined for it.
    """

    at: float
    force: Vector = (0.0, 0.0, 0.0)
    place: Where = Place()
    moment: Vector = (0.0, 0.0, 0.0)
    bimoment: float = 0.0
    case: str = "load"
    name: str = ""
    of: str = ""
    as_mass: float = 0.0
    placed: bool = False

    def __post_init__(self) -> None:
        _check_numbers(self.title, (self.at, *self.force, *self.moment, self.bimoment))
        _check_share(self.title, self.as_mass, (self.force,))

    @property
    def title(self) -> str:
        """Name for messages and tables."""
        return self.name or f"point load at {self.at:g}"


@dataclass(frozen=True, slots=True)
class LineLoad:
    """Force and torque per length from `start` to `end`, uniform or linear.

    Attributes
    ----------
    force, force_end : (q_x, q_y, q_z)
        Force per length at start and at end (same as at start if not given), acting at `place`.
    torque, torque_end : float
        Torque per length applied besides.
    measured_along : "axis" or "line"
        Whether the intensity counts per length of the member's axis, or per length of the load's
        own line, which in a curve is longer outside and shorter inside by 1 - kappa x.
    as_mass : float
        Share of its weight (-q_y) that vibrates with the member.
    placed : bool
        Whether it comes and goes and stands there for one combination alone.
    wind : WindPressure, optional
        What it comes from, where another section would show another depth.
    """

    start: float
    end: float
    force: Vector = (0.0, 0.0, 0.0)
    force_end: Vector | None = None
    place: Where = Place()
    torque: float = 0.0
    torque_end: float | None = None
    measured_along: Literal["axis", "line"] = "axis"
    case: str = "load"
    name: str = ""
    as_mass: float = 0.0
    placed: bool = False
    wind: WindPressure | None = None

    def __post_init__(self) -> None:
        _check_share(self.title, self.as_mass, (self.force, self.force_end or self.force))
        numbers = (self.start, self.end, *self.force, *(self.force_end or ()), self.torque)
        _check_numbers(self.title, (*numbers, self.torque_end or 0.0))
        if not self.start < self.end:
            raise InputError(
                f"{self.title}: start must lie before end, got {self.start:g} and {self.end:g}"
            )
        if self.measured_along not in ("axis", "line"):
            raise InputError(
                f"{self.title}: measured_along is {self.measured_along!r}; say 'axis' or 'line'"
            )

    @property
    def title(self) -> str:
        """Name for messages and tables."""
        return self.name or f"line load from {self.start:g} to {self.end:g}"


@dataclass(frozen=True, slots=True)
class SelfWeight:
    """Weight of the member itself, mass per length times `gravity` downward (-y), through the
    centre of mass (the centroid where the material is one).

    In a curve the line of these centres is longer or shorter than the axis (1 - kappa x_m). With
    `wedge` the weight also moves outward as the outer fibres are longer, by kappa times int rho
    (x - x_m)^2 dA / m: a wide deck's own weight then twists it.
    """

    gravity: float
    wedge: bool = False
    case: str = "self-weight"
    name: str = "self-weight"

    def __post_init__(self) -> None:
        _check_numbers(self.name, (self.gravity,))

    @property
    def title(self) -> str:
        """Name for messages and tables."""
        return self.name


Load = PointLoad | LineLoad | SelfWeight


@dataclass(frozen=True, slots=True)
class Combination:
    """Load cases added with factors."""

    name: str
    factors: Mapping[str, float] = field(default_factory=dict)

    def __post_init__(self) -> None:
        object.__setattr__(self, "factors", dict(self.factors))
        _check_numbers(f"combination {self.name!r}", tuple(self.factors.values()))


def _check_share(title: str, share: float, forces: tuple[Vector, ...]) -> None:
    """A load that is mass has a weight, which acts downward."""
    if not 0 <= share <= 1:
        raise InputError(
            f"{title}: as_mass is the share of the load's weight that vibrates with the member, "
            f"from 0 to 1, like 0.3, got {share:g}; give mass beyond its weight as [[mass]]"
        )
    if share and (any(f[1] > 0 for f in forces) or not any(f[1] < 0 for f in forces)):
        raise InputError(
            f"{title}: as_mass takes the mass from the load's weight, and this load does not act "
            "downward; drop as_mass or give a weight"
        )


def _check_numbers(title: str, values: tuple[float, ...]) -> None:
    for value in values:
        if not math.isfinite(value):
            raise InputError(f"{title}: every figure must be a finite number, got {value}")
