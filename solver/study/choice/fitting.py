"""Dimensions of a section that make it as light as its member's limits allow.

Every limit counts from the first point on, stability among them. Ranges become a unit cube, in
logarithms where they are above 0: weight and the use of limits are powers of dimensions, nearly
straight lines in logarithms. A design spread over the cube is solved; then smooth functions through
all that was solved (see `surrogate`) say where something better may lie, that place is solved, and
so on until they see nothing better. A place without a valid section costs no solution; the search
goes from there toward a valid one until it meets the border. At the end all better neighbours of
the answer are solved with every limit, and one that keeps them is where the search goes on.

The answer is the best of the sections that were solved, never an extrapolation.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace

import numpy as np
from numpy.typing import NDArray

from ....geometry.conversion import in_unit
from ....geometry.errors import SoapfilmError
from ..file.parameter import Parameter, Value
from ..file.plan import unit_sample
from ..file.section_base import SectionBase
from .knowledge import Scale, known_functions
from .neighbourhood import Ending, Place, around, place_of
from .section_candidate import Shaped, shaped
from .surrogate import Surrogate, minima
from .trial import Setting, Trial, attempt, request_of, weight_of

Array = NDArray[np.float64]

#: Places of the design, and solutions of one search at most: for one range, and for each further.
DESIGN, MOST = (6, 4), (40, 45)
#: How far below their limits places are sought: what the functions may be wrong by near the end;
#: farther where the place nearest to the limits was tried and broke one by a little.
_MARGINS = (2e-4, 1e-3, 5e-3)
#: A gain (of the logarithm) below this ends a search; places nearer than this are one.
GAIN, _SAME = 1e-4, 2e-4
_BORDER = 7  # halvings toward it
_FAR = 5e-3  # how far above the cutoff a search is given up
_LOOKED = 256  # places of which the valid ones are sought


@dataclass(slots=True)
class Fit:
    """The search of some ranges with all other values given.

    Attributes
    ----------
    parameters : tuple of Parameter
        All; those that are ranges vary.
    given : dict of str to Value
        Values of the others by name.
    twist_target : float or None
        Radians: takes the place of every twist limit, for the curve of weight against twist.
    cutoff : float
        A search that cannot get below this value ends early.
    tried : dict
        Every trial by its place in the unit cube.
    """

    setting: Setting
    base: SectionBase
    parameters: tuple[Parameter, ...]
    given: dict[str, Value] = field(default_factory=dict)
    twist_target: float | None = None
    cutoff: float = math.inf
    tried: dict[Place, Trial] = field(default_factory=dict)
    ending: Ending | None = None

    def __post_init__(self) -> None:
        self.parameters = tuple(
            replace(p, spacing="log") if p.is_range and p.low > 0 else p for p in self.parameters
        )

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
        key = place_of(at)
        if key not in self.tried:
            self.tried[key] = attempt(self.setting, self.candidate(key), thorough=True)
        return self.tried[key]

    def value(self, trial: Trial) -> float:
        """What is made least."""
        return trial.value if self.twist_target is None else trial.weight

    def best(self) -> tuple[Place, Trial] | None:
        """Place and trial of the best that keeps every limit."""
        passed = [(k, t) for k, t in self.tried.items() if self.passes(t)]
        return min(passed, key=lambda pair: self.value(pair[1]), default=None)

    def passes(self, trial: Trial) -> bool:
        """Whether a trial keeps every limit, the target in place of those of twist."""
        if self.twist_target is None:
            return trial.passed
        return trial.outcome is not None and max(self._used(trial).values(), default=0.0) <= 1.0

    def closest(self) -> Trial | None:
        """The trial whose most used limit is used least."""
        return min(
            (t for t in self.tried.values() if math.isfinite(t.used)),
            key=lambda t: t.used,
            default=None,
        )

    def run(self, start: Sequence[float] | None = None) -> None:
        """Search, from a place that is known to be near or from nowhere."""
        n = len(self.ranges)
        most = MOST[0] + (n - 1) * MOST[1]
        before = len(self._solved())
        for place in self._design(start):
            self._ventured(place)
        checked, converged, seed = 0, False, 0
        while len(self._solved()) - before < most:
            seed += 1
            better = self._proposed(seed)
            if better is not None:
                self._ventured(better)
                continue
            found = self.best()
            if found is None or self.value(found[1]) > self.cutoff * (1 + _FAR) > 0:
                converged = found is not None or seed > n + 2
                if converged or not self._explore(seed):
                    break
                continue
            known = len(self.tried)
            checked = self._check(found)
            if len(self.tried) == known:  # else the functions know more now than before
                converged = True
                break
        self.ending = Ending(converged, checked, len(self._solved()) - before)

    # -- where to go -------------------------------------------------------------------------------
    def _design(self, start: Sequence[float] | None) -> Iterator[Array]:
        """Places spread evenly; fewer where a near one is known."""
        n = len(self.ranges)
        wanted = DESIGN[0] + (n - 1) * DESIGN[1]
        if start is not None:
            yield np.array(start)
            wanted = n + 2
        spread = unit_sample("sobol", n, _LOOKED, 1)
        for corner in ([0.5] * n, [0.85] * n):
            yield np.array(corner)
        for place in spread:
            if len(self._solved()) >= wanted:
                return
            if self._valid(place):
                yield place
            elif len(self.tried) < 3 * wanted:
                self.trial(place)

    def _proposed(self, seed: int) -> Array | None:
        """The best place that the functions see, if it is new and better than the best so far."""
        known = self._functions()
        if known is None:
            return None
        surrogate, scale = known
        found = self.best()
        starts = np.array([found[0]]) if found else np.zeros((0, len(self.ranges)))
        goal = math.inf if found is None else scale(self.value(found[1])) - GAIN
        goal = min(goal, scale(self.cutoff) if math.isfinite(self.cutoff) else math.inf)
        for place in itertools.chain.from_iterable(
            minima(surrogate, margin, starts, seed) for margin in _MARGINS
        ):
            values = surrogate.values(place[None])[0]
            kept = float(values[1:].max(initial=-1.0)) <= 0
            if found is not None and not (kept and values[0] < goal):
                continue
            if found is None and kept and values[0] >= goal:
                continue
            if all(float(np.linalg.norm(place - np.array(k))) >= _SAME for k in self.tried):
                return place
        return None

    def _explore(self, seed: int) -> bool:
        """Solve the place farthest from all others; False where there is none left."""
        sample = unit_sample("sobol", len(self.ranges), _LOOKED, seed)
        known = np.array(list(self.tried))
        near = np.linalg.norm(sample[:, None] - known[None], axis=2).min(axis=1)
        for k in np.argsort(-near)[:32]:
            if self._valid(sample[k]):
                self.trial(sample[k])
                return True
        return False

    def _ventured(self, place: Array) -> None:
        """Try a place; where it holds no section, go toward the nearest that does until the border
        and try there."""
        if self._valid(place):
            self.trial(place)
            return
        self.trial(place)  # costs no solution, and says why
        if not (solved := self._solved()):
            return
        good = min((np.array(k) for k in solved), key=lambda k: float(np.linalg.norm(k - place)))
        bad = place
        for _ in range(_BORDER):
            middle = (good + bad) / 2
            good, bad = (middle, bad) if self._valid(middle) else (good, middle)
        self.trial(bad)
        self.trial(good)

    def neighbours(self) -> list[Trial]:
        """Better ones next to the best that were solved and break a limit: one dimension changed
        first, then two."""
        found = self.best()
        if found is None:
            return []
        near = [self.tried[place_of(at)] for at in around(found[0]) if place_of(at) in self.tried]
        chosen = [t for t in near if t.weight > 0 and not self.passes(t)]
        return [t for t in chosen if self.value(t) < self.value(found[1])]

    def _check(self, found: tuple[Place, Trial]) -> int:
        """Solve every better neighbour: each dimension a step up or down, alone and with another
        one. Returns how many there are."""
        place, best = found
        count = 0
        for at in around(place):
            if not self._cheaper(at, best):
                continue
            trial = self.trial(at)
            if self.value(trial) < self.value(best):
                count += 1
                if self.passes(trial):
                    return count
        return count

    def _cheaper(self, at: Array, best: Trial) -> bool:
        """Whether a place may be better, as far as its outline tells; one without a section is
        not."""
        key = place_of(at)
        try:
            unit = request_of(self.setting.member, self.setting.accuracy).units.length
            section = in_unit(self.candidate(key).section(), unit)
        except SoapfilmError:
            return False
        if self.twist_target is not None:
            return weight_of(section) < best.weight
        objective = self.setting.objective
        if not objective.cheap:
            return True
        return objective.of_section(section, weight_of(section)) < best.value

    # -- what is known -----------------------------------------------------------------------------
    def _valid(self, at: Sequence[float] | Array) -> bool:
        key = place_of(at)
        if key in self.tried:
            return self.tried[key].weight > 0
        try:
            self.candidate(key).section()
        except SoapfilmError:
            return False
        return True

    def _solved(self) -> list[Place]:
        """Places that hold a section."""
        return [k for k, t in self.tried.items() if t.weight > 0]

    def _functions(self) -> tuple[Surrogate, Scale] | None:
        """Functions through all that was tried; None where nothing has a value."""
        tried = self.tried
        values = {k: self.value(tried[k]) for k in self._solved()}
        values = {k: v for k, v in values.items() if math.isfinite(v)}
        used = {k: self._used(tried[k]) for k in values}
        return known_functions(values, used, [k for k, t in tried.items() if t.weight <= 0])

    def _used(self, trial: Trial) -> dict[str, float]:
        """How far every limit is used, by its name."""
        if trial.outcome is None:
            return {}
        pairs = (("depth", trial.depth, self.setting.depth),
                 ("width", trial.width, self.setting.width))  # fmt: skip
        ratios = {word: value / most for word, value, most in pairs if most is not None}
        for n, check in enumerate(trial.checks):
            if self.twist_target is None or not check.limit.startswith("twist"):
                ratios[f"{n} {check.limit}"] = check.ratio
        if self.twist_target is not None:
            ratios["twist"] = trial.outcome.twist / self.twist_target
        return ratios
