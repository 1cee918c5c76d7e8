"""Moving loads: vehicles on axles, and crowds on strips of the deck."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

from ....geometry.errors import InputError
from .load import Place, Where


@dataclass(frozen=True, slots=True)
class Axle:
    """Force, downward, so far behind the first axle."""

    behind: float
    force: float


@dataclass(frozen=True, slots=True)
class Vehicle:
    """A train of axles whose middle travels on one of its lines.

    Attributes
    ----------
    axles : tuple of Axle
    lines : tuple of Where
        Points of the section; it takes any one of them.
    track : float
        Between the two wheels of an axle; zero for one wheel in the middle.
    factor : float
        Dynamic factor on all forces.
    both_ways : bool
        Whether it may travel toward the start too.
    """

    name: str
    axles: tuple[Axle, ...]
    lines: tuple[Where, ...]
    track: float = 0.0
    factor: float = 1.0
    both_ways: bool = True

    def __post_init__(self) -> None:
        if not self.axles:
            raise InputError(f"{self.name}: a vehicle needs one axle at least")
        if not self.lines:
            raise InputError(f"{self.name}: a vehicle needs one line at least")
        for axle in self.axles:
            if not 0 < axle.force < math.inf:
                raise InputError(f"{self.name}: an axle's force is positive, got {axle.force:g}")
            if not 0 <= axle.behind < math.inf:
                raise InputError(
                    f"{self.name}: axles stand at or behind the first one, got {axle.behind:g}"
                )
        if not 0 <= self.track < math.inf or not 0 < self.factor < math.inf:
            raise InputError(f"{self.name}: track is not negative, dynamic_factor is positive")

    def wheels(self, line: int) -> tuple[Where, ...]:
        """Places of an axle's wheels, which share its force equally."""
        place = self.lines[line]
        if not self.track:
            return (place,)
        return shifted(place, -self.track / 2), shifted(place, self.track / 2)


@dataclass(frozen=True, slots=True)
class Crowd:
    """Pressure on any part of strips (middle, width) along the member."""

    name: str
    pressure: float
    strips: tuple[tuple[Where, float], ...]

    def __post_init__(self) -> None:
        if not 0 < self.pressure < math.inf:
            raise InputError(f"{self.name}: pressure is positive, got {self.pressure:g}")
        if not self.strips or not all(0 < width < math.inf for _, width in self.strips):
            raise InputError(f"{self.name}: a crowd needs strips, each of a positive width")


def shifted(place: Where, dx: float) -> Where:
    """A place moved across."""
    if isinstance(place, Place):
        return replace(place, dx=place.dx + dx)
    return (place[0] + dx, place[1])
