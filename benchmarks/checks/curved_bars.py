"""Bars with curved walls and notches that have an exact solution."""

from __future__ import annotations

from math import acos, cos, pi, radians, sin, tan

from soapfilm.geometry.outline.contour import Contour
from soapfilm.geometry.section import Section

from .bars import torsion_constant
from .registry import Found, Topic

CURVED = Topic("Torsion constant: curved walls and notches, exactly")


def ring_piece(inner: float, degrees: float) -> Section:
    """A piece of a ring of outer radius 1 with radial ends."""
    a = radians(degrees)
    points = [(1, 0), (cos(a), sin(a)), (inner * cos(a), inner * sin(a)), (inner, 0)]
    return Section.single(Contour(points, [tan(a / 4), 0, -tan(a / 4), 0]))


def notched_bar(notch: float = 0.2) -> Section:
    """A round bar of radius 1 with a round notch about the point (-1, 0) of its border."""
    # the circles meet at the angle `end` seen from the notch's middle
    end = acos(notch / 2)
    x, y = notch * cos(end) - 1, notch * sin(end)
    # seen from the bar's middle the lower meeting point lies at pi + turn
    turn = pi - 2 * end
    around = 2 * pi - 2 * turn
    return Section.single(Contour([(x, -y), (x, y)], [tan(around / 4), -tan(2 * end / 4)]))


@CURVED.check(
    {
        "curved_bar_J": ring_piece(0.8, 90),
        "curved_thin_J": ring_piece(0.99, 340),
        "notched_bar_J": notched_bar(),
    },
    within=1e-9,
    exact=True,
)
def constant(section: Section) -> Found:
    """J."""
    return torsion_constant(section)
