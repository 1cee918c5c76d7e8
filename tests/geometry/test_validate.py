"""Every fault is told by what, which part, where and what to do; what is valid passes."""

import time

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import Polygon
from soapfilm.geometry.checks.validate import check
from soapfilm.geometry.errors import GeometryError
from soapfilm.geometry.outline.contour import Contour
from soapfilm.geometry.outline.placement import Placement
from soapfilm.geometry.section import Region, Section, Slit


def box(x0, y0, x1, y1):
    return Contour([[x0, y0], [x1, y0], [x1, y1], [x0, y1]])


SQUARE = box(0, 0, 4, 4)


def one(outline, *holes, slits=()):
    outline = outline if isinstance(outline, Contour) else Contour(outline)
    return Section((Region(outline, holes),), unit="mm", slits=slits)


def several(*parts, slits=()):
    regions = tuple(p if isinstance(p, Region) else Region(p) for p in parts)
    return Section(regions, unit="mm", slits=slits)


def diamond(x, y, r):
    return Contour([[x - r, y], [x, y - r], [x + r, y], [x, y + r]])


FAULTS = {
    "bow tie": (
        one([[0, 0], [1, 0], [0, 1], [1, 2]]),
        [
            "the outline crosses itself near (0.3333333, 0.6666667) mm",
            "the edge from (0.0, 0.0) to (1.0, 2.0) mm meets",
            "the edge from (0.0, 1.0) to (1.0, 0.0) mm; let it run",
        ],
    ),
    "hole crosses outline": (
        one(SQUARE, box(1, 1, 2, 2), box(3, 3, 5, 3.5)),
        ["hole 2 crosses the outline near (4.0, 3.0) mm; move it inside or merge it"],
    ),
    "hole crosses outline at vertices": (
        one(SQUARE, diamond(4, 2, 1)),
        ["hole 1 crosses the outline near (4.5,"],
    ),
    "round hole crosses outline": (
        one(SQUARE, Contour.circle((3.5, 2), 1)),
        ["hole 1 crosses the outline near (4.0, "],
    ),
    "hole touches outline by a vertex": (
        one(SQUARE, diamond(3, 2, 1)),
        ["hole 1 touches the outline near (4.0, 2.0) mm: no wall is left", "move it inside"],
    ),
    "hole touches outline by an edge": (
        one(SQUARE, box(3, 1, 4, 2)),
        ["hole 1 runs along the outline between", "(4.0, 1.0) mm", "(4.0, 2.0) mm"],
    ),
    "round hole touches outline": (
        one(SQUARE, Contour.circle((3, 2), 1)),
        ["hole 1 touches the outline near (4.0, 2.0) mm"],
    ),
    "hole outside": (
        one(SQUARE, box(5, 5, 6, 6)),
        ["hole 1 lies outside the outline, near (5.0,", "mm; move it inside or remove it"],
    ),
    "hole outside, touching": (one(SQUARE, box(4, 1, 5, 2)), ["hole 1 lies outside the outline"]),
    "hole around the outline": (
        one(SQUARE, box(-1, -1, 5, 5)),
        ["hole 1 lies outside the outline"],
    ),
    "hole is the outline": (one(SQUARE, SQUARE), ["hole 1 covers the outline"]),
    "hole in hole": (
        one(SQUARE, box(1, 1, 3, 3), box(1.5, 1.5, 2, 2)),
        ["hole 2 lies inside hole 1, near (1.5, 1.5) mm"],
    ),
    "hole crosses hole": (
        one(SQUARE, box(1, 1, 2, 2), box(1.5, 1.5, 3, 3)),
        ["hole 2 crosses hole 1 near (", "merge them or move one of them"],
    ),
    "hole repeats hole": (
        one(SQUARE, box(1, 1, 2, 2), box(1, 1, 2, 2)),
        ["hole 2 overlaps hole 1 near (1.0, 1.0) mm"],
    ),
    "hole inside hole, touching": (
        one(SQUARE, box(1, 1, 3, 3), box(1, 1.5, 2, 2)),
        ["hole 2 overlaps hole 1"],
    ),
    "hole touches hole": (
        one(SQUARE, box(1, 1, 2, 2), box(2, 1, 3, 2)),
        ["hole 2 runs along hole 1 between", "no wall is left"],
    ),
    "repeated vertex": (
        one([[0, 0], [1, 0], [1, 0], [1, 1]]),
        ["the outline: vertex 3", "repeats vertex 2 at (1.0, 0.0) mm; remove one"],
    ),
    "first vertex repeated at the end": (
        one([[0, 0], [1, 0], [1, 1], [0, 0]]),
        ["vertex 1", "repeats vertex 4 at (0.0, 0.0) mm", "closes by itself"],
    ),
    "spike": (
        one([[0, 0], [2, 0], [2, 3], [2, 1], [0, 1]]),
        ["the outline folds back on itself between", "(2.0, 3.0) mm", "zero thickness"],
    ),
    "no area": (
        one([[0, 0], [2, 0], [1, 0]]),
        ["the outline folds back on itself", "zero thickness"],
    ),
    "no area between arcs": (
        one(Contour([[0, 0], [2, 0]], [0.3, -0.3])),
        ["the outline folds back on itself"],
    ),
    "thinner than the tolerance": (
        one([[0, 0], [4, 0], [4, 1], [3, 1], [3, 1e-10], [1, 1e-10], [1, 1], [0, 1]]),
        ["the outline folds back on itself between", "zero thickness"],
    ),
    "touches itself at a vertex": (
        one([[0, 0], [1, 0], [1, 1], [2, 1], [2, 2], [1, 2], [1, 1], [0, 1]]),
        [
            "the outline touches itself near (1.0, 1.0) mm, where the edge from (1.0, 1.0) to",
            "parts that touch only in a point are not joined",
        ],
    ),
    "touches itself on an edge": (
        one([[0, 0], [4, 0], [4, 2], [2, 0], [0, 2]]),
        ["the outline touches itself near (2.0, 0.0) mm"],
    ),
    "regions cross": (
        several(SQUARE, Region(box(1, 1, 6, 2), name="web")),
        ["region 'web' overlaps region 1: their borders cross near (4.0, 1.0) mm"],
    ),
    "region in region": (
        several(SQUARE, box(1, 1, 2, 2)),
        ["region 2 overlaps region 1 near (1", "cut it out of the other"],
    ),
    "region in region, touching": (
        several(SQUARE, box(1, 0, 2, 2)),
        ["region 2 overlaps region 1"],
    ),
    "region twice": (several(SQUARE, SQUARE), ["region 2 overlaps region 1"]),
    "regions cross at vertices": (
        several(SQUARE, Contour([[2, 2], [4, 2], [5, 3], [5, 5], [2, 4]])),
        ["region 2 overlaps region 1 near (3.0, 2.0) mm"],
    ),
    "hole fault in a named region": (
        several(SQUARE, Region(box(4, 0, 8, 4), (box(5, 1, 9, 2),), name="web")),
        ["hole 1 of region 'web' crosses the outline of region 'web' near (8.0, 2.0) mm"],
    ),
    "regions touch in a point": (
        several(SQUARE, box(4, 4, 6, 6)),
        ["region 1 and region 2 touch only in a point at (4.0, 4.0) mm"],
    ),
    "regions touch in a point beside a shared border": (
        several(SQUARE, Contour([[4, 0], [6, 0], [6, 6], [4, 4], [5, 3], [5, 1], [4, 1]])),
        ["touch only in a point at (4.0, 4.0) mm"],
    ),
    "round regions touch": (
        several(Contour.circle((0, 0), 1), Contour.circle((3, 0), 2)),
        ["touch only in a point at (1.0, 0.0) mm"],
    ),
    "not joined": (
        several(SQUARE, Region(box(4.001, 1, 6, 2), name="web")),
        ["region 'web' is not joined", "a gap of about 0.001 mm at (4.0, 1.0) mm"],
    ),
    "loose in a hole": (
        several(Region(SQUARE, (box(1, 1, 3, 3),)), box(1.5, 1.5, 2, 2)),
        ["region 2 is not joined", "a gap of about 0.5 mm"],
    ),
    "slit cuts through": (
        one(SQUARE, slits=(Slit(((2, 0), (2, 4))),)),
        ["slit 1 cuts the section apart, near (2.0, 2.0) mm"],
    ),
    "slit cuts a piece out": (
        one(SQUARE, slits=(Slit(((1, 1), (2, 1), (2, 2), (1, 1))),)),
        ["slit 1 cuts the section apart"],
    ),
    "slits open both walls of a cell": (
        one(
            SQUARE,
            box(1, 1, 2, 2),
            slits=(Slit(((1.5, 0), (1.5, 1))), Slit(((1.5, 2), (1.5, 4)), name="top")),
        ),
        ["slit 'top' cuts the section apart"],
    ),
    "slit along the whole shared border": (
        several(SQUARE, box(4, 1, 6, 2), slits=(Slit(((4, 1), (4, 2))),)),
        ["slit 1 cuts the section apart, near (4.0, 1.5) mm"],
    ),
    "slit leaves the material": (
        one(SQUARE, slits=(Slit(((2, 0), (2, 5))),)),
        ["slit 1 leaves the material near (2.0, 4.5) mm"],
    ),
    "slit on a free border": (
        one(SQUARE, slits=(Slit(((2, 0), (3, 0))),)),
        ["slit 1 runs along a free border", "parts nothing; remove it"],
    ),
    "slit point repeated": (
        one(SQUARE, slits=(Slit(((2, 1), (2, 1), (3, 1))),)),
        ["slit 1: point 2 repeats point 1 at (2.0, 1.0) mm"],
    ),
    "slit not finite": (
        one(SQUARE, slits=(Slit(((2, 1), (2, float("nan")))),)),
        ["slit 1 holds a number that is not finite"],
    ),
    "absurd size": (
        one(SQUARE.placed(Placement.scale(1e60))),
        ["the section measures 4e+60 mm across"],
    ),
}


