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

from ....geometry.errors import SoapfilmError
from ..file.parameter import Parameter, Value
from ..file.plan import unit_sample
from ..file.section_base import SectionBase
from .knowledge import Scale, known_functions, uses
from .neighbourhood import Ending, Place, around, far_from, place_of
from .section_candidate import Shaped, shaped
from .setting import Setting
from .surrogate import Surrogate, minima
from .theory_ratio import TheoryRatio
from .trial import Trial, attempt, may_be_better

Array = NDArray[np.float64]

#: Places of the design, and solutions of one search at most: for one range, and for each further.
DESIGN, MOST = (6, 4), (40, 45)
#: How far below their limits places are sought: what the functions may be wrong by near the end;
#: farther where the place nearest to the limits was tried and broke one by a little.
_MARGINS = (2e-4, 1e-3, 5e-3)
#: A gain (of the logarithm) below this ends a search; places nearer than this are one; halvings
#: toward a border.
GAIN, _SAME, _BORDER = 1e-4, 2e-4, 7
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
    judging : bool
        Whether every trial is judged by deforming sections, not by the classical theory: what is
        sought is seen by them alone.
    ratio : TheoryRatio
        What deforming sections make of the classical use of limits (see `confirmation`).
    """

    setting: Setting
    base: SectionBase
    parameters: tuple[Parameter, ...]
    given: dict[str, Value] = field(default_factory=dict)
    twist_target: float | None = None
    cutoff: float = math.inf
    tried: dict[Place, Trial] = field(default_factory=dict)
    ending: Ending | None = None
    judging: bool = False
    ratio: TheoryRatio = field(default_factory=TheoryRatio)

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
            reach = math.inf if self.judging else 0.0
            reach = reach if self.setting.reach else 0.0
            # What is found is judged again, with what travels at its own worst places.
            coarse = reach == 0 < self.setting.reach
            setting = replace(self.setting, reach=reach, coarse=coarse)
            self.tried[key] = attempt(setting, self.candidate(key), thorough=True)
        return self.tried[key]

    def judged(self, at: Sequence[float] | Array) -> Trial:
        """The trial at a place judged by deforming sections, made once."""
        key = place_of(at)
        if not self.trial(key).judged and self.setting.reach and self.tried[key].outcome:
            setting = replace(self.setting, reach=math.inf)
            self.tried[key] = attempt(setting, self.candidate(key), thorough=True)
            self.ratio.learn(self.tried)
        return self.tried[key]

    def value(self, trial: Trial) -> float:
        """What is made least."""
        return trial.value if self.twist_target is None else trial.weight

    def best(self, *, confirmed: bool = False) -> tuple[Place, Trial] | None:
        """Place and trial of the best that keeps every limit; if `confirmed`, of those that were
        judged as a member's report judges them."""
        passed = [
            (k, t)
            for k, t in self.tried.items()
            if self.passes(k) and (t.judged or not confirmed or not self.setting.reach)
        ]
        return min(passed, key=lambda pair: self.value(pair[1]), default=None)

    def passes(self, at: Sequence[float] | Array) -> bool:
        """Whether the trial at a place keeps every limit, as far as both theories are known; with
        a target, that in place of the limits of twist."""
        trial = self.tried[place_of(at)]
        if self.twist_target is None and (trial.judged or not self.ratio.known):
            return trial.passed
        if self.twist_target is None and not trial.complete:
            return False
        return trial.outcome is not None and max(self.used(at).values(), default=0.0) <= 1.0

    def closest(self) -> Trial | None:
        """The trial whose most used limit is used least, as far as both theories are known."""
        used = {k: max(u.values()) for k in self.tried if (u := self.used(k))}
        return self.judged(min(used, key=lambda k: used[k])) if used else None

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

    @property
    def solutions(self) -> int:
        """Places that hold a section and were solved."""
        return len(self._solved())

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
        place = next((p for p in far_from(self.tried, sample) if self._valid(p)), None)
        if place is not None:
            self.trial(place)
        return place is not None

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
                if self.passes(at):
                    return count
        return count

    def _cheaper(self, at: Array, best: Trial) -> bool:
        """Whether a place may be better, as far as its outline tells; one without a section is
        not."""
        candidate, lighter = self.candidate(place_of(at)), self.twist_target is not None
        return may_be_better(self.setting, candidate, best, by_weight=lighter)

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
        used = {k: self.used(k) for k in values}
        return known_functions(values, used, [k for k, t in tried.items() if t.weight <= 0])

    def used(self, at: Sequence[float] | Array) -> dict[str, float]:
        """How far every limit is used at a place, by its name, as far as both theories are
        known."""
        place = place_of(at)
        most = {"depth": self.setting.depth, "width": self.setting.width}
        return uses(self.tried[place], most, self.ratio.at(place), self.twist_target)
