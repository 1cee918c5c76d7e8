"""The curve of the load factor against half-wavelength, branch by branch.

Factors sorted by size at each half-wavelength exchange their modes where branches cross. Each mode
is followed by its shape instead: from one half-wavelength to the next, a tenth away, the pairs of
modes of largest overlap belong together, (int x . y dA)^2 over both mean squares. Where the overlap
is below a half the branch ends, and a new one begins.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np

from ..mesh.section_mesh import Array
from .anchors import Interval
from .pencil import Waves

#: Half-wavelengths a decade, and the least number.
_DECADE, _LEAST = 24, 40
#: Overlap of shapes from which modes are the same.
_ALIKE = 0.5
#: Least relative rise on either side of a minimum.
_DEEP = 1e-3


@dataclass(frozen=True, slots=True, eq=False)
class Sample:
    """The modes at one wave number: factors (m,) and their coefficients in an interval's basis."""

    k: float
    interval: Interval
    factors: Array
    coefficients: Waves

    def wave(self, mode: int) -> Waves:
        """(count, 3) of one mode, of unit elastic energy."""
        return self.interval.waves(self.coefficients[:, mode : mode + 1])[..., 0]


@dataclass(slots=True, eq=False)
class Branch:
    """One mode from sample to sample: their numbers, which are in a row, and which mode of each."""

    samples: list[int] = field(default_factory=list)
    modes: list[int] = field(default_factory=list)

    def minima(self, samples: Sequence[Sample]) -> list[int]:
        """Places in `samples` and `modes` of the branch's minima between its ends."""
        # where two intervals meet the same half-wavelength stands twice
        own = [
            n
            for n, s in enumerate(self.samples)
            if not n or samples[s].k > samples[self.samples[n - 1]].k
        ]
        value = np.array([samples[self.samples[n]].factors[self.modes[n]] for n in own])
        return [own[n] for n in _valleys(value)]


def _valleys(value: Array) -> list[int]:
    """Minima between the ends, from both sides of which the values rise by `_DEEP` before they fall
    below it: shallower ones are errors of the curve."""
    out = []
    for n in range(1, len(value) - 1):
        if not (value[n] < value[n - 1] and value[n] <= value[n + 1]):
            continue
        rises = []
        for side in (value[n - 1 :: -1], value[n + 1 :]):
            lower = np.flatnonzero(side < value[n])
            rises.append(side[: lower[0] if lower.size else None].max(initial=value[n]))
        if min(rises) > (1 + _DEEP) * value[n]:
            out.append(n)
    return out


def samples_of(intervals: Sequence[Interval]) -> list[Sample]:
    """Modes at many wave numbers, rising; the ends of intervals stand twice, in either basis."""
    low, high = intervals[0].low.k, intervals[-1].high.k
    count = max(_LEAST, int(np.ceil(_DECADE * np.log10(high / low))))
    step = np.log(high / low) / count
    out = []
    for interval in intervals:
        a, b = interval.low.k, interval.high.k
        parts = max(2, int(np.ceil(np.log(b / a) / step)))
        for k in np.geomspace(a, b, parts + 1):
            out.append(Sample(float(k), interval, *interval.lowest(float(k))))
    return out


def overlap(one: Sample, other: Sample) -> Array:
    """(m, n) of the modes of two samples."""
    x, y = one.coefficients, other.coefficients
    if one.interval is other.interval:
        area = one.interval.products.area
        cross = x.conj().T @ area @ y
    else:
        pencil = one.interval.pencil
        cross = pencil.alike(one.interval.waves(x), other.interval.waves(y))
    size = [
        np.einsum("nm,nr,rm->m", s.coefficients.conj(), s.interval.products.area, s.coefficients)
        for s in (one, other)
    ]
    return np.asarray(np.abs(cross) ** 2 / (size[0].real[:, None] * size[1].real))


def branches_of(samples: Sequence[Sample]) -> list[Branch]:
    """Modes followed along the samples, the one that starts lowest first."""
    from scipy.optimize import linear_sum_assignment

    done: list[Branch] = []
    running = {m: Branch([0], [m]) for m in range(len(samples[0].factors))}
    for n in range(1, len(samples)):
        alike = overlap(samples[n - 1], samples[n])
        following = {}
        for one, other in zip(*linear_sum_assignment(-alike), strict=True):
            if one in running and alike[one, other] >= _ALIKE:
                branch = running.pop(one)
                branch.samples.append(n)
                branch.modes.append(int(other))
                following[int(other)] = branch
        done += running.values()
        for m in range(len(samples[n].factors)):
            following.setdefault(m, Branch([n], [m]))
        running = following
    return done + list(running.values())
