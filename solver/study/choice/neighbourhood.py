"""Places of the unit cube that ranges make, those next to one, and how a search ended there."""

from __future__ import annotations

import itertools
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]
Place = tuple[float, ...]

#: Share of every range by which neighbours lie apart.
STEP = 0.02


@dataclass(frozen=True, slots=True)
class Ending:
    """How a search ended.

    Attributes
    ----------
    converged : bool
        Whether no better place was in sight; False where the number of solutions was used up.
    checked : int
        Neighbours that would be better, solved with every limit: all break one.
    solved : int
    """

    converged: bool
    checked: int
    solved: int


def place_of(at: Sequence[float] | Array) -> Place:
    """The nearest place of the cube, free of rounding."""
    return tuple(round(float(min(max(a, 0.0), 1.0)), 9) for a in at)


def far_from(known: Iterable[Place], sample: Array) -> list[Array]:
    """The places of a sample (m, n) that are farthest from all known ones, the farthest first."""
    own = np.array(list(known))
    near = np.linalg.norm(sample[:, None] - own[None], axis=2).min(axis=1)
    return [sample[k] for k in np.argsort(-near)[:32]]


def around(place: Place) -> Iterator[Array]:
    """Each dimension a step up or down, alone first, then with another one."""
    moves = [np.array(m) for m in itertools.product((-1, 0, 1), repeat=len(place))]
    seen = {place}  # at the end of a range several steps lead to one place
    for many in (1, 2):
        for move in moves:
            at = np.clip(np.array(place) + STEP * move, 0.0, 1.0)
            if np.abs(move).sum() == many and place_of(at) not in seen:
                seen.add(place_of(at))
                yield at
