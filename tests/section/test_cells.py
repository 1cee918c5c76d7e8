"""Cells: the void, and the area within the wall's middle that Bredt's q = T / (2 A) needs."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from soapfilm.geometry.material import Material
from soapfilm.geometry.outline.contour import Contour
from soapfilm.geometry.profiles.by_name import circle_hollow, rectangle_hollow
from soapfilm.geometry.section import Section
from soapfilm.solver.section import solve_section
from soapfilm.solver.section.torsion.cells import mid_wall_areas

from benchmarks.growth_cases import cell_block


@pytest.mark.parametrize("wall", [0.1, 1.0, 20.0])
def test_round_tubes_in_closed_form(wall: float) -> None:
    """ln(r) across the wall; of thin walls the circle in its middle."""
    result = solve_section(circle_hollow(radius=50, wall_thickness=wall).section())
    (cell,), (area,) = result.cells, mid_wall_areas(result.field)
    inner = 50 - wall
    exact = np.pi * (50**2 - inner**2) / (2 * np.log(50 / inner))
    assert cell.void_area == pytest.approx(np.pi * inner**2, rel=1e-12)
    assert area == pytest.approx(exact, rel=1e-5)
    assert area == pytest.approx(np.pi * (50 - wall / 2) ** 2, rel=(wall / 50) ** 2)


@pytest.mark.parametrize("wall", [0.05, 0.5, 5.0])
def test_bredts_flow_needs_the_area_within_the_walls_middle(wall: float) -> None:
    """The void was printed as the enclosed area: 10 % less at 5 mm, and q = T / (2 A) as wrong."""
    result = solve_section(rectangle_hollow(x_dim=100, y_dim=150, wall_thickness=wall).section())
    (cell,), (area,) = result.cells, mid_wall_areas(result.field)
    middle = (100 - wall) * (150 - wall)
    assert area == pytest.approx(middle, rel=0.5 * (wall / 100) ** 2 + 1e-6)
    # what the wall's own twist carries to and fro is of the order (t/b)^2
    bredt = 1 / (2 * area)
    assert cell.shear_flow_per_torque == pytest.approx(bredt, rel=2 * (wall / 100) ** 2 + 1e-5)


def test_neighbours_share_the_wall_between_them() -> None:
    result = solve_section(cell_block(3, 1))
    for cell, area in zip(result.cells, mid_wall_areas(result.field), strict=True):
        assert cell.void_area == pytest.approx(100**2)
        assert area == pytest.approx(110**2, rel=0.01)


def test_two_materials_divide_a_wall_by_their_shear() -> None:
    """Of two layers the stiffer one takes more of the stress function's fall, as G_i t_i."""
    ring = circle_hollow(radius=50.0, wall_thickness=1.0).section().regions[0]
    inner = circle_hollow(radius=49.0, wall_thickness=1.0).section().regions[0]
    soft = Material("soft", elastic_modulus=1.0)
    stiff = Material("stiff", elastic_modulus=4.0)
    whole = Section((replace(ring, material=soft), replace(inner, material=stiff)))
    (area,) = mid_wall_areas(solve_section(whole).field)
    # h' = -c G / r, and void and wall together are -int h' pi r^2 dr
    total = 1.0 * np.log(50 / 49) + 4.0 * np.log(49 / 48)
    exact = np.pi / total * (1.0 * (50**2 - 49**2) + 4.0 * (49**2 - 48**2)) / 2
    assert area == pytest.approx(exact, rel=1e-6)


def test_sections_without_holes_have_no_cells() -> None:
    bar = Section.single(Contour([(0, 0), (1, 0), (1, 1), (0, 1)]))
    result = solve_section(bar)
    assert result.cells == ()
    assert mid_wall_areas(result.field) == []
