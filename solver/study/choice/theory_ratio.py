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

from .knowledge import used_of
from .neighbourhood import Place
from .surrogate import Surrogate
from .trial import Trial

#: Logarithm by which an extrapolated ratio may leave those that are known.
_ROOM = math.log(1.5)


@dataclass(slots=True)
class TheoryRatio:
    """Ratios at places of a unit cube.

    Attributes
    ----------
    known : dict of Place to dict
        Deforming over classical use of every limit by its name.
    raised : float
        What interpolated ratios are raised by.
    """

    known: dict[Place, dict[str, float]] = field(default_factory=dict)
    raised: float = 1.0

    def learn(self, tried: Mapping[Place, Trial]) -> None:
        """Take what judged trials tell."""
        for place, trial in tried.items():
            if place not in self.known and trial.outcome is not None and trial.judged:
                plain = used_of(trial.outcome.classical or trial.outcome)
                now = used_of(trial.outcome)
                self.known[place] = {
                    name: now[name] / value if value > 0 and now.get(name, 0.0) > 0 else 1.0
                    for name, value in plain.items()
                }

    def at(self, place: Place) -> dict[str, float]:
        """The ratio of every limit at a place; empty where nothing is known."""
        known = self.known
        if not known:
            return {}
        names = tuple(sorted({name for one in known.values() for name in one}))
        logs = np.array([[math.log(one.get(n, 1.0)) for n in names] for one in known.values()])
        found = logs[0]
        if len(known) > 1:
            through = Surrogate.through(np.array(list(known)), logs)
            found = through.values(np.array([place]))[0]
            found = np.clip(found, logs.min(axis=0) - _ROOM, logs.max(axis=0) + _ROOM)
        return dict(zip(names, (self.raised * np.exp(found)).tolist(), strict=True))
