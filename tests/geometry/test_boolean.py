"""Booleans against exact results, set identities and shapely on finely faceted copies."""

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from soapfilm.geometry.checks.validate import check
from soapfilm.geometry.errors import GeometryError
from soapfilm.geometry.material import Material
from soapfilm.geometry.outline.contour import Contour, arc_circles
from soapfilm.geometry.outline.placement import Placement
from soapfilm.geometry.planar.boolean import difference, intersection, union
from soapfilm.geometry.section import Region, Section


def box(x0, y0, x1, y1, **more):
    return Region(Contour([[x0, y0], [x1, y0], [x1, y1], [x0, y1]]), **more)


def disc(x, y, r):
    return Region(Contour.circle((x, y), r))


def area(regions):
    return sum(r.area() for r in regions)


def edges(regions):
    return [len(c) for r in regions for c in r.contours]


def test_rectangle_less_circle_keeps_two_half_circles():
    (region,) = difference([box(0, 0, 4, 4)], [disc(2, 2, 1)])
    assert edges([region]) == [4, 2]
    assert region.holes[0].bulges.tolist() == [-1.0, -1.0]
    centre, radius = arc_circles(
        region.holes[0].points, region.holes[0].ends, region.holes[0].bulges
    )
    assert centre.tolist() == [[2, 2], [2, 2]]
    assert radius.tolist() == [1, 1]
    assert region.area() == pytest.approx(16 - np.pi, rel=1e-15)


def test_rectangle_less_circle_on_its_edge_keeps_one_half_circle():
    (region,) = difference([box(0, 0, 4, 4)], [disc(4, 2, 1)])
    assert edges([region]) == [6]
    assert np.count_nonzero(region.outline.bulges) == 1
    assert region.outline.bulges.min() == pytest.approx(-1, rel=1e-15)
    assert region.area() == pytest.approx(16 - np.pi / 2, rel=1e-15)


def test_lens_of_two_circles():
    # Unit circles a unit apart: 2 pi / 3 - sqrt(3) / 2, two arcs of 120 degrees.
    lens = intersection([disc(0, 0, 1)], [disc(1, 0, 1)])
    assert area(lens) == pytest.approx(2 * np.pi / 3 - np.sqrt(3) / 2, rel=1e-14)
    assert edges(lens) == [2]
    assert lens[0].outline.bulges == pytest.approx(np.tan(np.pi / 6), rel=1e-14)


@pytest.mark.parametrize(
    ("merged", "corners", "size"),
    [
        (union([box(0, 0, 2, 2)], [box(2, 0, 3, 2)]), [4], 6),
        (union([box(0, 0, 2, 2)], [box(2, 0.5, 3, 1.5)]), [8], 5),
        (union([box(0, 0, 2, 2)], [box(1, 1, 3, 3)]), [8], 7),
        (union([box(0, 0, 4, 1), box(0, 3, 4, 4)], [box(0, 0, 1, 4), box(3, 0, 4, 4)]), [4, 4], 12),
        (union([box(x, y, x + 1, y + 1) for x in range(5) for y in range(5)]), [4], 25),
        (union([box(0, 0, 2, 2)], [box(0, 0, 2, 2)]), [4], 4),
        (union([box(0, 0, 2, 2)]), [4], 4),
        (union([], [box(0, 0, 2, 2)]), [4], 4),
        (difference([box(0, 0, 2, 2)], []), [4], 4),
        (difference([box(0, 0, 2, 2)], [box(0, 0, 2, 2)]), [], 0),
        (difference([box(0, 0, 2, 2)], [box(2, 0, 3, 2)]), [4], 4),
        (difference([box(0, 0, 3, 1)], [box(1, -1, 2, 2)]), [4, 4], 2),
        (intersection([box(0, 0, 2, 2)], [box(2, 0, 3, 2)]), [], 0),
        (intersection([box(0, 0, 2, 2)], [box(1, 1, 3, 3)]), [4], 1),
        (intersection([box(0, 0, 2, 2)], []), [], 0),
        (union([], []), [], 0),
    ],
)
def test_straight_cases_leave_no_splits(merged, corners, size):
    assert edges(merged) == corners
    assert area(merged) == pytest.approx(size, abs=1e-12)


