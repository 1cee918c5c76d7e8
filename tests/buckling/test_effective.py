"""Effective sections by hand: EN 1993-1-5 4.4 and tables 4.1 and 4.2, from memory."""

from __future__ import annotations

import numpy as np
import pytest
from shapely import Polygon, box
from soapfilm.geometry.material import Material
from soapfilm.geometry.profiles.open import c_shape
from soapfilm.geometry.profiles.solid import rectangle_hollow
from soapfilm.geometry.profiles.symmetric import i_shape
from soapfilm.geometry.section import Region, Section
from soapfilm.solver.section.area.properties import area_properties
from soapfilm.solver.section.buckling.effective import effective_section
from soapfilm.solver.section.buckling.plate_elements import plate_elements
from soapfilm.solver.section.buckling.solution import solve_buckling
from soapfilm.solver.section.stress.actions import Actions

STEEL = Material("steel", 210e3, 0.3)
EULER = np.pi**2 * 210e3 / (12 * (1 - 0.3**2))


def test_a_square_tube_in_compression() -> None:
    """Four walls of 192 x 4 between hinged edges: k = 4, 329.5 N/mm2 by their clear width, above
    the tube's own 315.9 by its mid-lines."""
    tube = rectangle_hollow(x_dim=200, y_dim=200, wall_thickness=4).section(material=STEEL)
    found = solve_buckling(tube, Actions(axial_force=-1.0), shortest=120, longest=400)
    effective = effective_section(found, 355.0)
    slenderness = np.sqrt(355 / (4 * EULER * (4 / 192) ** 2))
    rho = (slenderness - 0.22) / slenderness**2
    assert effective.area == pytest.approx(3136 - 4 * 4 * 192 * (1 - rho), rel=1e-9)
    assert effective.shift == pytest.approx([0, 0], abs=1e-9)
    assert effective.critical_stress == pytest.approx(316.2, rel=2e-3)
    assert all(wall.own and wall.internal for wall in effective.walls)


def test_a_girder_in_bending() -> None:
    """The web loses a strip of its part in compression, whose place and properties shapely
    confirms; the stiff flanges lose nothing."""
    girder = i_shape(
        overall_depth=800, overall_width=250, flange_thickness=12, web_thickness=5
    ).section(material=STEEL)
    found = solve_buckling(girder, Actions(moment_x=-1.0), shortest=200, longest=800)
    effective = effective_section(found, 355.0)
    lost = [wall for wall in effective.walls if wall.lost is not None]
    assert [wall.element.thickness for wall in lost] == pytest.approx([5])
    (web,) = lost
    assert not web.own
    slenderness = np.sqrt(355 / effective.critical_stress)
    rho = (slenderness - 0.055 * (3 + web.psi)) / slenderness**2
    assert web.reduction == pytest.approx(rho, rel=1e-6)
    compressed = 776 / (1 - web.psi)
    # compression is at the top: 0.4 of what is kept there, 0.6 next to the neutral axis
    a, b = (float(web.element.at(s)[1]) for s in web.lost)
    low, high = min(a, b), max(a, b)
    assert 388 - high == pytest.approx(0.4 * rho * compressed, rel=1e-6)
    assert low - (388 - compressed) == pytest.approx(0.6 * rho * compressed, rel=1e-6)
    whole = Polygon(girder.regions[0].outline.points) - box(-10, low, 10, high)
    assert effective.area == pytest.approx(whole.area, rel=1e-12)
    assert effective.centroid == pytest.approx([0, whole.centroid.y], abs=1e-9)
    parts = [(250 * 12, 394.0, 12.0), (250 * 12, -394.0, 12.0)]
    parts += [(5 * (388 - high), (388 + high) / 2, 388 - high)]
    parts += [(5 * (low + 388), (low - 388) / 2, low + 388)]
    y = whole.centroid.y
    inertia = sum(area * ((at - y) ** 2 + deep**2 / 12) for area, at, deep in parts)
    assert effective.moments[0] == pytest.approx(inertia, rel=1e-9)
    assert effective.modulus == pytest.approx(inertia / (400 - y), rel=1e-9)
    assert effective.tension_modulus == pytest.approx(inertia / (400 + y), rel=1e-9)
    # the neutral axis that the widths were found with is the one they give
    assert web.psi == pytest.approx((-388 - y) / (388 - y), rel=1e-5)


