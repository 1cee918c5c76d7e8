"""The settings that every figure is drawn with."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

_STYLE: dict[Any, Any] = {
    "font.family": ["DejaVu Sans", "sans-serif"],
    "svg.fonttype": "none",  # text stays text: searchable, selectable, small
    "text.parse_math": False,  # names are text: a dollar sign starts no mathematics
    "svg.hashsalt": "soapfilm",  # the same section gives the same file
}


@contextmanager
def style() -> Iterator[None]:
    """Text and file settings of every figure."""
    from matplotlib import rc_context

    with rc_context(_STYLE):
        yield
