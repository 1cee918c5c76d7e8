"""Where edges meet, against places computed by hand and against the curves themselves."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from soapfilm.geometry.outline.contour import arc_circles, edge_points
from soapfilm.geometry.planar.crossings import CROSSING, END, TOUCHING, length_tolerance, meetings

QUARTER = np.tan(np.pi / 8)


def meet(*edges, scale=1.0):
    table = np.array([(*e, 0.0)[:5] for e in edges], dtype=float)
    start, end = table[:, :2] * scale, table[:, 2:4] * scale
    return meetings(start, end, table[:, 4], length_tolerance(np.vstack([start, end])))


@pytest.mark.parametrize("scale", [1e-4, 1.0, 1e4])
@pytest.mark.parametrize(
    ("edges", "kinds", "places"),
    [
        ([(0, 0, 1, 1), (0, 1, 1, 0)], [CROSSING], [(0.5, 0.5)]),
        ([(0, 0, 1, 0), (0.5, 0, 0.5, 1)], [END], [(0.5, 0)]),
        ([(0, 0, 1, 0), (1, 0, 1, 1)], [END], [(1, 0)]),
        ([(0, 0, 1, 0), (0, 1, 1, 1)], [], []),
        # The lower unit half circle and a line at half its depth: x = +- sqrt(3) / 2.
        (
            [(-1, 0, 1, 0, 1), (-2, -0.5, 2, -0.5)],
            [CROSSING] * 2,
            [(-(3**0.5) / 2, -0.5), (3**0.5 / 2, -0.5)],
        ),
        # The line that touches it, and one a hair below that does not.
        ([(-1, 0, 1, 0, 1), (-2, -1, 2, -1)], [TOUCHING], [(0, -1)]),
        ([(-1, 0, 1, 0, 1), (-2, -1 - 1e-7, 2, -1 - 1e-7)], [], []),
        # A smaller circle that touches it from inside.
        ([(-1, 0, 1, 0, 1), (-0.5, -0.5, 0.5, -0.5, 1)], [TOUCHING], [(0, -1)]),
        # Unit circles a unit apart cross at height +- sqrt(3) / 2.
        (
            [(0, -1, 0, 1, 1), (1, -1, 1, 1, -1)],
            [CROSSING] * 2,
            [(0.5, -(3**0.5) / 2), (0.5, 3**0.5 / 2)],
        ),
        # Halves of one circle share ends and nothing else.
        ([(-1, 0, 1, 0, 1), (1, 0, -1, 0, 1)], [END] * 2, [(-1, 0), (1, 0)]),
        # A fillet that leaves its line tangentially.
        ([(0, 0, 1, 0), (1, 0, 2, 1, QUARTER)], [END], [(1, 0)]),
    ],
)
def test_known_places(scale, edges, kinds, places):
    met = meet(*edges, scale=scale)
    assert met.kind.tolist() == kinds
    found = sorted((met.points / scale).round(12).tolist())
    expected = sorted(np.array(places, dtype=float).reshape(-1, 2).round(12).tolist())
    np.testing.assert_allclose(found, expected, rtol=0, atol=2e-12)
    assert not len(met.stretches)


@pytest.mark.parametrize(
    ("edges", "stretch"),
    [
        ([(0, 0, 2, 0), (1, 0, 3, 0)], [(1, 0), (2, 0)]),
        ([(0, 0, 3, 0), (2, 0, 1, 0)], [(1, 0), (2, 0)]),
        ([(-1, 0, 1, 0, 1), (0, -1, 0, 1, 1)], [(0, -1), (1, 0)]),
        # A three-quarter circle and the quarter run the other way.
        ([(1, 0, 0, -1, np.tan(3 * np.pi / 8)), (-1, 0, 0, 1, -QUARTER)], [(-1, 0), (0, 1)]),
    ],
)
def test_overlapping_stretches(edges, stretch):
    met = meet(*edges)
    assert len(met.stretches) == 1
    ends = met.points[met.stretches[0]]
    np.testing.assert_allclose(sorted(ends.tolist()), sorted(stretch), rtol=0, atol=1e-12)


def test_a_rolled_fillet_does_not_cross_its_line_for_rounded_digits():
    # A tangent arc whose end was rounded to seven digits dips 1e-15 of the size below its line.
    met = meet((0, 0, 1, 0), (1, 0, 1.7071068, 0.2928932, 0.1989124))
    assert met.kind.tolist() == [END]


def test_crowded_boxes_lose_no_meeting():
    # Long slanting spikes: boxes overlap by the thousand, edges only at their common vertices.
    angle = np.linspace(0, 2 * np.pi, 2000, endpoint=False)
    radius = np.where(np.arange(2000) % 2, 1.0, 0.5)
    points = radius[:, None] * np.stack([np.cos(angle), np.sin(angle)], axis=1)
    ends = np.roll(points, -1, axis=0)
    chord = np.array([[-0.9, -0.1], [0.9, 0.2]])
    start, end = np.vstack([points, chord[:1]]), np.vstack([ends, chord[1:]])
    met = meetings(start, end, np.zeros(2001), 1e-9)
    assert np.count_nonzero(met.kind == END) == 2000
    # The line crosses an edge wherever the vertices change sides of it between its ends.
    d = chord[1] - chord[0]
    side = d[0] * (points[:, 1] - chord[0, 1]) - d[1] * (points[:, 0] - chord[0, 0])
    change = np.flatnonzero(side * np.roll(side, -1) < 0)
    normal = np.array([-d[1], d[0]])
    place = (
        points[change]
        + (ends - points)[change]
        * ((chord[0] - points[change]) @ normal / ((ends - points)[change] @ normal))[:, None]
    )
    on = (np.abs(place[:, 0]) < 0.9).sum()
    assert np.count_nonzero(met.kind == CROSSING) == on > 0


coordinate = st.integers(-40, 40).map(lambda k: k / 8)
edge = st.tuples(
    coordinate,
    coordinate,
    coordinate,
    coordinate,
    st.sampled_from([0, 0, 0.1, -0.3, QUARTER, -1, 2]),
).filter(lambda e: e[:2] != e[2:4])


@given(edge, edge)
def test_places_lie_on_both_edges_and_none_is_missed(one, other):
    table = np.array([one, other], dtype=float)
    start, end, bulge = table[:, :2], table[:, 2:4], table[:, 4]
    met = meetings(start, end, bulge, length_tolerance(np.vstack([start, end])))
    at = np.stack([met.at_first, met.at_second])
    points = edge_points(start, end, bulge, at)
    np.testing.assert_allclose(points, np.stack([met.points] * 2), rtol=0, atol=1e-7)
    # Walk along the first in fine steps: where it passes from one side of the second's carrier to
    # the other, on the second edge, a place must have been found.
    s = np.linspace(0, 1, 4001)
    walk = edge_points(start[:1], end[:1], bulge[:1], s)[0]
    target = edge_points(start[1:], end[1:], bulge[1:], s)[0]
    side = _side(walk, start[1:], end[1:], bulge[1:])
    clear = np.flatnonzero(np.abs(side) > 1e-6)
    passing = np.flatnonzero(side[clear][1:] * side[clear][:-1] < 0)
    step = max(np.hypot(*np.diff(run, axis=0).T).max() for run in (walk, target))
    for k in passing[np.diff(clear)[passing] <= 2]:
        place = walk[clear[k]]
        if np.hypot(*(target - place).T).min() < step:
            assert np.hypot(*(met.points - place).T).min() < 4 * step


def _side(points, start, end, bulge):
    if bulge[0] == 0:
        (dx, dy), (x, y) = (end - start)[0], start[0]
        return dx * (points[:, 1] - y) - dy * (points[:, 0] - x)
    centre, radius = arc_circles(start, end, bulge)
    return np.hypot(*(points - centre[0]).T) - radius[0]
