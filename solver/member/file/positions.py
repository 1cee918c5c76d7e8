"""Positions along a member and points of its section, as a member file writes them.

A position is a length from the start (of the member, or of the entry's `span`), or words: "start",
"middle", "end", "end of span 2". A point is [x, y] in the section's axes, a name, or a face of the
section in words (see `face_words`).
"""

from __future__ import annotations

import difflib
import re
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from ....geometry.errors import InputError
from ....geometry.section_file.entry import Entry
from ....geometry.units import Units
from ..model.faces import Face, Height
from ..model.load import Place
from ..model.pitch import LEVEL, Pitch
from .face_words import face_of, height_of, is_face

#: Names of points that every section has, and what the model calls them.
OWN_POINTS = {"shear centre": "shear_centre", "centroid": "centroid", "origin": "origin"}

_WORDS = re.compile(r"(start|middle|end)(?: of span (\d+))?")
#: A number with a unit.
_LENGTH = re.compile(r"\s*[-+]?[\d.]+(?:e[-+]?\d+)?\s*[a-zA-Z]+\s*")
#: Rounding of sums of lengths; a position this far outside, relative to the length, is the end.
_ROUNDING = 1e-9
#: More loads than this in one row of them is a slip in `every`.
_MOST = 10_000


@dataclass(frozen=True, slots=True)
class Along:
    """The length of a member, the ends of its spans, and how it stands.

    Attributes
    ----------
    spans : tuple of (start, end)
        As the file's [[span]] tables have them.
    units : Units
    pitch : Pitch
        Which way weights act.
    """

    spans: tuple[tuple[float, float], ...]
    units: Units
    pitch: Pitch = LEVEL

    @property
    def length(self) -> float:
        """Length of the member."""
        return self.spans[-1][1]

    def base(self, entry: Entry) -> tuple[float, float]:
        """(start, end) of the span that the entry names, of the member when it names none."""
        number = entry.plain("span")
        if number is None:
            return (0.0, self.length)
        return self._span(number, "span")

    def position(self, entry: Entry, key: str, default: float | None = None) -> float:
        """One position; must be given unless there is a default."""
        if default is not None and not entry.has(key):
            return default
        return self._read(entry, entry.need(key, '"start" (or a length)'), key)

    def positions(self, entry: Entry, key: str = "at") -> tuple[float, ...]:
        """One or several positions."""
        value = entry.need(key, '"middle" (or a length, or a list of them)')
        several = value if isinstance(value, list) else [value]
        if not several:
            raise InputError(f"{key} is an empty list; name one position at least")
        return tuple(self._read(entry, one, key) for one in several)

    def row(self, entry: Entry) -> tuple[float, ...]:
        """Positions `every` so far from `from` to `to`."""
        step = entry.length("every")
        start, end = self.reach(entry)
        if step is None or not step > 0:
            raise InputError(f"every must be a positive length, got {entry.table['every']!r}")
        count = int((end - start) / step * (1 + _ROUNDING)) + 1
        if count > _MOST:
            raise InputError(f"every gives {count} positions; {_MOST} are the most")
        return tuple(min(start + n * step, end) for n in range(count))

    def reach(self, entry: Entry) -> tuple[float, float]:
        """Keys `from` and `to`, the ends of the entry's span or of the member when left out."""
        base = self.base(entry)
        start = self.position(entry, "from", base[0])
        end = self.position(entry, "to", base[1])
        if not start < end:
            raise InputError(
                f"from must lie before to, got {self.shown(start)} and {self.shown(end)}"
            )
        return start, end

    def shown(self, z: float) -> str:
        """A position in a message."""
        return f"{z:.6g} {self.units.length}"

    def _read(self, entry: Entry, value: Any, key: str) -> float:
        start, end = self.base(entry)
        words = _WORDS.fullmatch(value.strip()) if isinstance(value, str) else None
        if words:
            if words.group(2):
                start, end = self._span(float(words.group(2)), key)
            return {"start": start, "middle": (start + end) / 2, "end": end}[words.group(1)]
        if isinstance(value, str) and not re.search(r"\d", value):
            raise InputError(
                f'{key}: {value[:40]!r} is no position; write "start", "middle", "end", '
                f'"end of span 1", or a length from the start'
            )
        z = start + self.units.read(value, "length", what=key, bare=self.units.bare)
        slack = _ROUNDING * self.length
        if not -slack <= z <= self.length + slack:
            raise InputError(
                f"{key}: {value!r} lies outside the member, which runs from 0 to "
                f"{self.shown(self.length)}"
            )
        return min(max(z, 0.0), self.length)

    def _span(self, number: float, key: str) -> tuple[float, float]:
        if number not in range(1, len(self.spans) + 1):
            raise InputError(f"{key}: there is no span {number:g}; the file has {len(self.spans)}")
        return self.spans[int(number) - 1]


