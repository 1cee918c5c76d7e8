"""Drawings with something changed in what they say, in the form that their kind asks for.

Behind the first check lie loops of references, entities of no size, and numbers of another size; a
change of bytes seldom leads there.
"""

from __future__ import annotations

import json
import random
import re
import xml.etree.ElementTree as ElementTree
from collections.abc import Sequence

from .statement_change import changed

_NUMBERS = (
    "0", "-1", "1e12", "-1e300", "1e-300", "nan", "inf", "1e999", "", "x", "7.5", "360", "1e6",
    "1e-6"
)  # fmt: skip
_SVG = "http://www.w3.org/2000/svg"
_TRANSFORMS = (
    "scale(0)", "scale(-1 1)", "matrix(1 2 3)", "matrix(1 0 0 0 0 0)", "rotate(nan)", "skewX(90)",
    "translate(1e300)", "scale(1e-9)", "rotate(45 1e9 0)", "none", "scale(2",
    "scale(2 3) skewY(30)",
    "matrix(1e200 0 0 1e200 0 0)",
)  # fmt: skip
_PATHS = (
    "M0 0", "M0 0z", "M0 0L10 0L10 10z", "M0 0A0 5 0 0 1 9 9z", "M0 0A1e9 1e9 0 1 1 1 0z",
    "M0 0h1e300z",
    "M0 0C0 0 0 0 0 0z", "m1 1zm2 2z", "M0 0A5 5 0 0 0 0 0z", "M.5.5.5 9-9z",
    "M0 0Q5 5 10 0T20 0z", "L1 1",
    "M0 0L10 0L10 10z" * 200, "M0,0 L1e-320,0 L0,1z", "M0 0S1 1 2 0z",
)  # fmt: skip
_SIZES = ("0", "-5mm", "10furlong", "50%", "1e9mm", "nan", "3em", "", "1e-9mm", "10 mm")
_WORDS = (
    "''",
    "'\\X2\\D800\\X0\\'",
    "'\\S\\'",
    "$",
    "*",
    "()",
    "((()))",
    ".T.",
    "(1.,2.,3.)",
    "1.E400",
    "'x",
)


def restated_drawing(data: bytes, rng: random.Random, kind: str) -> bytes:
    """A drawing of a kind (".dxf", ".svg", ".geojson", ".ifc") that says something else."""
    return {".dxf": _dxf, ".svg": _svg, ".geojson": _geojson, ".ifc": _ifc}[kind](data, rng)


def _times(rng: random.Random) -> range:
    return range(rng.choice([1, 1, 1, 2, 3]))


# -- DXF -------------------------------------------------------------------------------------------
def _dxf(data: bytes, rng: random.Random) -> bytes:
    """Group codes with their values, entity by entity."""
    lines = data.decode().splitlines()
    pairs = [[code, value] for code, value in zip(lines[::2], lines[1::2], strict=False)]
    begins = [k for k, (code, _) in enumerate(pairs) if code.strip() == "0"]
    names = [value for code, value in pairs if code.strip() == "2"]
    half = next(k for k, pair in enumerate(pairs) if pair[1].strip() in ("BLOCKS", "ENTITIES"))
    for _ in _times(rng):
        k = rng.randrange(half, len(pairs))
        change = rng.random()
        if change < 0.35:  # a coordinate, a size, an angle, a count
            sizes = [p for p in pairs[half:] if re.fullmatch(r"\s*[1-7]\d\s*", p[0])]
            rng.choice(sizes or pairs)[1] = rng.choice(_NUMBERS)
        elif change < 0.5:  # a block inserted into itself or another
            rng.choice([p for p in pairs[half:] if p[0].strip() == "2"])[1] = rng.choice(names)
        elif change < 0.6:
            pairs[k][0] = rng.choice(["0", "2", "10", "42", "100", "330", "999", "-5", "x"])
        elif change < 0.7:
            del pairs[k]
        elif change < 0.85:  # an entity again, often
            start = rng.choice(begins[:-1])
            end = next(b for b in begins if b > start)
            pairs[start:start] = [[*p] for p in pairs[start:end] * rng.choice([1, 1, 2, 100])]
        else:  # an entity of another kind
            kinds = [p for p in pairs[half:] if p[0].strip() == "0"]
            one, other = rng.choice(kinds), rng.choice(kinds)
            one[1], other[1] = other[1], one[1]
    return "".join(f"{code}\n{value}\n" for code, value in pairs).encode()


