"""What diaphragms weigh: their plates in the cells and the bars of their frames; a rigid one, of
which nothing is known but that it is rigid, weighs nothing."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from ....geometry.material import Material
    from ....geometry.section import Section
    from ...member.model.diaphragm import Diaphragm
    from ...member.model.member import Member, Segment

#: Chords of arcs keep within this share of the section's size: 1e-4 of a round cell's area.
_CHORDS = 1e-5


def diaphragm_weight(member: Member, section: Section, replaces: str = "") -> float:
    """Mass of the diaphragms in a section per length of its segments; see `diaphragm_mass`."""
    length = sum(s.end - s.start for s in _segments(member, replaces))
    return diaphragm_mass(member, section, replaces) / length


def diaphragm_mass(member: Member, section: Section, replaces: str = "") -> float:
    """Mass of all diaphragms in a section; their volume where the section's own weight is its area,
    for want of a density.

    Parameters
    ----------
    member : Member
    section : Section
        In the member's unit.
    replaces : str
        The section of the member in whose place it stands; empty: everywhere.
    """
    segments = _segments(member, replaces)
    own = [d for d in member.diaphragms if not d.rigid and member.segment_at(d.at) in segments]
    if not own:
        return 0.0
    cells = _cells(section)
    counted = all(region.material.density is not None for region in section.regions)
    total = 0.0
    for diaphragm in own:
        material = _nearest(diaphragm, section)
        density = material.density if counted and material.density is not None else 1.0
        total += density * _volume(diaphragm, cells)
    return total


def _segments(member: Member, replaces: str) -> list[Segment]:
    return [s for s in member.segments if not replaces or s.section.name == replaces]


def _volume(diaphragm: Diaphragm, cells: list[float]) -> float:
    plate = diaphragm.plate
    if plate is None:
        return sum(bar.area * bar.length for bar in diaphragm.bars)
    opening = 0.0 if plate.opening is None else plate.opening[0] * plate.opening[1]
    return plate.thickness * max(sum(cells) - opening, 0.0)


def _nearest(diaphragm: Diaphragm, section: Section) -> Material:
    """The material of the section whose modulus is nearest to the diaphragm's."""
    modulus = (
        diaphragm.bars[0].elastic_modulus
        if diaphragm.plate is None
        else diaphragm.plate.elastic_modulus
    )
    return min(
        (region.material for region in section.regions),
        key=lambda m: abs(m.elastic_modulus - modulus),
    )


def _cells(section: Section) -> list[float]:
    """Areas of the voids that the material encloses."""
    import shapely

    from ....geometry.outline.polygons import region_polygons

    whole = shapely.union_all(region_polygons(section, _CHORDS * section.size()))
    parts = getattr(whole, "geoms", [whole])
    return [shapely.Polygon(hole).area for part in parts for hole in part.interiors]
