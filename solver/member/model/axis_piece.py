"""Pieces of a member's axis in plan: straights, circular arcs, and clothoids between them."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ....geometry.errors import InputError

Array = NDArray[np.float64]

#: Points of a part that turns through less than half a radian: rounding is left.
GAUSS = 12

#: Length times largest curvature of a transition.
MOST_TURN = 2 * math.pi


@dataclass(frozen=True, slots=True)
class Straight:
    """A straight piece of the given length."""

    length: float

    @property
    def curvature(self) -> float:
        """Zero."""
        return 0.0

    @property
    def ends(self) -> tuple[float, float]:
        """Curvature at both ends."""
        return (0.0, 0.0)

    @property
    def tightest(self) -> float:
        """Largest curvature, without its sign."""
        return 0.0

    def part(self, start: float, end: float) -> Straight:
        """From one place of it to another."""
        return Straight(end - start)


@dataclass(frozen=True, slots=True)
class Arc:
    """A circular piece: `length` along the line; `radius` positive with its centre on the +x
    side."""

    length: float
    radius: float

    def __post_init__(self) -> None:
        if not (math.isfinite(self.radius) and self.radius != 0):
            raise InputError(
                f"arc radius must be a number other than zero, got {self.radius}; "
                "its sign says on which side of x the centre lies"
            )

    @property
    def curvature(self) -> float:
        """1 / radius, with its sign."""
        return 1.0 / self.radius

    @property
    def ends(self) -> tuple[float, float]:
        """Curvature at both ends."""
        return (self.curvature, self.curvature)

    @property
    def tightest(self) -> float:
        """Largest curvature, without its sign."""
        return abs(self.curvature)

    def part(self, start: float, end: float) -> Arc:
        """From one place of it to another."""
        return Arc(end - start, self.radius)


@dataclass(frozen=True, slots=True)
class Transition:
    """A clothoid: `length` along the line, its curvature linear from `first` to `last`."""

    length: float
    first: float
    last: float

    def __post_init__(self) -> None:
        if not (math.isfinite(self.first) and math.isfinite(self.last)):
            raise InputError(
                f"curvatures of a transition must be numbers, got {self.first} and {self.last}"
            )
        if self.length * self.tightest > MOST_TURN:
            raise InputError(
                f"a transition of length {self.length:g} with a radius of {1 / self.tightest:g} "
                "would wind round more than a full turn; give a larger radius"
            )

    @property
    def curvature(self) -> float:
        """That of its middle, the mean."""
        return (self.first + self.last) / 2

    @property
    def ends(self) -> tuple[float, float]:
        """Curvature at both ends."""
        return (self.first, self.last)

    @property
    def tightest(self) -> float:
        """Largest curvature, without its sign."""
        return max(abs(self.first), abs(self.last))

    def part(self, start: float, end: float) -> Transition:
        """From one place of it to another."""
        rate = (self.last - self.first) / self.length
        return Transition(end - start, self.first + rate * start, self.first + rate * end)

    def in_arcs(self, count: int) -> list[Straight | Arc]:
        """So many arcs of the mean curvature of their part."""
        step = self.length / count
        found: list[Straight | Arc] = []
        for k in range(count):
            kappa = self.part(k * step, (k + 1) * step).curvature
            found.append(Arc(step, 1 / kappa) if kappa else Straight(step))
        return found


Piece = Straight | Arc | Transition


def heading_and_place(piece: Piece, s: Array) -> tuple[Array, Array, Array]:
    """Angle turned through, and place across (toward +x) and along the tangent of the start, at
    distances s (m,) from a piece's start."""
    first, last = piece.ends
    rate = (last - first) / piece.length
    turn = s * (first + rate * s / 2)
    if rate == 0:
        # Chord = s sin(turn/2)/(turn/2), along the mean direction: no 0/0 for a straight piece.
        chord = s * np.sinc(turn / (2 * np.pi))
        return turn, chord * np.sin(turn / 2), chord * np.cos(turn / 2)
    # Fresnel's integrals by Gauss points in parts that turn through less than half a radian.
    parts = max(1, math.ceil(2 * piece.length * piece.tightest))
    x, weight = np.polynomial.legendre.leggauss(GAUSS)
    share = ((np.arange(parts)[:, None] + (1 + x) / 2) / parts).ravel()
    at = s[:, None] * share
    angle = at * (first + rate * at / 2)
    step = s[:, None] * np.tile(weight / (2 * parts), parts)
    return turn, (step * np.sin(angle)).sum(axis=1), (step * np.cos(angle)).sum(axis=1)
