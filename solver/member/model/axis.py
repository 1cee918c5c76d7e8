"""The line a member follows in plan: straights, circular arcs and clothoids, tangent but for stated
kinks.

Positions along it are arc lengths z from the start. The section's x axis is horizontal and square
to the line. A positive radius has its centre on the +x side, and the frame then turns about +y:
e_x' = -kappa e_z, e_z' = kappa e_x, with kappa = 1 / radius. A kink turns it at once by its angle,
positive toward +x as curvature is.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from typing import Literal

import numpy as np
from numpy.typing import ArrayLike, NDArray

from ....geometry.errors import InputError
from .axis_piece import Arc, Piece, Straight, Transition, heading_and_place

__all__ = ["Arc", "Axis", "Kink", "Straight", "Transition"]

Array = NDArray[np.float64]

#: Stations closer than this share of the axis are one.
_SAME = 1e-9

#: Angles of kinks, in radians: the least that is one, and the largest.
SLIGHTEST, SHARPEST = math.radians(1e-3), math.radians(90.0)


@dataclass(frozen=True, slots=True)
class Kink:
    """A kink at position `at`: the axis turns by `angle` (radians), positive toward +x.

    Both pieces end in the plane that bisects the angle. `warping` is passed on by flanges that run
    through ("continuous"), free on both sides, or held on both sides by a plate there.
    """

    at: float
    angle: float
    warping: Literal["continuous", "free", "held"] = "continuous"
    name: str = ""

    def __post_init__(self) -> None:
        if not SLIGHTEST <= abs(self.angle) < SHARPEST:
            raise InputError(
                f"{self.title}: the angle must lie between 0.001 and 90 degrees, either way, got "
                f"{math.degrees(self.angle):g}"
            )
        if self.warping not in ("continuous", "free", "held"):
            raise InputError(
                f"{self.title}: warping is {self.warping!r}; say 'continuous', 'free' or 'held'"
            )

    @property
    def title(self) -> str:
        """Name for messages."""
        return self.name or f"kink at {self.at:g}"

    @property
    def slant(self) -> float:
        """By how much a line at x = 1 is shorter than the axis: 2 tan(angle / 2)."""
        return 2 * math.tan(self.angle / 2)


@dataclass(frozen=True, slots=True)
class Axis:
    """A chain of pieces, tangent to one another but for kinks.

    Attributes
    ----------
    pieces : tuple of Straight, Arc or Transition
        Those in which a kink lies are cut there.
    closed : bool
        True for a ring whose end is its start; checked.
    kinks : tuple of Kink
        In order.
    """

    pieces: tuple[Piece, ...]
    closed: bool = False
    kinks: tuple[Kink, ...] = ()

    def __post_init__(self) -> None:
        object.__setattr__(self, "pieces", tuple(self.pieces))
        if not self.pieces:
            raise InputError(
                "a member's axis needs one piece at least: Straight(length) or Arc(length, radius)"
            )
        for n, piece in enumerate(self.pieces, 1):
            if not 0 < piece.length < math.inf:
                raise InputError(f"axis piece {n}: length must be positive, got {piece.length}")
        object.__setattr__(self, "kinks", tuple(sorted(self.kinks, key=lambda k: k.at)))
        self._check_kinks()
        object.__setattr__(self, "pieces", _cut(self.pieces, [k.at for k in self.kinks]))
        if self.closed:
            x, z, heading = (float(v[0]) for v in self.plan([self.length]))
            turns = heading / (2 * math.pi)
            gap = math.hypot(x, z)
            if gap > 1e-6 * self.length or abs(turns - round(turns)) > 1e-6 or round(turns) == 0:
                raise InputError(
                    f"the ring does not close: its end misses its start by {gap:.4g} after "
                    f"{turns:.4f} turns; adjust lengths or radii, or drop closed"
                )

    @classmethod
    def straight(cls, length: float) -> Axis:
        """One straight piece."""
        return cls((Straight(length),))

    @classmethod
    def arc(cls, length: float, radius: float) -> Axis:
        """One circular piece."""
        return cls((Arc(length, radius),))

    @classmethod
    def ring(cls, radius: float) -> Axis:
        """A full circle, closed."""
        return cls((Arc(2 * math.pi * abs(radius), radius),), closed=True)

    @property
    def length(self) -> float:
        """Total length along the line."""
        return math.fsum(p.length for p in self.pieces)

    @property
    def breaks(self) -> Array:
        """Positions of the ends of all pieces, start and end of the member included."""
        return np.concatenate([[0.0], np.cumsum([p.length for p in self.pieces])])

    @property
    def curved(self) -> bool:
        """Whether it is not straight: some piece curves, or there is a kink."""
        return bool(self.kinks) or any(p.tightest for p in self.pieces)

    def curvature(self, z: ArrayLike) -> Array:
        """kappa at positions z (n,); at a joint that of the piece that follows."""
        z = np.asarray(z, float)
        breaks = self.breaks
        index = np.clip(np.searchsorted(breaks, z, side="right") - 1, 0, len(self.pieces) - 1)
        first, last = np.array([p.ends for p in self.pieces])[index].T
        share = (z - breaks[index]) / np.diff(breaks)[index]
        return np.asarray(first + (last - first) * np.clip(share, 0.0, 1.0))

    def round(self, z: float) -> float:
        """A station; of a ring one that has gone beyond its end is brought back onto it."""
        again = self.closed and z >= self.length * (1 - _SAME)
        return max(z - self.length, 0.0) if again else z

    def in_arcs(self, count: int) -> Axis:
        """The same axis with `count` arcs of mean curvature in place of each transition: headings
        are kept where they meet, places in second order of the arcs' length."""
        if not any(isinstance(p, Transition) for p in self.pieces):
            return self
        pieces: list[Piece] = []
        for piece in self.pieces:
            pieces += piece.in_arcs(count) if isinstance(piece, Transition) else [piece]
        return replace(self, pieces=tuple(pieces))

    def plan(self, z: ArrayLike) -> tuple[Array, Array, Array]:
        """Plan coordinates (X, Z) and heading at positions z (n,), the start at the origin heading
        along Z.

        The frame there is e_x = (cos h, -sin h) and e_z = (sin h, cos h) in (X, Z); right in a kink
        it is the bisecting one.
        """
        z = np.atleast_1d(np.asarray(z, float))
        breaks = self.breaks
        index = np.clip(np.searchsorted(breaks, z, side="right") - 1, 0, len(self.pieces) - 1)
        x_out, z_out, heading = np.zeros_like(z), np.zeros_like(z), np.zeros_like(z)
        x0 = z0 = h0 = 0.0
        kinks = {self._break(k): k.angle for k in self.kinks}
        for n, piece in enumerate(self.pieces):
            mine = index == n
            step = np.concatenate([z[mine] - breaks[n], [piece.length]])
            turn, across, along = heading_and_place(piece, step)
            sin, cos = math.sin(h0), math.cos(h0)
            x = x0 + across * cos + along * sin
            zz = z0 - across * sin + along * cos
            x_out[mine], z_out[mine], heading[mine] = x[:-1], zz[:-1], h0 + turn[:-1]
            x0, z0 = float(x[-1]), float(zz[-1])
            h0 = float(h0 + turn[-1]) + kinks.get(n + 1, 0.0)
        for number, angle in kinks.items():
            right_there = abs(z - breaks[number]) <= _SAME * self.length
            after = right_there & (index == number)
            heading[right_there] += angle / 2
            heading[after] -= angle
        return x_out, z_out, heading

    def stretch(self, z: ArrayLike) -> Array:
        """(n,) length of the section's x axis as cut at positions z: 1 / cos(angle / 2) in a kink,
        else 1."""
        z = np.atleast_1d(np.asarray(z, float))
        found = np.ones_like(z)
        for kink in self.kinks:
            found[abs(z - kink.at) <= _SAME * self.length] = 1 / math.cos(kink.angle / 2)
        return found

    def _break(self, kink: Kink) -> int:
        """Number of the break at which a kink lies."""
        return int(np.argmin(abs(self.breaks - kink.at)))

    def _check_kinks(self) -> None:
        least = _SAME * self.length
        for n, kink in enumerate(self.kinks):
            if not least < kink.at < self.length - least:
                raise InputError(
                    f"{kink.title}: it is not between the member's ends (0 and {self.length:g})"
                    + ("; let the ring start beside its kinks" if self.closed else "")
                )
            if n and kink.at - self.kinks[n - 1].at <= least:
                raise InputError(f"{kink.title}: another kink lies there; make them one")


def _cut(pieces: Sequence[Piece], stations: Sequence[float]) -> tuple[Piece, ...]:
    """Pieces cut at stations."""
    total = math.fsum(p.length for p in pieces)
    found: list[Piece] = []
    reach = 0.0
    for piece in pieces:
        end = reach + piece.length
        inner = [s for s in stations if reach + _SAME * total < s < end - _SAME * total]
        ends = [reach, *inner, end]
        if inner:
            found += [piece.part(a - reach, b - reach) for a, b in pairwise(ends)]
        else:
            found.append(piece)
        reach = end
    return tuple(found)
