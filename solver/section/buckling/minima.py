"""Minima of the branches, found to 1e-4 of their factor and solved exactly there."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from ..mesh.section_mesh import Array
from .anchors import Interval, split
from .branches import Sample, overlap
from .pencil import Waves

#: Largest relative difference of a minimum from the exact factor at its half-wavelength.
EXACT = 3e-5
#: Relative width to which the half-wavelength of a minimum is found, and rounds of refinement.
_WIDTH, _ROUNDS = 1e-4, 4


@dataclass(frozen=True, slots=True, eq=False)
class LowPoint:
    """A point of the curve: wave number, factor, the wave (count, 3) of unit elastic energy, how
    many modes are lower there, and what the last refinement changed."""

    k: float
    factor: float
    wave: Waves
    below: int
    change: float


class WaveCurve:
    """The intervals of a section, finer wherever a minimum asked for it."""

    def __init__(self, intervals: list[Interval], still: Array) -> None:
        self._intervals, self._still = list(intervals), still

    def sample(self, k: float) -> Sample:
        """The modes at a wave number."""
        interval = self._intervals[self._number(k)]
        return Sample(k, interval, *interval.lowest(k))

    def minimum(self, near: Sample, mode: int, low: float, high: float) -> LowPoint:
        """The minimum of the branch through a mode of a sample, between two wave numbers."""
        from scipy.optimize import minimize_scalar

        k, last, change = near.k, np.inf, np.inf
        for _ in range(_ROUNDS):
            found = minimize_scalar(
                self._along(near, mode),
                bounds=(np.log(low), np.log(high)), method="bounded", options={"xatol": _WIDTH},
            )  # fmt: skip
            k = float(np.exp(found.x))
            sample = self.sample(k)
            mode = _same(near, mode, sample)
            factor = float(sample.factors[mode])
            interval = self._refined(k, sample.wave(mode))
            exact = Sample(k, interval, *interval.lowest(k))
            mode = _same(sample, mode, exact)
            value = float(exact.factors[mode])
            change = max(abs(factor / value - 1), 0.0 if last == np.inf else abs(last / value - 1))
            near, last = exact, value
            if change < EXACT:
                break
        return LowPoint(k, last, near.wave(mode), mode, change)

    def _along(self, near: Sample, mode: int) -> Callable[[float], float]:
        def factor(log: float) -> float:
            sample = self.sample(float(np.exp(log)))
            return float(sample.factors[_same(near, mode, sample)])

        return factor

    def _refined(self, k: float, start: Waves) -> Interval:
        """The interval below k, which is an anchor now."""
        n = self._number(k)
        both = split(self._intervals[n], self._still, k, start[..., None])
        self._intervals[n : n + 1] = both
        return both[0]

    def _number(self, k: float) -> int:
        starts = [interval.low.k for interval in self._intervals]
        return min(max(bisect_right(starts, k) - 1, 0), len(starts) - 1)


def _same(near: Sample, mode: int, sample: Sample) -> int:
    """The mode of a sample that is most like one of another."""
    one = Sample(near.k, near.interval, near.factors[[mode]], near.coefficients[:, [mode]])
    return int(overlap(one, sample)[0].argmax())
