"""Constants of a member from a solved section."""

from __future__ import annotations

from typing import TYPE_CHECKING

from ....geometry.errors import InputError
from ...plane_section import warps
from ...section.area.weight_place import weight_place
from ...section.result import SectionResult
from .constants import SectionConstants
from .faces import Faces

if TYPE_CHECKING:
    from ...section.stress.unit_stress import UnitStress


def constants_of(
    result: SectionResult,
    shear_areas: tuple[float | None, float | None] = (None, None),
    secondary_torsion_constant: float | None = None,
) -> SectionConstants:
    """Numbers of a solved section, in its own consistent units.

    Parameters
    ----------
    result : SectionResult
        Composite sections bring modulus-weighted values with their reference material.
    shear_areas : (A_sx, A_sy)
        Left out, shear does not deform the member.
    secondary_torsion_constant : float, optional
        Left out, warping follows the rate of twist.
    """
    material = result.reference
    if not material.specified:
        raise InputError(
            f"section {result.section.name!r} names no material; a member needs E and G: "
            "give the section a material"
        )
    moments = result.second_moments
    warping = warps(result.warping_constant, moments.x, moments.y, result.area)
    x0, _, x1, _ = result.section.bounds()
    centroid, shear_centre = result.centroid, result.shear_centre
    weight = weight_place(result.section) or (None, None, None)
    return SectionConstants(
        elastic_modulus=material.elastic_modulus,
        shear_modulus=material.shear,
        area=result.area,
        second_moment_x=moments.x,
        second_moment_y=moments.y,
        product_moment=moments.xy,
        torsion_constant=result.torsion_constant,
        warping_constant=result.warping_constant if warping else 0.0,
        centroid=(float(centroid[0]), float(centroid[1])),
        shear_centre=(float(shear_centre[0]), float(shear_centre[1])),
        shear_area_x=shear_areas[0],
        shear_area_y=shear_areas[1],
        monosymmetry_x=float(result.monosymmetry[0]),
        monosymmetry_y=float(result.monosymmetry[1]),
        mass_per_length=result.mass_per_length,
        weight_x=weight[0],
        weight_y=weight[1],
        weight_spread=weight[2],
        width=x1 - x0,
        secondary_torsion_constant=secondary_torsion_constant if warping else None,
        mean_lever_arm=result.mean_lever_arm,
        name=result.section.name,
        faces=Faces.of(result.section),
        outline=result.section,
    )


def sheared_constants(units: UnitStress) -> SectionConstants:
    """`constants_of` a section with shear deformation, whose energy its unit stresses tell."""
    flexibility = units.shear_flexibility()
    areas = (float(1 / flexibility[0, 0]), float(1 / flexibility[1, 1]))
    return constants_of(units.result, areas, units.secondary_torsion_constant())
