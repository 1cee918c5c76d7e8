"""Rigidities: properties times the materials' true moduli, as a member needs them.

A composite section's transformed values (A, I, C_w by E, J by G of one reference material) and
these say the same; a rigidity does not depend on which material is taken as reference.
"""

from __future__ import annotations

from dataclasses import dataclass

from ..result import SectionResult


@dataclass(frozen=True, slots=True)
class Rigidities:
    """E and G times the properties, in the section's consistent units.

    Attributes
    ----------
    axial : float
        EA = int E dA.
    bending_x, bending_y, bending_xy : float
        EI_x = int E y^2 dA, EI_y, EI_xy about the centroid of the modulus-weighted area.
    torsion, torsion_lower, torsion_upper : float
        GJ, and the interval that holds the exact value.
    warping : float
        E C_w about the shear centre.
    """

    axial: float
    bending_x: float
    bending_y: float
    bending_xy: float
    torsion: float
    torsion_lower: float
    torsion_upper: float
    warping: float


def rigidities(result: SectionResult) -> Rigidities | None:
    """Rigidities of a solved section; None when some region names no material."""
    if not all(region.material.specified for region in result.section.regions):
        return None
    e, g = result.reference.elastic_modulus, result.reference.shear
    moments = result.second_moments
    return Rigidities(
        axial=e * result.area,
        bending_x=e * moments.x,
        bending_y=e * moments.y,
        bending_xy=e * moments.xy,
        torsion=g * result.torsion_constant,
        torsion_lower=g * result.torsion_constant_lower,
        torsion_upper=g * result.torsion_constant_upper,
        warping=e * result.warping_constant,
    )
