"""Influence lines of straight and curved beams on several supports."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray
from soapfilm.solver.member.beam.analysis import solve
from soapfilm.solver.member.influence.analysis import TravelLine, influence_of
from soapfilm.solver.member.influence.asked import AskedResult
from soapfilm.solver.member.influence.beam_adjoint import BeamField, beam_field
from soapfilm.solver.member.model.axis import Axis
from soapfilm.solver.member.model.constants import SectionConstants
from soapfilm.solver.member.model.load import LineLoad
from soapfilm.solver.member.model.member import Member
from soapfilm.solver.member.model.support import fork

from .figure import Figure
from .registry import Found, Topic

Array = NDArray[np.float64]

INFLUENCE = Topic(
    "Influence lines",
    "Three moments and statics; ours by one adjoint solve a result (Mueller-Breslau).",
)
ON_AXIS = (0.0, 0.0)


def plain(ei: float = 1.0, gj: float = 1.0) -> SectionConstants:
    """Bending stiffness both ways, and torsion."""
    return SectionConstants(1.0, 1.0, 1e3, ei, 10 * ei, gj, 0.0)


def continuous(spans: Sequence[float]) -> Member:
    """A beam on forks."""
    at = np.cumsum([0.0, *spans])
    return Member.prismatic(float(at[-1]), plain(), [fork(float(z)) for z in at])


def bending(at: float) -> AskedResult:
    """M_x at a station, which is negative where it sags."""
    return AskedResult("action", "M_x", f"M_x at {at:g}", at)


def reaction(at: float, component: str = "R_y") -> AskedResult:
    """Of the fork at a station."""
    return AskedResult("reaction", component, f"{component} at {at:g}", at, f"support at {at:g}")


def sagging(member: Member, at: float, loads: Sequence[float]) -> Array:
    """(m,) moments at a station, positive where they sag, of unit loads one by one."""
    return -beam_field(member, [bending(at)]).ordinates(np.array(loads), ON_AXIS)[:, 0]


@INFLUENCE.check("il2_table", within=1e-7, published=(-0.008, 0.022))
def two_spans(_figure: Figure) -> Found:
    """Moments at six sections and the end's shear, loads at sixths but for the supports."""
    member = continuous([1.0, 1.0])
    asked = [*(bending(k / 6) for k in range(1, 7)), reaction(0.0)]
    loads = np.array([p for p in range(1, 12) if p != 6]) / 6
    table = beam_field(member, asked).ordinates(loads, ON_AXIS)
    return Found.several((table * [*[-1.0] * 6, 1.0]).ravel())


@INFLUENCE.check("il2_max", within=1e-8)
def largest_of_two_spans(_figure: Figure) -> Found:
    """The largest ordinate, where it stands, and the area of one span, by Gauss points."""
    member = continuous([1.0, 1.0])
    found = influence_of(member, {}, [bending(1.0)], [TravelLine("axis", ON_AXIS)], keep_shape=True)
    most = found.maxima[0]
    points, weights = np.polynomial.legendre.leggauss(6)
    area = -weights @ sagging(member, 1.0, (points + 1) / 2) / 2
    place = min(most.at, 2 - most.at)
    return Found((most.value, place, area), (1e-12, 1e-8, 1e-12))


@INFLUENCE.check("il2_uneq", within=1e-8)
def unequal_spans(figure: Figure) -> Found:
    """The pier's moment."""
    loads = [6.0, 12.0, 18.0, 24.0, 35.0, 40.0, 45.0]
    return Found.several(sagging(continuous(figure.inputs["spans"]), 30.0, loads))


@INFLUENCE.check("il3_MB", within=1e-8)
def three_spans(_figure: Figure) -> Found:
    """The first pier's moment."""
    loads = [n + p for n in range(3) for p in (0.2, 0.4, 0.5, 0.6, 0.8)]
    return Found.several(sagging(continuous([1.0] * 3), 1.0, loads))


