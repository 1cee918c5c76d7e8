"""A section in another length unit: outlines and materials brought along."""

from __future__ import annotations

from dataclasses import replace

from .errors import UnitError
from .material import Material
from .outline.placement import Placement
from .section import Section
from .units import Units


def in_unit(section: Section, unit: str) -> Section:
    """The same section with coordinates in `unit` and its materials in the units that go with it.

    Raises
    ------
    UnitError
        If the section states no unit, or one of the two is not known.

    Examples
    --------
    >>> from .outline.contour import Contour
    >>> inch = Section.single(Contour([[0, 0], [2, 0], [0, 1]]), unit="in")
    >>> in_unit(inch, "mm").bounds()
    (0.0, 0.0, 50.8, 25.4)
    """
    if not section.unit:
        raise UnitError(
            f"section {section.name!r} states no length unit, so it cannot be brought to {unit}"
        )
    if section.unit == unit:
        return section
    old, new = Units(section.unit), Units(unit)
    length = old.factor("length", unit)
    placed = section.placed(Placement.scale(length))
    stress, density = (old.factor(q, new.label(q)) for q in ("stress", "density"))
    regions = tuple(
        replace(r, material=_scaled(r.material, stress, density)) for r in placed.regions
    )
    # a placement moves the plane of the section; these two lie along the member
    joints = tuple(
        replace(j, weld_length=_times(j.weld_length, length), pitch=_times(j.pitch, length))
        for j in placed.joints
    )
    return replace(placed, regions=regions, joints=joints, unit=unit)


def _scaled(material: Material, stress: float, density: float) -> Material:
    """A material in other units; one that stands for "not given" stays as it is."""
    if not material.specified:
        return material
    return replace(
        material,
        elastic_modulus=material.elastic_modulus * stress,
        shear_modulus=_times(material.shear_modulus, stress),
        density=_times(material.density, density),
        strength=_times(material.strength, stress),
    )


def _times(value: float | None, factor: float) -> float | None:
    return None if value is None else value * factor
