"""Diaphragms: what holds the shape of the section at a station, inside the member.

A rigid one lets the section move in its own plane as a rigid body only. A plate resists by its own
shear and direct stiffness, a frame by bars between points of the section. None of them holds
warping or gives support.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from ....geometry.errors import InputError

Point = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Bar:
    """A bar of a cross-frame from one point of the section to another, hinged at both."""

    start: Point
    end: Point
    area: float
    elastic_modulus: float

    def __post_init__(self) -> None:
        for word, value in (("area", self.area), ("E", self.elastic_modulus)):
            if not 0 < value < math.inf:
                raise InputError(
                    f"bar from {_shown(self.start)}: {word} must be positive, got {value}"
                )
        if not self.length > 0:
            raise InputError(f"bar from {_shown(self.start)} ends where it starts")

    @property
    def length(self) -> float:
        """Distance of its ends."""
        return math.dist(self.start, self.end)


@dataclass(frozen=True, slots=True)
class DiaphragmPlate:
    """A plate that fills the cell, welded all round, with an opening (width, height) at the middle
    of the cell if there is one."""

    thickness: float
    elastic_modulus: float
    poisson_ratio: float
    opening: Point | None = None

    def __post_init__(self) -> None:
        for word, value in (("thickness", self.thickness), ("E", self.elastic_modulus)):
            if not 0 < value < math.inf:
                raise InputError(f"diaphragm plate: {word} must be positive, got {value}")
        if not 0 <= self.poisson_ratio < 0.5:
            raise InputError(
                f"diaphragm plate: Poisson's ratio lies between 0 and 0.5, got {self.poisson_ratio}"
            )
        if self.opening is not None and not min(self.opening) > 0:
            raise InputError(f"diaphragm plate: the opening is (width, height), got {self.opening}")


@dataclass(frozen=True, slots=True)
class Diaphragm:
    """A diaphragm at a station: rigid without `plate` or `bars`.

    Only vibration asks for its `mass`; left out, it follows from the plate or the bars and their
    `density`, which is that of the section's reference material where it is left out too.
    """

    at: float
    plate: DiaphragmPlate | None = None
    bars: tuple[Bar, ...] = ()
    name: str = ""
    mass: float | None = None
    density: float | None = None

    def __post_init__(self) -> None:
        object.__setattr__(self, "bars", tuple(self.bars))
        if not math.isfinite(self.at):
            raise InputError(f"diaphragm: its station must be a number, got {self.at}")
        if self.plate is not None and self.bars:
            raise InputError(f"{self.title}: give either a plate or bars, not both")
        for word in ("mass", "density"):
            value = getattr(self, word)
            if value is not None and not 0 <= value < math.inf:
                raise InputError(f"{self.title}: {word} must be zero or positive, got {value}")

    @property
    def rigid(self) -> bool:
        """Whether it holds the in-plane shape fully."""
        return self.plate is None and not self.bars

    @property
    def title(self) -> str:
        """Name for messages and tables."""
        return self.name or f"diaphragm at {self.at:g}"


def _shown(point: Point) -> str:
    return f"({point[0]:g}, {point[1]:g})"
