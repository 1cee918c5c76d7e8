"""Texts in any script: a font that has their characters, and lines no longer than their room.

The figures' own font has Latin, Greek and Cyrillic. For other scripts the fonts of the system are
looked through, once for each text that needs it.
"""

from __future__ import annotations

import textwrap
import warnings
from collections.abc import Iterable
from functools import lru_cache
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from matplotlib.figure import Figure

OWN = "DejaVu Sans"
#: A font of boxes that stand for characters it does not know.
_BOXES = "Last Resort"
#: Mean width of a letter, by the font's size.
_LETTER = 0.6


class FontWarning(UserWarning):
    """No font of this machine has a text's characters."""


def use_fonts_that_have(figure: Figure) -> None:
    """Give texts with characters that the figures' own font lacks another one after it.

    Warns with `FontWarning` where the machine has none; the text then shows boxes.
    """
    from matplotlib.text import Text

    lacking = ""
    for text in figure.findobj(Text):
        assert isinstance(text, Text)
        missing = _missing(OWN, text.get_text())
        if not missing:
            continue
        families, rest = fonts_with(missing)
        lacking += rest
        if families:
            text.set_fontfamily([OWN, *families])
    if lacking:
        shown = "".join(dict.fromkeys(lacking))[:12]
        warnings.warn(
            f"no font on this machine has {shown!r}, which the figure shows as boxes; install one "
            "of that script, or write the figure as .svg, where the reader's own fonts are used",
            FontWarning,
            stacklevel=2,
        )


def within(text: str, width: float, size: float) -> tuple[str, float]:
    """A title that fits a width in inches, and its font size in points: the given one, or two
    smaller lines (the end of a text longer than these is left out)."""
    if len(text) <= 72 * width / (_LETTER * size):
        return text, size
    small = 0.7 * size
    most = max(int(72 * width / (_LETTER * small)), 12)
    return "\n".join(textwrap.wrap(text, most, max_lines=2, placeholder=" \u2026")), small


def fonts_with(characters: str) -> tuple[tuple[str, ...], str]:
    """Families of fonts on this machine that have these characters among them, as few as may be
    found, and the characters that none has."""
    found = font_with(characters)
    if found is not None:
        return (found,), ""
    owners = {c: font_with(c) for c in dict.fromkeys(characters)}
    families = dict.fromkeys(family for family in owners.values() if family is not None)
    return tuple(families), "".join(c for c in characters if owners[c] is None)


@lru_cache(maxsize=256)
def font_with(characters: str) -> str | None:
    """Family of a font on this machine that has all of these characters, None if there is none."""
    from matplotlib.font_manager import fontManager

    for entry in sorted(fontManager.ttflist, key=lambda font: font.name):
        plain = entry.style == "normal" and not entry.name.startswith(_BOXES)
        if plain and not _lacks(entry.fname, characters):
            return entry.name
    return None


@lru_cache(maxsize=1024)
def _missing(family: str, text: str) -> str:
    """The printable characters of a text that a font family lacks."""
    from matplotlib.font_manager import findfont

    return "".join(_lacks(findfont(family), text)) if not text.isascii() else ""


def _lacks(file: str, text: Iterable[str]) -> list[str]:
    from matplotlib.ft2font import FT2Font

    try:
        font = FT2Font(file)
    except (OSError, RuntimeError):  # a damaged font on the machine is not one to use
        return list(text)
    return [c for c in text if not c.isspace() and not font.get_char_index(ord(c))]
