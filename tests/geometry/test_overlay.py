"""Planar maps: what the mesh generator reads from a section."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from soapfilm.geometry.checks.validate import check, checked_map
from soapfilm.geometry.errors import GeometryError
from soapfilm.geometry.outline.contour import Contour, arc_circles, segment_area
from soapfilm.geometry.outline.placement import Placement
from soapfilm.geometry.planar.boolean import difference, intersection
from soapfilm.geometry.planar.overlay import planar_map
from soapfilm.geometry.section import Region, Section, Slit


def box(x0, y0, x1, y1):
    return Contour([[x0, y0], [x1, y0], [x1, y1], [x0, y1]])


def ends_of(plan, loop):
    k, ahead = np.abs(loop) - 1, loop > 0
    start, end = plan.edges[k].T
    return np.where(ahead, start, end), np.where(ahead, end, start)


def loop_area(plan, loop):
    tail, head = ends_of(plan, loop)
    p, q = plan.nodes[tail] - plan.nodes[tail[0]], plan.nodes[head] - plan.nodes[tail[0]]
    bulge = np.sign(loop) * plan.bulges[np.abs(loop) - 1]
    chord2 = np.sum((q - p) ** 2, axis=1)
    polygon = 0.5 * np.sum(p[:, 0] * q[:, 1] - p[:, 1] * q[:, 0])
    return polygon + np.sum(segment_area(chord2, bulge))


def uses(plan):
    loops = np.concatenate([np.abs(loop) - 1 for face in plan.faces for loop in face])
    return np.bincount(loops, minlength=len(plan.edges))


def faithful(section, plan):
    """Loops close, enclose the regions' areas, and every edge is used by one or two of them."""
    assert len(plan.faces) == len(plan.embedded) == len(section.regions)
    for region, face in zip(section.regions, plan.faces, strict=True):
        assert len(face) == 1 + len(region.holes)
        for contour, loop in zip(region.contours, face, strict=True):
            tail, head = ends_of(plan, loop)
            assert np.array_equal(head, np.roll(tail, -1))
            assert loop_area(plan, loop) == pytest.approx(contour.area(), rel=1e-7)
    inner = np.zeros(len(plan.edges), dtype=int)
    for embedded in plan.embedded:
        inner[embedded] += 1
    assert set(uses(plan)) <= {0, 1, 2}
    assert np.array_equal(uses(plan) == 0, inner == 1)


def test_one_region_keeps_its_edges():
    section = Section.single(box(0, 0, 4, 2), [Contour.circle((1, 1), 0.5)])
    plan = planar_map(section)
    faithful(section, plan)
    assert len(plan.nodes) == len(plan.edges) == 6
    assert not plan.slit.any()
    assert loop_area(plan, plan.faces[0][1]) == pytest.approx(-np.pi / 4, rel=1e-14)


def test_a_border_shared_over_a_part_is_cut_and_kept_once():
    section = Section((Region(box(0, 0, 4, 2)), Region(box(1, 2, 3, 5))))
    plan = planar_map(section)
    faithful(section, plan)
    shared = np.flatnonzero(uses(plan) == 2)
    assert len(shared) == 1
    ends = plan.nodes[plan.edges[shared[0]]]
    assert sorted(ends.tolist()) == [[1, 2], [3, 2]]
    # Eight outline edges, the long one cut in three, one of the pieces shared.
    assert len(plan.edges) == 4 + 2 + 4 - 1


def test_a_piece_of_an_arc_stays_on_its_circle():
    tower = Region(box(-0.6, -4, 0.6, -0.8))
    disc = Region(Contour.circle((0, 0), 1))
    section = Section((*difference([tower], [disc]), disc))
    check(section)
    plan = planar_map(section)
    faithful(section, plan)
    shared = np.flatnonzero(uses(plan) == 2)
    start, end = plan.nodes[plan.edges[shared]].transpose(1, 0, 2)
    centre, radius = arc_circles(start, end, plan.bulges[shared])
    np.testing.assert_allclose(centre, 0, atol=1e-14)
    np.testing.assert_allclose(radius, 1, rtol=1e-14)
    turn = 4 * np.arctan(np.abs(plan.bulges[shared])).sum()
    assert turn == pytest.approx(2 * np.arcsin(0.6), rel=1e-12)


