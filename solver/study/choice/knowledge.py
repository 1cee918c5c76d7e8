"""What a search knows: functions through what is sought and the use of every limit at all places
that were tried (see `surrogate`)."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, Protocol

import numpy as np

from .neighbourhood import Place
from .outcome_record import used_of
from .surrogate import Array, Functions, Stacked, Surrogate

if TYPE_CHECKING:
    from .slope import Slopes
    from .theory_ratio import TheoryRatio
    from .trial import Trial

#: Logarithms between which the use of a limit is told apart.
_LEAST, _GREATEST = math.log(1e-2), math.log(1e4)
#: What stands for it at least where the member has no answer.
_HOPELESS = math.log(4.0)
#: What tells places without a section from those with one.
_INVALID = 0.3


class Searched(Protocol):
    """What a search has tried."""

    @property
    def tried(self) -> Mapping[Place, Trial]:
        """Trials by their places."""

    @property
    def slopes(self) -> Mapping[Place, Slopes | None]:
        """Where slopes were taken; None where there were none to take."""

    @property
    def ratio(self) -> TheoryRatio:
        """What deforming sections make of the classical use of limits."""

    @property
    def twist_target(self) -> float | None:
        """See `uses`."""

    @property
    def sizes(self) -> Mapping[str, float | None]:
        """Greatest overall sizes."""

    def value(self, trial: Trial) -> float:
        """What is made least."""

    def trial(self, at: Sequence[float] | Array) -> Trial:
        """The trial at a place, made once."""

    def sloped(self, place: Place) -> bool:
        """Take slopes at a place; whether there are new ones."""

    def used(self, at: Place) -> dict[str, float]:
        """How far every limit is used at a place."""


class Scale:
    """Values as their logarithms, where all have one sign."""

    def __init__(self, values: Sequence[float]) -> None:
        self.sign = 1.0 if min(values) > 0 else -1.0 if max(values) < 0 else 0.0
        self.size = max(map(abs, values)) or 1.0

    def __call__(self, value: float) -> float:
        if self.sign and value * self.sign > 0:
            return self.sign * math.log(abs(value))
        return value / self.size

    def rate(self, value: float, change: Array) -> Array:
        """Derivatives of what is made of a value from those of the value itself."""
        if self.sign and value * self.sign > 0:
            return self.sign * change / value
        return change / self.size


def uses(
    trial: Trial,
    sizes: Mapping[str, float | None],
    ratios: Mapping[str, float],
    twist_target: float | None,
) -> dict[str, float]:
    """How far a trial uses every limit, by its name; empty where the member has no answer.

    Parameters
    ----------
    trial : Trial
    sizes : mapping of "depth" and "width" to the greatest allowed
    ratios : mapping
        What the use of each limit is scaled by where deforming sections have not judged it.
    twist_target : float or None
        Radians, in place of every limit of twist: then all is by the classical theory, which the
        curve of weight against twist is drawn by.
    """
    if trial.outcome is None:
        return {}
    own = {"depth": trial.depth, "width": trial.width}
    found = {word: own[word] / most for word, most in sizes.items() if most is not None}
    if twist_target is None:
        scale = {} if trial.judged else ratios
        return found | {k: scale.get(k, 1.0) * v for k, v in used_of(trial.outcome).items()}
    plain = trial.outcome.classical or trial.outcome
    rest = {k: v for k, v in used_of(plain).items() if " twist" not in k}
    return found | rest | {"twist": plain.twist / twist_target}


def functions_of(search: Searched) -> tuple[Functions, Scale, list[str]] | None:
    """Functions through all that a search tried, as `known_functions` gives them."""
    tried, values = search.tried, values_of(search)
    used = {k: search.used(k) for k in values}
    rates = {k: rates_of(search, k, s) for k, s in search.slopes.items() if s is not None}
    return known_functions(values, used, [k for k, t in tried.items() if t.weight <= 0], rates)


def values_of(search: Searched) -> dict[Place, float]:
    """What is sought at all places that a search tried, where it is known."""
    values = {k: search.value(t) for k, t in search.tried.items() if t.weight > 0}
    return {k: v for k, v in values.items() if math.isfinite(v)}


def rates_of(search: Searched, place: Place, slopes: Slopes) -> tuple[Array, dict[str, Array]]:
    """Derivatives of what is sought, and of the logarithms of uses, at a place."""

    def logs(trial: Trial) -> dict[str, float]:
        own = uses(trial, search.sizes, {}, search.twist_target)
        return {name: logarithm(ratio) for name, ratio in own.items()}

    own = {name: slopes.rates(logs, name) for name in logs(slopes.here)}
    if search.twist_target is None and not slopes.here.judged:
        more = search.ratio.slopes(place)
        own = {n: rate + more.get(n, 0.0) for n, rate in own.items()}
    return slopes.rates(lambda trial: {"": search.value(trial)}, ""), own


def known_functions(
    values: Mapping[Place, float],
    used: Mapping[Place, Mapping[str, float]],
    without: Sequence[Place],
    rates: Mapping[Place, tuple[Array, Mapping[str, Array]]],
) -> tuple[Functions, Scale, list[str]] | None:
    """Functions through all that is known, what is sought first, and the names of the limits that
    the next are of; None where that is too little.

    Parameters
    ----------
    values : mapping of place to float
        What is sought.
    used : mapping of place to mapping
        How far every limit is used, by its name; empty where the member has no answer. The number
        of limits may differ from place to place.
    without : sequence of places
        Those that hold no section.
    rates : mapping of place to ((n,), mapping of name to (n,))
        Derivatives of what is sought, and of the logarithm of the use of limits, where known.
    """
    names = sorted({name for one in used.values() for name in one})
    if len(values) < 2 or not names:
        return None
    logs = {k: {n: logarithm(ratio) for n, ratio in used[k].items()} for k in values}
    worst = {n: max([_HOPELESS, *(one[n] for one in logs.values() if n in one)]) for n in names}
    scale = Scale(list(values.values()))
    places = np.array(list(values))
    rows = np.array(
        [[scale(v), *(logs[k].get(n, worst[n]) for n in names)] for k, v in values.items()]
    )
    slopes = {}
    for number, (place, value) in enumerate(values.items()):
        if place in rates:
            sought, own = rates[place]
            none = np.zeros_like(sought)
            columns = [scale.rate(value, sought), *(own.get(n, none) for n in names)]
            slopes[number] = np.column_stack(columns)
    surrogate = Surrogate.through(places, rows, slopes)
    if not without:
        return surrogate, scale, names
    # Where there is no section the functions go on as they are; one more tells it apart.
    everything = np.vstack([places, np.array(without)])
    column = np.r_[np.full(len(places), -_INVALID), np.full(len(without), _INVALID)]
    return Stacked(surrogate, Surrogate.through(everything, column[:, None])), scale, names


def logarithm(ratio: float) -> float:
    """Of the use of a limit, between bounds."""
    return min(max(math.log(max(ratio, 1e-12)), _LEAST), _GREATEST)
