"""Plastic moduli and the fully plastic torque (sand heap); closed forms of solid shapes and tubes
are in `benchmarks.checks.plastic_torque`."""

from __future__ import annotations

import itertools
from dataclasses import replace

import numpy as np
import pytest
import shapely
from scipy.spatial import cKDTree
from soapfilm.geometry.material import Material
from soapfilm.geometry.outline.contour import Contour
from soapfilm.geometry.outline.placement import Placement
from soapfilm.geometry.profiles.by_name import (
    circle,
    circle_hollow,
    i_shape,
    l_shape,
    rectangle,
    rectangle_hollow,
    u_shape,
)
from soapfilm.geometry.section import Region, Section, Slit
from soapfilm.solver.section.area.plastic import plastic_moduli
from soapfilm.solver.section.torsion.sand_heap import plastic_torque

from benchmarks.checks.bars import TRIANGLE


def test_heap_of_an_eccentric_tube() -> None:
    """The plateau's height is the thinnest wall c = R - r - e.

    Derived: cones of slope one stand on both circles. Twice the volume equals 2 (V_out - V_void),
    here by plain summation of min(R - |x|, c + |x - e| - r) over a fine grid.
    """
    big, small, e = 1.0, 0.5, 0.2
    tube = Section.single(Contour.circle((0, 0), big), [Contour.circle((e, 0), small)])
    n = 2000
    s = (np.arange(n) + 0.5) / n * 2 - 1
    x, y = np.meshgrid(s, s)
    low = big - small - e
    heap = np.minimum(big - np.hypot(x, y), low + np.maximum(np.hypot(x - e, y) - small, 0))
    volume = np.maximum(heap, 0).sum() * (2 / n) ** 2
    assert plastic_torque(tube).value == pytest.approx(2 * volume, rel=3e-4)


def test_heap_of_thin_walls() -> None:
    """Open strip: b t^2 / 2 less its hip ends, t^3 / 6 of all; tube: 2 A t, A to mid wall."""
    strip = plastic_torque(rectangle(x_dim=100, y_dim=1).section()).value
    assert strip == pytest.approx(100 / 2 - 1 / 6, rel=1e-4)  # b^2 (3a - b)/6
    tube = plastic_torque(circle_hollow(radius=50.5, wall_thickness=1).section()).value
    assert tube == pytest.approx(2 * np.pi * 50**2 * 1, rel=5e-4)


def test_heap_of_a_very_thin_strip_that_lies_askew() -> None:
    """Its summit is found to a part of its own height, not of the box around the section."""
    t = 1e-5
    askew = rectangle(x_dim=1, y_dim=t).section().placed(Placement.rotate(0.3))
    assert plastic_torque(askew).value == pytest.approx(t**2 / 2 * (1 - t / 3), rel=1e-6)


def test_heap_of_a_fluted_bar() -> None:
    """Against the distance to the border summed over a grid: a large offset of small flutes was
    4e-4 off, and slow."""
    n = 96
    a = 2 * np.pi * np.arange(n) / n
    bulges = np.where(np.arange(n) % 2, 0.3, -0.2)
    fluted = Section.single(Contour(np.stack([np.cos(a), np.sin(a)], axis=1), bulges))
    drawn = shapely.Polygon(fluted.regions[0].outline.polyline(1e-6))
    side = 240
    x = ((np.arange(side) + 0.5) / side * 2 - 1) * 1.02
    grid = np.stack([c.ravel() for c in np.meshgrid(x, x)], axis=1)
    grid = grid[shapely.contains_xy(drawn, grid)]
    border = shapely.get_coordinates(drawn.exterior.segmentize(1e-3))
    volume = cKDTree(border).query(grid)[0].sum() * (2.04 / side) ** 2
    assert plastic_torque(fluted).value == pytest.approx(2 * volume, rel=2e-4)


