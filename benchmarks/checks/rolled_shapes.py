"""Rolled shapes of the catalogue beside their published tables."""

from __future__ import annotations

from functools import cache

from soapfilm.geometry.catalogue import listing, shape
from soapfilm.geometry.profiles.by_name import u_shape
from soapfilm.solver.section import SectionResult, solve_section

from .registry import Found, Topic

ROLLED = Topic(
    "Rolled shapes",
    "The table's own dimensions with real fillets; all 1850 shapes are summed up further below.",
)


@cache
def rolled(designation: str) -> SectionResult:
    """The catalogue's shape."""
    return solve_section(shape(designation))


def constant(result: SectionResult) -> Found:
    """J."""
    return Found.between(result.torsion_constant_lower, result.torsion_constant_upper)


def warping(result: SectionResult) -> Found:
    """C_w."""
    return Found.about(result.warping_constant, result.warping_properties.warping_constant_change)


WIDE_FLANGES = ("W10X49", "W14X90", "W36X150", "W8X31")


@ROLLED.check({f"AISC_J_{d}": d for d in WIDE_FLANGES}, within=0.02)
def wide_flange_constant(designation: str) -> Found:
    """J."""
    return constant(rolled(designation))


@ROLLED.check({f"AISC_Cw_{d}": d for d in WIDE_FLANGES}, within=0.02)
def wide_flange_warping(designation: str) -> Found:
    """C_w."""
    return warping(rolled(designation))


@ROLLED.check(
    {f"AISC_J_{d}": d.replace("_", "/") for d in ("HSS10X6X3_8", "HSS8X8X1_2")},
    within=(-0.003, 0.03),
)
def tube_constant(designation: str) -> Found:
    """J, a little more than Bredt's."""
    return constant(rolled(designation))


@ROLLED.check({"AISC_C15X50_J": "C15X50"}, within=0.05)
def channel_constant(designation: str) -> Found:
    """J with the flanges' taper."""
    return constant(rolled(designation))


@cache
def uniform_channel() -> SectionResult:
    """C15X50 as its table sees it: flanges of the mean thickness throughout."""
    row = listing("C15X50").dimensions
    profile = u_shape(
        depth=row["d"],
        flange_width=row["bf"],
        web_thickness=row["tw"],
        flange_thickness=row["tf"],
    )
    return solve_section(profile.section())


@ROLLED.check("AISC_C15X50_Cw", within=0.03)
def channel_warping(_figure: object) -> Found:
    """C_w with flanges of even thickness: the taper takes 18 % off, see the tests."""
    return warping(uniform_channel())


@ROLLED.check("AISC_C15X50_eo", within=0.05)
def channel_centre(_figure: object) -> Found:
    """Shear centre from the back of the web, flanges of even thickness."""
    result = uniform_channel()
    back = result.section.bounds()[0]
    return Found.about(
        back - float(result.shear_centre[0]), result.warping_properties.shear_centre_change
    )
