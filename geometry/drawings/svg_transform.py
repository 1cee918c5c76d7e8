"""Affine maps of SVG: the transform attribute, and lengths with CSS units."""

from __future__ import annotations

import math
import re
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import ArrayLike

from ..errors import FileFormatError
from .stroke import Array

NUMBER = r"[+-]?(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d+)?"
_CALL = re.compile(r"\s*,?\s*([A-Za-z]+)\s*\(([^()]*)\)")
_LENGTH = re.compile(rf"\s*({NUMBER})\s*([A-Za-z%]*)\s*")
#: A length is short; the pattern would retry a long run of digits at every place of it.
_LONGEST = 60
_MOST_MAPS = 100

#: CSS: 96 px to the inch. Physical units of a width or height, as (our unit, factor).
PHYSICAL = {
    "mm": ("mm", 1.0),
    "cm": ("cm", 1.0),
    "in": ("in", 1.0),
    "pt": ("in", 1 / 72),
    "pc": ("in", 1 / 6),
    "q": ("mm", 0.25),
}
_ANGLES = {"deg": 1.0, "": 1.0, "rad": 180 / math.pi, "grad": 0.9, "turn": 360.0}
PIXELS = {
    "": 1.0,
    "px": 1.0,
    "in": 96.0,
    "cm": 96 / 2.54,
    "mm": 96 / 25.4,
    "pt": 96 / 72,
    "pc": 16.0,
}


@dataclass(frozen=True, slots=True, eq=False)
class Affine:
    """The map x -> matrix x + offset; unlike a placement it may shear."""

    matrix: Array
    offset: Array

    @classmethod
    def of(cls, a: float, b: float, c: float, d: float, e: float = 0.0, f: float = 0.0) -> Affine:
        """SVG's matrix(a b c d e f)."""
        return cls(np.array([[a, c], [b, d]], dtype=float), np.array([e, f], dtype=float))

    def inner(self, first: Affine) -> Affine:
        """This map after `first`: the map of an element inside a group."""
        return Affine(self.matrix @ first.matrix, self.matrix @ first.offset + self.offset)

    def points(self, points: ArrayLike) -> Array:
        """Images of (n, 2) points."""
        image: Array = np.asarray(points, dtype=float).reshape(-1, 2) @ self.matrix.T + self.offset
        return image

    def vector(self, vector: ArrayLike) -> Array:
        """Image of a direction."""
        image: Array = self.matrix @ np.asarray(vector, dtype=float)
        return image


def parse_transform(text: str) -> Affine:
    """The map of a transform attribute: matrix, translate, scale, rotate, skewX, skewY, one after
    another."""
    result, at = Affine.of(1, 0, 0, 1), 0
    text = text.strip()
    for _ in range(_MOST_MAPS):
        if at == len(text):
            return result
        call = _CALL.match(text, at)
        if call is None:
            raise FileFormatError(
                f"cannot read the transform {text[:60]!r}; write it like rotate(30)"
            )
        numbers = re.findall(NUMBER, call.group(2))
        if re.sub(rf"{NUMBER}|[\s,]", "", call.group(2)):
            raise FileFormatError(f"cannot read the numbers of the transform {call.group()[:60]!r}")
        result = result.inner(_single(call.group(1), [float(n) for n in numbers], call.group()))
        at = call.end()
    raise FileFormatError(f"a transform of more than {_MOST_MAPS} maps is not read; simplify it")


def element_transform(element: Any) -> Affine:
    """The map of an element: its style's transform, which rules over its transform attribute.

    An origin of the transform other than (0, 0) is taken where it is given by two lengths.
    """
    parts = [part.partition(":") for part in element.get("style", "").split(";")]
    style = {key.strip().lower(): value.strip() for key, _, value in parts}
    for word in ("translate", "rotate", "scale"):
        if style.get(word, "none") != "none":
            raise FileFormatError(
                f"the style property {word!r} is not read; write it as transform: {word}(...)"
            )
    text = style.get("transform")
    affine = parse_transform(element.get("transform", "") if text is None else _plain(text))
    origin = style.get("transform-origin", element.get("transform-origin"))
    if origin is None or np.array_equal(affine.matrix, np.eye(2)):
        return affine
    words = origin.split()
    if len(words) != 2 or not all(_LENGTH.fullmatch(w[:_LONGEST]) for w in words):
        raise FileFormatError(
            f"the transform-origin {origin[:60]!r} is not read; give two lengths, like 10px 20px"
        )
    about = np.array([pixels(w) for w in words])
    return Affine(affine.matrix, affine.offset + about - affine.matrix @ about)