@INFLUENCE.check("il3_mid", within=1e-7)
def middle_of_three_spans(_figure: Figure) -> Found:
    """Moment in the middle of the second span, and the shear beside its first pier."""
    asked = [bending(1.5), AskedResult("action", "V_y", "V_y", 1.0)]
    loads = np.array([0.25, 0.5, 0.75, 1.25, 1.5, 1.75, 2.5])
    table = -beam_field(continuous([1.0] * 3), asked).ordinates(loads, ON_AXIS)
    return Found.several(table.ravel())


@INFLUENCE.check("cont_udl", within=1e-8)
def uniform_load(_figure: Figure) -> Found:
    """Support moments under a uniform load, by the areas of the lines."""
    found: list[float] = []
    points, weights = np.polynomial.legendre.leggauss(6)
    for count in range(2, 8):
        member = continuous([1.0] * count)
        field = beam_field(member, [bending(float(k)) for k in range(1, count)])
        z = (np.arange(count)[:, None] + (points + 1) / 2).ravel()
        found += list(np.tile(weights / 2, count) @ field.ordinates(z, ON_AXIS))
    return Found.several(found)


@INFLUENCE.check("cont_pattern3", within=1e-6, published=6e-4)
def spans_by_turns(_figure: Figure) -> Found:
    """Spans loaded by turns: the pier's moment under two, the first span's largest under one and
    three, where its shear vanishes."""
    both = continuous([1.0] * 3)

    def under(*spans: int) -> Member:
        return both.with_(loads=[LineLoad(n, n + 1.0, force=(0, -1.0, 0)) for n in spans])

    hogging = -solve(under(0, 1)).at([1.0]).sagging[0, 0]
    end = solve(under(0, 2))
    place = float(end.reactions[0][0].force[1])
    return Found.several([hogging, end.at([place]).sagging[0, 0]])


# -- arcs -----------------------------------------------------------------------------------------
def arc(degrees: float, parts: int, ratio: float) -> Member:
    """A circular arc of radius 1 on forks, E I 1, G J 1 / ratio."""
    axis = Axis.arc(math.radians(degrees), 1.0)
    at = np.linspace(0.0, axis.length, parts + 1)
    return Member.prismatic(axis, plain(gj=1 / ratio), [fork(float(z)) for z in at])


@INFLUENCE.check("ilc_single", within=1e-7)
def arc_between_forks(figure: Figure) -> Found:
    """Reaction, torque at the fork, and the moment under the load; signs of the source, which has
    the arc turn the other way."""
    member = arc(figure.inputs["angle_deg"], 1, 1.3)
    found: list[float] = []
    for share in (0.25, 0.5, 0.75):
        z = share * member.length
        asked = [reaction(0.0), reaction(0.0, "T"), bending(z)]
        v, t, m = beam_field(member, asked).ordinates(np.array([z]), ON_AXIS)[0]
        found += [v, -abs(t), -m]
    return Found.several(found)


@INFLUENCE.check("ilc_two", within=1e-8)
def arc_on_three_forks(figure: Figure) -> Found:
    """Both ratios of E I / G J; place and ratio are the figure's own; absolute torques with its
    signs."""
    found: list[float] = []
    for share in (0.125, 0.25, 0.375):
        for ratio in (1.3, 5.0):
            member = arc(figure.inputs["angle_deg"], 2, ratio)
            first, middle = 0.0, member.length / 2
            titles = [s.title for s in member.supports]
            asked = [
                AskedResult("reaction", word, word, at, title)
                for word in ("R_y", "T")
                for at, title in zip((first, middle), titles, strict=False)
            ]
            field: BeamField = beam_field(member, asked)
            values = field.ordinates(np.array([share * member.length]), ON_AXIS)[0]
            found += [share, ratio, *values[:2], -abs(values[2]), abs(values[3])]
    return Found.several(found)
