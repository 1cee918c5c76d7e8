"""Loose edges to closed contours: gaps closed and reported, the rest refused with its place."""

from __future__ import annotations

from collections.abc import Callable
from itertools import pairwise
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from soapfilm.geometry.drawings import read_drawing
from soapfilm.geometry.drawings.assembly import assemble
from soapfilm.geometry.drawings.clusters import clusters
from soapfilm.geometry.drawings.stroke import Sheet, Stroke
from soapfilm.geometry.drawings.stroke_chain import close_contours
from soapfilm.geometry.errors import FileFormatError, GeometryError, InputError
from soapfilm.geometry.outline.contour import Contour

Make = Callable[..., Path]


def frame(gap: float = 0.0) -> Callable[[Any], None]:
    """A rectangle of four lines whose lower right corner is open by the gap."""

    def draw(space: Any) -> None:
        for a, b in [
            ((0, 0), (200, 0)),
            ((200, gap), (200, 100)),
            ((200, 100), (0, 100)),
            ((0, 100), (0, 0)),
        ]:
            space.add_line(a, b, dxfattribs={"layer": "web"})

    return draw


def test_a_small_gap_is_closed_and_reported(dxf: Make) -> None:
    section = read_drawing(dxf(frame(0.01)))
    assert section.notes == ("drawing: 1 gap closed, within 0.0224 mm: 0.01 at (200.0, 0.005) mm",)
    # the corner moves to the middle of the gap: a triangle of 200 by 0.005 is lost
    assert section.regions[0].area() == pytest.approx(20_000 - 0.5, abs=1e-9)
    assert len(section.regions[0].outline) == 4


def test_a_rounding_is_closed_in_silence(dxf: Make) -> None:
    assert read_drawing(dxf(frame(1e-8))).notes == ()


def test_a_wide_gap_is_an_error_that_says_where(dxf: Make) -> None:
    message = (
        r"open end at \(200.0, 0.0\) mm on layer 'web', nearest other end 1 away \(2 open ends in "
        r"all\); close the contour there, or allow a larger gap than 0.02236"
    )
    with pytest.raises(GeometryError, match=message):
        read_drawing(dxf(frame(1.0)))
    assert "1 gap closed, within 1.5 mm: 1 at" in read_drawing(dxf(frame(1.0)), gap=1.5).notes[0]
    with pytest.raises(GeometryError, match="open end"):
        read_drawing(dxf(frame(0.01)), gap=0.0)


def test_an_open_line_on_another_layer_says_how_to_leave_it_out(dxf: Make) -> None:
    """A dimension line beside a whole outline: the outline's layer alone is the section."""

    def draw(space: Any) -> None:
        space.add_lwpolyline([(0, 0), (200, 0), (200, 100), (0, 100)], close=True,
                             dxfattribs={"layer": "cut steel"})  # fmt: skip
        space.add_line((0, -20), (200, -20), dxfattribs={"layer": "notes"})

    with pytest.raises(GeometryError, match=r"alone: --layer 'cut steel'$"):
        read_drawing(dxf(draw))
    assert read_drawing(dxf(draw), layers=["cut steel"]).regions[0].area() == 20_000
    with pytest.raises(GeometryError, match=r"\[\[drawing\]\]$"):
        read_drawing(dxf(frame(1.0)))


@pytest.mark.parametrize("gap", [-1.0, float("nan"), float("inf"), 50.0])
def test_unusable_tolerances(dxf: Make, gap: float) -> None:
    with pytest.raises(
        InputError, match=r"gap .* is not usable for this drawing; choose between 0 and"
    ):
        read_drawing(dxf(frame()), gap=gap)
    if not gap > 0:
        with pytest.raises(InputError, match=r"deviation .* choose between 2.24e-08 and 22.4"):
            read_drawing(dxf(frame()), deviation=gap)


def test_open_contour_far_from_anything(dxf: Make) -> None:
    with pytest.raises(GeometryError, match=r"open end at .*5.*, nearest other end 10 away"):
        read_drawing(dxf(lambda m: m.add_arc((0, 0), 5, 0, 180)))


