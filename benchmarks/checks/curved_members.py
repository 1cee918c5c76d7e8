"""Members curved in plan: arcs between forks, a quarter-circle cantilever, rings on supports."""

from __future__ import annotations

import math
from functools import cache

import numpy as np
from soapfilm.solver.member.beam.analysis import solve
from soapfilm.solver.member.beam.solution import Solution
from soapfilm.solver.member.model.axis import Axis
from soapfilm.solver.member.model.constants import SectionConstants
from soapfilm.solver.member.model.load import LineLoad, PointLoad
from soapfilm.solver.member.model.member import Member
from soapfilm.solver.member.model.support import Support, fixed, fork

from benchmarks.checks.formulas.hand_method import radius_method_torque

from .figure import Figure, figures
from .registry import Found, Topic

CURVED = Topic(
    "Members curved in plan",
    "Statics of the circular arc and virtual work; elements are exact arcs.",
)
ARC = figures()["arc_udl_M"].inputs
ON_AXIS = (0.0, 0.0)


def plain(ei: float, gj: float, cw: float = 0.0) -> SectionConstants:
    """Bending stiffness both ways, and torsion."""
    return SectionConstants(ei, gj, 1.0, 1.0, 1.0, 1.0, cw)


def uniform(q: float, length: float, place: tuple[float, float] = ON_AXIS) -> LineLoad:
    """A load downward along the whole length."""
    return LineLoad(0, length, force=(0, -q, 0), place=place)


def arc_span(*loads: PointLoad | LineLoad) -> Solution:
    """The figures' arc between forks; kN and m."""
    axis = Axis.arc(ARC["arc_L_m"], ARC["R_m"])
    ends = [fork(0), fork(axis.length)]
    return solve(Member.prismatic(axis, plain(ARC["EI"], ARC["GJ"]), ends, loads=loads))


@cache
def loaded_arc() -> Solution:
    """Under its uniform load."""
    return arc_span(uniform(ARC["q_kN_per_m"], ARC["arc_L_m"]))


@CURVED.check("arc_udl_M", within=1e-7)
def moment(_figure: Figure) -> Found:
    """Midspan."""
    return Found.about(loaded_arc().at(ARC["arc_L_m"] / 2).sagging[0, 0])


@CURVED.check("arc_udl_T", within=1e-7)
def torque(_figure: Figure) -> Found:
    """At a support."""
    return Found.about(abs(loaded_arc().reactions[0][0].torque))


@CURVED.check("arc_udl_twist", within=1e-6)
def twist(_figure: Figure) -> Found:
    """Midspan."""
    return Found.about(abs(loaded_arc().at(ARC["arc_L_m"] / 2).phi[0, 0]))


@CURVED.check("arc_udl_defl", within=1e-6)
def deflection(_figure: Figure) -> Found:
    """Midspan."""
    return Found.about(-loaded_arc().at(ARC["arc_L_m"] / 2).v[0, 0])


@CURVED.check("arc_udl_MR", within=1e-12)
def radius_method(_figure: Figure) -> Found:
    """The hand method's own value, 3.6 % below the exact one."""
    return Found.about(radius_method_torque(ARC["arc_L_m"], ARC["R_m"], uniform=ARC["q_kN_per_m"]))


@CURVED.check("arc_P_twist", within=1e-6)
def point_load(figure: Figure) -> Found:
    """Twist and deflection at midspan."""
    half = ARC["arc_L_m"] / 2
    load = PointLoad(half, force=(0, -figure.inputs["P_kN"], 0), place=ON_AXIS)
    middle = arc_span(load).at(half)
    return Found.several((middle.phi[0, 0], -middle.v[0, 0]))


@CURVED.check("sfm_arc", within=1e-7, published=1e-4)
def quarter_circle(figure: Figure) -> Found:
    """Tip deflection; bending moment and torque 15 degrees from the root."""
    i = figure.inputs
    inertia = math.pi / 64 * (i["d_out"] ** 4 - i["d_in"] ** 4)
    area = math.pi / 4 * (i["d_out"] ** 2 - i["d_in"] ** 2)
    shear = i["E"] / (2 * (1 + i["nu"]))
    tube = SectionConstants(i["E"], shear, area, inertia, inertia, 2 * inertia)
    axis = Axis.arc(math.pi / 2 * i["R"], i["R"])
    load = PointLoad(axis.length, force=(0, i["F"], 0), place=ON_AXIS)
    solution = solve(Member.prismatic(axis, tube, [fixed(0)], loads=(load,)))
    at = solution.at([axis.length, math.radians(15) * i["R"]])
    return Found.several((at.v[0, 0], abs(at.M_x[1, 0]), abs(at.T[1, 0])))


def ring(n: int, section: SectionConstants, radius: float = 5.0) -> Solution:
    """A full circle on n supports under a unit load along it."""
    axis = Axis.ring(radius)
    supports = [Support(k * axis.length / n, y="held") for k in range(n)]
    # In its plane the ring is held at one station only: no reaction there.
    more = {"x": "held", "z": "held", "bend_y": "held"}
    supports[0] = supports[0].with_(**(more | ({"bend_x": "held"} if n == 2 else {})))
    return solve(Member.prismatic(axis, section, supports, loads=(uniform(1.0, axis.length),)))


@CURVED.check({"ring_6": 6, "ring_8": 8}, within=1e-7, published=3e-2)
def ring_table(n: int) -> Found:
    """Moment at a support and between, greatest torque (by w r^2), and where it is in degrees.

    Where the torque is greatest, dT/ds = M/R - m vanishes: the moment's zero by bisection.
    """
    radius = 5.0
    solution = ring(n, plain(3.0, 0.7), radius)
    low, high = 0.0, math.pi / n
    for _ in range(60):
        middle = (low + high) / 2
        if solution.at(middle * radius).sagging[0, 0] < 0:
            low = middle
        else:
            high = middle
    at = solution.at([0.0, math.pi * radius / n, low * radius])
    unit = radius**2
    return Found.several(
        (
            -at.sagging[0, 0] / unit,
            at.sagging[1, 0] / unit,
            abs(at.T[2, 0]) / unit,
            float(np.degrees(low)),
        )
    )
