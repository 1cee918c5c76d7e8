"""Faces and heights of a section in words.

::

    place = "left face"                      # the plane that touches the section from the left
    place = "right face, 60 mm below top"    # or above bottom, above middle, below middle
    place = "top"                            # middle of the material at the top; also "bottom"
    place = "top, 40 mm from left"           # or from right, left of middle, right of middle
    place = "web, 100 mm below top"          # middle of the web's thickness at that height
    place = "left web, right face"           # two webs or more: the first; its right surface
    level = "top"                            # bottom, middle, shear centre, centroid
    level = "100 mm below top"

They follow the section where another takes its place: in size, compare and sweep.
"""

from __future__ import annotations

import re
from typing import Literal

from ....geometry.errors import InputError
from ....geometry.units import Units
from ..model.faces import Face, Height, Reference

_FACE = re.compile(
    r"(?:(left|right)\s+)?web(?:,?\s+(left|right)\s+face)?|(left|right|top|bottom)(?:\s+face)?"
)
_HEIGHT = re.compile(r"(.+?)\s+(above|below)\s+(?:the\s+)?(.+)")
_ACROSS = re.compile(r"(.+?)\s+(?:from\s+(left|right)|(left|right)\s+of\s+(?:the\s+)?middle)")
_REFERENCES: dict[str, Reference] = {
    "top": "top",
    "bottom": "bottom",
    "middle": "middle",
    "mid-height": "middle",
    "shear centre": "shear_centre",
    "centroid": "centroid",
}
_HINT = (
    'write "left face", "right face", "top", "bottom" or "web", and after a comma '
    '"100 mm below top" or "40 mm from left"'
)


def is_face(text: str) -> bool:
    """Whether a text begins like the name of a face."""
    return bool(_split(text)[0])


def _split(text: str) -> tuple[re.Match[str] | None, str]:
    """The face at the start of a text, and what follows it."""
    words = " ".join(text.split())
    found = _FACE.match(words)
    rest = words[found.end() :] if found else ""
    if found and rest and not rest.startswith(","):
        return None, ""
    return found, rest.lstrip(", ")


def face_of(text: str, units: Units, what: str) -> Face:
    """A place on a face.

    Raises
    ------
    InputError, UnitError
        Words that name no face, or no distance along it.
    """
    found, rest = _split(text)
    if found is None:
        raise InputError(f"{what}: {text[:60]!r} names no face; {_HINT}")
    which, surface, side = found.groups()
    kind = side or f"{which} web".replace("None ", "")
    if surface:
        kind = f"{kind} {surface} face"
    if side in ("top", "bottom"):
        return _horizontal(side, rest, text, units, what)
    height = height_of(rest, units, what) if rest else Height("middle")
    return Face(kind, height, words=text)


def _horizontal(side: str, rest: str, text: str, units: Units, what: str) -> Face:
    if not rest:
        return Face(side, words=text)
    found = _ACROSS.fullmatch(rest)
    if not found:
        raise InputError(
            f'{what}: {rest[:60]!r} is no place along the {side}; write "40 mm from left", '
            '"from right", "left of middle" or "right of middle"'
        )
    size = units.read(found[1], "length", what=what, bare=units.bare)
    if found[2]:
        edge: Literal["left", "right"] = "left" if found[2] == "left" else "right"
        return Face(side, across=size, side=edge, words=text)
    return Face(side, across=-size if found[3] == "left" else size, words=text)


def height_of(text: str, units: Units, what: str) -> Height:
    """A height: "top", or so far above or below a reference."""
    words = " ".join(text.split())
    if words.startswith("at "):
        words = words[3:]
    if words in _REFERENCES:
        return Height(_REFERENCES[words])
    found = _HEIGHT.fullmatch(words)
    if not found or found[3] not in _REFERENCES:
        raise InputError(
            f"{what}: {text[:60]!r} is no height; write a length, or "
            f'{", ".join(map(repr, _REFERENCES))}, or "100 mm below top"'
        )
    size = units.read(found[1], "length", what=what, bare=units.bare)
    return Height(_REFERENCES[found[3]], size if found[2] == "above" else -size)
