"""SVG drawings into strokes: paths, basic shapes, groups and transforms.

y points down in SVG and up in a section, so y changes its sign; the origin stays. Fill and stroke
are not looked at: closed contours are sorted by what lies inside what. Named groups are layers. The
XML is read without entities and external references, so no file can make the reader expand or fetch
anything.
"""

from __future__ import annotations

import re
from collections import Counter
from typing import Any
from xml.etree.ElementTree import TreeBuilder

import numpy as np

from ..errors import FileFormatError
from .bounds import MAX_DEPTH, MAX_EDGES, MAX_ENTITIES, MAX_RECORDS, check_count
from .scale import drawing_unit
from .stroke import Sheet, Stroke
from .svg_path import Pen, draw_path
from .svg_transform import NUMBER, Affine, element_transform, physical, pixels

_SVG = "{http://www.w3.org/2000/svg}"
_INKSCAPE = "{http://www.inkscape.org/namespaces/inkscape}"
#: Names that programs give by themselves say nothing about parts.
_AUTOMATIC = re.compile(r"(g|group|layer|svg)?[-_ ]?[\d.-]*", re.IGNORECASE)
_SHAPES = ("path", "rect", "circle", "ellipse", "line", "polyline", "polygon")
_GROUPS = ("g", "a", "switch")
_SHOWN = ("text", "image", "foreignObject")
_REFUSED = {"svg": "a drawing inside the drawing"}
#: What a style sheet may say that would move or hide elements; style sheets are not read.
_SHEET = re.compile(r"[{;]\s*(transform|translate|rotate|scale|display|visibility)\s*:", re.I)
_HREFS = ("href", "{http://www.w3.org/1999/xlink}href")
#: Agreement of kept bulges with the arcs of a path: the radius alone determines them to 1e-8.
_SAME_BULGE = 1e-6


def read_svg(data: bytes, unit: str | None = None) -> Sheet:
    """Strokes of an SVG file.

    The unit comes from a physical width and height with a viewBox, or from `data-length-unit`; with
    `unit` one user unit is one of these.

    Raises
    ------
    FileFormatError
        If the file is not safe, well-formed SVG, or uses what cannot be read.
    UnitError
        If the unit is nowhere named.
    """
    root = _root(data)
    unit, scale, notes = _scale(root, unit)
    passed: Counter[str] = Counter()
    strokes: list[Stroke] = []
    copies = 0
    # style sheets hold for the whole drawing, wherever they stand
    for sheet in root.iter(f"{_SVG}style"):
        _check_sheet(sheet.text or "")
    pending = [(child, scale, "", 1) for child in reversed(root)]
    while pending:
        element, outer, layer, depth = pending.pop()
        word = element.tag.removeprefix(_SVG) if isinstance(element.tag, str) else ""
        if word in _REFUSED:
            raise FileFormatError(
                f"<{word}> ({_REFUSED[word]}) is not read; "
                "turn it into paths in your drawing program"
            )
        if _hidden(element):
            passed["hidden " + word] += 1
        elif word in _SHOWN:
            passed[word] += 1
        elif word in _SHAPES or word in _GROUPS or word == "use":
            affine = outer.inner(element_transform(element))
            if word == "use":
                check_count(depth, MAX_DEPTH, "nested copies")
                copies += 1
                check_count(copies, MAX_ENTITIES, "copies by reference")
                inner = layer or _layer(element)
                copied, affine = _copied(root, element, affine)
                pending += [(child, affine, inner, depth + 1) for child in reversed(copied)]
            elif word in _SHAPES:
                strokes += _strokes(element, word, affine, layer)
                check_count(len(strokes), MAX_ENTITIES, "contours and lines")
            else:
                check_count(depth, MAX_DEPTH, "nested groups")
                inner = layer or _layer(element)
                pending += [(child, affine, inner, depth + 1) for child in reversed(element)]
    if passed:
        notes.append("not read: " + ", ".join(f"{n} {word}" for word, n in sorted(passed.items())))
    return Sheet(tuple(strokes), unit, notes=tuple(notes))


def _check_sheet(text: str) -> None:
    """Refuse a style sheet that moves or hides elements."""
    found = _SHEET.search(text)
    if found:
        raise FileFormatError(
            f"a <style> sheet sets {found.group(1).lower()!r}, which is not read; save the drawing "
            "as plain SVG, with presentation attributes instead of style sheets"
        )


