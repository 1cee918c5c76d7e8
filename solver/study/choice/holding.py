"""What holds the best of some ranges back: the limits that are used up, and the ends of ranges.

At a least value no small change is both better and allowed. Then the slope of what is sought is
balanced by those of the limits that are used up and of the ends of ranges that are reached, each
with a factor that is not negative (W. Karush, thesis, Chicago 1939; H. W. Kuhn and A. W. Tucker,
Proc. 2nd Berkeley Symposium, 1951, 481-492). In logarithms the factor of a limit is by how many per
cent the best becomes better where the limit is eased by one.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from .knowledge import functions_of, rates_of
from .neighbourhood import Place, near
from .surrogate import Array

if TYPE_CHECKING:
    from .fitting import Fit

#: A limit used so far is used up; a share of a range so near to its end is at it.
_USED, _AT_END = 0.995, 1e-3
#: Share of the slope that may stay unbalanced: slopes are known to some per cent.
BALANCED = 0.05
#: A factor below this does not hold anything; a slope below this share of the greatest is none.
_LEAST, _NOTHING = 1e-3, 1e-6


@dataclass(frozen=True, slots=True)
class Holding:
    """What holds a place back.

    Attributes
    ----------
    limits : tuple of (str, float)
        Words of the limits that are used up, and by how many per cent what is sought gets better
        when the limit is eased by one per cent; the dearest first.
    ends : tuple of (str, str)
        Names of ranges that are held at an end, and the word "lower" or "upper".
    unbalanced : float
        Share of the slope that nothing balances: 0 at a least value; infinite where slopes are not
        known, or a limit is exceeded.
    idle : tuple of str
        Names of ranges that change neither what is sought nor the use of any limit.
    """

    limits: tuple[tuple[str, float], ...]
    ends: tuple[tuple[str, str], ...]
    unbalanced: float
    idle: tuple[str, ...] = ()

    @property
    def balanced(self) -> bool:
        """Whether no small change is better, as far as slopes tell."""
        return self.unbalanced < BALANCED


def holding(fit: Fit, place: Place) -> Holding:
    """What holds a place back that a search tried."""
    from scipy.optimize import nnls

    ranges, at = [p.name for p in fit.ranges], np.array(place)
    sides = [(int(k), -1.0) for k in np.flatnonzero(at < _AT_END)]
    sides += [(int(k), 1.0) for k in np.flatnonzero(at > 1 - _AT_END)]
    ends = tuple((ranges[k], "lower" if sign < 0 else "upper") for k, sign in sides)
    sloped = [(k, s) for k, s in fit.slopes.items() if s is not None and near(k, place)]
    idle = tuple(ranges[k] for k in _idle(*rates_of(fit, *sloped[-1]))) if sloped else ()
    unknown = Holding((), ends, math.inf, idle)
    known = functions_of(fit)
    if known is None or not (sloped and known[1].sign and fit.passes(place)):
        return unknown
    used, rows = fit.used(place), known[0].slopes(at)
    sought, rates = rows[0], dict(zip(known[2], rows[1:], strict=False))
    size = float(np.linalg.norm(sought))
    names = [n for n, ratio in used.items() if ratio > _USED and n in rates]
    columns = [rates[n] for n in names] + [sign * np.eye(len(at))[k] for k, sign in sides]
    if not (columns and size > 0):
        return unknown
    factors, rest = nnls(np.column_stack(columns), -sought)
    dear = sorted(zip(names, factors, strict=False), key=lambda pair: -pair[1])
    held = zip(ends, factors[len(names) :], strict=True)
    return Holding(
        tuple((n.split(" ", 1)[1], float(f)) for n, f in dear if f > _LEAST),
        tuple(end for end, factor in held if factor > _LEAST * size),
        float(rest) / size,
        idle,
    )


def _idle(sought: Array, rates: Mapping[str, Array]) -> list[int]:
    """Ranges that change neither what is sought nor the use of any limit, by their derivatives."""
    every = np.abs(np.array([sought, *rates.values()]))
    return [int(k) for k in np.flatnonzero(every.max(axis=0) < _NOTHING * every.max())]