FILLETED = {
    "L": l_shape(depth=150, width=90, thickness=10, fillet_radius=12, edge_radius=6),
    "I": i_shape(
        overall_width=150,
        overall_depth=300,
        web_thickness=7.1,
        flange_thickness=10.7,
        fillet_radius=15,
    ),
    "tube": rectangle_hollow(
        x_dim=200, y_dim=100, wall_thickness=8, outer_fillet_radius=12, inner_fillet_radius=4
    ),
}


@pytest.mark.parametrize("name", FILLETED)
def test_heap_summed_over_many_levels(name: str) -> None:
    """Against 500 levels between plateau and plateau, arcs of 5e-6 of the depth: ridges of several
    heights, at which the area's slope jumps, are found by a few levels."""
    section = FILLETED[name].section()
    outline, holes = section.regions[0].outline, section.regions[0].holes
    deviation = 5e-6 * section.bounds()[3]
    outer = shapely.Polygon(outline.polyline(deviation))
    inner = [shapely.Polygon(h.polyline(deviation)) for h in holes]
    ends = [0.0, *(outer.exterior.distance(h) for h in inner), 40.0]
    volume = 0.0
    for k, (low, high) in enumerate(itertools.pairwise(ends)):
        step = (high - low) / 500
        for level in low + step * (np.arange(500) + 0.5):
            shape = outer.buffer(-level, quad_segs=64)
            for hole in inner[:k]:
                shape = shape.difference(hole.buffer(level - low, quad_segs=64))
            volume += step * shape.area
    assert plastic_torque(section).value == pytest.approx(2 * volume, rel=5e-5)


@pytest.mark.parametrize("turn", [0.0, np.pi / 2, 0.3])
def test_regions_bonded_along_arcs_are_one_body(turn: float) -> None:
    """Their arcs start at different points, so that their chords do not meet."""
    disc = Contour.circle((0, 0), 0.5)
    square = rectangle(x_dim=2, y_dim=2).outline
    inside = Region(disc.placed(Placement.rotate(turn)))
    torque = plastic_torque(Section((Region(square, (disc,)), inside)))
    assert torque.value == pytest.approx(2**3 / 3, rel=1e-6)


def test_a_heap_that_is_not_available_says_why() -> None:
    square = Region(rectangle(x_dim=2, y_dim=2).outline)
    steel, oak = Material("steel", 200), Material("oak", 10)
    half = [Contour([(0, 0), (1, 0), (1, 1), (0, 1)]), Contour([(1, 0), (2, 0), (2, 1), (1, 1)])]
    mixed = Section((Region(half[0], material=steel), Region(half[1], material=oak)))
    assert plastic_torque(mixed).value is None
    assert "several materials" in plastic_torque(mixed).reason
    slit = Section((square,), slits=(Slit(((0, 0), (1, 0))),))
    assert plastic_torque(slit).value is None
    assert "slits" in plastic_torque(slit).reason


def test_plastic_moduli_of_elementary_shapes() -> None:
    """b h^2/4 and b^2 h/4; 4 R^3/3; tube 4 (R^3 - r^3)/3 (elementary)."""
    box = plastic_moduli(rectangle(x_dim=3, y_dim=2).section())
    np.testing.assert_allclose([box.x, box.y], [3, 4.5], rtol=1e-12)
    disc = plastic_moduli(circle(radius=2).section())
    np.testing.assert_allclose([disc.x, disc.y], 4 * 8 / 3, rtol=1e-11)
    tube = plastic_moduli(circle_hollow(radius=2, wall_thickness=0.5).section())
    np.testing.assert_allclose([tube.x, tube.y], 4 * (8 - 1.5**3) / 3, rtol=1e-11)


def test_plastic_moduli_of_a_triangle() -> None:
    """Axis parallel to the base at h (1 - 1/sqrt 2); Z_x = b h^2 (2 - sqrt 2)/6 (derived)."""
    b, h = 1.0, np.sqrt(0.75)
    moduli = plastic_moduli(TRIANGLE)
    assert moduli.neutral_y == pytest.approx(h * (1 - 1 / np.sqrt(2)), rel=1e-12)
    assert moduli.x == pytest.approx(b * h**2 * (2 - np.sqrt(2)) / 6, rel=1e-12)
    assert moduli.y == pytest.approx(h * b**2 / 12, rel=1e-12)