def test_a_circle_cut_in_pieces_and_put_together_is_the_circle():
    round_ = disc(0.3, -0.2, 1.7)
    pieces = [
        part
        for quarter in (box(-9, -9, 0, 0), box(0, -9, 9, 0), box(-9, 0, 0, 9), box(0, 0, 9, 9))
        for part in intersection([round_], [quarter])
    ]
    assert len(pieces) == 4
    (whole,) = union(pieces)
    assert edges([whole]) == [2]
    assert whole.outline.bulges == pytest.approx([1, 1], abs=1e-12)
    centre, radius = arc_circles(whole.outline.points, whole.outline.ends, whole.outline.bulges)
    np.testing.assert_allclose(centre, [[0.3, -0.2]] * 2, atol=1e-14)
    np.testing.assert_allclose(radius, 1.7, rtol=1e-14)


def test_a_long_arc_is_one_edge_and_a_nearly_full_one_two():
    keyhole = union([disc(0, 0, 1)], [box(-0.6, -3, 0.6, 0)])
    assert edges(keyhole) == [4]
    assert 4 * np.arctan(keyhole[0].outline.bulges.max()) == pytest.approx(
        2 * np.pi - 2 * np.arcsin(0.6), rel=1e-14
    )
    assert edges(union([disc(0, 0, 1)], [box(-0.1, -3, 0.1, 0)])) == [5]


def test_nested_holes_go_to_the_outline_around_them():
    ring = difference([box(0, 0, 9, 9)], [box(1, 1, 8, 8)])
    both = union(ring, difference([box(3, 3, 6, 6)], [disc(4.5, 4.5, 1)]))
    assert sorted(edges(both)) == [2, 4, 4, 4]
    assert sorted(r.area() for r in both) == pytest.approx([9 - np.pi, 32])


def test_parts_that_touch_in_a_point_come_apart():
    parts = difference([box(0, 0, 4, 4)], [box(0, 0, 2, 2), box(2, 2, 4, 4)])
    assert edges(parts) == [4, 4]
    assert [r.area() for r in parts] == [4, 4]


def test_a_hole_that_touches_its_outline_in_a_point_stays_a_hole():
    (region,) = difference([box(0, 0, 4, 4)], [Region(Contour([[4, 2], [3, 3], [2, 2], [3, 1]]))])
    assert edges([region]) == [4, 4]
    with pytest.raises(GeometryError, match=r"hole 1 touches the outline near \(4.0, 2.0\)"):
        check(Section((region,)))


def test_a_circle_that_touches_from_inside_leaves_the_outline_alone():
    assert edges(union([box(0, 0, 4, 4)], [disc(3, 2, 1)])) == [4]
    (cut,) = difference([box(0, 0, 4, 4)], [disc(3, 2, 1)])
    assert cut.area() == pytest.approx(16 - np.pi, rel=1e-14)


def test_fillet_fills_a_corner_exactly():
    angle = union([box(0, 0, 10, 1)], [box(0, 0, 1, 10)])
    corner = difference([box(1, 1, 3, 3)], [disc(3, 3, 2)])
    (filleted,) = union(angle, corner)
    assert filleted.area() == pytest.approx(19 + (4 - np.pi), rel=1e-14)
    assert edges([filleted]) == [7]
    assert filleted.outline.bulges.min() == pytest.approx(-np.tan(np.pi / 8), rel=1e-12)


def test_material_and_name_are_kept_and_never_mixed():
    steel, timber = Material("S355"), Material("timber")
    a, b = box(0, 0, 2, 2, material=steel, name="web"), box(1, 0, 3, 2, material=timber, name="web")
    (cut,) = difference([a], [b])
    assert (cut.material, cut.name) == (steel, "web")
    with pytest.raises(GeometryError, match="'S355' and 'timber' cannot be merged"):
        union([a], [b])


def test_borders_that_stray_by_about_the_tolerance_are_taken_as_one():
    # Neither equal nor clearly apart: the worst the tolerance can meet.
    for stray in np.linspace(0.2, 3, 15) * 1e-9 * np.hypot(3, 1):
        left = Region(Contour([[0, 0], [1, 0], [1 + stray, 0.5], [1, 1], [0, 1]]))
        right = Region(Contour([[1, 0], [3, 0], [3, 1], [1 + stray / 3, 1], [1 - stray, 0.4]]))
        both, common = union([left], [right]), intersection([left], [right])
        assert area(both) + area(common) == pytest.approx(3, abs=1e-7)
        assert len(both) == 1
        assert not both[0].holes


