"""Tapers and continuous members whose sections deform."""

from __future__ import annotations

import numpy as np
from soapfilm.geometry.outline.contour import Contour
from soapfilm.geometry.section import Region, Section
from soapfilm.solver.member.deforming.reactions import reactions
from soapfilm.solver.member.model.load import LineLoad, PointLoad
from soapfilm.solver.member.model.support import bearing_pair, fixed

from .deforming_models import STEEL, solved, tube
from .figure import Figure
from .registry import Found, Topic

DEFORMING_MEMBERS = Topic("Tapers and continuous members whose sections deform")


def _girder(height: float, part: float = 1.0) -> Section:
    """Flanges 200 x 15 whose middle lines are `height` apart, web 8: J of the figure at 500. All
    plates a part of their thickness."""
    x, y, w, t = 100.0, height / 2, part * 4.0, part * 7.5
    right = [
        (x, -y - t), (x, -y + t), (w, -y + t), (w, y - t), (x, y - t), (x, y + t),
    ]  # fmt: skip
    left = [(-a, b) for a, b in reversed(right)]
    return Section(
        (Region(Contour([*right, *left]), (), STEEL),), unit="mm", name=f"girder {height:g}"
    )


def _tip_twist(heights: tuple[float, ...], part: float, holds: int) -> float:
    """Under 1 kN m at the tip, the shape held there and at equal distances."""
    torque = PointLoad(3000.0, moment=(0, 0, 1e6))
    solution = solved(
        [_girder(height, part) for height in heights], 3000.0, [torque],
        diaphragms=np.linspace(0.0, 3000.0, holds + 1)[1:], supports=[fixed(0.0)],
    )  # fmt: skip
    return float(solution.twist([3000.0], side="left")[0, 0])


@DEFORMING_MEMBERS.check({"taper_J_600_300": (600.0, 300.0)}, within=(0.0, 0.06))
@DEFORMING_MEMBERS.check({"taper_J_400_400": (400.0,)}, within=(0.0, 0.04))
def tip_of_a_taper(heights: tuple[float, ...]) -> Found:
    """Twist of the tip, the shape held there and at the quarters."""
    return Found.about(_tip_twist(heights, 1.0, 4))


#: Plates a fifth as thick: Saint-Venant's stiffness falls with the cube, that of warping as they
#: do.
THIN = 0.2


@DEFORMING_MEMBERS.check({"taper_J0_600_300": (600.0, 300.0)}, within=(-0.09, 0.0))
@DEFORMING_MEMBERS.check({"taper_J0_300_600": (300.0, 600.0)}, within=(-0.09, 0.0))
@DEFORMING_MEMBERS.check({"taper_J0_400_400": (400.0,)}, within=(-0.09, 0.0))
def tip_of_a_taper_that_only_warps(heights: tuple[float, ...]) -> Found:
    """Plates a fifth as thick, the twist of a fifth of the torque."""
    return Found.about(_tip_twist(heights, THIN, 12) * THIN)


@DEFORMING_MEMBERS.check("three_spans_reactions", within=1e-3)
def reactions_of_three_spans(figure: Figure) -> Found:
    """On pairs of bearings alone, as shares of q L."""
    span, q = figure.inputs["span"], figure.inputs["q"]
    supports = [
        bearing_pair(k * span, 400.0, level=-260.0, holds_down=True, z="held" if k == 0 else "free")
        for k in range(4)
    ]
    load = LineLoad(0.0, 3 * span, (0, -q, 0), place=(0.0, 260.0))
    solution = solved([tube(500.0, 500.0, 20.0, 20.0)], 3 * span, [load], supports=supports)
    return Found.several(r.force[1] / (q * span) for r in reactions(solution, 0))
