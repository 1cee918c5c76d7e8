"""Sections side by side: what each has beside the first, at equal area or weight when asked."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from ....geometry.conversion import in_unit
from ....geometry.errors import InputError
from ....geometry.outline.placement import Placement
from ...accuracy import ACCURACY
from ..run.properties import Properties

if TYPE_CHECKING:
    from ....geometry.section import Section
    from ...section.result import SectionResult

EQUAL = ("area", "weight")


@dataclass(frozen=True, slots=True)
class Ratios:
    """One section beside the first; None where one of the two has no such number.

    Attributes
    ----------
    stiffness : float
        Of G J, torque per rate of twist (of J where `by_material` is False).
    strength : float or None
        Of the torque at first yield, W_T tau_y (W_T where `by_strength` is False).
    plastic : float or None
        Of the fully plastic torque, likewise.
    warping : float or None
        Of E C_w (C_w).
    lever_arm : float
        Of the mean lever arm.
    weight : float
        Of the mass per length (of the area where a density is missing).
    """

    stiffness: float
    strength: float | None
    plastic: float | None
    warping: float | None
    lever_arm: float
    weight: float


@dataclass(frozen=True, slots=True, eq=False)
class Comparison:
    """Solved sections and their ratios to the first.

    Attributes
    ----------
    results : tuple of SectionResult
    properties : tuple of Properties
    ratios : tuple of Ratios
    equal : str
        What was made equal by scaling, "" when nothing was.
    factors : tuple of float
        The scale of each.
    by_material, by_strength : bool
        Whether stiffness counts G and E, and strength the material's.
    """

    results: tuple[SectionResult, ...]
    properties: tuple[Properties, ...]
    ratios: tuple[Ratios, ...]
    equal: str
    factors: tuple[float, ...]
    by_material: bool
    by_strength: bool

    @property
    def unit(self) -> str:
        """Length unit of all."""
        return self.properties[0].length_unit


def compare_sections(
    sections: Sequence[Section], *, equal: str = "", accuracy: float = ACCURACY
) -> Comparison:
    """Solve sections and set them beside the first.

    Parameters
    ----------
    sections : sequence of Section
        Brought to the first one's length unit.
    equal : str
        "area" or "weight": scale each to that of the first, keeping its shape.
    accuracy : float
        Relative width asked of each J's interval.

    Raises
    ------
    InputError
        For fewer than two sections, or a missing density where weights are to be equal.
    """
    from ...section import solve_section

    if len(sections) < 2:
        raise InputError("a comparison needs two sections at least; name another one")
    own = _in_one_unit(sections)
    factors = _factors(own, equal)
    scaled = [
        s if f == 1 else s.placed(Placement.scale(f)) for s, f in zip(own, factors, strict=True)
    ]
    results = tuple(solve_section(s, accuracy) for s in scaled)
    properties = tuple(Properties.of(r) for r in results)
    by_material = all(p.material != "unspecified" for p in properties)
    by_strength = all(p.strength is not None for p in properties)
    first = properties[0]
    ratios = tuple(_ratios(p, first, by_material, by_strength) for p in properties)
    return Comparison(results, properties, ratios, equal, factors, by_material, by_strength)


def distinct_names(sections: Sequence[Section]) -> list[Section]:
    """The same sections with a number behind names that several bear."""
    names = [s.name for s in sections]
    found = []
    for k, section in enumerate(sections):
        rank = names[: k + 1].count(section.name)
        found.append(section if rank == 1 else replace(section, name=f"{section.name} ({rank})"))
    return found


def _in_one_unit(sections: Sequence[Section]) -> list[Section]:
    unit = sections[0].unit
    if any(s.unit != unit for s in sections) and any(not s.unit for s in sections):
        without = next(s for s in sections if not s.unit)
        raise InputError(f"section {without.name!r} states no length unit, the others do")
    return [s if s.unit == unit else in_unit(s, unit) for s in sections]


def _factors(sections: Sequence[Section], equal: str) -> tuple[float, ...]:
    """Scale of each section that makes its area or weight that of the first."""
    if not equal:
        return (1.0,) * len(sections)
    if equal not in EQUAL:
        raise InputError(f"sections are made equal by {' or '.join(EQUAL)}, not by {equal!r}")
    sizes = [_area(s) if equal == "area" else _weight(s) for s in sections]
    return tuple(1.0 if s == sizes[0] else math.sqrt(sizes[0] / s) for s in sizes)


def _area(section: Section) -> float:
    return sum(r.area() for r in section.regions)


def _weight(section: Section) -> float:
    total = 0.0
    for region in section.regions:
        if region.material.density is None:
            raise InputError(
                f"section {section.name!r}: material {region.material.name!r} states no density, "
                "so weights cannot be made equal; give one, or make areas equal"
            )
        total += region.material.density * region.area()
    return total


def _ratios(p: Properties, first: Properties, by_material: bool, by_strength: bool) -> Ratios:
    shear, elastic, strength = 1.0, 1.0, 1.0
    if by_material:
        shear = p.shear_modulus / first.shear_modulus
        elastic = p.elastic_modulus / first.elastic_modulus
    if by_strength and p.strength is not None and first.strength is not None:
        strength = p.strength / first.strength
    weight = p.gross_area / first.gross_area
    if p.mass_per_length is not None and first.mass_per_length is not None:
        weight = p.mass_per_length / first.mass_per_length
    return Ratios(
        stiffness=shear * p.torsion_constant / first.torsion_constant,
        strength=_ratio(p.torsion_modulus, first.torsion_modulus, strength),
        plastic=_ratio(p.plastic_torque, first.plastic_torque, strength),
        warping=_warping(p, first, elastic),
        lever_arm=p.mean_lever_arm / first.mean_lever_arm,
        weight=weight,
    )


def _warping(p: Properties, first: Properties, factor: float) -> float | None:
    if not first.warps:
        return None
    return factor * p.warping_constant / first.warping_constant if p.warps else 0.0


def _ratio(value: float | None, first: float | None, factor: float) -> float | None:
    return None if value is None or first is None else factor * value / first
