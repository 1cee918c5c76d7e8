"""Moving loads: vehicles on axles, crowds on strips of the deck, and the lanes that hold both."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

from ....geometry.errors import InputError
from .load import Place, Where

#: Lanes of one deck: all ways of filling them are tried.
MOST_LANES = 8


@dataclass(frozen=True, slots=True)
class Axle:
    """Force, downward, so far behind the first axle."""

    behind: float
    force: float


@dataclass(frozen=True, slots=True)
class Lane:
    """A strip of the deck in which one vehicle at most stands."""

    name: str
    place: Where
    width: float

    def __post_init__(self) -> None:
        if not self.name:
            raise InputError("a lane needs a name")
        if not 0 < self.width < math.inf:
            raise InputError(f"{self.name}: a lane's width is positive, got {self.width:g}")


@dataclass(frozen=True, slots=True)
class Vehicle:
    """A train of axles whose middle travels on one of its lines, or one in each of its lanes.

    Attributes
    ----------
    axles : tuple of Axle
    lines : tuple of Where
        Points of the section; it takes any one of them. Of its lanes, where it has some.
    track : float
        Between the two wheels of an axle; zero for one wheel in the middle.
    factor : float
        Dynamic factor on all forces.
    both_ways : bool
        Whether it may travel toward the start too.
    lanes : tuple of str
        Names of the lanes of `lines`, or none: then one vehicle takes the best line.
    at_once : int
        Lanes that hold one at the same time, at most; 0: all.
    clear : float or None
        Length of its lane before its first and behind its last axle on which no crowd stands; None
        keeps the crowd off the whole lane.
    source : str
        The standard it is taken from.
    """

    name: str
    axles: tuple[Axle, ...]
    lines: tuple[Where, ...]
    track: float = 0.0
    factor: float = 1.0
    both_ways: bool = True
    lanes: tuple[str, ...] = ()
    at_once: int = 0
    clear: float | None = None
    source: str = ""

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
        if self.lanes and len(self.lanes) != len(self.lines):
            raise InputError(f"{self.name}: give one line for each lane")
        if self.at_once < 0 or (self.at_once and not self.lanes):
            raise InputError(f"{self.name}: at_once counts lanes, from 1 on, and needs lanes")
        if self.clear is not None and not (0 <= self.clear < math.inf and self.lanes):
            raise InputError(f"{self.name}: keeps_clear is not negative, and needs lanes")

    def wheels(self, line: int) -> tuple[Where, ...]:
        """Places of an axle's wheels, which share its force equally."""
        place = self.lines[line]
        if not self.track:
            return (place,)
        return shifted(place, -self.track / 2), shifted(place, self.track / 2)


@dataclass(frozen=True, slots=True)
class Crowd:
    """Pressure on any part of strips (middle, width) along the member.

    `lanes` names the lane of each strip, "" for one beside all lanes; `source` the standard.
    """

    name: str
    pressure: float
    strips: tuple[tuple[Where, float], ...]
    lanes: tuple[str, ...] = ()
    source: str = ""

    def __post_init__(self) -> None:
        if not 0 < self.pressure < math.inf:
            raise InputError(f"{self.name}: pressure is positive, got {self.pressure:g}")
        if not self.strips or not all(0 < width < math.inf for _, width in self.strips):
            raise InputError(f"{self.name}: a crowd needs strips, each of a positive width")
        if not self.lanes:
            object.__setattr__(self, "lanes", ("",) * len(self.strips))


def check_moving(
    vehicles: Sequence[Vehicle],
    crowds: Sequence[Crowd],
    lanes: Sequence[Lane],
    cases: Sequence[str] = (),
) -> None:
    """Names of moving loads and lanes, once all are known.

    Raises
    ------
    InputError
        Two of one name; a moving load named as a load case; too many lanes.
    """
    names = [*(v.name for v in vehicles), *(c.name for c in crowds)]
    for name in names:
        if names.count(name) > 1:
            raise InputError(f"two moving loads are named {name!r}; rename one")
        if name in cases or any(case.startswith(f"{name}, ") for case in cases):
            raise InputError(
                f"{name!r} is a load case and a moving load too; combinations could not tell them "
                "apart: rename one"
            )
    titles = [lane.name for lane in lanes]
    for title in titles:
        if titles.count(title) > 1:
            raise InputError(f"two lanes are named {title!r}; rename one")
    if len(lanes) > MOST_LANES:
        raise InputError(f"{len(lanes)} lanes; {MOST_LANES} are the most")


def shifted(place: Where, dx: float) -> Where:
    """A place moved across."""
    if isinstance(place, Place):
        return replace(place, dx=place.dx + dx)
    return (place[0] + dx, place[1])
