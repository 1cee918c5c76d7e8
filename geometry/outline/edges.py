"""Edges in complex numbers: one formula for straight lines and arcs, with no singular case between
them.

An edge from p to q with bulge b is the image of t in [0, 1] under the Moebius map

    z(t) = ((1 - t) p + t m q) / ((1 - t) + t m),    m = (1 - i b)^2 / (1 + b^2),

(b = 0 gives the straight line), and its carrier, line or circle, is the zero set of

    D(z) = (2 b (|w|^2 - Re(w conj(d))) - (1 - b^2) Im(w conj(d))) / (|d| (1 + b^2)),

with w = z - p and d = q - p, scaled so that D is the distance to first order, positive on the
right. Derivation: three points fix a Moebius map and z(1/2) = (p + q)/2 - i b d/2 is the middle of
the arc; D is the equation of the circle through p, q and that middle. Nothing divides by the bulge,
so nearly straight arcs keep their digits.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]
Ints = NDArray[np.int64]
Bools = NDArray[np.bool_]
Complex = NDArray[np.complex128]


@dataclass(frozen=True, slots=True, eq=False)
class Edges:
    """Edges as complex numbers: ends p and q, chord d and its length c, bulge b, the unit number
    m."""

    p: Complex
    q: Complex
    d: Complex
    c: Array
    b: Array
    m: Complex

    @classmethod
    def of(cls, start: Array, end: Array, bulge: Array) -> Edges:
        """From points (n, 2) and bulges (n,), as a contour has them."""
        p, q = start[:, 0] + 1j * start[:, 1], end[:, 0] + 1j * end[:, 1]
        m = np.asarray((1 - 1j * bulge) ** 2 / (1 + bulge**2), dtype=np.complex128)
        return cls(p, q, q - p, np.abs(q - p), bulge, m)

    def __getitem__(self, index: Ints) -> Edges:
        return Edges(*(getattr(self, word)[index] for word in self.__slots__))

    def lengths(self) -> Array:
        """(n,) lengths along the edges."""
        return self.c / np.sinc(2 * np.arctan(np.abs(self.b)) / np.pi)

    def at(self, t: Array) -> Complex:
        """The point z(t), relative to p so that no digits are lost far from the origin."""
        return self.p + self.m * self.d * t / ((1 - t) + self.m * t)

    def carrier(self, z: Complex) -> Array:
        """D(z)."""
        w = z - self.p
        square = w.real**2 + w.imag**2
        along = w * self.d.conj()
        return (2 * self.b * (square - along.real) - (1 - self.b**2) * along.imag) / (
            self.c * (1 + self.b**2)
        )

    def gradient(self, z: Complex) -> Complex:
        """dD/dx + i dD/dy."""
        b = self.b
        return (2 * b * (2 * (z - self.p) - self.d) - 1j * (1 - b**2) * self.d) / (
            self.c * (1 + b**2)
        )

    def distance(self, z: Complex) -> Array:
        """Signed distance to the carrier: with curvature k, 2 D / (1 + sqrt(1 + 2 k D))."""
        value = self.carrier(z)
        curvature = 4 * self.b / ((1 + self.b**2) * self.c)
        return np.asarray(2 * value / (1 + np.sqrt(np.maximum(1 + 2 * curvature * value, 0.0))))

    def parameter(self, z: Complex) -> Array:
        """t in (0, 1) of a point on, or close to, the edge; -1 beyond its ends.

        w and m (q - z) point the same way on the edge and against each other on the rest of the
        carrier, where their sum may vanish: it must not be divided by there.
        """
        w, v = z - self.p, self.m * (self.q - z)
        onward = (w * v.conj()).real > 0
        whole = np.where(onward, w + v, 1.0)
        t = (w * whole.conj()).real / (whole.real**2 + whole.imag**2)
        return np.where(onward, t, -1.0)

    def fraction(self, t: Array) -> Array:
        """Fraction of the length at t: tan(s a) = t sin a / (1 - t + t cos a), a = half the
        included angle."""
        a = 2 * np.arctan(np.abs(self.b))
        s = np.arctan2(t * np.sin(a), (1 - t) + t * np.cos(a)) / np.where(a > 0, a, 1.0)
        return np.where((a > 0) & (t > 0) & (t < 1), s, t)

    def reach(self, z: Complex, tolerance: float) -> tuple[Bools, Array]:
        """Whether z lies within the tolerance of the edge, and at which t (0 or 1 when at an
        end)."""
        t = self.parameter(z)
        at_p, at_q = np.abs(z - self.p) <= tolerance, np.abs(z - self.q) <= tolerance
        inside = (t > 0) & (t < 1) & (np.abs(self.distance(z)) <= tolerance)
        return at_p | at_q | inside, np.where(at_p, 0.0, np.where(at_q, 1.0, t))
