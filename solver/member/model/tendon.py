"""A prestressing tendon: where it runs in the member, and its force along it.

It runs from point to point, straight or as a parabola that hangs by its sag in the middle. Its
force falls by friction from where it is jacked,

    P = P_0 exp(-mu (theta + k s)),

theta the angle that it has turned through by then, in space and whatever the direction, s the
length, k the unintended angle per length (the form of EN 1992-1-1:2004, 5.10.5.2, from memory).
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

from ....geometry.errors import InputError
from .faces import Height


@dataclass(frozen=True, slots=True)
class TendonPoint:
    """A point that a tendon passes.

    Attributes
    ----------
    at : float
        Along the member.
    x : float
    y : float or Height
        In the section there.
    sag, bow : float
        By how much the run that ends here hangs below (-y) its chord in the middle, and stands
        off it toward +x; 0 for a straight one.
    """

    at: float
    x: float
    y: float | Height
    sag: float = 0.0
    bow: float = 0.0


@dataclass(frozen=True, slots=True)
class Tendon:
    """A tendon.

    Attributes
    ----------
    points : tuple of TendonPoint
        In order along the member; anchored at the first and the last.
    force : float
        Where it is jacked.
    friction : float
        mu.
    wobble : float
        k, unintended angle per length.
    jacked : "start", "end" or "both"
    """

    points: tuple[TendonPoint, ...]
    force: float
    friction: float = 0.0
    wobble: float = 0.0
    jacked: Literal["start", "end", "both"] = "start"
    case: str = "prestress"
    name: str = ""

    def __post_init__(self) -> None:
        object.__setattr__(self, "points", tuple(self.points))
        if len(self.points) < 2:
            raise InputError(f"{self.title}: a tendon has two points at least, its anchors")
        if not 0 < self.force < math.inf:
            raise InputError(f"{self.title}: force must be positive, got {self.force}")
        for word in ("friction", "wobble"):
            value = getattr(self, word)
            if not 0 <= value < math.inf:
                raise InputError(f"{self.title}: {word} must be zero or more, got {value}")
        first = self.points[0]
        if first.sag or first.bow:
            raise InputError(
                f"{self.title}: sag and bow belong to the run that ends at a point; the first "
                "point ends none"
            )
        for before, after in zip(self.points[:-1], self.points[1:], strict=True):
            if not after.at > before.at:
                raise InputError(
                    f"{self.title}: its points follow one another along the member, got "
                    f"{before.at:g} and then {after.at:g}"
                )

    @property
    def title(self) -> str:
        """Name for messages and tables."""
        return self.name or self.case

    @property
    def start(self) -> float:
        """Station of the first anchor."""
        return self.points[0].at

    @property
    def end(self) -> float:
        """Station of the last anchor."""
        return self.points[-1].at
