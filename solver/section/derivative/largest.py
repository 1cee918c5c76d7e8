"""How fast a largest value changes, of which several places may have nearly as much.

Where it is smooth it is stationary at its place, so that its derivative is that of the value there
(Danskin's theorem; Danskin, SIAM J. Appl. Math. 14 (1966) 641). Where several places are equally
high, the derivative to a growing number is the largest of theirs, and to a falling one the least.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Generic, Protocol, TypeVar

from .difference import derivative, plain_difference

#: Peaks within this share of the highest are told beside it; within the other they are as high.
NEAR, EQUAL = 0.01, 1e-9
#: A peak that takes over after a smaller relative change of a number is told.
SOON = 0.05
#: Derivatives nearer than this share are one.
ROUNDING = 1e-6


class Valued(Protocol):
    """A place with its value."""

    @property
    def value(self) -> float:
        """How high it is."""


P = TypeVar("P", bound=Valued)


@dataclass(frozen=True, slots=True)
class PeakRate(Generic[P]):
    """A peak and its derivative, and how far that may be off."""

    peak: P
    rate: float
    doubt: float = 0.0

    @classmethod
    def of(cls, peak: P, values: Sequence[float], step: float) -> PeakRate[P]:
        """From its values at the steps of a number; in doubt by what differences leave."""
        rate = float(derivative(values, step))
        return cls(peak, rate, abs(float(plain_difference(values, step)) - rate))


@dataclass(frozen=True, slots=True)
class Rates(Generic[P]):
    """The derivative of a largest value.

    Attributes
    ----------
    each : tuple of PeakRate
        The highest peak first, then those near it.
    equal : float
        Peaks within this share of the highest count as equally high.
    """

    each: tuple[PeakRate[P], ...]
    equal: float = EQUAL

    @property
    def highest(self) -> tuple[PeakRate[P], ...]:
        """Those that are equally high."""
        top = self.each[0].peak.value
        return tuple(one for one in self.each if one.peak.value >= top - self.equal * abs(top))

    @property
    def rises(self) -> float:
        """The derivative to a growing number; another than `falls` where several are highest."""
        return max(one.rate for one in self.highest)

    @property
    def falls(self) -> float:
        """The derivative to a falling number."""
        return min(one.rate for one in self.highest)

    @property
    def smooth(self) -> bool:
        """Whether both are one, as far as their doubts tell."""
        rounding = ROUNDING * max(abs(self.rises), abs(self.falls))
        return self.rises - self.falls <= max(rounding, 2 * self.each_doubt)

    @property
    def each_doubt(self) -> float:
        """How far the derivative at one of the highest places may be off."""
        return max(one.doubt for one in self.highest)

    @property
    def rate(self) -> float:
        """The derivative, to a growing number where there are two."""
        return self.each[0].rate if self.smooth else self.rises

    @property
    def doubt(self) -> float:
        """How far it may be off; that to a falling number is within it too."""
        spread = 0.0 if self.smooth else self.rises - self.falls
        return self.each_doubt + spread

    def taken_over(self) -> tuple[PeakRate[P], float] | None:
        """The peak that is the highest after the least change of the number, and that change;
        None where none of those near takes over."""
        found = []
        for one in self.each[1:]:
            change = self.change_to(one)
            if change is not None:
                found.append((one, change))
        return min(found, key=lambda pair: abs(pair[1]), default=None)

    def change_to(self, one: PeakRate[P]) -> float | None:
        """The change of the number after which a peak is as high as the highest, to first order;
        None where it is so already, or never."""
        top = self.each[0]
        gap, faster = top.peak.value - one.peak.value, one.rate - top.rate
        if gap <= self.equal * abs(top.peak.value) or abs(faster) <= 1e-12 * abs(top.rate):
            return None
        return gap / faster
