"""Symbols and numbers of the terminal's tables, set as they are printed in books."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from markupsafe import Markup

_GREEK = {"alpha": "α", "beta": "β", "nu": "ν", "tau": "τ", "int": "∫"}
_WORD = re.compile(r"[A-Za-zα-ωΑ-Ω]+(?:_[\w,]+)?|[^A-Za-zα-ωΑ-Ω]+")
#: Symbols that sentences of this program hold.
_SYMBOLS = re.compile(
    r"(?<![\w_])(?:[WTCIiAEJqx]_(?:T,away|T|el|pl|w|x|y|xy|s|c|gross|t|p|0)"
    r"|[MVIRF]_[xyz]|m_t|beta_[xy]|tau_y|A_v,[xy]|y_s)(?![\w])"
)
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


def running(text: str) -> Markup:
    """A sentence with its numbers and the symbols in it set as in a book.

    Only symbols of this trade are touched: a name such as deck_2 stays as its owner wrote it.

    >>> str(running("at most T / W_T = 3e-06, see <deck_2>"))
    'at most T / <i>W</i><sub>T</sub> = 3 × 10⁻⁶, see &lt;deck_2&gt;'
    """
    from markupsafe import Markup, escape

    return Markup(_SYMBOLS.sub(lambda m: str(symbol(m[0])), str(escape(figure(text)))))


def figure(text: str) -> str:
    """Exponents as powers of ten, hyphens before digits as minus signs.

    >>> figure("-83.5632e-6"), figure("within 8.7e-07")
    ('−83.5632 × 10⁻⁶', 'within 8.7 × 10⁻⁷')
    """

    def raised(match: re.Match[str]) -> str:
        return f" × 10{str(int(match[1])).translate(_RAISED)}"

    text = text.replace("int|tau|", "∫|τ|")
    return _HYPHEN.sub("−", _POWER.sub(raised, text))
