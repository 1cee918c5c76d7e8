"""Sections to try in place of an open one: the same closed by plates, and a tube of equal weight.

Both keep to the bounding box of the section, so that places given in its axes keep their meaning.
"""

from __future__ import annotations

import math

from ....geometry.outline.contour import Contour
from ....geometry.outline.placement import Placement
from ....geometry.planar.boolean import union
from ....geometry.profiles.by_name import build_profile
from ....geometry.section import Region, Section
from ...section.result import SectionResult

#: Corner radii of the tube in walls, outside and inside: usual for cold-formed hollow sections.
_OUTER, _INNER = 2.0, 1.0


def closed_by_plates(result: SectionResult) -> Section | None:
    """The section with plates between its outer tips, as thick as its walls on average.

    A plate stands on each side of the bounding box where it makes a cell; None when none does, or
    the section has cells already, or several materials.
    """
    section = result.section
    if not _open(result):
        return None
    x0, y0, x1, y1 = section.bounds()
    wall = _rounded(2 * result.area / result.perimeter)
    sides = {
        "left": (x0, y0, x0 + wall, y1),
        "right": (x1 - wall, y0, x1, y1),
        "top": (x0, y1 - wall, x1, y1),
        "bottom": (x0, y0, x1, y0 + wall),
    }
    plates = []
    for a, b, c, d in sides.values():
        plate = Region(
            Contour([[a, b], [c, b], [c, d], [a, d]]), material=section.regions[0].material
        )
        whole = union(section.regions, (plate,))
        if len(whole) == 1 and whole[0].holes:
            plates.append(plate)
    if not plates:
        return None
    regions = union(section.regions, tuple(plates))
    return Section(regions, f"closed by plates {wall:g} {section.unit} thick", section.unit)


def tube_of_equal_weight(result: SectionResult) -> Section | None:
    """A rectangular tube of the same overall size and area, corners rounded; None where the area
    does not fit, or the section has cells already, or several materials.

    A = 2 t (w + h) - 4 t^2 - (4 - pi) (r_o^2 - r_i^2) with radii of 2 t and t.
    """
    section = result.section
    if not _open(result):
        return None
    x0, y0, x1, y1 = section.bounds()
    w, h = x1 - x0, y1 - y0
    lost = 4 + (4 - math.pi) * (_OUTER**2 - _INNER**2)
    root = (w + h) ** 2 - lost * result.area
    if root < 0:
        return None
    wall = ((w + h) - math.sqrt(root)) / lost
    if _OUTER * wall > min(w, h) / 2:
        return None
    values = {
        "XDim": w,
        "YDim": h,
        "WallThickness": wall,
        "OuterFilletRadius": _OUTER * wall,
        "InnerFilletRadius": _INNER * wall,
    }
    built = build_profile("RectangleHollow", values, section.unit)
    tube = Section(
        (built.region(section.regions[0].material),),
        f"tube of equal weight, wall {wall:.3g} {section.unit}",
        section.unit,
    )
    return tube.placed(Placement.move((x0 + x1) / 2, (y0 + y1) / 2))


def _open(result: SectionResult) -> bool:
    """One part of one material without cells or slits."""
    section = result.section
    return len(section.regions) == 1 and not result.cells and not section.slits


def _rounded(length: float) -> float:
    return float(f"{length:.2g}")
