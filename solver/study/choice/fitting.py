"""Dimensions of a section that make it as light as its member's limits allow.

Every limit counts from the first point on, stability among them. Ranges become a unit cube, in
logarithms where they are above 0: weight and the use of limits are powers of dimensions, nearly
straight lines in logarithms. A design spread over the cube is solved; then smooth functions through
all that was solved (see `surrogate`) say where something better may lie, that place is solved, and
so on until they see nothing better. A place without a valid section costs no solution; the search
goes from there toward a valid one until it meets the border. Where they see nothing better, slopes
are taken at the best (see `slope`), which the functions take in; with three ranges and more the
search goes downhill from other places too (see `descent`). It ends where they still see nothing
better. Then no small change is both better and allowed (see `holding`); what lies far from every
solution may have been missed.

The answer is the best of the sections that were solved, never an extrapolation.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace

import numpy as np

from ....geometry.errors import SoapfilmError
from ..file.parameter import Parameter, Value
from ..file.plan import unit_sample
from ..file.section_base import SectionBase
from .candidate import Candidate, proposal
from .descent import descend, other_start
from .knowledge import functions_of, uses
from .neighbourhood import Ending, Place, beside_border, far_from, near, place_of
from .section_candidate import shaped
from .setting import Setting
from .slope import Slopes, slopes_at
from .surrogate import Array, minima
from .theory_ratio import TheoryRatio
from .trial import Trial, attempt

#: Places of the design, and solutions of one search at most: for one range, and for each further.
DESIGN, MOST = (5, 2), (40, 20)
#: How far below their limits places are sought: what the functions may be wrong by near the end;
#: farther where the place nearest to the limits was tried and broke one by a little.
_MARGINS = (2e-4, 1e-3, 5e-3)
#: A gain (of the logarithm) below this ends a search; places nearer than this are one.
GAIN, _SAME = 1e-4, 2e-4
_FAR, _LOOKED = 5e-3, 256  # above the cutoff a search is given up; places looked at


@dataclass(slots=True)
class Fit:
    """The search of some ranges with all other values given.

    Attributes
    ----------
    parameters : tuple of Parameter
        All; those that are ranges vary.
    given : dict of str to Value
        Values of the others by name.
    beside : int
        Members solved for slopes.
    twist_target : float or None
        Radians: takes the place of every twist limit, for the curve of weight against twist.
    cutoff : float
        A search that cannot get below this value ends early.
    tried : dict
        Every trial by its place in the unit cube.
    slopes : dict
        Trials beside a place; None where there were none to take.
    judging : bool
        Whether every trial is judged as a report judges it: what is sought is seen by deforming
        sections alone, or the file asks for the classical theory.
    ratio : TheoryRatio
        What deforming sections make of the classical use of limits (see `confirmation`).
    """

    setting: Setting
    base: SectionBase | None
    parameters: tuple[Parameter, ...]
    given: dict[str, Value] = field(default_factory=dict)
    twist_target: float | None = None
    cutoff: float = math.inf
    tried: dict[Place, Trial] = field(default_factory=dict)
    slopes: dict[Place, Slopes | None] = field(default_factory=dict)
    beside: int = 0
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

    def candidate(self, at: Sequence[float]) -> Candidate:
        """What is tried at a place of the unit cube."""
        return shaped(self.base, list(zip(self.parameters, self.values(at).values(), strict=True)))

    def values(self, at: Sequence[float]) -> dict[str, Value]:
        """The value of every parameter at a place, by name."""
        shares = iter(at)
        return {
            p.name: p.at(float(next(shares))) if p.is_range else self.given[p.name]
            for p in self.parameters
        }

    def trial(self, at: Sequence[float] | Array) -> Trial:
        """The trial at a place of the unit cube, made once."""
        key = place_of(at)
        if key not in self.tried:
            self.tried[key] = attempt(self._quick, self.candidate(key), thorough=True)
        return self.tried[key]

    @property
    def _quick(self) -> Setting:
        """By the classical theory, unless what is sought is seen by deforming sections alone."""
        reach = math.inf if self.judging and self.setting.reach else 0.0
        # What is found is judged again, with what travels at its own worst places.
        return replace(self.setting, reach=reach, coarse=reach == 0 < self.setting.reach)

    def judged(self, at: Sequence[float] | Array) -> Trial:
        """The trial at a place judged by deforming sections, made once."""
        key = place_of(at)
        if not self.trial(key).judged and self.setting.reach and self.tried[key].outcome:
            setting = replace(self.setting, reach=math.inf)
            self.tried[key] = attempt(setting, self.candidate(key), thorough=True)
            self.ratio.learn(self.tried, self.slopes)
        return self.tried[key]

    def sloped(self, place: Place, *, judged: bool = False) -> bool:
        """Take slopes at a place, if it has none and there are none near; whether there are new
        ones."""
        for known, slopes in self.slopes.items():
            if near(known, place) and (not judged or slopes is None or slopes.here.judged):
                return False
        setting = replace(self.setting, reach=math.inf) if judged else self._quick
        here = self.judged(place) if judged else self.trial(place)
        if here.judged and setting.reach == 0:
            here = attempt(setting, self.candidate(place), thorough=True)
        self.slopes[place] = found = slopes_at(setting, self.candidate, place, here)
        if found is not None:
            self.beside += len(found.moved)
            self.ratio.learn(self.tried, self.slopes)
        return found is not None

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

    def nearest(self) -> tuple[Place, Trial] | None:
        """Place and trial whose most used limit is used least."""
        used = {k: max(u.values()) for k in self.tried if (u := self.used(k))}
        place = min(used, key=lambda k: used[k], default=None)
        return None if place is None else (place, self.tried[place])

    def closest(self) -> Trial | None:
        """The trial whose most used limit is used least, as far as both theories are known."""
        return self.judged(found[0]) if (found := self.nearest()) else None

    def run(self, start: Sequence[float] | None = None) -> None:
        """Search, from a place that is known to be near or from nowhere."""
        n = len(self.ranges)
        most = MOST[0] + (n - 1) * MOST[1]
        before = len(self.solved())
        for place in self._design(start):
            self._ventured(place)
        converged, seed, starts = False, 0, n - 2 if start is None else 0
        while len(self.solved()) - before < most:
            seed += 1
            if (better := self._proposed(seed)) is not None:
                self._ventured(better)
                continue
            found = self.best()
            if found is not None and self.value(found[1]) > self.cutoff * (1 + _FAR) > 0:
                converged = True
                break
            nearest = found or self.nearest()
            if nearest is not None and self.sloped(nearest[0]):
                continue  # the functions know more now
            other = other_start(self, seed, self._valid) if found and starts > 0 else None
            if other is not None:
                starts -= 1
                descend(self, other, seed)
                continue
            converged = found is not None or seed > n + 2
            if converged or not self._explore(seed):
                break
        self.ending = Ending(converged, self.beside, len(self.solved()) - before)

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
            if len(self.solved()) >= wanted:
                return
            if self._valid(place):
                yield place
            elif len(self.tried) < 3 * wanted:
                self.trial(place)

    def _proposed(self, seed: int) -> Array | None:
        """The best place that the functions see, if it is new and better than the best so far."""
        if (known := functions_of(self)) is None:
            return None
        surrogate, scale, _ = known
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
        if not (solved := self.solved()):
            return
        good = min((np.array(k) for k in solved), key=lambda k: float(np.linalg.norm(k - place)))
        for at in beside_border(good, place, self._valid):
            self.trial(at)

    def _valid(self, at: Sequence[float] | Array) -> bool:
        key = place_of(at)
        if key in self.tried:
            return self.tried[key].weight > 0
        try:
            proposal(self.setting, self.candidate(key))
        except SoapfilmError:
            return False
        return True

    def solved(self) -> list[Place]:
        """Places that hold a section, and were solved."""
        return [k for k, t in self.tried.items() if t.weight > 0]

    @property
    def sizes(self) -> dict[str, float | None]:
        """Greatest overall sizes."""
        return {"depth": self.setting.depth, "width": self.setting.width}

    def used(self, at: Sequence[float] | Array) -> dict[str, float]:
        """How far every limit is used at a place, by its name, as far as both theories are
        known."""
        place = place_of(at)
        return uses(self.tried[place], self.sizes, self.ratio.at(place), self.twist_target)
