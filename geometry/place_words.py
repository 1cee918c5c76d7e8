"""How messages name a place of a section."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike


def place(point: ArrayLike, unit: str) -> str:
    """A point in words: "(3.1, 0.0) mm".

    >>> place((3.1, 0), "mm")
    '(3.1, 0.0) mm'
    """
    x, y = np.asarray(point, dtype=float)
    return f"({_number(x)}, {_number(y)}) {unit}".rstrip()


def _number(value: float) -> str:
    text = f"{value + 0.0:.7g}"  # + 0.0 turns -0.0 into 0.0
    return text if any(c in text for c in ".en") else text + ".0"
