"""Symbols in the texts of figures, set as in a book: V_y with its index lowered."""

from __future__ import annotations

import re

_SYMBOLS = re.compile(
    r"(?<![\w$\\])(?:(?P<greek>[τσ])|(?P<latin>[MVTRICJA]))_(?P<index>xy|zx|zy|[xyzwtv12])(?!\w)"
)
_GREEK = {"τ": r"\tau", "σ": r"\sigma"}
#: What mathtext makes of a letter's size in its index, and from which size on that is six points.
INDEX = 0.7
LEAST_TYPESET = 8.6


def runs(text: str) -> list[tuple[str, bool]]:
    """The text in pieces, and which of them are indices to be lowered.

    >>> runs("shear V_y (kN)")
    [('shear ', False), ('$V$', False), ('$_{y}$', True), (' (kN)', False)]
    """
    found, end = [], 0
    for m in _SYMBOLS.finditer(text):
        letter = f"${_GREEK.get(m['greek'], m['latin'])}$"
        found += [(text[end : m.start()].replace("$", r"\$"), False), (letter, False)]
        found.append((f"$_{{{m['index']}}}$", True))
        end = m.end()
    found.append((text[end:].replace("$", r"\$"), False))
    return [piece for piece in found if piece[0]]


def typeset(text: str) -> str:
    """The text for an artist with ``parse_math=True``: symbols set, any dollar sign kept as one.

    >>> print(typeset("shear V_y of $5"))
    shear $V_{y}$ of \\$5
    """
    plain = text.replace("$", r"\$")
    return _SYMBOLS.sub(lambda m: f"${_GREEK.get(m['greek'], m['latin'])}_{{{m['index']}}}$", plain)
