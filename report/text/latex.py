r"""Tables and sentences as LaTeX, for ``\input`` into a document; no package is needed."""

from __future__ import annotations

import re
from collections.abc import Sequence

#: Columns of words wider than this are folded.
_WIDE = 32
_GREEK = (
    "alpha",
    "beta",
    "nu",
    "tau",
    "sigma",
    "omega",
    "phi",
    "theta",
    "lambda",
    "kappa",
    "epsilon",
)
_SYMBOL = re.compile(
    rf"(?<![\w\\])([A-Za-zστω]|{'|'.join(_GREEK)})_([A-Za-z0-9]+(?:,[a-z]+)?)(?![\w])"
)
_BARE_GREEK = re.compile(r"(?<![\w\\])(alpha|beta|nu|tau|sigma|omega|theta)(?!\w)")
_POWER = re.compile(r"(-?\d[\d.]*)e([+-]?\d+)(?!\w)")
_INTEGRAL = re.compile(r"(?<!\w)int(?=\|)")
_RAISED = re.compile("[⁰¹²³⁴⁵⁶⁷⁸⁹⁻]+")
_DIGITS = str.maketrans("⁰¹²³⁴⁵⁶⁷⁸⁹⁻", "0123456789-")
_NEGATIVE = re.compile(r"(?<![\w.\-{^])-(?=[\d.])")
_SPECIAL = {
    "\\": r"\textbackslash{}", "{": r"\{", "}": r"\}", "&": r"\&", "%": r"\%", "$": r"\$",
    "#": r"\#", "_": r"\_", "~": r"\textasciitilde{}", "^": r"\textasciicircum{}",
    "<": "$<$", ">": "$>$", "|": "$|$", "·": r"$\cdot$", "°": r"$^\circ$", "−": "$-$",
    "×": r"$\times$", "≤": r"$\le$", "≥": r"$\ge$", "σ": r"$\sigma$", "τ": r"$\tau$",
    "ω": r"$\omega$", "…": r"\dots{}", "\u00a0": "~", "\u202f": r"\,",
}  # fmt: skip


def heading(title: str, level: int) -> list[str]:
    r"""A heading without a number.

    >>> heading("Limits", 2)
    ['\\subsubsection*{Limits}']
    """
    return [rf"\{'sub' * level}section*{{{escaped(title)}}}"]


def grid(
    head: Sequence[Sequence[str]], rows: Sequence[Sequence[str]], right: Sequence[bool]
) -> list[str]:
    r"""A table between rules.

    >>> print("\n".join(grid([["shape", "A"]], [["W10X49", "14.4"]], [False, True])))
    \par\noindent\begin{tabular}{lr}
    \hline
    shape & A \\
    \hline
    W10X49 & 14.4 \\
    \hline
    \end{tabular}\par
    """
    columns = "".join(
        "r" if side else _column([row[k] for row in rows]) for k, side in enumerate(right)
    )
    return [
        rf"\par\noindent\begin{{tabular}}{{{columns}}}",
        r"\hline",
        *(_line(row) for row in head),
        *([r"\hline"] if head else []),
        *(_line(row) for row in rows),
        r"\hline",
        r"\end{tabular}\par",
    ]


def sentence(text: str, item: bool) -> list[str]:
    """A paragraph, or an item of a list."""
    return [r"\noindent" + (r"\textbullet~" if item else " ") + escaped(text) + r"\par"]


def escaped(text: str) -> str:
    r"""The text with LaTeX's own characters as letters; symbols, powers and signs as mathematics.

    >>> escaped("C_w = 83.5e-6 mm⁶, 5 %")
    '$C_{\\mathrm{w}}$ = $83.5\\times10^{-6}$ mm$^{6}$, 5 \\%'
    >>> escaped("width 3.3e-06, T / int|tau| dA")
    'width $3.3\\times10^{-6}$, T / $\\int$$|$$\\tau$$|$ dA'
    """
    kept: list[str] = []

    def keep(formula: str) -> str:
        kept.append(f"${formula}$")
        return chr(0xE000 + len(kept) - 1)  # a character of nobody, until all else is done

    text = _POWER.sub(lambda m: keep(rf"{m[1]}\times10^{{{int(m[2])}}}"), text)
    text = _INTEGRAL.sub(lambda m: keep(r"\int"), text)
    text = _SYMBOL.sub(lambda m: keep(rf"{_letter(m[1])}_{{\mathrm{{{m[2]}}}}}"), text)
    text = _BARE_GREEK.sub(lambda m: keep(_letter(m[1])), text)
    text = _RAISED.sub(lambda m: keep(f"^{{{m[0].translate(_DIGITS)}}}"), text)
    text = _NEGATIVE.sub(lambda m: keep("-"), text)
    out = "".join(_SPECIAL.get(c, c) for c in text)
    return "".join(kept[ord(c) - 0xE000] if 0xE000 <= ord(c) < 0xF8FF else c for c in out)


def _letter(name: str) -> str:
    if name in _GREEK:
        return f"\\{name}"
    return _SPECIAL.get(name, name).strip("$")


def _column(cells: Sequence[str]) -> str:
    return r"p{0.3\linewidth}" if max(map(len, cells), default=0) > _WIDE else "l"


def _line(cells: Sequence[str]) -> str:
    return " & ".join(map(escaped, cells)) + r" \\"