@pytest.mark.parametrize("name", FAULTS)
def test_faults_are_told(name):
    section, words = FAULTS[name]
    with pytest.raises(GeometryError) as caught:
        check(section)
    message = str(caught.value)
    assert "\n" not in message
    for word in words:
        assert word in message, message


SCALED = [name for name in FAULTS if "absurd" not in name and "finite" not in name]


@settings(deadline=None)
@given(st.sampled_from(SCALED), st.floats(0, 6.3), st.floats(-4, 4), st.booleans())
def test_faults_are_found_at_any_place_and_scale(name, angle, decade, mirrored):
    section, _ = FAULTS[name]
    size = 10**decade
    placement = (
        Placement.rotate(angle).then(Placement.scale(size)).then(Placement.move(5 * size, 0))
    )
    if mirrored:
        placement = placement.then(Placement.mirror())
    with pytest.raises(GeometryError):
        check(section.placed(placement))


VALID = {
    "plain": one(SQUARE, box(1, 1, 2, 2)),
    "half circles": one(Contour.circle((0, 0), 1), Contour.circle((0.2, 0), 0.3)),
    "hole a millionth from the edge": one(SQUARE, Contour.circle((3 - 4e-6, 2), 1)),
    "thin but real": one(box(0, 0, 4, 1e-7)),
    "crescent": one(Contour([[0, 0], [1, 0]], [1.0, -0.5])),
    "region fills a hole": several(Region(SQUARE, (box(1, 1, 2, 2),)), box(1, 1, 2, 2)),
    "region half fills a hole": several(Region(SQUARE, (box(1, 1, 2, 2),)), box(1, 1, 2, 1.5)),
    "region fills a round hole": several(
        Region(SQUARE, (Contour.circle((2, 2), 1),)), Contour.circle((2, 2), 1)
    ),
    "side by side": several(SQUARE, box(4, 1, 6, 2)),
    "four around a point": several(
        box(0, 0, 1, 1), box(1, 0, 2, 1), box(0, 1, 1, 2), box(1, 1, 2, 2)
    ),
    "slit inside": one(SQUARE, slits=(Slit(((1, 1), (3, 3))),)),
    "slit from the border": one(SQUARE, slits=(Slit(((2, 0), (2, 3))),)),
    "slit opens a cell": one(SQUARE, box(1, 1, 2, 2), slits=(Slit(((1.5, 0), (1.5, 1))),)),
    "slit along a part of a border": several(
        SQUARE, box(4, 1, 6, 2), slits=(Slit(((4, 1), (4, 1.5))),)
    ),
    "slit bridged by another region": several(
        box(0, 0, 2, 2), box(2, 0, 4, 2), box(0, 2, 4, 3), slits=(Slit(((2, 0), (2, 2))),)
    ),
}


