"""From a place downhill: where a search has not looked, a better valley may lie.

Slopes are taken at the place; within some distance of it the functions through all that is known
are right to first order, and their least value there is solved. It is the next place if it is
better, else the distance is halved.
"""

from __future__ import annotations

import itertools
from collections.abc import Callable, Sequence

import numpy as np

from ..file.plan import unit_sample
from .knowledge import Scale, Searched, functions_of, logarithm, values_of
from .neighbourhood import place_of
from .surrogate import Array, minima

#: Distance at first, in shares of the ranges; that at which a descent ends; places at most.
_REACH, _END, _MOST = 0.3, 0.03, 6
#: Places looked at for a start, ranges whose corners are among them, distance from known valleys.
_LOOKED, _MOST_CORNERED, _FAR = 256, 8, 0.6
#: How far below the limits places are sought; what a logarithm of a limit's excess counts for.
_MARGIN, _DEAR = 1e-3, 3.0


def other_start(search: Searched, seed: int, valid: Callable[[Array], bool]) -> Array | None:
    """Where to go downhill from next: of places far from all at which slopes were taken, corners of
    the ranges among them, the one that the functions think best; None where none is left."""
    known = functions_of(search)
    if known is None or not search.slopes:
        return None
    sloped = np.array(list(search.slopes))
    n = sloped.shape[1]
    sample = unit_sample("sobol", n, _LOOKED, seed)
    if n <= _MOST_CORNERED:
        sample = np.vstack([list(itertools.product((0.0, 1.0), repeat=n)), sample])
    apart = np.linalg.norm(sample[:, None] - sloped[None], axis=2).min(axis=1)
    sample = sample[apart > _FAR]
    values = known[0].values(sample)
    merit = values[:, 0] + values[:, 1:].max(axis=1, initial=0.0)
    return next((place for place in sample[np.argsort(merit)] if valid(place)), None)


def descend(search: Searched, start: Sequence[float] | Array, seed: int) -> None:
    """Go downhill from a place; what is solved on the way is kept by the search."""
    at, reach = np.array(start), _REACH
    for _ in range(_MOST):
        if _merit(search, at) == np.inf or (not search.sloped(place_of(at)) and reach == _REACH):
            return  # no answer there, or the valley is known
        known = functions_of(search)
        assert known is not None
        box = np.clip([at - reach, at + reach], 0.0, 1.0)
        there = minima(known[0], _MARGIN, at[None], seed, box)[0]
        if float(np.abs(there - at).max()) < _END:
            return
        if _merit(search, there) < _merit(search, at):
            at = there
        else:
            reach /= 2


def _merit(search: Searched, at: Array) -> float:
    """What is sought as its logarithm, with what exceeds limits; infinite where there is no
    answer."""
    trial, place = search.trial(at), place_of(at)
    used = search.used(place)
    if not (used and trial.weight > 0):
        return np.inf
    scale = Scale(list(values_of(search).values()))
    return scale(search.value(trial)) + _DEAR * max(0.0, *map(logarithm, used.values()))
