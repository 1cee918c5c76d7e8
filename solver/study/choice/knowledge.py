"""What a search knows: functions through what is sought and the use of every limit at all places
that were tried (see `surrogate`)."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING

import numpy as np

from .neighbourhood import Place
from .surrogate import Surrogate

if TYPE_CHECKING:
    from .member_outcome import MemberOutcome
    from .trial import Trial

#: Logarithms between which the use of a limit is told apart.
_LEAST, _GREATEST = math.log(1e-2), math.log(1e4)
#: What stands for it at least where the member has no answer.
_HOPELESS = math.log(4.0)
#: What tells places without a section from those with one.
_INVALID = 0.3


class Scale:
    """Values as their logarithms, where all have one sign."""

    def __init__(self, values: Sequence[float]) -> None:
        self.sign = 1.0 if min(values) > 0 else -1.0 if max(values) < 0 else 0.0
        self.size = max(map(abs, values)) or 1.0

    def __call__(self, value: float) -> float:
        if self.sign and value * self.sign > 0:
            return self.sign * math.log(abs(value))
        return value / self.size


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


def used_of(found: MemberOutcome) -> dict[str, float]:
    """How far an outcome uses each limit, by its number and words, stability last."""
    return {f"{n} {check.limit}": check.ratio for n, check in enumerate(found.everything)}


def known_functions(
    values: Mapping[Place, float],
    used: Mapping[Place, Mapping[str, float]],
    without: Sequence[Place],
) -> tuple[Surrogate, Scale] | None:
    """Functions through all that is known, what is sought first; None where that is too little.

    Parameters
    ----------
    values : mapping of place to float
        What is sought.
    used : mapping of place to mapping
        How far every limit is used, by its name; empty where the member has no answer. The number
        of limits may differ from place to place.
    without : sequence of places
        Those that hold no section.
    """
    names = sorted({name for one in used.values() for name in one})
    if len(values) < 2 or not names:
        return None
    logs = {k: {n: _log(ratio) for n, ratio in used[k].items()} for k in values}
    worst = {n: max([_HOPELESS, *(one[n] for one in logs.values() if n in one)]) for n in names}
    scale = Scale(list(values.values()))
    places = np.array(list(values))
    rows = np.array(
        [[scale(v), *(logs[k].get(n, worst[n]) for n in names)] for k, v in values.items()]
    )
    surrogate = Surrogate.through(places, rows)
    if not without:
        return surrogate, scale
    # Where there is no section the functions go on as they are; one more tells it apart.
    none = np.array(without)
    guessed = np.clip(surrogate.values(none), rows.min(axis=0), rows.max(axis=0))
    column = np.r_[np.full(len(places), -_INVALID), np.full(len(none), _INVALID)]
    everything = np.column_stack([np.vstack([rows, guessed]), column])
    return Surrogate.through(np.vstack([places, none]), everything), scale


def _log(ratio: float) -> float:
    return min(max(math.log(max(ratio, 1e-12)), _LEAST), _GREATEST)