def test_branching_is_named(dxf: Make) -> None:
    def draw(space: Any) -> None:
        frame()(space)
        space.add_line((0, 0), (200, 100), dxfattribs={"layer": "web"})

    with pytest.raises(
        GeometryError, match=r"branches at \(0.0, 0.0\) mm on layer 'web': 3 ends meet"
    ):
        read_drawing(dxf(draw))


def test_a_third_end_within_the_gap(dxf: Make) -> None:
    def draw(space: Any) -> None:
        frame(0.01)(space)
        space.add_line((200.02, 0), (250, 0), dxfattribs={"layer": "web"})

    with pytest.raises(GeometryError, match="more than two ends lie within the gap tolerance"):
        read_drawing(dxf(draw), gap=0.1)


def test_lines_drawn_twice_count_once(dxf: Make) -> None:
    def draw(space: Any) -> None:
        frame()(space)
        frame()(space)
        space.add_line((200, 0), (0, 0), dxfattribs={"layer": "web"})

    section = read_drawing(dxf(draw))
    assert section.regions[0].area() == 20_000
    assert section.notes == ("drawing: left out because drawn twice: 5 edges",)


def test_a_closed_polyline_drawn_twice_counts_once(dxf: Make) -> None:
    def draw(space: Any) -> None:
        for _ in range(2):
            space.add_lwpolyline([(0, 0), (9, 0), (9, 9)], close=True)

    section = read_drawing(dxf(draw))
    assert section.regions[0].area() == 40.5
    assert "drawn twice, used once: LWPOLYLINE" in section.notes[0]


def test_edges_shorter_than_the_gap_survive(dxf: Make) -> None:
    """Only ends are joined: a fine chamfer beside a gap keeps its corners."""

    def draw(space: Any) -> None:
        points = [(0, 0), (100, 0), (100, 99.99), (99.99, 100), (0, 100), (0, 0.01)]
        for a, b in pairwise(points):
            space.add_line(a, b)

    section = read_drawing(dxf(draw), gap=0.5)
    assert len(section.regions[0].outline) == 5
    assert "1 gap closed, within 0.5 mm: 0.01 at (0.0, 0.005) mm" in section.notes[0]


def test_self_crossing_outline(dxf: Make) -> None:
    def eight(space: Any) -> None:
        space.add_lwpolyline([(0, 0), (100, 50), (100, 0), (0, 50)], close=True)

    with pytest.raises(GeometryError, match=r"crosses or touches itself near \(50.0, 25.0\) mm"):
        read_drawing(dxf(eight))


def test_crossing_contours(dxf: Make) -> None:
    def draw(space: Any) -> None:
        space.add_lwpolyline([(0, 0), (100, 0), (100, 50), (0, 50)], close=True)
        space.add_circle((100, 25), 5)

    with pytest.raises(GeometryError, match=r"overlap: they cross near \(100.0, (20|30)\.0\) mm"):
        read_drawing(dxf(draw))


def test_contours_that_share_an_edge_do_not_cross(dxf: Make) -> None:
    """Arcs in common, cut differently, with chords that must not be mistaken for crossings."""

    def draw(space: Any) -> None:
        space.add_lwpolyline(
            [(0, 0, 0), (50, 0, 0), (50, 50, 0.3), (0, 50, 0)],
            format="xyb",
            close=True,
            dxfattribs={"layer": "below"},
        )
        b = np.tan(np.arctan(0.3) / 2)
        # the middle of that arc lies 0.3 times half the chord above it
        space.add_lwpolyline(
            [(0, 50, -b), (25, 57.5, -b), (50, 50, 0), (60, 80, 0), (-10, 80, 0)],
            format="xyb",
            close=True,
            dxfattribs={"layer": "above"},
        )

    below, above = read_drawing(dxf(draw)).regions
    assert below.area() + above.area() == pytest.approx(50 * 50 + (50 + 70) / 2 * 30, rel=1e-12)


