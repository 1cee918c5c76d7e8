"""SVG path data: M L H V C S Q T A Z, absolute and relative, into strokes.

The centre of an arc given by end points, radii and flags follows the SVG 2 recommendation, appendix
B.2.4 ("Conversion from endpoint to center parameterization"), read there.
"""

from __future__ import annotations

import math
import re

import numpy as np
from numpy.typing import ArrayLike

from ..errors import FileFormatError
from ..outline.biarc import Curve
from .bounds import MAX_EDGES, check_count
from .curves import bezier, elliptic_edges
from .stroke import Array, Stroke
from .svg_transform import NUMBER, Affine

_COMMANDS = re.compile(r"([MmZzLlHhVvCcSsQqTtAa])([^MmZzLlHhVvCcSsQqTtAa]*)")
_NEXT_NUMBER = re.compile(rf"[\s,]*({NUMBER})")
_NEXT_FLAG = re.compile(r"[\s,]*([01])")
_COUNT = {"M": 2, "Z": 0, "L": 2, "H": 1, "V": 1, "C": 6, "S": 4, "Q": 4, "T": 2, "A": 7}
#: Radii that equal half the chord up to a few roundings make exact half circles: the centre would
#: otherwise carry the square root of the rounding.
_HALF = 4e-15


class Pen:
    """Draws strokes in an element's own coordinates and keeps them in the drawing's."""

    def __init__(self, affine: Affine, layer: str, source: str) -> None:
        self._affine, self._layer, self._source = affine, layer, source
        self.strokes: list[Stroke] = []
        self.at = self.start = np.zeros(2)
        self._clear()

    def _clear(self) -> None:
        self._points: list[Array] = [self._affine.points(self.at)]
        self._bulges: list[Array] = []
        self._curves: dict[int, Curve] = {}
        self._edges = 0

    def _add(self, end: Array, points: Array, bulges: Array, curves: dict[int, Curve]) -> None:
        points = points.copy()
        points[-1] = self._affine.points(end)[0]
        self._points.append(points)
        self._bulges.append(bulges)
        self._curves |= {self._edges + i: curve for i, curve in curves.items()}
        self._edges += len(bulges)
        check_count(self._edges, MAX_EDGES, "edges in a path")
        self.at = end

    def move(self, point: ArrayLike) -> None:
        """Begin a new stroke."""
        self.finish()
        self.at = self.start = np.asarray(point, dtype=float)
        self._clear()

    def line(self, point: ArrayLike) -> None:
        """A straight edge."""
        end = np.asarray(point, dtype=float)
        self._add(end, self._affine.points(end), np.zeros(1), {})

    def bezier(self, control: ArrayLike) -> None:
        """A Bezier curve over the control points that follow the current one."""
        rest = np.asarray(control, dtype=float).reshape(-1, 2)
        image = self._affine.points(np.vstack([self.at, rest]))
        self._add(rest[-1], image[-1:], np.zeros(1), {0: bezier(image)})

    def arc(
        self, radii: ArrayLike, turn: float, large: bool, sweep: bool, point: ArrayLike
    ) -> None:
        """An elliptic arc to `point`, its axes turned by `turn` degrees."""
        end = np.asarray(point, dtype=float)
        rx, ry = np.abs(np.asarray(radii, dtype=float))
        if rx == 0 or ry == 0 or (end == self.at).all():
            self.line(end)
            return
        centre, first, second, t, angle = arc_centre(self.at, end, rx, ry, turn, large, sweep)
        points, bulges, curves = elliptic_edges(
            self._affine.points(centre)[0],
            self._affine.vector(first),
            self._affine.vector(second),
            t,
            angle,
        )
        self._add(end, points[1:], bulges, curves)

    def ring(self, centre: ArrayLike, rx: float, ry: float) -> None:
        """A whole ellipse, from its leftmost point."""
        points, bulges, curves = elliptic_edges(
            self._affine.points(centre)[0],
            self._affine.vector((rx, 0.0)),
            self._affine.vector((0.0, ry)),
            math.pi,
            2 * math.pi,
        )
        self.strokes.append(
            Stroke(
                points, bulges, layer=self._layer, source=self._source, closed=True, curves=curves
            )
        )

    def close(self) -> None:
        """Straight back to where the stroke began."""
        if self._edges:
            if (self.at != self.start).any():
                self.line(self.start)
            self._keep(closed=True)
        self.at = self.start
        self._clear()

    def finish(self) -> None:
        """Leave the stroke open."""
        if self._edges:
            self._keep(closed=False)
            self._clear()

    def _keep(self, closed: bool) -> None:
        points, bulges = np.vstack(self._points), np.concatenate(self._bulges)
        self.strokes.append(
            Stroke(
                points,
                bulges,
                layer=self._layer,
                source=self._source,
                closed=closed,
                curves=self._curves,
            )
        )


