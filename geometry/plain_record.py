"""Dataclasses as plain data: what JSON can hold, under the attributes' own names."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import fields, is_dataclass
from typing import Any

import numpy as np


def plain_record(value: Any) -> Any:
    """A value in dictionaries, lists, texts, numbers and None; what is no data is left out.

    Numbers that are none, or without bound, are None. Functions have no place in a record.

    >>> plain_record({"a": (np.float64(1.5), float("nan")), "b": np.arange(2)})
    {'a': [1.5, None], 'b': [0, 1]}
    """
    if is_dataclass(value) and not isinstance(value, type):
        found = {f.name: getattr(value, f.name) for f in fields(value)}
        return {name: plain_record(v) for name, v in found.items() if not callable(v)}
    if isinstance(value, Mapping):
        return {str(key): plain_record(entry) for key, entry in value.items()}
    if isinstance(value, np.ndarray):
        return plain_record(value.tolist())
    if isinstance(value, (list, tuple, set, frozenset)):
        return [plain_record(entry) for entry in value]
    if isinstance(value, (float, np.floating)):
        return float(value) if math.isfinite(value) else None
    if isinstance(value, np.integer):
        return int(value)
    return value if value is None or isinstance(value, (str, int)) else str(value)
