"""Materials and rigidities in tables: true moduli beside the values transformed by their ratios."""

from __future__ import annotations

from typing import TYPE_CHECKING

from ...geometry.grades import modular_ratio
from ...solver.section.area.rigidity import rigidities
from ..text.blocks import Group, Row
from ..text.number import displayed, near_zero, number, supported

if TYPE_CHECKING:
    from ...solver.section.result import SectionResult


def materials_group(result: SectionResult) -> Group:
    """E and G of every material of a composite section, with the ratios it was weighted by."""
    if not result.is_composite:
        return Group("Materials", [])
    unit, factor = displayed(result.unit, "stress")
    reference, rows = result.reference, []
    for material in dict.fromkeys(r.material for r in result.section.regions):
        n, m = modular_ratio(reference, material), reference.shear / material.shear
        note = "the reference" if material == reference else ""
        ratio = note or f"n = E_ref / E = {number(n, 5)}, G_ref / G = {number(m, 5)}"
        source = f"; {material.source}" if material.source else ""
        words = f"{ratio}{source}"
        e, g = (number(v * factor, 5) for v in (material.elastic_modulus, material.shear))
        rows += [Row(material.name, "E", e, unit, words), Row("", "G", g, unit)]
    return Group("Materials", rows)


def rigidity_group(result: SectionResult) -> Group:
    """EA, EI, GJ and E C_w, where the materials are named."""
    stiff = rigidities(result)
    if stiff is None:
        return Group("Rigidities", [])
    bending, per_bending = displayed(result.unit, "bending rigidity")
    # a desk model's are told in N
    small = max(stiff.bending_x, stiff.bending_y) * per_bending < 1
    bending, per_bending = displayed(result.unit, "bending rigidity", small)
    axial, per_axial = displayed(result.unit, "axial rigidity")
    warping, per_warping = displayed(result.unit, "warping rigidity", small)
    doubt = stiff.torsion_upper - stiff.torsion_lower
    change = result.reference.elastic_modulus * result.warping_properties.warping_constant_change
    coupling = near_zero(stiff.bending_xy, stiff.bending_x + stiff.bending_y)
    rows = [
        Row("axial", "EA", number(stiff.axial * per_axial), axial),
        Row("bending about x", "EI_x", number(stiff.bending_x * per_bending), bending),
        Row("bending about y", "EI_y", number(stiff.bending_y * per_bending), bending),
        Row(
            "torsion", "GJ = GI_T", supported(stiff.torsion * per_bending, doubt * per_bending),
            bending,
        ),
        Row(
            "warping", "EC_w = EI_w", supported(stiff.warping * per_warping, change * per_warping),
            warping,
        ),
    ]  # fmt: skip
    if coupling:
        rows.insert(3, Row("", "EI_xy", number(coupling * per_bending), bending))
    return Group("Rigidities (with the materials' true moduli)", rows)
