"""Derivatives of functions that can be evaluated anywhere near: central differences with steps h
and 2h, combined so that the error falls with the fourth power of the step (Richardson, Phil. Trans.
R. Soc. A 210 (1911) 307)."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import ArrayLike, NDArray

Array = NDArray[np.float64]

#: Where the function is evaluated, in steps from the place of the derivative, and the weights of
#: those values by the step.
STEPS = (-2, -1, 1, 2)
WEIGHTS = (1 / 12, -8 / 12, 8 / 12, -1 / 12)


def derivative(values: Sequence[ArrayLike], step: float) -> Array:
    """Derivative from the values at `STEPS` times the step; the values may be arrays.

    Examples
    --------
    >>> round(float(derivative([(3 + k * 0.01) ** 4 for k in STEPS], 0.01)), 9)
    108.0
    """
    total = sum(w * np.asarray(v, dtype=float) for w, v in zip(WEIGHTS, values, strict=True))
    return np.asarray(total / step)


def plain_difference(values: Sequence[ArrayLike], step: float) -> Array:
    """The central difference with the inner two of the same values alone: how far it is from
    `derivative` bounds the truncation error of the better one from above in all but contrived
    cases."""
    return np.asarray((np.asarray(values[2]) - np.asarray(values[1])) / (2 * step))


def unevenness(values: Sequence[ArrayLike], here: ArrayLike) -> tuple[Array, Array]:
    """How far second differences of the values at `STEPS` and of the one between them are apart:
    that in the middle from the mean of the outer two, and these from each other. Of a smooth
    function both are of third and fourth order. One that bends between has the first alone, its
    change of slope times the step; one that jumps, or bends beside, has the second too."""
    below2, below, above, above2 = (np.asarray(v, dtype=float) for v in values)
    outer = below2 - 2 * below + here, here - 2 * above + above2
    middle = below - 2 * np.asarray(here, dtype=float) + above
    return middle - (outer[0] + outer[1]) / 2, outer[1] - outer[0]
