"""Where the greatest of many values stands."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

#: Values this near to each other (relative) are alike: symmetric members have them in pairs, and
#: rounding must not choose between them.
ALIKE = 1e-9


def greatest(values: NDArray[np.float64]) -> tuple[int, ...]:
    """Index of the greatest value of an array without nan; of values alike, the first."""
    top = float(values.max())
    alike = values >= top - ALIKE * abs(top)
    return tuple(int(i) for i in np.unravel_index(int(alike.argmax()), values.shape))


def falling(values: NDArray[np.float64]) -> list[int]:
    """Indices (n,) from the greatest value to the least; values alike stay in their order."""
    found: list[int] = []
    rest = np.array(values, float)
    while len(found) < len(rest):
        left = np.where(np.isin(np.arange(len(rest)), found), -np.inf, rest)
        found += greatest(left)
    return found
