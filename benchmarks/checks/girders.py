"""Welded girders of one axis of symmetry, and fitted formulas for J of T and L."""

from __future__ import annotations

from collections.abc import Callable
from functools import cache

from soapfilm.geometry.profiles.by_name import asymmetric_i_shape, l_shape, t_shape
from soapfilm.geometry.profiles.profile import Profile
from soapfilm.solver.section import SectionResult, solve_section

from .registry import Found, Topic

GIRDER_CHECKS = Topic("Welded girders and Wagner's constant")
FORMULAS = Topic("Handbook formulas for J of open sections with fillets")

#: Top flange narrower than the bottom one; sharp corners, welds left out (mm).
GIRDERS = {
    "WRF1200x244": asymmetric_i_shape(
        overall_depth=1200,
        top_flange_width=300,
        bottom_flange_width=550,
        bottom_flange_thickness=20,
        web_thickness=12,
    ),
    "WRF1600x427": asymmetric_i_shape(
        overall_depth=1600,
        top_flange_width=300,
        bottom_flange_width=550,
        bottom_flange_thickness=35,
        web_thickness=16,
    ),
    "betax_example": asymmetric_i_shape(
        overall_depth=500,
        top_flange_width=300,
        bottom_flange_width=150,
        bottom_flange_thickness=20,
        web_thickness=10,
    ),
}
T = t_shape(depth=130, flange_width=160, web_thickness=8, flange_thickness=10, fillet_radius=8)
L = l_shape(depth=130, width=160, thickness=10, fillet_radius=8)


@cache
def girder(name: str) -> SectionResult:
    """A girder solved."""
    return solve_section(GIRDERS[name].section(unit="mm"))


def constant(r: SectionResult) -> Found:
    """J in m^4."""
    return Found.between(r.torsion_constant_lower, r.torsion_constant_upper).scaled(1e-12)


def warping(r: SectionResult) -> Found:
    """C_w in m^6."""
    change = r.warping_properties.warping_constant_change
    return Found.about(r.warping_constant, change).scaled(1e-18)


def centre(r: SectionResult) -> Found:
    """Distance of shear centre and centroid."""
    offset = abs(float(r.shear_centre[1] - r.centroid[1]))
    return Found.about(offset, r.warping_properties.shear_centre_change)


def wagner(r: SectionResult) -> Found:
    """|beta_x|, whose doubt is twice that of the shear centre."""
    return Found.about(abs(float(r.monosymmetry[0])), 2 * r.warping_properties.shear_centre_change)


WRF = ("WRF1200x244", "WRF1600x427")
Argument = tuple[str, Callable[[SectionResult], Found]]


# J to the flanges' very ends, of which each lacks 0.105 t^4, while the junctions add less.
@GIRDER_CHECKS.check({f"{name}_J": (name, constant) for name in WRF}, within=(-0.04, 0.0))
@GIRDER_CHECKS.check(
    {
        **{f"{name}_Cw": (name, warping) for name in WRF},
        **{f"{name}_Yo": (name, centre) for name in WRF},
        **{f"{name}_betax": (name, wagner) for name in WRF},
    },
    within=0.01,
)
@GIRDER_CHECKS.check({"betax_example": ("betax_example", wagner)}, within=5e-3)
def girder_property(argument: Argument) -> Found:
    """One property of a girder."""
    name, quantity = argument
    return quantity(girder(name))


@FORMULAS.check({"roark_L_J": L}, within=0.05)
@FORMULAS.check({"roark_T_J": T}, within=0.10)
def fillet_section(profile: Profile) -> Found:
    """J."""
    result = solve_section(profile.section())
    return Found.between(result.torsion_constant_lower, result.torsion_constant_upper)