class Points:
    """Points of the section that the file names.

    Parameters
    ----------
    table : object
        The file's `points`: names and [x, y].
    units : Units
    """

    def __init__(self, table: object, units: Units) -> None:
        if not isinstance(table, Mapping):
            raise InputError("points is a table: [points] and below it names, tip = [120, 0]")
        entry = Entry("points", 0, table, units)
        self.units = units
        self.known: dict[str, tuple[float, float] | Face] = {}
        for name in table:
            if name in OWN_POINTS or name in OWN_POINTS.values():
                raise InputError(f"points: every section has a {name!r} already; take another name")
            value = table[name]
            self.known[name] = (
                face_of(value, units, name) if isinstance(value, str) else entry.point(name)
            )

    def load_place(self, entry: Entry) -> tuple[float, float] | Place:
        """Keys `place` (a name or [x, y]) and `eccentricity` ([x, y] or x) from it."""
        if entry.has("eccentricity") and not isinstance(entry.table["eccentricity"], list):
            dx, dy = entry.length("eccentricity") or 0.0, 0.0
        else:
            dx, dy = entry.point("eccentricity", (0.0, 0.0))
        default = "shear centre" if entry.has("eccentricity") else None
        if default and not entry.has("place"):
            return Place("shear_centre", dx, dy)
        value = entry.need("place", '"shear centre" (or a point, or [x, y])')
        if isinstance(value, list):
            x, y = entry.point("place")
            return (x + dx, y + dy)
        return Place(self._origin(value, "place"), dx, dy)

    def where(self, entry: Entry, key: str) -> tuple[float, float] | Place:
        """A key that holds a name, a face or [x, y]."""
        value = entry.need(key, '"centroid" (or a point, or [x, y])')
        if isinstance(value, list):
            x, y = entry.point(key)
            return (x, y)
        return Place(self._origin(value, key))

    def _origin(self, value: object, key: str) -> str | Face:
        if isinstance(value, str) and value not in self.known and is_face(value):
            return face_of(value, self.units, key)
        return self.named(value, key)

    def named(self, value: object, key: str) -> str:
        """The model's name of a point that is named in the file."""
        if not isinstance(value, str):
            raise InputError(f"{key} is the name of a point or [x, y], got {str(value)[:40]}")
        if value in self.known:
            return value
        if value in OWN_POINTS:
            return OWN_POINTS[value]
        known = [*OWN_POINTS, *self.known]
        near = difflib.get_close_matches(value, known, n=1)
        hint = f"did you mean {near[0]!r}?" if near else f"known are {', '.join(known)}, and faces"
        raise InputError(f"{key}: there is no point {value[:60]!r}; {hint}")


def level_of(entry: Entry, key: str = "level") -> float | Height | None:
    """A height of the section: a length, or words; None when left out."""
    if not entry.has(key):
        return None
    value = entry.table[key]
    if isinstance(value, str) and any(c.isalpha() for c in value) and not _LENGTH.fullmatch(value):
        return height_of(value, entry.units, key)
    return entry.length(key)
