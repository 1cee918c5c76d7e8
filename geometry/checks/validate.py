"""Is a section valid? What is wrong, where, and what to do.

A section that is valid beyond doubt (`plain_section`) is asked nothing more. All rules are asked of
one arrangement of the section's edges, in which places closer than the tolerance of `crossings` are
one. A rule is a function of it that yields faults: parts and places in
numbers. `wording` turns the first of them into a sentence.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from hashlib import sha256

from ..errors import GeometryError
from ..planar.overlay import Overlay, map_of, overlay
from ..planar.planar_map import PlanarMap
from ..section import Region, Section
from .contour_meetings import crossings, folds, touches
from .fault import Fault
from .holes import misplaced_holes
from .plain_section import plain_map
from .points import point_faults
from .regions import gaps, overlaps, point_contacts
from .slits import cutting_slits, idle_slits, slits_outside
from .wording import sentence

Rule = Callable[[Overlay], Iterator[Fault]]

#: In this order: each may count on the sections that reach it keeping those before.
RULES: tuple[Rule, ...] = (
    crossings,
    folds,
    touches,
    misplaced_holes,
    overlaps,
    point_contacts,
    gaps,
    slits_outside,
    idle_slits,
    cutting_slits,
)


#: Regions that were found valid of late, by their numbers, and how many are kept.
_VALID: dict[bytes, None] = {}
_KEPT = 200


def check(section: Section) -> None:
    """Raise if the section is not valid.

    Valid means: every contour is simple, no part of it thinner than the tolerance; holes lie
    inside their outline, apart from it and from each other; regions do not overlap and form one
    body, joined by borders of positive length and nowhere by a point alone; slits run inside the
    material and leave it in one piece.

    Raises
    ------
    GeometryError
        Names the part, the place and what to do.
    """
    if plain_map(section) is None:
        _checked(section)


def check_alone(region: Region, unit: str) -> None:
    """`check` of a section of one region; one that has just been found valid is not asked again:
    while one part of a section is moved its others stay.

    Raises
    ------
    GeometryError
        As `check` does.
    """
    arrays = [array for c in region.contours for array in (c.points, c.bulges)]
    shape = sha256(repr([a.shape for a in arrays]).encode())
    for array in arrays:
        shape.update(array.tobytes())
    key = shape.digest()
    if key not in _VALID:
        check(Section((region,), unit=unit))
        _VALID[key] = None
        if len(_VALID) > _KEPT:
            del _VALID[next(iter(_VALID))]


def checked_map(section: Section) -> PlanarMap:
    """`check` and `overlay.planar_map` in one go, for the price of one arrangement or none."""
    return plain_map(section) or map_of(_checked(section))


def checked_slits(section: Section) -> Overlay:
    """The arrangement of a section whose slits, at least, keep to its material.

    Raises
    ------
    GeometryError
        If a slit leaves the material.
    """
    over = overlay(section)
    _refuse(section, slits_outside(over))
    return over


def _checked(section: Section) -> Overlay:
    _refuse(section, point_faults(section))
    over = overlay(section)
    for rule in RULES:
        _refuse(section, rule(over))
    return over


def _refuse(section: Section, faults: Iterable[Fault]) -> None:
    for fault in faults:
        raise GeometryError(sentence(section, fault))
