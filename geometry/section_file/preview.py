"""What can be seen of a section file before it is solved, whether it is valid or not.

A valid section is shown as it is. Of an invalid one, what its file holds is shown as far as it can
be read, together with the places that the error speaks of.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from contextlib import suppress
from dataclasses import dataclass, replace
from os import PathLike
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from ..checks.contact_only import contact_only_parts
from ..checks.validate import check
from ..errors import InputError
from ..input_file import name_of
from ..outline.contour import edge_points
from ..section import Section
from .loose_parts import loose_parts
from .named_section import named_section
from .text import read_text

Array = NDArray[np.float64]

_NUMBER = r"-?\d+(?:\.\d*)?(?:e[+-]?\d+)?"
_PLACE = re.compile(rf"\(({_NUMBER}), ({_NUMBER})\)")
#: Chords that stand for an arc or a curve in a loose line.
_CHORDS = 48


@dataclass(frozen=True, slots=True, eq=False)
class Preview:
    """What a figure of a section file shows.

    Attributes
    ----------
    name, unit : str
    section : Section or None
        None where no contour could be made.
    bodies : int
        How many bodies the parts make; more than one when they are in contact only.
    loose : tuple of (n, 2) arrays
        Lines that belong to no region: strokes of a drawing that does not close, parts cut out.
    error : InputError or None
        Why the section cannot be solved.
    message : str
        The error in words, without the file's name; "" when there is none.
    places : tuple of (x, y)
        Places that the error's message names, in its order.
    """

    name: str
    unit: str
    section: Section | None
    bodies: int = 1
    loose: tuple[Array, ...] = ()
    error: InputError | None = None
    message: str = ""
    places: tuple[tuple[float, float], ...] = ()

    @classmethod
    def of(cls, section: Section) -> Preview:
        """Of a section that may be invalid."""
        seen = cls(section.name, section.unit, section)
        try:
            bodies = contact_only_parts(section)
            for body in bodies:
                check(body)
        except InputError as error:
            return seen.refused(error, str(error))
        return replace(seen, bodies=len(bodies))

    def refused(self, error: InputError, message: str) -> Preview:
        """The same with an error and the places that its message names."""
        return replace(self, error=error, message=message, places=places_in(message))

    def bounds(self) -> tuple[float, float, float, float]:
        """(xmin, ymin, xmax, ymax) of everything shown."""
        boxes = [np.vstack([run.min(axis=0), run.max(axis=0)]) for run in self.loose]
        if self.section is not None:
            boxes.append(np.array(self.section.bounds()).reshape(2, 2))
        corners = np.vstack(boxes)
        (x0, y0), (x1, y1) = corners.min(axis=0), corners.max(axis=0)
        return float(x0), float(y0), float(x1), float(y1)


def preview(
    path: str | PathLike[str],
    unit: str | None = None,
    arcs_within: str | None = None,
    *,
    gap: str | None = None,
    layers: Sequence[str] | None = None,
    profile: str | None = None,
) -> Preview:
    """What can be drawn of a section file or a drawing.

    Parameters
    ----------
    path : path
        Or a rolled shape's designation.
    unit, arcs_within, gap, layers, profile
        As in `load_section`.

    Raises
    ------
    InputError
        If nothing in the file can be drawn.
    """
    try:
        section = named_section(
            str(path), unit, arcs_within, gap=gap, layers=layers, profile=profile
        )
    except InputError as error:
        seen = _remains(path, unit, profile)
        if seen is None:
            raise
        return seen.refused(error, str(error).removeprefix(f"{path}: "))
    return Preview.of(section)


def places_in(message: str) -> tuple[tuple[float, float], ...]:
    """The points that a message names, each once."""
    found = [(float(x), float(y)) for x, y in _PLACE.findall(message)]
    return tuple(dict.fromkeys(found))


def _remains(path: str | PathLike[str], unit: str | None, profile: str | None) -> Preview | None:
    """Parts or strokes of a file that makes no section, None when there are none."""
    file = Path(path)
    with suppress(InputError):
        if file.suffix.lower() == ".toml":
            return parts_seen(read_text(file), unit, file.parent, name_of(file))
        return _strokes(file, unit, profile)
    return None


def parts_seen(text: str, unit: str | None, folder: Path | None, name: str) -> Preview | None:
    """The parts of a text that makes no section, as far as they can be read; None when there are
    none.

    Raises
    ------
    InputError
        As `loose_parts` does.
    """
    parts = loose_parts(text, unit, folder)
    solid = [part for combine, part in parts if combine != "cut"]
    if not solid:
        return None
    regions = tuple(r for part in solid for r in part.regions)
    section = Section(
        regions,
        name,
        solid[0].unit,
        tuple(s for part in solid for s in part.slits),
        tuple(n for part in solid for n in part.notes),
        tuple(j for part in solid for j in part.joints),
    )
    cut = [c for combine, part in parts if combine == "cut" for c in part.contours()]
    deviation = 1e-4 * section.size()
    runs = (c.polyline(deviation) for c in cut)
    loose = tuple(np.vstack([run, run[:1]]) for run in runs)
    return Preview(name, solid[0].unit, section, loose=loose)


def _strokes(file: Path, unit: str | None, profile: str | None) -> Preview | None:
    from ..drawings.reading import read_sheet

    sheet = read_sheet(file, unit, profile)
    steps = np.linspace(0.0, 1.0, _CHORDS + 1)
    loose = []
    for stroke in sheet.strokes:
        if not (stroke.curves or stroke.bulges.any()):
            loose.append(stroke.points)
            continue
        pieces = edge_points(stroke.points[:-1], stroke.points[1:], stroke.bulges, steps)
        for k, curve in stroke.curves.items():
            pieces[k] = curve(steps)[0]
        loose.append(pieces.reshape(-1, 2))
    return Preview(name_of(file), sheet.unit, None, loose=tuple(loose)) if loose else None