def _copied(root: Any, use: Any, affine: Affine) -> tuple[list[Any], Affine]:
    """What a <use> shows, and its map."""
    href = next((use.get(key) for key in _HREFS if use.get(key)), "")
    if not href.startswith("#"):
        raise FileFormatError(
            f"<use> names {href[:60]!r}, which is not in this file; copy the shape into it"
        )
    target = next((e for e in root.iter() if e.get("id") == href[1:]), None)
    if target is None:
        raise FileFormatError(f"<use> names {href[:60]!r}, but no element has that id; draw it")
    affine = affine.inner(Affine.of(1, 0, 0, 1, pixels(use.get("x")), pixels(use.get("y"))))
    if target.tag != f"{_SVG}symbol":
        return [target], affine
    if target.get("viewBox"):
        raise FileFormatError(
            f"<use> names the symbol {href[:60]!r}, whose viewBox scales it; turn it into paths in "
            "your drawing program"
        )
    return list(target), affine


class _Builder(TreeBuilder):
    """Builds the tree and stops when it grows beyond what a drawing needs."""

    def __init__(self) -> None:
        super().__init__()
        self._count = self._depth = 0

    def start(self, tag: Any, attrs: Any, /) -> Any:
        self._count, self._depth = self._count + 1, self._depth + 1
        check_count(self._count, MAX_RECORDS, "XML elements")
        check_count(self._depth, 4 * MAX_DEPTH, "nested XML elements")
        return super().start(tag, attrs)

    def end(self, tag: str, /) -> Any:
        self._depth -= 1
        return super().end(tag)


def _root(data: bytes) -> Any:
    from defusedxml import DefusedXmlException
    from defusedxml.ElementTree import ParseError, XMLParser

    try:
        # In one piece: expat scans an attribute that spans pieces anew for each of them.
        parser = XMLParser(target=_Builder())
        parser.feed(data)
        root = parser.close()
    except DefusedXmlException as error:
        raise FileFormatError(
            "the file declares XML entities or external references, which are refused for safety; "
            "save it as plain SVG"
        ) from error
    except ParseError as error:
        raise FileFormatError(f"this is not well-formed SVG ({error}); save it again") from error
    if root.tag not in (f"{_SVG}svg", "svg"):
        raise FileFormatError("this is not an SVG file: its root element is not <svg>")
    if root.tag == "svg":
        raise FileFormatError(f"the <svg> element lacks xmlns={_SVG[1:-1]!r}; add it")
    return root


def _scale(root: Any, asked: str | None) -> tuple[str, Affine, list[str]]:
    """Unit, and the map from user units to it with y turned up."""
    own = root.get("data-length-unit")
    size = [physical(root.get(word)) for word in ("width", "height")]
    declared, factors = own, [1.0, 1.0]
    if own is None and size[0] and size[1] and size[0][1] == size[1][1]:
        declared = size[0][1]
        factors = _factors(root, size[0][0], size[1][0], declared)
    unit, notes = drawing_unit(asked, declared, "width and height of <svg> carry no mm, cm or in")
    if unit != declared:
        factors = [1.0, 1.0]
    x, y = (1.0 if abs(f - 1) < 1e-12 else f for f in factors)
    return unit, Affine.of(x, 0, 0, -y), notes


def _factors(root: Any, width: float, height: float, unit: str) -> list[float]:
    """Length of one user unit along x and y."""
    box = root.get("viewBox")
    if box is None:
        return [{"mm": 25.4, "cm": 2.54, "in": 1.0}[unit] / 96.0] * 2
    numbers = [float(n) for n in re.findall(NUMBER, box)]
    if len(numbers) != 4 or not (0 < numbers[2] < np.inf and 0 < numbers[3] < np.inf):
        raise FileFormatError(
            f"the viewBox {box[:60]!r} is not four numbers with a positive width and height"
        )
    x, y = width / numbers[2], height / numbers[3]
    if not (0 < x < np.inf and 0 < y < np.inf):
        raise FileFormatError(
            f"width and height of <svg> must be positive, got {width:g} and {height:g} {unit}"
        )
    fit = root.get("preserveAspectRatio", "").split()
    if "none" in fit:
        return [x, y]
    return [max(x, y) if "slice" in fit else min(x, y)] * 2