def test_a_lipped_channel_in_compression() -> None:
    """By hand: the web by the whole section's own critical stress, flanges and lips by k = 4 and
    0.43 of their clear widths (EN 1993-1-5 tables 4.1 and 4.2 and eq. 4.2, from memory), which are
    higher; the middle of the web drops out, so the centroid moves toward the lips."""
    channel = c_shape(depth=200, width=75, wall_thickness=2, girth=20).section(material=STEEL)
    found = solve_buckling(channel, Actions(axial_force=-1.0), shortest=100, longest=300)
    effective = effective_section(found, 355.0)
    assert effective.critical_stress == pytest.approx(108.4, rel=2e-3)

    def kept(stress: float) -> float:
        slenderness = np.sqrt(355 / stress)
        return float(min(1.0, (slenderness - 0.22) / slenderness**2))

    web = kept(effective.critical_stress)
    flange = kept(4 * EULER * (2 / 71) ** 2)
    assert web == pytest.approx(0.4855, rel=1e-3)
    assert flange == pytest.approx(0.9293, rel=1e-3)
    assert np.sqrt(355 / (0.43 * EULER * (2 / 18) ** 2)) < 0.748  # lips stay whole
    lost_web, lost_flanges = 2 * 196 * (1 - web), 2 * 2 * 71 * (1 - flange)
    area = 764 - lost_web - lost_flanges
    assert effective.area == pytest.approx(area, rel=1e-6)
    assert area == pytest.approx(542.2, rel=1e-3)
    # from the middle of the width: web at -36.5, flanges at 1 (73 long), lips at 36.5
    centroid = (400 * -36.5 + 2 * 146 * 1 + 2 * 36 * 36.5) / 764
    moved = (lost_web * (centroid + 36.5) + lost_flanges * centroid) / area
    assert effective.shift == pytest.approx([moved, 0], rel=1e-6, abs=1e-6)


def test_a_stocky_section_is_effective_in_full() -> None:
    tube = rectangle_hollow(x_dim=100, y_dim=100, wall_thickness=6).section(material=STEEL)
    found = solve_buckling(tube, Actions(axial_force=-1.0), shortest=50, longest=200)
    effective = effective_section(found, 235.0)
    assert effective.area == pytest.approx(area_properties(tube).area, rel=1e-12)
    assert all(wall.lost is None for wall in effective.walls)


def test_walls_of_a_lipped_channel_with_bends() -> None:
    profile = c_shape(depth=200, width=75, wall_thickness=2, girth=20, internal_fillet_radius=3)
    walls = plate_elements(profile.section(material=STEEL))
    assert sorted(wall.width for wall in walls) == pytest.approx([15, 15, 65, 65, 190])
    assert {wall.thickness for wall in walls} == {2.0} or all(
        wall.thickness == pytest.approx(2) for wall in walls
    )
    assert sorted(all(wall.held) for wall in walls) == [False, False, True, True, True]


def test_regions_that_touch_are_one() -> None:
    """Plates drawn one by one give the walls of the whole."""
    whole = i_shape(
        overall_depth=300, overall_width=160, flange_thickness=10, web_thickness=6
    ).section(material=STEEL)
    from soapfilm.geometry.outline.contour import Contour

    plates = [(-80, 140, 80, 150), (-80, -150, 80, -140), (-3, -140, 3, 140)]
    regions = tuple(
        Region(Contour([(a, b), (c, b), (c, d), (a, d)]), (), STEEL) for a, b, c, d in plates
    )
    one, other = (plate_elements(s) for s in (whole, Section(regions, unit="mm")))
    assert sorted(w.width for w in one) == pytest.approx(sorted(w.width for w in other))
    assert len(one) == 5
