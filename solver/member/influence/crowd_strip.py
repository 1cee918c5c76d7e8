"""A crowd on one strip of the deck: where a result's influence line has one sign, and what that
makes of every result."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from ..model.load import Where
from ..model.member import Member
from .analysis import Influence
from .line_ordinates import across
from .ordinates import ordinates_on

Array = NDArray[np.float64]
Index = NDArray[np.intp]
Part = tuple[float, float]

#: Distance from a node at which its two sides are seen, as a share of the length.
BESIDE = 1e-8
#: Gauss points of each interval between stations.
GAUSS = 4


def own_length(member: Member, place: Where, z: Array) -> Array:
    """Length (m,) along a line of the section from the start to stations z (m,) in order."""
    x = across(member, place, z)
    middle = (z[1:] + z[:-1]) / 2
    # Trapezium of x, the curvature of the middle: exact for arcs whose ends are stations.
    arm = (x[1:] + x[:-1]) / 2 - member.line[0]
    per = 1 - member.axis.curvature(middle) * arm
    return np.concatenate([[0.0], np.cumsum(np.diff(z) * per)])


class CrowdStrip:
    """A load per area on a strip, whose influence is that of its middle."""

    def __init__(self, found: Influence, place: Where, force: float) -> None:
        """`force` is per length of the strip's own middle line."""
        self.place = place
        self.line = found.field.on(place)
        inner = np.flatnonzero(~found.last[:-1])
        self.start, self.end = found.z[inner], found.z[inner + 1]
        self.length = float(found.z[-1])
        per = np.diff(own_length(found.member, place, found.z))[inner]
        #: Force per length of the axis in each interval.
        self.force = force * per / (self.end - self.start)
        x, w = np.polynomial.legendre.leggauss(GAUSS)
        self._x, self._w = x, w / 2
        step = self.end - self.start
        z = (self.start + self.end)[:, None] / 2 + step[:, None] / 2 * x
        values = self.line.at(z.ravel()).reshape(len(z), GAUSS, -1)
        self.whole = np.einsum("g,mgc->mc", self._w, values) * (self.force * step)[:, None]
        table = ordinates_on(found.field, place, found.z, found.last)
        self.first, self.last = table[inner], table[inner + 1]
        # At a kink the strip is shorter or longer by its mitre, see `mitre`.
        kinks = found.member.axis.kinks
        self.kinks = np.array([kink.at for kink in kinks])
        arm = across(found.member, place, self.kinks) - found.member.line[0]
        self.mitred = -force * np.array([kink.slant for kink in kinks]) * arm
        if len(kinks):
            sides = [self.line.at(self.kinks, side) for side in ("left", "right")]
            self.at_kinks = np.mean(sides, axis=0)

    def worst(self, result: int, sign: float) -> tuple[Part, ...]:
        """Parts on which sign times the line of a result is positive."""
        a, b = self._covered(result, sign)
        step = self.end - self.start
        return self._joined(self.start + step * a, self.start + step * b)

    def together(self, parts: Sequence[Part]) -> Array:
        """(c,) all results of the load on these parts."""
        found = np.zeros(self.whole.shape[1])
        for start, end in parts:
            low, high = np.maximum(self.start, start), np.minimum(self.end, end)
            over = (self.kinks > start) & (self.kinks < end)
            if over.any():
                found += self.mitred[over] @ self.at_kinks[over]
            share = np.clip((high - low) / (self.end - self.start), 0.0, 1.0)
            full = share >= 1 - 1e-12
            found += self.whole[full].sum(axis=0)
            for i in np.flatnonzero(~full & (share > 0)):
                z = (low[i] + high[i]) / 2 + (high[i] - low[i]) / 2 * self._x
                found += self.force[i] * (high[i] - low[i]) * self._w @ self.line.at(z)
        return found

    def positive(self) -> Array:
        """(2, m + 1, c) about: what the worst parts up to each station make of each result, for
        maximum and minimum; stations are `start` and the end."""
        found = []
        for sign in (1.0, -1.0):
            a, b = self.first * sign, self.last * sign
            both = np.where((a > 0) & (b > 0), self.whole * sign, 0.0)
            step = (self.force * (self.end - self.start))[:, None]
            with np.errstate(divide="ignore", invalid="ignore"):
                triangle = np.where(a * b < 0, np.maximum(a, b) ** 2 / abs(a - b) / 2, 0.0)
            found.append(np.cumsum(np.vstack([0 * both[:1], both + triangle * step]), axis=0))
        return np.array(found)

    def _covered(self, result: int, sign: float) -> tuple[Array, Array]:
        """Start and end of the positive share of each interval, equal where there is none. A zero
        misplaced by d costs the order of d squared."""
        first, last = sign * self.first[:, result], sign * self.last[:, result]
        with np.errstate(divide="ignore", invalid="ignore"):
            zero = np.where(first != last, first / (first - last), 0.0)
        start = np.where(first >= 0, 0.0, np.where(last > 0, zero, 0.0))
        end = np.where(last >= 0, 1.0, np.where(first > 0, zero, 0.0))
        none = (first <= 0) & (last <= 0)
        return np.where(none, 0.0, start), np.where(none, 0.0, end)

    def _joined(self, start: Array, end: Array) -> tuple[Part, ...]:
        """Neighbouring parts made one."""
        found: list[Part] = []
        least = BESIDE * self.length
        for a, b in zip(start.tolist(), end.tolist(), strict=True):
            if b - a <= least:
                continue
            if found and abs(found[-1][1] - a) <= least:
                found[-1] = (found[-1][0], b)
            else:
                found.append((a, b))
        return tuple(found)


def without(parts: Sequence[Part], start: float, end: float) -> tuple[Part, ...]:
    """What of some parts lies outside an interval."""
    found: list[Part] = []
    for a, b in parts:
        found += [(low, high) for low, high in ((a, min(b, start)), (max(a, end), b)) if high > low]
    return tuple(found)