# -- SVG -------------------------------------------------------------------------------------------
def _svg(data: bytes, rng: random.Random) -> bytes:
    """Elements and their attributes."""
    ElementTree.register_namespace("", _SVG)
    root = ElementTree.fromstring(data)
    for n, element in enumerate(root.iter()):
        element.attrib.setdefault("id", f"e{n}")
    for _ in _times(rng):
        every = list(root.iter())
        one, other = rng.choice(every), rng.choice(every)
        change = rng.random()
        if change < 0.3:
            key = rng.choice(list(one.attrib))
            found = list(re.finditer(r"-?[\d.]+", one.attrib[key]))
            if found:
                at, value = rng.choice(found), one.attrib[key]
                one.attrib[key] = value[: at.start()] + rng.choice(_NUMBERS) + value[at.end() :]
        elif change < 0.4:
            one.attrib["transform"] = rng.choice(_TRANSFORMS)
        elif change < 0.5:
            one.attrib["d"] = rng.choice(_PATHS)
        elif change < 0.6:
            one.attrib[rng.choice(["width", "height", "r", "rx", "x", "viewBox"])] = rng.choice(
                _SIZES
            )
        elif change < 0.75:  # what is used may be what it stands in, or go round
            name = rng.choice(every).attrib["id"]
            one.append(ElementTree.Element(f"{{{_SVG}}}use", {"href": f"#{name}", "id": "u"}))
        elif change < 0.85:
            one.tag, other.tag = other.tag, one.tag
        elif change < 0.95:
            copy = ElementTree.fromstring(ElementTree.tostring(one))
            other.extend([copy] * rng.choice([1, 1, 3, 100]))
        else:
            one.attrib["style"] = rng.choice(
                ["display:none", "transform:scale(2)", "fill:none", ";:"]
            )
    return ElementTree.tostring(root)


# -- GeoJSON and IFC -------------------------------------------------------------------------------
def _geojson(data: bytes, rng: random.Random) -> bytes:
    tree = json.loads(data)
    changed(tree, rng)
    return json.dumps(tree, default=str).encode()


def _ifc(data: bytes, rng: random.Random) -> bytes:
    """What entities refer to and hold, and what they are."""
    text = data.decode()
    for _ in _times(rng):
        change = rng.random()
        if change < 0.4:  # to another, to itself, to none
            text = _swapped(text, r"(?<=[(,])#\d+", rng, ["#999", "$"])
        elif change < 0.6:
            text = _swapped(text, r"(?<==)IFC\w+", rng, ["IFCNOTHING", "ifccircle"])
        elif change < 0.85:
            text = _swapped(text, r"(?<=[(,])(?:'[^']*'|-?[\d.]+|\.\w+\.|\$)(?=[,)])", rng, _WORDS)
        else:  # an argument less, or one more
            text = _swapped(text, r",(?:'[^']*'|-?[\d.]+|#\d+)(?=[,)])", rng, ["", ",$", ",1.,1."])
    return text.encode()


def _swapped(text: str, pattern: str, rng: random.Random, words: Sequence[str]) -> str:
    """One match in the place of another, or a word there."""
    found = list(re.finditer(pattern, text))
    if not found:
        return text
    at = rng.choice(found)
    new = rng.choice(words) if rng.random() < 0.4 else rng.choice(found).group()
    return text[: at.start()] + new + text[at.end() :]
