"""The line a member follows in plan: straights and circular arcs, joined without kinks.

Positions along it are arc lengths z from the start. The section's x axis is horizontal and square
to the line. A positive radius has its centre on the +x side, and the frame then turns about +y:
e_x' = -kappa e_z, e_z' = kappa e_x, with kappa = 1 / radius.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from ....geometry.errors import InputError

Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Straight:
    """A straight piece of the given length."""

    length: float

    @property
    def curvature(self) -> float:
        """Zero."""
        return 0.0


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


@dataclass(frozen=True, slots=True)
class Axis:
    """A chain of pieces, tangent to one another.

    Attributes
    ----------
    pieces : tuple of Straight or Arc
    closed : bool
        True for a ring whose end is its start; checked.
    """

    pieces: tuple[Straight | Arc, ...]
    closed: bool = False

    def __post_init__(self) -> None:
        object.__setattr__(self, "pieces", tuple(self.pieces))
        if not self.pieces:
            raise InputError(
                "a member's axis needs one piece at least: Straight(length) or Arc(length, radius)"
            )
        for n, piece in enumerate(self.pieces, 1):
            if not 0 < piece.length < math.inf:
                raise InputError(f"axis piece {n}: length must be positive, got {piece.length}")
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
        """Whether any piece is an arc."""
        return any(p.curvature != 0 for p in self.pieces)

    def curvature(self, z: ArrayLike) -> Array:
        """kappa at positions z (n,); at a joint that of the piece that follows."""
        values = np.array([p.curvature for p in self.pieces])
        index = np.searchsorted(self.breaks, np.asarray(z, float), side="right") - 1
        return values[np.clip(index, 0, len(values) - 1)]

    def plan(self, z: ArrayLike) -> tuple[Array, Array, Array]:
        """Plan coordinates (X, Z) and heading at positions z (n,), the start at the origin heading
        along Z.

        The frame there is e_x = (cos h, -sin h) and e_z = (sin h, cos h) in (X, Z).
        """
        z = np.atleast_1d(np.asarray(z, float))
        index = np.clip(np.searchsorted(self.breaks, z, side="right") - 1, 0, len(self.pieces) - 1)
        x_out, z_out, heading = np.zeros_like(z), np.zeros_like(z), np.zeros_like(z)
        x0 = z0 = h0 = 0.0
        for n, piece in enumerate(self.pieces):
            mine = index == n
            step = np.concatenate([z[mine] - self.breaks[n], [piece.length]])
            turn = step * piece.curvature
            # Chord = step * sin(turn/2)/(turn/2), heading along the mean direction: no 0/0 for a
            # straight piece.
            chord = step * np.sinc(turn / (2 * np.pi))
            x = x0 + chord * np.sin(h0 + turn / 2)
            zz = z0 + chord * np.cos(h0 + turn / 2)
            x_out[mine], z_out[mine], heading[mine] = x[:-1], zz[:-1], h0 + turn[:-1]
            x0, z0, h0 = float(x[-1]), float(zz[-1]), float(h0 + turn[-1])
        return x_out, z_out, heading