def test_a_region_that_fills_a_hole_shares_its_whole_border():
    disc = Contour.circle((2, 2), 1)
    section = Section((Region(box(0, 0, 4, 4), (disc,)), Region(disc)))
    plan = planar_map(section)
    faithful(section, plan)
    assert np.count_nonzero(uses(plan) == 2) == 2


def test_slits_on_a_border_inside_a_region_and_along_an_edge():
    section = Section(
        (Region(box(0, 0, 4, 2)), Region(box(1, 2, 3, 5))),
        slits=(Slit(((1.5, 2), (2.5, 2))), Slit(((4, 1), (3, 1), (3, 1.5)))),
    )
    check(section)
    plan = planar_map(section)
    faithful(section, plan)
    on_border = np.flatnonzero(plan.slit & (uses(plan) == 2))
    assert sorted(plan.nodes[plan.edges[on_border[0]]].tolist()) == [[1.5, 2], [2.5, 2]]
    assert len(plan.embedded[0]) == 2
    assert len(plan.embedded[1]) == 0
    assert plan.slit[plan.embedded[0]].all()
    assert plan.slit.sum() == 3
    # The slit that starts on the border splits the edge there.
    assert any(
        np.array_equal(node, [4, 1]) for node in plan.nodes[plan.edges[plan.faces[0][0] - 1, 0]]
    )


def test_a_slit_through_both_regions_is_cut_at_their_border():
    section = Section(
        (Region(box(0, 0, 2, 2)), Region(box(2, 0, 4, 2))), slits=(Slit(((1, 1), (3, 1))),)
    )
    check(section)
    plan = planar_map(section)
    faithful(section, plan)
    assert [len(e) for e in plan.embedded] == [1, 1]


def test_a_slit_along_a_curved_border():
    half = np.tan(np.pi / 8)
    disc = Contour([(1, 0), (0, 1), (-1, 0), (0, -1)], [half] * 4)
    section = Section(
        (Region(box(-2, -2, 2, 2), (disc,)), Region(disc)),
        slits=(Slit(((0, -1), (1, 0)), (half,)),),
    )
    plan = checked_map(section)
    faithful(section, plan)
    assert plan.slit.sum() == 1
    # Run as the hole runs it, clockwise.
    assert plan.bulges[plan.slit] == pytest.approx([-half], rel=1e-15)


def test_a_slit_outside_the_material_is_refused():
    section = Section((Region(box(0, 0, 2, 2)),), slits=(Slit(((1, 1), (3, 1)), name="gap"),))
    with pytest.raises(GeometryError, match=r"slit 'gap' leaves the material near \(2.5, 1.0\)"):
        checked_map(section)


def test_nodes_that_differ_by_rounding_are_one():
    turn = Placement.rotate(0.3).then(Placement.move(1e3, -2e3))
    left, right = box(0, 0, 1, 1), box(1, 0, 2, 1)
    straight = planar_map(Section((Region(left), Region(right))))
    turned = planar_map(Section((Region(left.placed(turn)), Region(right.placed(turn)))))
    assert len(turned.nodes) == len(straight.nodes) == 6
    assert len(turned.edges) == len(straight.edges) == 7


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


corners = st.lists(st.tuples(grid, grid, bulges), min_size=3, max_size=6, unique_by=lambda r: r[:2])
regions = corners.map(star).filter(valid)


@settings(deadline=None)
@given(regions, regions, st.floats(0, 6.3), st.floats(-4, 4))
def test_maps_of_cut_regions_are_faithful_at_any_place_and_scale(a, b, angle, decade):
    parts = [*difference([a], [b]), *intersection([a], [b]), *difference([b], [a])]
    size = 10**decade
    placement = (
        Placement.rotate(angle).then(Placement.scale(size)).then(Placement.move(size, 9 * size))
    )
    section = Section(tuple(parts)).placed(placement)
    plan = planar_map(section)
    faithful(section, plan)
    # What the two had in common is bonded along the whole border that was cut through it.
    unplaced = planar_map(Section(tuple(parts)))
    assert np.array_equal(np.sort(uses(plan)), np.sort(uses(unplaced)))