def test_flat_contours_enclose_nothing(dxf: Make) -> None:
    with pytest.raises(GeometryError, match="encloses no area"):
        read_drawing(dxf(lambda m: m.add_lwpolyline([(0, 0), (9, 0), (4, 0)], close=True)))
    with pytest.raises(GeometryError, match="encloses no area"):
        read_drawing(dxf(lambda m: m.add_lwpolyline([(0, 0), (9, 0)], close=True)))
    with pytest.raises(GeometryError, match="single point"):
        read_drawing(dxf(lambda m: m.add_line((7, 7), (7, 7))))


def test_nested_contours_alternate(dxf: Make) -> None:
    def rings(space: Any) -> None:
        for radius in (10, 50, 20, 40, 30):
            space.add_circle((0, 0), radius)

    regions = read_drawing(dxf(rings)).regions
    radii = [[c.bounds()[2] for c in r.contours] for r in regions]
    assert radii == [[10], [50, 40], [30, 20]]


def test_thousands_of_contours_end_quickly(dxf: Make) -> None:
    def rings(count: int) -> Callable[[Any], None]:
        return lambda m: [m.add_circle((0, 0), 1 + k) for k in range(count)]

    with pytest.raises(FileFormatError, match="20000 pairs of overlapping contours"):
        read_drawing(dxf(rings(250)))
    with pytest.raises(FileFormatError, match="2000 closed contours"):
        read_drawing(dxf(rings(2100)))


@settings(max_examples=80, deadline=None)
@given(data=st.data(), n=st.integers(3, 12))
def test_any_order_and_direction_of_edges(data: st.DataObject, n: int) -> None:
    """A contour cut into edges, shuffled, turned and parted by small gaps is put together again."""
    angle = np.arange(n) * 2 * np.pi / n
    points = np.stack([np.cos(angle), np.sin(angle)], axis=1) * 100
    bulges = np.array([data.draw(st.sampled_from([0.0, 0.05, -0.05])) for _ in range(n)])
    whole = Contour(points, bulges)
    strokes = []
    for k in data.draw(st.permutations(range(n))):
        run, b = np.stack([points[k], points[(k + 1) % n]]), bulges[k : k + 1]
        run = run + data.draw(st.sampled_from([0.0, 1e-3]))
        if data.draw(st.booleans()):
            run, b = run[::-1], -b
        strokes.append(Stroke(run, b, layer="x"))
    loops, gaps, dropped = close_contours(strokes, 0.01, 1e-7, "mm")
    assert len(loops) == 1
    assert dropped == 0
    assert len(loops[0].contour) == n
    assert abs(loops[0].contour.area()) == pytest.approx(whole.area(), rel=1e-4)
    assert all(gap.width == pytest.approx(1e-3 * np.sqrt(2)) for gap in gaps)


@settings(max_examples=60, deadline=None)
@given(st.lists(st.tuples(st.integers(0, 40), st.integers(0, 40)), min_size=1, max_size=60))
def test_clusters_are_those_of_brute_force(cells: list[tuple[int, int]]) -> None:
    points = np.array(cells) * 3.0 + 0.5
    labels = clusters(points, 1.0)
    same = (points[:, None] == points[None]).all(axis=2)
    np.testing.assert_array_equal(labels[:, None] == labels[None], same)


def test_clusters_do_not_depend_on_the_cells() -> None:
    near = np.array([[0.999, 0.0], [1.001, 0.0], [5.0, 5.0]])
    for labels in (clusters(near, 1.0), clusters(near + 0.5, 1.0)):
        assert labels[0] == labels[1] != labels[2]


def test_many_coinciding_ends_cost_no_more_than_their_number() -> None:
    """Twenty thousand edges out of one point: an error in good time, not all pairs of ends."""
    angle = np.linspace(0, 2, 20_000)
    rays = [Stroke([(0, 0), (np.cos(a), np.sin(a))]) for a in angle]
    with pytest.raises(GeometryError, match="20000 ends meet there"):
        assemble(Sheet(tuple(rays), "mm"))
