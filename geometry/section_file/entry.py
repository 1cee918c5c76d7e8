"""One table of a section file, read key by key; every error names the table and the key.

An `Entry` remembers which keys were asked for, so that after reading it `close` can tell a key that
nobody knows from one that is merely optional, and offer the nearest of them.
"""

from __future__ import annotations

import difflib
import math
import re
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field
from typing import Any

from ..errors import FileFormatError, GeometryError, InputError, SoapfilmError, UnitError
from ..outline.contour import Contour
from ..outline.placement import Placement
from ..units import Units
from .former_names import check_name

#: No section is this large in any unit; products of coordinates keep their range below it.
_LARGEST = 1e12
#: An arc of bulge 1e6 lacks a four-millionth of a radian to the full circle; one below 1e-15 leaves
#: its chord by less than the rounding of its end points.
_ROUNDEST, _FLATTEST = 1e6, 1e-15
#: Vertices of one outline with its holes.
_MOST_VERTICES = 100_000
_PERCENT = re.compile(r"(\d+(?:\.\d+)?)\s*%", re.ASCII)
_RATIO = re.compile(r"(\d+(?:\.\d+)?)\s*:\s*(\d+(?:\.\d+)?)", re.ASCII)


@contextmanager
def naming(place: str) -> Iterator[None]:
    """Put the place in front of every error raised inside, and keep the error's kind."""
    try:
        yield
    except SoapfilmError as error:
        kinds = (GeometryError, FileFormatError, UnitError, InputError)
        kind = next((k for k in kinds if isinstance(error, k)), None)
        if kind is None:
            raise
        raise kind(f"{place}: {error}") from error