def _hidden(element: Any) -> bool:
    style = element.get("style", "").replace(" ", "")
    return (
        element.get("display") == "none"
        or element.get("visibility") == "hidden"
        or "display:none" in style
        or "visibility:hidden" in style
    )


def _layer(element: Any) -> str:
    """The name of a group; "" when it has none or one made up by a program."""
    for key in ("data-layer", f"{_INKSCAPE}label"):
        if element.get(key):
            return str(element.get(key))[:200]
    name = str(element.get("id", ""))[:200]
    return "" if _AUTOMATIC.fullmatch(name) else name


def _strokes(element: Any, word: str, affine: Affine, layer: str) -> list[Stroke]:
    name = f"{word} {element.get('id')[:60]}" if element.get("id") else word
    pen = Pen(affine, layer, name)
    if word == "path":
        draw_path(pen, element.get("d", ""))
        _restore(pen, element.get("data-bulges"), bool(np.linalg.det(affine.matrix) < 0))
    elif word == "rect":
        _rectangle(pen, element)
    elif word in ("circle", "ellipse"):
        rx = pixels(element.get("r" if word == "circle" else "rx"))
        ry = rx if word == "circle" else pixels(element.get("ry"))
        pen.ring((pixels(element.get("cx")), pixels(element.get("cy"))), rx, ry)
    elif word == "line":
        pen.move((pixels(element.get("x1")), pixels(element.get("y1"))))
        pen.line((pixels(element.get("x2")), pixels(element.get("y2"))))
    else:
        _polygon(pen, element.get("points", ""), closed=word == "polygon")
    pen.finish()
    return pen.strokes


def _polygon(pen: Pen, text: str, closed: bool) -> None:
    numbers = [float(n) for n in re.findall(NUMBER, text)]
    if len(numbers) % 2 or re.sub(rf"{NUMBER}|[\s,]", "", text):
        raise FileFormatError(f"cannot read the points {text.strip()[:60]!r}; write x,y pairs")
    check_count(len(numbers), MAX_EDGES, "coordinates in a polygon")
    for k, point in enumerate(np.reshape(numbers, (-1, 2))):
        (pen.line if k else pen.move)(point)
    if closed:
        pen.close()


def _rectangle(pen: Pen, element: Any) -> None:
    x, y, w, h = (pixels(element.get(k)) for k in ("x", "y", "width", "height"))
    if not (w > 0 and h > 0):
        raise FileFormatError(f"a <rect> needs a positive width and height, got {w:g} and {h:g}")
    # One radius alone, or beside "auto", stands for both.
    rx_text, ry_text = (None if (r := element.get(k)) == "auto" else r for k in ("rx", "ry"))
    rx = pixels(rx_text if rx_text is not None else ry_text)
    ry = pixels(ry_text if ry_text is not None else rx_text)
    rx, ry = min(max(rx, 0.0), w / 2), min(max(ry, 0.0), h / 2)
    corners = [(x + rx, y), (x + w - rx, y), (x + w, y + ry), (x + w, y + h - ry)]
    corners += [(x + w - rx, y + h), (x + rx, y + h), (x, y + h - ry), (x, y + ry)]
    pen.move(corners[0])
    for k in range(1, 9):
        corner = corners[k % 8]
        if k % 2 == 0 and rx > 0 and ry > 0:
            pen.arc((rx, ry), 0.0, False, True, corner)
        elif tuple(pen.at) != corner:
            pen.line(corner)
    pen.close()


def _restore(pen: Pen, text: str | None, mirrored: bool) -> None:
    """Bulges that the writer kept beside the arcs, where they agree with them.

    An arc command states a radius; near half circles that leaves the bulge uncertain by the square
    root of the rounding, so the writer gives it as well. A path edited since no longer agrees and
    is taken as drawn.
    """
    if not text:
        return
    runs = [[float(n) for n in re.findall(NUMBER, part)] for part in text.split(";")]
    if len(runs) != len(pen.strokes):
        return
    for k, (stroke, run) in enumerate(zip(pen.strokes, runs, strict=True)):
        # The pen draws in a plane whose y points down, as the kept bulges do; a mirroring map turns
        # both.
        kept = -np.array(run) if mirrored else np.array(run)
        if kept.shape == stroke.bulges.shape and not stroke.curves:
            near = np.abs(kept - stroke.bulges) <= _SAME_BULGE * (1 + stroke.bulges**2)
            if near.all():
                pen.strokes[k] = stroke.replaced(stroke.points, kept)