@pytest.mark.parametrize("scale", [1e-4, 1.0, 1e4])
@pytest.mark.parametrize("angle", [0.0, 0.7])
@pytest.mark.parametrize("name", VALID)
def test_valid_sections_pass(name, angle, scale):
    placement = Placement.rotate(angle).then(Placement.scale(scale))
    check(VALID[name].placed(placement))


def test_slits_on_every_joint_of_a_ring_part_it():
    ring = several(
        box(0, 0, 3, 1),
        box(2, 1, 3, 2),
        box(0, 2, 3, 3),
        box(0, 1, 1, 2),
        slits=(Slit(((2, 1), (3, 1))), Slit(((0, 2), (1, 2)))),
    )
    with pytest.raises(GeometryError, match="slit 2 cuts the section apart"):
        check(ring)
    check(Section(ring.regions, slits=ring.slits[:1]))


def test_numbers_count_from_the_first_vertex_whichever_way_the_contour_was_given():
    points = [[0, 0], [0, 1], [1, 1], [1, 0], [1, 1e-12]]
    with pytest.raises(GeometryError, match=r"vertex 3 \(counted anticlockwise\) repeats vertex 2"):
        check(one(points))


@settings(deadline=None)
@given(
    st.lists(st.tuples(st.integers(0, 4), st.integers(0, 4)), min_size=3, max_size=8),
    st.booleans(),
)
def test_agrees_with_shapely_on_straight_outlines(points, jitter):
    table = np.array(points, dtype=float)
    if jitter:
        table += 0.1 * np.sin(np.arange(2 * len(table)) ** 2).reshape(-1, 2)
    fault = ""
    try:
        check(one(Contour(table)))
    except GeometryError as error:
        fault = str(error)
    # shapely passes over repeated points.
    assert Polygon(table).is_valid == (not fault) or "repeats" in fault


def wavy(count):
    angle = np.linspace(0, 2 * np.pi, count, endpoint=False)
    radius = 1 + 0.1 * np.sin(7 * angle)
    return Contour(radius[:, None] * np.stack([np.cos(angle), np.sin(angle)], axis=1))


def fastest(section, runs):
    def once():
        begin = time.perf_counter()
        check(section)
        return time.perf_counter() - begin

    return min(once() for _ in range(runs))


def test_ten_thousand_vertices_take_no_longer_than_a_second():
    assert fastest(one(wavy(10_000)), 2) < 1.0


def test_a_simple_shape_takes_a_few_milliseconds():
    assert fastest(one(wavy(12)), 20) < 3e-3
