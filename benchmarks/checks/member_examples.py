"""Worked members: a column section as a beam, a spandrel tube, the couple at an end."""

from __future__ import annotations

import math
from functools import cache

from soapfilm.solver.member.beam.analysis import solve
from soapfilm.solver.member.beam.solution import Solution
from soapfilm.solver.member.model.axis import Axis
from soapfilm.solver.member.model.constants import SectionConstants
from soapfilm.solver.member.model.load import LineLoad, Place, PointLoad
from soapfilm.solver.member.model.member import Member
from soapfilm.solver.member.model.support import fork

from benchmarks.checks.formulas.hand_method import thin_tube_constant, thin_tube_shear_flow

from .figure import Figure, figures
from .registry import Found, Topic

EXAMPLES = Topic("Worked members in torsion")
COLUMN = figures()["uc_a"].inputs


@cache
def column_beam() -> Solution:
    """254x254x73 UKC, 4 m, 7.5 kNm at midspan, forks: the kind of problem of SCI P385 example 1
    (from memory); N and mm."""
    i = COLUMN
    section = SectionConstants(
        elastic_modulus=i["E"],
        shear_modulus=i["G"],
        area=9310.0,
        second_moment_x=11400e4,
        second_moment_y=i["Iz_cm4"] * 1e4,
        torsion_constant=i["It_cm4"] * 1e4,
        warping_constant=i["Iw_dm6"] * 1e12,
    )
    load = PointLoad(i["L_mm"] / 2, moment=(0, 0, i["T_kNm"] * 1e6))
    ends = [fork(0), fork(i["L_mm"])]
    return solve(Member.prismatic(Axis.straight(i["L_mm"]), section, ends, loads=(load,)))


@EXAMPLES.check("uc_a", within=1e-6)
def torsion_length(_figure: Figure) -> Found:
    """a in metres."""
    return Found.about(column_beam().mesh.sections[0].characteristic_length / 1e3)


@EXAMPLES.check("uc_Mzadd", within=5e-3)
def minor_moment(figure: Figure) -> Found:
    """M_z = phi M_y."""
    phi = column_beam().at(COLUMN["L_mm"] / 2).phi[0, 0]
    return Found.about(phi * figure.inputs["My_Ed_kNm"])


@EXAMPLES.check("uc_sigw", within=1e-2)
def flange_stress(_figure: Figure) -> Found:
    """M_w = B/h, sigma_w = M_w (b/2)/(I_z/2), h between flange centroids."""
    i = COLUMN
    flange = abs(column_beam().at(i["L_mm"] / 2).B[0, 0]) / (i["h"] - i["tf"])
    return Found.about(flange * (i["b"] / 2) / (i["Iz_cm4"] * 1e4 / 2))


@EXAMPLES.check("rhs_spandrel", within=1e-6)
def spandrel(figure: Figure) -> Found:
    """Sharp corners, J by Bredt; kN and m. End torque, flow, stress, twist, drop at the load."""
    i = figure.inputs
    b, h, t = (i["b"] - i["t"]) / 1e3, (i["h"] - i["t"]) / 1e3, i["t"] / 1e3
    section = SectionConstants(
        elastic_modulus=210e6,
        shear_modulus=i["G"] * 1e3,
        area=1.0,
        second_moment_x=1.0,
        second_moment_y=1.0,
        torsion_constant=thin_tube_constant(b * h, 2 * (b + h) / t),
    )
    length = i["L_m"]
    load = LineLoad(0, length, force=(0, -i["w"], 0), place=Place(dx=-i["e_mm"] / 1e3))
    ends = [fork(0), fork(length)]
    solution = solve(Member.prismatic(Axis.straight(length), section, ends, loads=(load,)))
    torque = abs(solution.reactions[0][0].torque)
    phi = abs(solution.at(length / 2).phi[0, 0])
    flow = thin_tube_shear_flow(torque, b * h)
    return Found.several((torque, flow, flow / i["t"], math.degrees(phi), phi * i["e_mm"]))


@EXAMPLES.check("end_couple", within=1e-7)
def end_couple(figure: Figure) -> Found:
    """T/2 over the distance of the flanges' centroids, as the supports of a member state it."""
    i = figure.inputs
    section = SectionConstants(1.0, 1.0, 1.0, 1.0, 1.0, 1.0, 0.25)
    ends = [fork(z, lever_arm=i["ho"]) for z in (0, 1)]
    load = PointLoad(0.5, moment=(0, 0, i["T"]))
    solution = solve(Member.prismatic(Axis.straight(1.0), section, ends, loads=(load,)))
    return Found.about(solution.reactions[0][0].couple)