def test_large_outlines_stay_fast_and_exact():
    angle = np.linspace(0, 2 * np.pi, 3000, endpoint=False)

    def flower(shift):
        radius = 1 + 0.1 * np.sin(40 * angle + shift)
        return [Region(Contour(radius[:, None] * np.stack([np.cos(angle), np.sin(angle)], axis=1)))]

    a, b = flower(0.0), flower(1.0)
    assert area(union(a, b)) + area(intersection(a, b)) == pytest.approx(
        area(a) + area(b), rel=1e-12
    )


grid = st.integers(-3, 3)
bulges = st.sampled_from([0.0, 0.0, 0.0, 0.2, -0.2, 0.41421356237309503, 1.0])


def star(rows):
    """The points with their edges' bulges, in order about their middle: often a valid outline."""
    table = np.array(rows, dtype=float)
    about = table[:, :2] - table[:, :2].mean(axis=0) - [0.01, 0.003]
    table = table[np.argsort(np.arctan2(about[:, 1], about[:, 0]))]
    return Region(Contour(table[:, :2], table[:, 2]))


def valid(region):
    try:
        check(Section((region,)))
    except GeometryError:
        return False
    return True


corners = st.lists(st.tuples(grid, grid, bulges), min_size=3, max_size=7, unique_by=lambda r: r[:2])
outlines = corners.map(star).filter(valid)
sets = st.lists(outlines, min_size=1, max_size=2)


@settings(deadline=None)
@given(sets, sets)
def test_set_identities(a, b):
    # One outline of a set may overlap the other: its area is that of its union.
    whole_a, whole_b = area(union(a)), area(union(b))
    common, both = intersection(a, b), union(a, b)
    assert area(both) + area(common) == pytest.approx(whole_a + whole_b, rel=1e-9)
    assert area(difference(a, b)) == pytest.approx(whole_a - area(common), rel=1e-9, abs=1e-9)
    assert area(union(difference(a, b), common)) == pytest.approx(whole_a, rel=1e-9)
    assert area(intersection(difference(a, b), b)) == pytest.approx(0, abs=1e-9)
    assert edges(union(both)) == edges(both)


@settings(deadline=None)
@given(sets, sets, st.floats(0, 6.3), st.floats(-4, 4), st.booleans())
def test_results_move_turn_and_scale_with_their_operands(a, b, angle, decade, mirrored):
    size = 10**decade
    placement = (
        Placement.rotate(angle).then(Placement.scale(size)).then(Placement.move(7 * size, 0))
    )
    if mirrored:
        placement = placement.then(Placement.mirror())
    moved_a, moved_b = [r.placed(placement) for r in a], [r.placed(placement) for r in b]
    for operation in (union, difference, intersection):
        here, there = operation(a, b), operation(moved_a, moved_b)
        assert sorted(edges(here)) == sorted(edges(there))
        assert area(there) == pytest.approx(area(here) * size**2, rel=1e-8, abs=1e-8 * size**2)


def faceted(regions, deviation):
    # Chords of arcs that touch may cross by a hair, which shapely refuses until it is mended.
    copies = [
        shapely.Polygon(r.outline.polyline(deviation), [h.polyline(deviation) for h in r.holes])
        for r in regions
    ]
    return shapely.union_all([shapely.make_valid(copy) for copy in copies])


@settings(deadline=None)
@given(sets, sets)
def test_agrees_with_shapely_on_faceted_copies(a, b):
    deviation = 1e-5
    one, other = faceted(a, deviation), faceted(b, deviation)
    # A chord cuts at most 2/3 of its length times the deviation off; no border is 200 long.
    margin = 2 * 200 * deviation
    for operation, theirs in (
        (union, one.union(other)),
        (difference, one.difference(other)),
        (intersection, one.intersection(other)),
    ):
        ours = operation(a, b)
        assert area(ours) == pytest.approx(theirs.area, abs=margin)
        assert faceted(ours, deviation).symmetric_difference(theirs).area < 2 * margin
