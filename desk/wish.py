"""What stands in a message of the page, checked: it may come from anything that has the address."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Any

from ..geometry.errors import InputError

#: No coordinate or force is larger.
_LARGEST = 1e12


def whole(value: Any, name: str) -> int:
    """A whole number."""
    if isinstance(value, bool) or not isinstance(value, int) or abs(value) > 2**53:
        raise InputError(f"{name} is a whole number")
    return value


def real(value: Any, name: str) -> float:
    """A finite number."""
    if isinstance(value, bool) or not isinstance(value, (int, float)):
        raise InputError(f"{name} is a number")
    if not math.isfinite(value) or abs(value) > _LARGEST:
        raise InputError(f"{name} is a number up to {_LARGEST:g}")
    return float(value)


def point(message: Mapping[str, Any], name: str) -> tuple[float, float]:
    """Two numbers."""
    value = message.get(name)
    if not isinstance(value, list) or len(value) != 2:
        raise InputError(f"{name} is two numbers")
    return real(value[0], name), real(value[1], name)


def text_of(message: Mapping[str, Any], name: str) -> str:
    """A text."""
    value = message.get(name)
    if not isinstance(value, str):
        raise InputError(f"{name} is a text")
    return value
