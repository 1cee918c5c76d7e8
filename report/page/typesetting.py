"""Symbols and numbers of the terminal's tables, set as they are printed in books."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from markupsafe import Markup

_GREEK = {"alpha": "α", "beta": "β", "nu": "ν", "tau": "τ", "int": "∫"}
_WORD = re.compile(r"[A-Za-zα-ωΑ-Ω]+(?:_[\w,]+)?|[^A-Za-zα-ωΑ-Ω]+")
_POWER = re.compile(r"(?<=\d)e(-?\d+)")
_RAISED = str.maketrans("0123456789-", "⁰¹²³⁴⁵⁶⁷⁸⁹⁻")
_HYPHEN = re.compile(r"(?<![\w.])-(?=[\d.])")


def symbol(text: str) -> Markup:
    """A symbol with its index lowered: "C_w = I_w", "beta_x", "T / int|tau| dA".

    >>> str(symbol("beta_x"))
    '<i>β</i><sub>x</sub>'
    """
    from markupsafe import Markup, escape

    parts = []
    for piece in _WORD.findall(text):
        base, _, index = piece.partition("_")
        if not base or not base[0].isalpha():
            parts.append(escape(piece))
            continue
        letter = escape(_GREEK.get(base, base))
        plain = base in ("int", "none")
        parts.append(letter if plain else Markup("<i>") + letter + Markup("</i>"))
        if index:
            parts.append(Markup("<sub>") + escape(index) + Markup("</sub>"))
    return Markup("").join(parts)


def figure(text: str) -> str:
    """Exponents as powers of ten, hyphens before digits as minus signs.

    >>> figure("-83.5632e-6"), figure("within 8.7e-07")
    ('−83.5632 × 10⁻⁶', 'within 8.7 × 10⁻⁷')
    """

    def raised(match: re.Match[str]) -> str:
        return f" × 10{str(int(match[1])).translate(_RAISED)}"

    return _HYPHEN.sub("−", _POWER.sub(raised, text))
