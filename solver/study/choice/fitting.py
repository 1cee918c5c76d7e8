"""Dimensions of a section that make it as light as its member's limits allow.

Ranges are searched by scipy's SLSQP in logarithms of weight and of how far limits are used, where a
section's laws are nearly straight lines; gradients are differences over a hundredth of each range,
far above the rounding of a solution. Every point that was tried is remembered, and the answer is
the lightest one of them that keeps every limit in full, closed in on by bisection; so it is never
an extrapolation. SLSQP finds one valley: it starts from several points, but a section whose weight
has several valleys may need narrower ranges.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from ....geometry.errors import SoapfilmError
from ..file.parameter import Parameter, Value
from ..file.section_base import SectionBase
from .section_candidate import Shaped
from .trial import Setting, Trial, attempt

Array = NDArray[np.float64]

#: Shares of a range: step of differences, and where starts lie in every range.
_STEP = 0.01
_STARTS = (0.5, 0.85)
_ROUNDS, _HALVINGS, _TOWARD = 10, 8, 2
#: Change of the logarithm of weight that ends a search.
_TOLERANCE = 1e-4
#: What stands for the use of a limit where there is no answer: far off, but no infinity.
_HOPELESS = 4.0


@dataclass(slots=True)
class Fit:
    """The search of some ranges with all other values given.

    Attributes
    ----------
    setting : Setting
    base : SectionBase
    parameters : tuple of Parameter
        All; those that are ranges vary.
    given : dict of str to Value
        Values of the others by name.
    twist_target : float or None
        Radians: takes the place of every twist limit, for the curve of weight against twist.
    tried : dict
        Every trial by its place in the unit cube.
    """

    setting: Setting
    base: SectionBase
    parameters: tuple[Parameter, ...]
    given: dict[str, Value] = field(default_factory=dict)
    twist_target: float | None = None
    tried: dict[tuple[float, ...], Trial] = field(default_factory=dict)

    @property
    def ranges(self) -> list[Parameter]:
        """The parameters that vary."""
        return [p for p in self.parameters if p.is_range]

    def candidate(self, at: Sequence[float]) -> Shaped:
        """The section at a place of the unit cube."""
        shares = iter(at)
        values = [
            (p, p.at(float(next(shares))) if p.is_range else self.given[p.name])
            for p in self.parameters
        ]
        return shaped(self.base, values)

    def trial(self, at: Sequence[float] | Array) -> Trial:
        """The trial at a place of the unit cube, made once."""
        key = tuple(round(float(min(max(a, 0.0), 1.0)), 9) for a in at)
        if key not in self.tried:
            self.tried[key] = attempt(
                self.setting, self.candidate(key), thorough=True, stability=False
            )
        return self.tried[key]

    def best(self) -> tuple[tuple[float, ...], Trial] | None:
        """Place and trial of the lightest that keeps every limit."""
        passed = [(k, t) for k, t in self.tried.items() if self.passes(t)]
        return min(passed, key=lambda pair: pair[1].weight, default=None)

    def passes(self, trial: Trial) -> bool:
        """Whether a trial keeps every limit, the target in place of those of twist."""
        if self.twist_target is None:
            return trial.passed
        return trial.outcome is not None and float(self._limits(trial).max(initial=-1.0)) <= 0.0

    def closest(self) -> Trial | None:
        """The trial whose most used limit is used least."""
        return min(
            (t for t in self.tried.values() if math.isfinite(t.used)),
            key=lambda t: t.used,
            default=None,
        )

    def run(self, start: Sequence[float] | None = None) -> None:
        """Search from a start that is known to be near, or from several; where nothing is allowed,
        for the least use of limits. The answer is held against its critical loads."""
        n = len(self.ranges)
        starts = [np.full(n, s) for s in _STARTS] if start is None else [np.array(start)]
        for at in starts:
            self._descend(at, self._weight, bounded=True)
        if self.best() is None:
            self._descend(np.full(n, 0.5), lambda x: float(self._used(x).max()), bounded=False)
        if self.best() is not None:
            self._close_in()
        while (found := self.best()) is not None and self.twist_target is None:
            judged = attempt(self.setting, self.candidate(found[0]), thorough=True)
            self.tried[found[0]] = judged
            if judged.passed:
                break

    def _descend(self, start: Array, target: object, *, bounded: bool) -> None:
        from scipy.optimize import minimize

        assert callable(target)
        constraints = []
        if bounded:
            constraints = [
                {
                    "type": "ineq",
                    "fun": lambda x: -self._used(x),
                    "jac": lambda x: -self._slope(self._used, x),
                }
            ]
        minimize(
            target,
            start,
            method="SLSQP",
            jac=lambda x: self._slope(lambda y: np.array([target(y)]), x)[0],
            bounds=[(0.0, 1.0)] * len(start),
            constraints=constraints,
            options={"maxiter": _ROUNDS, "ftol": _TOLERANCE},
        )

    def _weight(self, x: Array) -> float:
        weight = self.trial(x).weight
        return math.log(weight) if weight > 0 else _HOPELESS

    def _used(self, x: Array) -> Array:
        """Logarithms of how far every limit is used at a place."""
        trial = self.trial(x)
        if trial.outcome is not None:
            return self._limits(trial)
        # As many as elsewhere: SLSQP wants the same constraints at every point.
        known = next((t for t in self.tried.values() if t.outcome is not None), None)
        return np.full(len(self._limits(known)) if known else 1, _HOPELESS)

    def _limits(self, trial: Trial) -> Array:
        """The same for a trial that has an outcome: limits of size, then those of the member."""
        assert trial.outcome is not None
        pairs = ((trial.depth, self.setting.depth), (trial.width, self.setting.width))
        ratios = [value / most for value, most in pairs if most is not None]
        for check in trial.outcome.checks:
            if self.twist_target is None or not check.limit.startswith("twist"):
                ratios.append(check.ratio)
        if self.twist_target is not None:
            ratios.append(trial.outcome.twist / self.twist_target)
        return np.log(np.maximum(ratios, 1e-12))

    def _slope(self, of: object, x: Array) -> Array:
        """(m, n) differences over a step, backward where the range ends."""
        assert callable(of)
        here = of(x)
        columns = []
        for k in range(len(x)):
            step = _STEP if x[k] + _STEP <= 1.0 else -_STEP
            moved = x.copy()
            moved[k] += step
            there = of(moved)
            columns.append((there - here) / step if len(there) == len(here) else 0 * here)
        return np.stack(columns, axis=1)

    def _close_in(self) -> None:
        """Bisect from the best toward lighter points that fail, the nearest ones first."""
        found = self.best()
        assert found is not None
        place, best = found
        failing = [
            k for k, t in self.tried.items() if not self.passes(t) and 0 < t.weight < best.weight
        ]
        failing.sort(key=lambda k: sum((a - b) ** 2 for a, b in zip(k, place, strict=True)))
        for target in failing[:_TOWARD]:
            good, bad = np.array(place), np.array(target)
            for _ in range(_HALVINGS):
                middle = (good + bad) / 2
                if self.passes(self.trial(middle)):
                    good = middle
                else:
                    bad = middle


def shaped(base: SectionBase, values: Sequence[tuple[Parameter, Value]]) -> Shaped:
    """A section file with parameters set, called by their values."""
    label = ", ".join(f"{p.name} = {_shown(v)}" for p, v in values)
    assignments = tuple((address, v) for p, v in values for address in p.sets)
    return Shaped(base, assignments, label)


def lightest_corner(fit: Fit) -> float:
    """Least weight over the corners of the ranges: below every weight between them where weight
    grows or falls with each dimension alone, as it does with plates and profiles."""
    import itertools

    from ....geometry.conversion import in_unit
    from .trial import request_of, weight_of

    unit = request_of(fit.setting.member, fit.setting.accuracy).units.length
    weights = []
    for corner in itertools.product((0.0, 1.0), repeat=len(fit.ranges)):
        try:
            weights.append(weight_of(in_unit(fit.candidate(corner).section(), unit)))
        except SoapfilmError:
            return 0.0  # no valid section there: nothing is known, so nothing is ruled out
    return min(weights)


def _shown(value: Value) -> str:
    return f"{value:.6g}" if isinstance(value, float) else str(value)
