"""Code rules beside worked examples and the rules' own arithmetic."""

from __future__ import annotations

from typing import Literal

from soapfilm.solver.member.review.serviceability import masonry_limit
from soapfilm.solver.rules import bending_torsion
from soapfilm.solver.rules.hollow_torsion import (
    rectangular_constant,
    rectangular_critical_stress,
    rectangular_strength,
    round_constant,
    round_elastic_stresses,
    round_strength,
)
from soapfilm.solver.rules.shear_torsion import shear_reduction

from .figure import Figure, figures
from .registry import Found, Topic

RULES = Topic(
    "Code rules", "Local codes and a licensed engineer decide; these rules are aids to them."
)


@RULES.check("h5a", within=1e-7, published=5e-3)
def rectangular_tube(figure: Figure) -> Found:
    """Critical stress, nominal strength, design and allowable."""
    i = figure.inputs
    s = rectangular_strength(i["E"], i["Fy"], i["h_over_t"], i["C"])
    return Found.several((s.critical_stress, s.nominal, s.design, s.allowable))


@RULES.check("h5b", within=1e-7, published=1e-2)
def round_tube(figure: Figure) -> Found:
    """The two elastic stresses, then as for the rectangular tube."""
    i = figure.inputs
    s = round_strength(i["E"], i["Fy"], i["D"], i["t"], i["L_in"], i["C"])
    elastic = round_elastic_stresses(i["E"], i["D"], i["t"], i["L_in"])
    return Found.several((*elastic, s.critical_stress, s.nominal, s.design, s.allowable))


@RULES.check("h3_C_round", within=1e-7)
def round_tube_constant(figure: Figure) -> Found:
    """The mid-wall formula."""
    return Found.about(round_constant(figure.inputs["D"], figure.inputs["t"]))


@RULES.check("h3_C_rect", within=1e-7, published=5e-3)
def rectangular_tube_constant(figure: Figure) -> Found:
    """C of a rectangular tube."""
    i = figure.inputs
    return Found.about(rectangular_constant(i["B"], i["H"], i["t"]))


@RULES.check("h3_rect_bands", within=1e-6)
def three_bands(figure: Figure) -> Found:
    """Yield, inelastic and elastic buckling."""
    i = figure.inputs
    return Found.several(rectangular_critical_stress(i["E"], i["Fy"], s)[0] for s in (40, 65, 80))


@RULES.check({"ec3_626": ("ec3_626", "I"), "ec3_628": ("ec3_628", "hollow")}, within=1e-7)
@RULES.check({"ec3_627": ("ec3_627", "channel")}, within=1e-6)
def shear_beside_torsion(argument: tuple[str, Literal["I", "channel", "hollow"]]) -> Found:
    """EN 1993-1-1 6.2.7: V_pl,T over V_pl."""
    name, kind = argument
    i = figures()[name].inputs
    return Found.about(shear_reduction(kind, i["tau_t"], i["fy"], i.get("tau_w", 0.0)).ratio)


@RULES.check("en19936_A", within=1e-6)
def warping_interaction(figure: Figure) -> Found:
    """EN 1993-6 annex A."""
    i = figure.inputs
    found = bending_torsion.interaction(
        i["My_over_MyRd"],
        i["Mz_over_MzRd"],
        i["B_over_BRd"],
        reduction=i["chiLT"],
        major_to_critical=i["My_over_Mcr"],
        moment_factor=i["Cmz"],
    )
    return Found.about(found.verdict.ratio)


@RULES.check("masonry_defl", within=1e-12)
def masonry(figure: Figure) -> Found:
    """The lesser of span/600 and 0.3 in."""
    return Found.several(masonry_limit(span, "in").value for span in figure.inputs["L_in"])