@dataclass(slots=True)
class Entry:
    """A table of a section file: ``[[shape]]``, ``[[outline]]``, ``[material.steel]``.

    Attributes
    ----------
    kind : str
        Name of the table, for messages.
    number : int
        1 for the first of its kind; 0 for a table that is not in a list.
    table : mapping
        Keys and values as TOML gives them.
    units : Units
        Units of the file; a bare number is a length in them.
    """

    kind: str
    number: int
    table: Mapping[str, Any]
    units: Units
    _asked: dict[str, None] = field(default_factory=dict)

    @property
    def label(self) -> str:
        """What messages call the table: shape 2 'lower flange'."""
        name = self.table.get("name")
        given = f" {name[:60]!r}" if isinstance(name, str) and name else ""
        return f"{self.kind} {self.number or ''}".rstrip() + given

    def has(self, key: str) -> bool:
        """Whether the key is given; from now on it is a known one."""
        self._asked[key] = None
        return key in self.table

    def need(self, key: str, example: str) -> Any:
        """The key's value; an error with the nearest misspelt key when it is missing."""
        if self.has(key):
            return self.table[key]
        slips = [k for k in self.table if k not in self._asked]
        near = difflib.get_close_matches(key, slips, n=1, cutoff=0.7)
        hint = f"is {near[0]!r} a slip for it?" if near else f"write {key} = {example}"
        raise InputError(f"{key} is missing; {hint}")

    def text(self, key: str, default: str = "") -> str:
        """A text, the default when the key is left out."""
        if not self.has(key):
            return default
        value = self.table[key]
        if not isinstance(value, str):
            raise InputError(
                f'{key} must be a text in quotes, like {key} = "...", got {_shown(value)}'
            )
        return value

    def choice(self, key: str, options: Sequence[str], default: str) -> str:
        """One of a few words."""
        value = self.text(key, default)
        if value not in options and value != default:
            near = difflib.get_close_matches(value, options, n=1)
            hint = f"; did you mean {near[0]!r}?" if near else ""
            offered = ", ".join(f'"{option}"' for option in options)
            raise InputError(f"{key} is one of {offered}, got {_shown(value)}{hint}")
        return value

    def plain(self, key: str, default: float | None = None) -> float | None:
        """A plain number without a unit."""
        if not self.has(key):
            return default
        number = _number(self.table[key], key)
        if not math.isfinite(number):
            raise InputError(f"{key} must be a finite number, got {number}")
        return number

    def flag(self, key: str, default: bool = False) -> bool:
        """true or false."""
        value = self.table[key] if self.has(key) else default
        if not isinstance(value, bool):
            raise InputError(f"{key} must be true or false, got {_shown(value)}")
        return value

    def length(self, key: str, default: float | None = None) -> float | None:
        """A length: a number in the file's unit, or a text with its own unit."""
        return self._length(self.table[key], key) if self.has(key) else default

    def quantity(self, key: str, quantity: str) -> float | None:
        """A quantity that needs its unit (see `Units.read`), None when left out."""
        if not self.has(key):
            return None
        return self.units.read(self.table[key], quantity, what=key)

    def angle(self, key: str, default: float | None = None) -> float | None:
        """An angle in radians: degrees, a text with a unit, a ratio like "1:6" or "8 %"."""
        if not self.has(key):
            return default
        value = self.table[key]
        ratio = _RATIO.fullmatch(value.strip()) if isinstance(value, str) else None
        if ratio:
            return math.atan2(float(ratio.group(1)), float(ratio.group(2)))
        slope = _PERCENT.fullmatch(value.strip()) if isinstance(value, str) else None
        if slope:
            return math.atan2(float(slope.group(1)), 100.0)
        return self.units.read(value, "angle", what=key, bare="deg")

    def point(self, key: str, default: tuple[float, float] | None = None) -> Any:
        """A point or vector [x, y]."""
        if not self.has(key):
            return default
        value = self.table[key]
        if not isinstance(value, list) or len(value) != 2:
            raise InputError(f"{key} must be [x, y], got {_shown(value)}")
        return self._length(value[0], f"{key} x"), self._length(value[1], f"{key} y")

    def contour(self, vertices: object, what: str) -> Contour:
        """A contour from a list of [x, y] or [x, y, bulge]."""
        points, bulges = self.vertices(vertices, what)
        with naming(what):
            return Contour(points, bulges)

    def placement(self) -> Placement:
        """Keys `mirror`, `rotate` and `move`, applied in this order about the origin."""
        placement = Placement.move(0.0, 0.0)
        axis = self.choice("mirror", ("x", "y"), "")
        if axis:
            direction = (1.0, 0.0) if axis == "x" else (0.0, 1.0)
            placement = Placement.mirror(direction=direction)
        angle = self.angle("rotate")
        if angle is not None:
            placement = placement.then(Placement.rotate(angle))
        shift = self.point("move")
        return placement if shift is None else placement.then(Placement.move(*shift))

    def close(self) -> None:
        """Every key of the table has been asked for; else it is an unknown one."""
        for key in self.table:
            if key not in self._asked:
                check_name(key)
                near = difflib.get_close_matches(key, self._asked, n=2, cutoff=0.5)
                offered = " or ".join(near) if near else ", ".join(self._asked)
                hint = f"did you mean {offered}?" if near else f"the keys here are {offered}"
                raise InputError(f"{_shown(key)} is not a key of {self.kind}; {hint}")

    def vertices(self, rows: object, what: str) -> tuple[list[tuple[float, float]], list[float]]:
        """Points and bulges from a list of [x, y] or [x, y, bulge]."""
        if not isinstance(rows, list) or not rows:
            raise InputError(
                f"{what} must be a list of [x, y] or [x, y, bulge], got {_shown(rows)}"
            )
        if len(rows) > _MOST_VERTICES:
            raise InputError(f"{what} has {len(rows)} vertices; at most {_MOST_VERTICES} are read")
        points, bulges = [], []
        for k, row in enumerate(rows, start=1):
            if not isinstance(row, list) or len(row) not in (2, 3):
                raise InputError(
                    f"{what}: vertex {k} must be [x, y] or [x, y, bulge], got {_shown(row)}"
                )
            name = f"{what}: vertex {k}"
            points.append((self._length(row[0], name), self._length(row[1], name)))
            if len(row) == 3 and all(type(v) is int for v in row) and abs(row[2]) > 1:
                x, y, z = row
                raise InputError(
                    f"{name}: [{x}, {y}, {z}] would be an arc of bulge {z}, more than a half "
                    f"circle; decimals have a point, so is it [{x}.{y}, {z}] or [{x}, {y}.{z}]? "
                    f"(such an arc: [{x}, {y}, {z}.0])"
                )
            bulge = _number(row[2], f"{name}: bulge") if len(row) == 3 else 0.0
            if not abs(bulge) <= _ROUNDEST:
                raise InputError(
                    f"{name}: bulge {bulge:g} is no arc; it is the tangent of a quarter of the "
                    "included angle, 1 for a half circle"
                )
            bulges.append(0.0 if abs(bulge) < _FLATTEST else bulge)
        return points, bulges

    def _length(self, value: object, what: str) -> float:
        size: float
        if (type(value) is float or type(value) is int) and not self.units.written:
            size = value  # the ordinary case, kept fast
        else:
            size = self.units.read(value, "length", what=what, bare=self.units.bare)
        if not abs(size) <= _LARGEST:
            raise InputError(
                f"{what}: {_shown(value)} is no usable length; "
                f"up to {_LARGEST:g} {self.units.length} is"
            )
        return float(size)


def _number(value: object, what: str) -> float:
    if isinstance(value, bool) or not isinstance(value, (int, float)):
        raise InputError(f"{what} must be a plain number, got {_shown(value)}")
    try:
        return float(value)
    except OverflowError as error:
        raise InputError(f"{what}: {_shown(value)} is too large") from error


def _shown(value: object) -> str:
    """A value as a message shows it: short, on one line."""
    try:
        text = repr(value)
    except ValueError:  # a whole number of thousands of digits
        return "a number of thousands of digits"
    return text if len(text) <= 60 else text[:57] + "..."
