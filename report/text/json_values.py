"""Values of a record as JSON holds them."""

from __future__ import annotations

import math
from typing import Any

import numpy as np


def json_values(value: Any) -> Any:
    """The same in Python's own kinds; numbers that are none, or without bound, are None.

    >>> json_values({"a": (np.float64(1.5), float("nan"))})
    {'a': [1.5, None]}
    """
    if isinstance(value, dict):
        return {key: json_values(entry) for key, entry in value.items()}
    if isinstance(value, (list, tuple)):
        return [json_values(entry) for entry in value]
    if isinstance(value, (float, np.floating)):
        return float(value) if math.isfinite(value) else None
    return value
