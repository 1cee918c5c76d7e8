"""AISC Design Guide 9, example 5.1: W10x49, fork ends, 15 ft, 15 kip at midspan 6 in off (kip, in).

Published figures from memory, values computed. Stresses are the guide's own nominal formulas with
its table's constants; ours are the twist and its derivatives.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from functools import cache

from soapfilm.solver.member.beam.analysis import solve
from soapfilm.solver.member.beam.solution import Solution
from soapfilm.solver.member.model.axis import Axis
from soapfilm.solver.member.model.constants import SectionConstants
from soapfilm.solver.member.model.load import Place, PointLoad
from soapfilm.solver.member.model.member import Member
from soapfilm.solver.member.model.support import fork, warping_held

from .figure import Figure, figures
from .registry import Found, Topic

EXAMPLE = Topic(
    "Wide-flange beam with an eccentric load",
    "AISC Design Guide 9, example 5.1: the guide reads charts where ours solves.",
)
INPUTS = figures()["dg9_51_a"].inputs


@cache
def beam(share: float = 1.0, held: bool = False) -> Solution:
    """The beam with a share of its load, ends held against warping or not."""
    i = INPUTS
    section = SectionConstants(
        elastic_modulus=i["E"],
        shear_modulus=i["G"],
        area=14.4,
        second_moment_x=i["Ix"],
        second_moment_y=93.4,
        torsion_constant=i["J"],
        warping_constant=i["Cw"],
    )
    length = i["L_in"]
    ends = [end(z) for end in ((warping_held,) if held else (fork,)) for z in (0, length)]
    load = PointLoad(length / 2, force=(0, -i["P_kip"] * share, 0), place=Place(dx=-i["e_in"]))
    return solve(Member.prismatic(Axis.straight(length), section, ends, loads=(load,)))


def bending() -> float:
    """M/S_x at midspan."""
    return beam().at(INPUTS["L_in"] / 2).sagging[0, 0] / INPUTS["Sx"]


def warping() -> float:
    """E W_n phi'' = |B| W_n/C_w at midspan."""
    return abs(beam().at(INPUTS["L_in"] / 2).B[0, 0]) * INPUTS["Wno"] / INPUTS["Cw"]


def uniform(thickness: str) -> float:
    """G t phi' at the support."""
    return abs(INPUTS["G"] * INPUTS[thickness] * beam().at(0.0).tau[0, 0])


def warping_shear(z: float) -> float:
    """E S_w phi'''/t = |T_w| S_w/(C_w t) in the flange."""
    torque = abs(beam().at(z).T_w[0, 0])
    return torque * INPUTS["Sw1"] / (INPUTS["Cw"] * INPUTS["tf"])


def direct(moment: str, thickness: str) -> float:
    """V Q/(I t) at the support."""
    shear = abs(beam().at(0.0).V_y[0, 0])
    return shear * INPUTS[moment] / (INPUTS["Ix"] * INPUTS[thickness])


@EXAMPLE.check("dg9_51_a", within=1e-7, published=3e-3)
def torsion_length(_figure: Figure) -> Found:
    """a = sqrt(E C_w/(G J))."""
    return Found.about(beam().mesh.sections[0].characteristic_length)


@EXAMPLE.check("dg9_51_sigb", within=1e-7, published=5e-3)
def bending_stress(_figure: Figure) -> Found:
    """sigma_b."""
    return Found.about(bending())


# The data's values of the stresses by torsion round a to 62.1.
@EXAMPLE.check({"dg9_51_sigw": warping}, within=3e-3, published=2.5e-2)
@EXAMPLE.check({"dg9_51_sig": lambda: bending() + warping()}, within=3e-3, published=2e-2)
@EXAMPLE.check(
    {
        "dg9_51_taut_f": lambda: uniform("tf"),
        "dg9_51_tau": lambda: uniform("tf") + warping_shear(0.0) + direct("Qf", "tf"),
    },
    within=1e-2,
    published=2e-2,
)
@EXAMPLE.check(
    {
        "dg9_51_taut_w": lambda: uniform("tw"),
        "dg9_51_tauw_m": lambda: warping_shear(INPUTS["L_in"] / 2),
    },
    within=1e-2,
)
@EXAMPLE.check({"dg9_51_tauw_0": lambda: warping_shear(0.0)}, within=1e-2, published=2.5e-2)
def stress(quantity: Callable[[], float]) -> Found:
    """A stress in ksi."""
    return Found.about(quantity())


@EXAMPLE.check("dg9_51_vf", within=1e-7, published=1e-2)
def direct_shear(_figure: Figure) -> Found:
    """In flange and web."""
    return Found.several((direct("Qf", "tf"), direct("Qw", "tw")))


def service_twist(figure: Figure, held: bool) -> float:
    """phi at midspan under the service load."""
    share = figure.inputs["T_kip_in"] / INPUTS["T_kip_in"]
    return abs(beam(share, held).at(INPUTS["L_in"] / 2).phi[0, 0])


@EXAMPLE.check("dg9_51_phi", within=3e-3, published=7e-2)
def twist(figure: Figure) -> Found:
    """Between forks, in radians."""
    return Found.about(service_twist(figure, held=False))


@EXAMPLE.check("dg9_51_warpfix", within=3e-3)
def twist_with_warping_held(figure: Figure) -> Found:
    """In degrees."""
    return Found.about(math.degrees(service_twist(figure, held=True)))