def arc_centre(
    p: Array, q: Array, rx: float, ry: float, turn: float, large: bool, sweep: bool
) -> tuple[Array, Array, Array, float, float]:
    """Centre, both half diameters, start parameter and swept parameter of an arc between p and q.

    Radii too small to reach are enlarged, as the recommendation asks.
    """
    angle = math.radians(turn % 360.0)
    first = np.array([math.cos(angle), math.sin(angle)])
    second = np.array([-first[1], first[0]])
    half = (p - q) / 2
    x, y = float(half @ first) / rx, float(half @ second) / ry
    reach = math.hypot(x, y)
    if reach >= 1.0 - _HALF:
        rx, ry, x, y, reach = rx * reach, ry * reach, x / reach, y / reach, 1.0
    # In the plane scaled to the unit circle the centre lies sqrt(1 - reach^2) off the chord's
    # middle.
    off = math.sqrt((1.0 - reach) * (1.0 + reach)) / reach
    sign = 1.0 if large != sweep else -1.0
    cx, cy = sign * off * y, -sign * off * x
    centre = (p + q) / 2 + cx * rx * first + cy * ry * second
    t = math.atan2(y - cy, x - cx)
    half_angle = math.asin(min(reach, 1.0))
    swept = 2 * (math.pi - half_angle if large else half_angle)
    return centre, rx * first, ry * second, t, swept if sweep else -swept


def draw_path(pen: Pen, data: str) -> None:
    """Run the path data with a pen.

    Raises
    ------
    FileFormatError
        For anything that is not path data; the message shows where it stops.
    """
    data = data.strip()
    if data in ("", "none"):
        return
    if data[0] not in "Mm" or _COMMANDS.sub("", data).strip():
        raise FileFormatError(f"cannot read the path data {data[:60]!r}; it begins with M")
    last_control: Array | None = None
    last = ""
    for number, match in enumerate(_COMMANDS.finditer(data)):
        check_count(number, MAX_EDGES, "commands in a path")
        command, text = match.groups()
        for values in _arguments(command.upper(), text, match.group()):
            last_control = _draw(pen, command, values, last, last_control)
            last = command.upper()
            # Further pairs after a move are lines.
            command = {"M": "L", "m": "l"}.get(command, command)
    pen.finish()


def _arguments(word: str, text: str, shown: str) -> list[list[float]]:
    """The numbers of a command in sets; the flags of arcs need no separators."""
    count, text = _COUNT[word], text.rstrip(" \t\r\n,")
    if count == 0:
        if text:
            raise FileFormatError(
                f"cannot read the path data at {shown[:60]!r}: Z takes no numbers"
            )
        return [[]]
    sets: list[list[float]] = []
    at = 0
    while at < len(text) or not sets:
        values = []
        for k in range(count):
            token = (_NEXT_FLAG if word == "A" and k in (3, 4) else _NEXT_NUMBER).match(text, at)
            if token is None:
                raise FileFormatError(
                    f"cannot read the path data at {shown.strip()[:60]!r}: "
                    f"{word} takes {count} numbers"
                )
            values.append(float(token.group(1)))
            at = token.end()
        sets.append(values)
        check_count(len(sets), MAX_EDGES, "edges in a path")
    return sets


def _draw(pen: Pen, command: str, v: list[float], last: str, control: Array | None) -> Array | None:
    """One set of arguments; returns the control point that S and T mirror."""
    word = command.upper()
    base = pen.at if command.islower() else np.zeros(2)
    if word == "Z":
        pen.close()
        return None
    if word == "M":
        pen.move(base + v)
    elif word == "L":
        pen.line(base + v)
    elif word == "H":
        pen.line((base[0] + v[0], pen.at[1]))
    elif word == "V":
        pen.line((pen.at[0], base[1] + v[0]))
    elif word == "A":
        pen.arc(v[:2], v[2], bool(v[3]), bool(v[4]), base + v[5:])
    else:
        points = base + np.reshape(v, (-1, 2))
        if word in "ST":
            smooth = last in {"S": "CS", "T": "QT"}[word] and control is not None
            points = np.vstack([2 * pen.at - np.asarray(control) if smooth else pen.at, points])
        pen.bezier(points)
        return np.asarray(points[-2])
    return None