def test_plastic_moduli_of_i_and_channel() -> None:
    """Sums over rectangles, each on one side of the axis or split by it (elementary)."""
    b, d, t, w = 150.0, 300.0, 10.0, 8.0
    i = plastic_moduli(
        i_shape(overall_width=b, overall_depth=d, web_thickness=w, flange_thickness=t).section()
    )
    assert i.x == pytest.approx(b * t * (d - t) + w * (d - 2 * t) ** 2 / 4, rel=1e-12)
    assert i.y == pytest.approx(t * b**2 / 2 + (d - 2 * t) * w**2 / 4, rel=1e-12)
    u = u_shape(depth=100, flange_width=40, web_thickness=30, flange_thickness=20)
    moduli = plastic_moduli(u.section())
    # area 3000 + 2 * 200, half of it in a strip of the web 17 wide
    assert moduli.neutral_x == pytest.approx(-20 + 17, rel=1e-12)
    web = 100 * (17**2 + 13**2) / 2
    assert moduli.y == pytest.approx(web + 2 * 20 * 10 * (13 + 5), rel=1e-12)


def test_plastic_moduli_with_fillets_against_a_polygon() -> None:
    """int |y - y_n| dA of the two halves that a general polygon library cuts."""
    section = FILLETED["L"].section()
    drawn = shapely.Polygon(section.regions[0].outline.polyline(1e-5))
    moduli = plastic_moduli(section)
    x0, y0, x1, y1 = drawn.bounds
    for value, axis, box in (
        (moduli.x, moduli.neutral_y, lambda c: shapely.box(x0, c, x1, y1)),
        (moduli.y, moduli.neutral_x, lambda c: shapely.box(c, y0, x1, y1)),
    ):
        above, below = drawn.intersection(box(axis)), drawn.difference(box(axis))
        assert above.area == pytest.approx(below.area, rel=1e-5)
        k = 1 if axis == moduli.neutral_y else 0
        arms = [np.ravel(part.centroid.coords[0])[k] - axis for part in (above, below)]
        expected = above.area * arms[0] - below.area * arms[1]
        assert value == pytest.approx(expected, rel=1e-5)


def test_plastic_axis_in_a_gap_lies_in_its_middle() -> None:
    """Two equal blocks and a neck: the axis of symmetry halves the area."""
    blocks = [
        (0, 0),
        (4, 0),
        (4, 1),
        (3, 1),
        (3, 3),
        (4, 3),
        (4, 4),
        (0, 4),
        (0, 3),
        (1, 3),
        (1, 1),
        (0, 1),
    ]
    moduli = plastic_moduli(Section.single(Contour(blocks)))
    assert moduli.neutral_y == pytest.approx(2.0, rel=1e-12)
    assert moduli.x == pytest.approx(2 * (4 * 1.5) + 2 * 1, rel=1e-12)


def test_plastic_moduli_of_two_materials() -> None:
    """Weighted by strength: twice the strength counts as twice the width (equivalent section)."""
    weak, strong = Material("a", strength=100.0), Material("b", strength=200.0)
    low = Region(Contour([(0, 0), (2, 0), (2, 1), (0, 1)]), material=weak)
    high = Region(Contour([(0, 1), (2, 1), (2, 2), (0, 2)]), material=strong)
    moduli = plastic_moduli(Section((low, high)))
    # forces 200 below, 400 above: the axis lies in the strong one, at y = 1.25
    assert moduli.neutral_y == pytest.approx(1.25, rel=1e-12)
    moment = 200 * 0.75 + 400 * (0.25**2 + 0.75**2) / 2
    assert moduli.x == pytest.approx(moment / 100, rel=1e-12)
    no_strength = replace(low, material=Material("c"))
    missing = plastic_moduli(Section((no_strength, high)))
    assert missing.x is None
    assert "strength" in missing.reason
