"""Entries of a section file that make a part: outlines by their vertices, shapes by parameters.

A handler turns an `Entry` into a `Section` in the file's unit; the keys that every part has
(`material`, `name`, `combine`, placement) are read by the caller. A new kind of entry is one more
function in `HANDLERS`.
"""

from __future__ import annotations

from collections.abc import Callable

from ..errors import InputError
from ..material import Material
from ..outline.placement import Placement
from ..profiles.by_name import build_profile, profile_attributes, profile_named
from ..section import Region, Section
from .entry import Entry

Handler = Callable[[Entry, Material], Section]


def outline(entry: Entry, material: Material) -> Section:
    """``[[outline]]``: `points` = [[x, y], [x, y, bulge], ...], `holes` = a list of such lists."""
    contour = entry.contour(entry.need("points", "[[0, 0], [100, 0], [0, 50]]"), "points")
    holes = entry.table["holes"] if entry.has("holes") else []
    within = entry.length("arcs_within")
    entry.close()
    if not isinstance(holes, list):
        raise InputError("holes is a list of holes, each a list of [x, y] or [x, y, bulge]")
    contours = tuple(entry.contour(hole, f"hole {k}") for k, hole in enumerate(holes, start=1))
    region = Region(contour, contours, material, entry.text("name"))
    section = Section((region,), unit=entry.units.length)
    if within is None:
        return section
    from ..outline.polygons import with_arcs

    return with_arcs(section, within)


def shape(entry: Entry, material: Material) -> Section:
    """``[[shape]]``: `profile` and the attributes of the IFC profile it names, or `shape`, the
    designation of a rolled shape."""
    if entry.has("shape"):
        return _rolled(entry, material)
    profile = entry.text("profile") if entry.has("profile") else ""
    if not profile:
        entry.need("profile", '"I" (or shape = "W10X49")')
        raise InputError('profile is empty; write for example profile = "I"')
    key = profile_named(profile)
    values = {}
    for attribute in profile_attributes(key):
        read = entry.angle if attribute.is_angle else entry.length
        value = read(attribute.ifc)
        if value is not None:
            values[attribute.ifc] = value
    entry.close()
    built = build_profile(key, values, entry.units.length)
    region = built.region(material, entry.text("name"))
    return Section((region,), unit=entry.units.length, notes=built.notes, deviation=built.deviation)


def _rolled(entry: Entry, material: Material) -> Section:
    """A rolled shape of the catalogue, brought from its table's unit to the file's."""
    from ..catalogue import shape as rolled

    designation = entry.text("shape")
    entry.close()
    section = rolled(designation, material)
    factor = entry.units.read(1, "length", bare=section.unit)
    placed = section if factor == 1 else section.placed(Placement.scale(factor))
    name = entry.text("name") or section.name
    regions = (Region(r.outline, r.holes, r.material, name) for r in placed.regions)
    return Section(tuple(regions), unit=entry.units.length, notes=section.notes)


HANDLERS: dict[str, Handler] = {"outline": outline, "shape": shape}
