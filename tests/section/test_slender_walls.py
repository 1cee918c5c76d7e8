"""Walls far thinner than the section: solved, or refused, and never a number that means nothing.

Plate theory holds there to many digits: J = sum b t^3 / 3 for open walls (Roark's Formulas for
Stress and Strain, table of torsion, the limit of thin rectangles) and Bredt's 4 A^2 t / s for
tubes (R. Bredt, Z. VDI 40 (1896) 785), both with errors of the order of t/b.
"""

from __future__ import annotations

import numpy as np
import pytest
from soapfilm.geometry.errors import SolveError
from soapfilm.geometry.outline.contour import Contour
from soapfilm.geometry.profiles.by_name import i_shape, rectangle, rectangle_hollow
from soapfilm.geometry.section import Section
from soapfilm.solver.section import solve_section


@pytest.mark.parametrize("ratio", [1e-3, 1e-4, 1e-5, 1e-6])
def test_walls_a_million_times_thinner_are_solved(ratio: float) -> None:
    """J was 0 to 1e-10 at a wall of 1e-6 of the depth: what the warping's slope and the twist leave
    of each other was lost to rounding."""
    wall = 100 * ratio
    section = i_shape(
        overall_width=100, overall_depth=100, web_thickness=wall, flange_thickness=wall
    ).section(unit="mm")
    result = solve_section(section, 1e-4)
    assert result.solver.reached < 1e-4
    # the junctions add some t^4, the ends take some
    thin = 300 * wall**3 / 3
    assert result.torsion_constant == pytest.approx(thin, rel=2 * ratio + 1e-4)
    # flanges at the distance h: I_w = I_f h^2 / 2
    middle = 100 - wall
    assert result.warping_constant == pytest.approx(
        wall * 100**3 / 12 * middle**2 / 2, rel=2 * ratio + 1e-4
    )


def test_a_strip_a_million_times_longer_than_thick_is_quick_and_sharp() -> None:
    """Its ends lay between the places at which element sizes were sampled: 88 s and missed."""
    outline = [(0.0, 0.0), (100.0, 0.0), (100.0, 1e-4), (0.0, 1e-4)]
    result = solve_section(Section.single(Contour(outline), unit="mm"), 1e-9)
    assert result.solver.reached < 1e-9
    assert result.solver.unknowns < 10_000
    # a b^3 / 3 (1 - 0.630 b/a) of a narrow rectangle (Timoshenko & Goodier, Theory of Elasticity,
    # art. 109), the series' coefficient with more digits: 192/pi^5 sum tanh/n^5 -> 0.6302
    assert result.torsion_constant == pytest.approx(100 * 1e-12 / 3 * (1 - 0.6302e-6), rel=2e-10)


@pytest.mark.parametrize("wall", [1e-2, 1e-4])
def test_thin_tubes_follow_bredt(wall: float) -> None:
    section = rectangle_hollow(x_dim=100, y_dim=200, wall_thickness=wall).section(unit="mm")
    result = solve_section(section, 1e-6)
    a, b = 100 - wall, 200 - wall
    bredt = 2 * (a * b) ** 2 * wall / (a + b)
    assert result.torsion_constant == pytest.approx(bredt, rel=5 * wall / 100)
    assert result.solver.reached < 1e-6


def test_an_interval_wider_than_a_tenth_is_no_value() -> None:
    wall = 1e-8
    section = i_shape(
        overall_width=1, overall_depth=1, web_thickness=wall, flange_thickness=wall
    ).section(unit="mm")
    with pytest.raises(SolveError, match=r"no value; .*thickness"):
        solve_section(section, 1e-4)


@pytest.mark.parametrize("turn", [0.0, 0.3])
def test_slender_rectangles_that_lie_askew(turn: float) -> None:
    cos, sin = np.cos(turn), np.sin(turn)
    points = rectangle(x_dim=10, y_dim=1e-3).section().regions[0].outline.points
    turned = points @ np.array([[cos, sin], [-sin, cos]]) + [40.0, -70.0]
    result = solve_section(Section.single(Contour(turned), unit="mm"), 1e-7)
    assert result.torsion_constant == pytest.approx(1e-8 / 3 * (1 - 0.6302e-4), rel=2e-7)
