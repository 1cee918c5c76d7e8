"""Clothoids in plan: the transitions of a member's axis."""

from __future__ import annotations

import math

from soapfilm.solver.member.model.axis import Axis
from soapfilm.solver.member.model.axis_piece import Transition

from .figure import Figure
from .registry import Found, Topic

CLOTHOIDS = Topic(
    "Transitions in plan",
    "Fresnel's integrals by Gauss points; a member's elements follow the curvature exactly.",
)


def end_of(length: float, first: float, last: float) -> tuple[float, float, float]:
    """Place along and across, and angle, of the end of a clothoid."""
    x, z, heading = (float(v[0]) for v in Axis((Transition(length, first, last),)).plan([length]))
    return z, x, heading


@CLOTHOIDS.check("cloth_small", within=1e-8, published=2e-4)
def small(figure: Figure) -> Found:
    """Tight enough for a ramp."""
    a, r = figure.inputs["A"], figure.inputs["R"]
    length = a**2 / r
    along, across, angle = end_of(length, 0.0, 1 / r)
    return Found.several([length, angle, math.degrees(angle), along, across])


@CLOTHOIDS.check("cloth_road", within=1e-7)
def road(figure: Figure) -> Found:
    """With what a setting-out plan asks for."""
    r, length = figure.inputs["R"], figure.inputs["L"]
    along, across, angle = end_of(length, 0.0, 1 / r)
    shift, centre = across - r * (1 - math.cos(angle)), along - r * math.sin(angle)
    tangents = along - across / math.tan(angle), across / math.sin(angle)
    return Found.several([math.sqrt(r * length), angle, along, across, shift, centre, *tangents])


@CLOTHOIDS.check("cloth_between", within=1e-9)
def between(figure: Figure) -> Found:
    """From one radius to a smaller one."""
    first, last = 1 / figure.inputs["R1"], 1 / figure.inputs["R2"]
    length = figure.inputs["A"] ** 2 * (last - first)
    return Found.several([length, end_of(length, first, last)[2]])
