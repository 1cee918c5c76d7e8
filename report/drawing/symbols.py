"""Symbols in the texts of figures, set as in a book: V_y with its index lowered."""

from __future__ import annotations

import re

_SYMBOLS = re.compile(
    r"(?<![\w$\\])(?:(?P<greek>[τσ])|(?P<latin>[MVTRICJA]))_(?P<index>xy|zx|zy|[xyzwtv12])(?!\w)"
)
_GREEK = {"τ": r"\tau", "σ": r"\sigma"}


def typeset(text: str) -> str:
    """The text for an artist with ``parse_math=True``: symbols set, any dollar sign kept as one.

    >>> print(typeset("shear V_y of $5"))
    shear $V_{y}$ of \\$5
    """
    plain = text.replace("$", r"\$")
    return _SYMBOLS.sub(lambda m: f"${_GREEK.get(m['greek'], m['latin'])}_{{{m['index']}}}$", plain)
