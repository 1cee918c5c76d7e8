"""How far deforming sections use limits beside the classical theory, at places where both are known
and by interpolation elsewhere.

The ratio of both varies far more slowly with dimensions than the use of a limit itself: a few
places tell it where many would be needed for the use.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field

import numpy as np

from .neighbourhood import Place
from .outcome_record import used_of
from .slope import Slopes
from .surrogate import Array, Surrogate
from .trial import Trial

#: A derivative so large is a jump, as where a stress near loads is taken for none.
_JUMP = 3.0
#: Logarithm by which an extrapolated ratio may leave those that are known.
_ROOM = math.log(1.5)


@dataclass(slots=True)
class TheoryRatio:
    """Ratios at places of a unit cube.

    Attributes
    ----------
    known : dict of Place to dict
        Deforming over classical use of every limit by its name.
    rates : dict of Place to dict
        Derivatives (n,) of their logarithms, where known.
    raised : float
        What interpolated ratios are raised by.
    """

    known: dict[Place, dict[str, float]] = field(default_factory=dict)
    rates: dict[Place, dict[str, Array]] = field(default_factory=dict)
    raised: float = 1.0
    _through: tuple[list[str], Surrogate, Array] | None = field(
        default=None, init=False, repr=False, compare=False
    )

    def learn(self, tried: Mapping[Place, Trial], sloped: Mapping[Place, Slopes | None]) -> None:
        """Take what judged trials tell, and trials beside them."""
        for place, trial in tried.items():
            if place not in self.known and trial.outcome is not None and trial.judged:
                self.known[place] = ratios_of(trial)
        for place, slopes in sloped.items():
            if slopes is None or place not in self.known or place in self.rates:
                continue
            if slopes.here.judged:
                own = {n: slopes.rates(_logarithms, n) for n in self.known[place]}
                self.rates[place] = {n: np.where(abs(r) < _JUMP, r, 0.0) for n, r in own.items()}
        self._through = None

    def at(self, place: Place) -> dict[str, float]:
        """The ratio of every limit at a place; empty where nothing is known."""
        if not self.known:
            return {}
        names, through, logs = self._functions()
        found = through.values(np.array([place]))[0]
        found = np.clip(found, logs.min(axis=0) - _ROOM, logs.max(axis=0) + _ROOM)
        return dict(zip(names, (self.raised * np.exp(found)).tolist(), strict=True))

    def slopes(self, place: Place) -> dict[str, Array]:
        """Derivatives (n,) of the logarithm of every ratio at a place; empty where nothing is
        known."""
        if not self.known:
            return {}
        names, through, _ = self._functions()
        return dict(zip(names, through.slopes(np.array(place)), strict=True))

    def _functions(self) -> tuple[list[str], Surrogate, Array]:
        """Names of limits, functions through the logarithms of their ratios, and these (m, k):
        made once for what is known, since every place of a search asks for them."""
        if self._through is None:
            self._through = self._made()
        return self._through

    def _made(self) -> tuple[list[str], Surrogate, Array]:
        names = sorted({name for one in self.known.values() for name in one})
        logs = np.array([[math.log(one.get(n, 1.0)) for n in names] for one in self.known.values()])
        none = np.zeros(len(next(iter(self.known))))
        slopes = {
            number: np.column_stack([self.rates[place].get(n, none) for n in names])
            for number, place in enumerate(self.known)
            if place in self.rates
        }
        return names, Surrogate.through(np.array(list(self.known)), logs, slopes), logs


def ratios_of(trial: Trial) -> dict[str, float]:
    """Deforming over classical use of every limit of a judged trial."""
    assert trial.outcome is not None
    plain, now = used_of(trial.outcome.classical or trial.outcome), used_of(trial.outcome)
    return {
        name: now[name] / value if value > 0 and now.get(name, 0.0) > 0 else 1.0
        for name, value in plain.items()
    }


def _logarithms(trial: Trial) -> dict[str, float]:
    return {name: math.log(value) for name, value in ratios_of(trial).items()}
