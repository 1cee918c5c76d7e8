"""Elastic critical loads of members."""

from __future__ import annotations

import math
from typing import Any

from soapfilm.solver.member.beam.analysis import critical_loads
from soapfilm.solver.member.model.constants import SectionConstants
from soapfilm.solver.member.model.load import LineLoad, Place, PointLoad
from soapfilm.solver.member.model.member import Member
from soapfilm.solver.member.model.support import Support, fixed, fork

from benchmarks.checks.formulas.lateral_buckling import critical_moment

from .figure import Figure, figures
from .registry import Found, Topic

STABILITY = Topic("Critical loads")
INPUTS = figures()["mcr_ipe330"].inputs


def ipe(**more: float) -> SectionConstants:
    """IPE 330 in N and mm, as in the worked example SX001a."""
    i = INPUTS
    constants: dict[str, Any] = {
        "elastic_modulus": i["E"],
        "shear_modulus": i["G"],
        "area": 6261.0,
        "second_moment_x": 11770e4,
        "second_moment_y": i["Iz_cm4"] * 1e4,
        "torsion_constant": i["It_cm4"] * 1e4,
        "warping_constant": i["Iw_cm6"] * 1e6,
    }
    return SectionConstants(**(constants | more))


def factor(
    section: SectionConstants,
    length: float,
    *loads: PointLoad | LineLoad,
    supports: list[Support] | None = None,
    parts: int | None = None,
) -> float:
    """Lowest critical load factor, between forks unless told otherwise."""
    ends = supports or [fork(0), fork(length)]
    member = Member.prismatic(length, section, ends, loads=loads)
    more = {} if parts is None else {"parts": parts}
    return critical_loads(member, **more)[0].factor


def uniform_moment(length: float, moment: float) -> tuple[PointLoad, PointLoad]:
    """Sagging for a positive moment."""
    return (
        PointLoad(0.0, moment=(moment, 0, 0)),
        PointLoad(length, moment=(-moment, 0, 0)),
    )


def formula(figure: Figure) -> float:
    """The rule's critical moment of the worked beam, in N mm."""
    i = figure.inputs
    return critical_moment(
        i["E"],
        i["G"],
        i["Iz_cm4"] * 1e4,
        i["It_cm4"] * 1e4,
        i["Iw_cm6"] * 1e6,
        i["L_mm"],
        factors=(i["C1"], i["C2"]),
        load_height=i["zg_mm"],
    )


@STABILITY.check("mcr_ipe330", within=1e-6, published=5e-3)
def worked_beam(figure: Figure) -> Found:
    """By the formula; the eigenvalue lies within 0.5 %, see the tests."""
    return Found.about(formula(figure) / 1e6)


@STABILITY.check("mcr_uniform", within=2e-5)
def uniform(figure: Figure) -> Found:
    """Eigenvalue of 24 elements."""
    length = figure.inputs["L_mm"]
    return Found.about(factor(ipe(), length, *uniform_moment(length, 1e6), parts=24))


@STABILITY.check("narrow_cantilever", within=1e-3)
def narrow_cantilever(figure: Figure) -> Found:
    """P L^2/sqrt(E I_y G J) with 32 elements, whose twist is linear without warping."""
    i, length = figure.inputs, 3000.0
    strip = ipe(warping_constant=0.0, second_moment_x=1e12)
    tip = PointLoad(length, force=(0, -1.0, 0))
    load = factor(strip, length, tip, supports=[fixed(0.0)], parts=32)
    root = math.sqrt(i["E"] * strip.second_moment_y * i["G"] * strip.torsion_constant)
    return Found.about(load * length**2 / root)


@STABILITY.check("column_torsion", within=2e-5)
def torsional_column(figure: Figure) -> Found:
    """In kN, bending made stiff."""
    length = figure.inputs["L_mm"]
    section = ipe(second_moment_y=1e12, second_moment_x=1e12, area=1e8)
    push = PointLoad(length, force=(0, 0, -1.0), place=Place("centroid"))
    return Found.about(factor(section, length, push) / 1e3)