def _plain(text: str) -> str:
    """A style's transform as the attribute has it: no units, x and y in one."""
    if text == "none":
        return ""
    out = []
    for word, inside in _CALL.findall(text):
        values = [v.strip() for v in re.split(r"[,\s]+", inside.strip()) if v.strip()]
        if word.startswith(("rotate", "skew")):
            numbers = [_degrees(v) for v in values]
        elif word.startswith(("translate", "matrix")):
            numbers = [pixels(v) for v in values]
        else:
            numbers = [_share(v) for v in values]
        if word in ("translateX", "translateY", "scaleX", "scaleY") and len(numbers) == 1:
            rest = 0.0 if word.startswith("translate") else 1.0
            numbers = [*numbers, rest] if word.endswith("X") else [rest, *numbers]
            word = word[:-1]
        out.append(f"{word}({' '.join(repr(n) for n in numbers)})")
    if re.sub(_CALL, "", text).strip():
        raise FileFormatError(f"cannot read the transform {text[:60]!r}; write it like rotate(30)")
    return " ".join(out)


def _degrees(text: str) -> float:
    match = _LENGTH.fullmatch(text[:_LONGEST])
    factor = _ANGLES.get(match.group(2).lower()) if match else None
    if match is None or factor is None:
        raise FileFormatError(f"cannot read the angle {text[:40]!r}; write it like 30deg")
    return float(match.group(1)) * factor


def _share(text: str) -> float:
    match = _LENGTH.fullmatch(text[:_LONGEST])
    if match is None or match.group(2) not in ("", "%"):
        raise FileFormatError(f"cannot read the scale {text[:40]!r}; write it as a number")
    return float(match.group(1)) / (100.0 if match.group(2) else 1.0)


def _single(word: str, n: list[float], text: str) -> Affine:
    if word == "matrix" and len(n) == 6:
        return Affine.of(*n)
    if word == "translate" and len(n) in (1, 2):
        return Affine.of(1, 0, 0, 1, n[0], n[1] if len(n) == 2 else 0.0)
    if word == "scale" and len(n) in (1, 2):
        return Affine.of(n[0], 0, 0, n[-1])
    if word == "rotate" and len(n) in (1, 3):
        c, s = _cos_sin(n[0])
        turn = Affine.of(c, s, -s, c)
        if len(n) == 1:
            return turn
        about = np.array(n[1:])
        return Affine(turn.matrix, about - turn.matrix @ about)
    if word in ("skewX", "skewY") and len(n) == 1:
        t = math.tan(math.radians(n[0]))
        return Affine.of(1, 0, t, 1) if word == "skewX" else Affine.of(1, t, 0, 1)
    raise FileFormatError(
        f"cannot read the transform {text.strip()[:60]!r}; write it like rotate(30)"
    )


def _cos_sin(degrees: float) -> tuple[float, float]:
    """Exact at quarter turns, where the radians of pi are not."""
    if math.isfinite(degrees) and degrees % 90 == 0:
        return [(1.0, 0.0), (0.0, 1.0), (-1.0, 0.0), (0.0, -1.0)][int(degrees / 90) % 4]
    angle = math.radians(degrees)
    return math.cos(angle), math.sin(angle)


def pixels(text: str | None, default: float = 0.0) -> float:
    """A length attribute in user units."""
    if text is None:
        return default
    match = _LENGTH.fullmatch(text[:_LONGEST])
    if match is None or match.group(2).lower() not in PIXELS:
        raise FileFormatError(
            f"cannot read the length {text[:40]!r}; write it as a number, like 12.5"
        )
    return float(match.group(1)) * PIXELS[match.group(2).lower()]


def physical(text: str | None) -> tuple[float, str] | None:
    """A width or height in one of our units, None where it has no physical unit."""
    match = _LENGTH.fullmatch((text or "")[:_LONGEST])
    if match is None or match.group(2).lower() not in PHYSICAL:
        return None
    unit, factor = PHYSICAL[match.group(2).lower()]
    return float(match.group(1)) * factor, unit
