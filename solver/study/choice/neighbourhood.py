"""Places of the unit cube that ranges make, and how a search ended there."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]
Place = tuple[float, ...]

#: Halvings toward a border.
_BORDER = 7
#: Share of every range within which slopes of one place serve another.
NEAR = 0.03


@dataclass(frozen=True, slots=True)
class Ending:
    """How a search ended.

    Attributes
    ----------
    converged : bool
        Whether no better place was in sight; False where the number of solutions was used up.
    sloped : int
        Members solved for slopes, beside places.
    solved : int
        Places solved.
    """

    converged: bool
    sloped: int
    solved: int


def place_of(at: Sequence[float] | Array) -> Place:
    """The nearest place of the cube, free of rounding."""
    return tuple(round(float(min(max(a, 0.0), 1.0)), 9) for a in at)


def far_from(known: Iterable[Place], sample: Array) -> list[Array]:
    """The places of a sample (m, n) that are farthest from all known ones, the farthest first."""
    own = np.array(list(known))
    near = np.linalg.norm(sample[:, None] - own[None], axis=2).min(axis=1)
    return [sample[k] for k in np.argsort(-near)[:32]]


def near(one: Place, other: Place) -> bool:
    """Whether slopes at one place serve the other too."""
    return max(abs(a - b) for a, b in zip(one, other, strict=True)) < NEAR


def beside_border(good: Array, bad: Array, valid: Callable[[Array], bool]) -> tuple[Array, Array]:
    """Places close to each other on either side of the border between one without a section and one
    with it, in this order."""
    for _ in range(_BORDER):
        middle = (good + bad) / 2
        good, bad = (middle, bad) if valid(middle) else (good, middle)
    return bad, good
