"""Sections from shapely polygons and from WKT, and back.

shapely knows straight edges only: what comes in is taken as drawn, unless its chords are asked to
be recognised as arcs; what goes out follows the arcs within a stated deviation.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Any

import numpy as np

from ..errors import FileFormatError, GeometryError
from ..material import Material
from ..section import Region, Section
from ..units import Units
from .arc_runs import recognise_arcs
from .contour import Contour

if TYPE_CHECKING:
    from shapely import Polygon


def section_from_polygon(
    polygon: Any,
    *,
    unit: str = "",
    name: str = "section",
    material: Material | None = None,
    arcs_within: float | None = None,
) -> Section:
    """A section from a shapely Polygon or MultiPolygon, holes included.

    Parameters
    ----------
    polygon : shapely.Polygon or shapely.MultiPolygon
        Each polygon becomes a region.
    unit : str
        Length unit of its coordinates; "" for any consistent one.
    material : Material, optional
    arcs_within : float, optional
        Recognise runs of chords as arcs, within this distance (see `arc_runs`).

    Raises
    ------
    GeometryError
        For another kind of geometry, or an empty one.

    Examples
    --------
    >>> import shapely
    >>> disc = shapely.Point(0, 0).buffer(50, quad_segs=32)
    >>> section = section_from_polygon(disc, unit="mm", arcs_within=0.02)
    >>> section.notes
    ('128 chords recognised as 2 arcs; the outline moved by at most 0.015 mm',)
    """
    kind = getattr(polygon, "geom_type", type(polygon).__name__)
    if kind not in ("Polygon", "MultiPolygon"):
        raise GeometryError(f"a section comes from a Polygon or MultiPolygon, not from a {kind}")
    if polygon.is_empty:
        raise GeometryError(f"the {kind} is empty; give an outline")
    if unit:
        Units(unit)  # an unknown unit is an error here, not later
    regions = [
        Region(_contour(p.exterior), tuple(map(_contour, p.interiors)), material or Material())
        for p in getattr(polygon, "geoms", [polygon])
        if not p.is_empty
    ]
    section = Section(tuple(regions), name, unit)
    return section if arcs_within is None else with_arcs(section, arcs_within)


def section_from_wkt(
    text: str, unit: str, *, name: str = "section", arcs_within: float | None = None
) -> Section:
    """A section from well-known text: POLYGON, MULTIPOLYGON, or closed lines.

    Raises
    ------
    FileFormatError
        If the text cannot be read.
    UnitError
        If the unit is missing or unknown.
    """
    from ..drawings.assembly import assemble
    from ..drawings.bounds import guarded
    from ..drawings.wkt import read_wkt

    if not text.strip():
        raise FileFormatError("the text is empty; write it like POLYGON((0 0, 100 0, ...))")
    with guarded("WKT"):
        section = replace(assemble(read_wkt(text.encode(), unit)), name=name)
    return section if arcs_within is None else with_arcs(section, arcs_within)


def with_arcs(section: Section, deviation: float) -> Section:
    """The section with runs of chords recognised as arcs, and a note that says how far it moved.

    Borders that regions share must carry the same vertices in both, or they come apart.
    """
    chords = arcs = 0
    worst = 0.0

    def recognised(contour: Contour) -> Contour:
        nonlocal chords, arcs, worst
        new, found = recognise_arcs(contour, deviation)
        made = int(np.count_nonzero(new.bulges) - np.count_nonzero(contour.bulges))
        arcs += made
        chords += len(contour) - len(new) + made
        worst = max(worst, found)
        return new

    regions = tuple(r.within([recognised(c) for c in r.contours]) for r in section.regions)
    if not arcs:
        note = f"no chords recognised as arcs within {deviation:g} {section.unit}".rstrip()
    else:
        moved = f"{worst:.2g} {section.unit}".rstrip()
        plural = "arc" if arcs == 1 else "arcs"
        note = (
            f"{chords} chords recognised as {arcs} {plural}; the outline moved by at most {moved}"
        )
    return replace(section, regions=regions, notes=(*section.notes, note))


def region_polygons(section: Section, deviation: float) -> list[Polygon]:
    """One shapely polygon a region, its chords within `deviation` of the arcs.

    Raises
    ------
    GeometryError
        If the deviation is not a positive length.
    """
    import shapely

    if not 0 < deviation < np.inf:
        raise GeometryError(f"the deviation must be a positive length, got {deviation}")
    return [
        shapely.Polygon(r.outline.polyline(deviation), [h.polyline(deviation) for h in r.holes])
        for r in section.regions
    ]


def _contour(ring: Any) -> Contour:
    """A ring's contour, heights left out; a ring repeats its first point at the end."""
    import shapely

    return Contour(shapely.get_coordinates(ring)[:-1])
