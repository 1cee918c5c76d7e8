"""Outlines that all but follow another are drawn onto it; others stay as they are."""

import numpy as np
import pytest
from soapfilm.geometry.outline.contour import Contour
from soapfilm.geometry.outline.near_edges import drawn_onto

SQUARE = Contour([(0, 0), (100, 0), (100, 100), (0, 100)])


def test_an_arc_beside_a_circle_takes_its_centre_and_radius() -> None:
    """Three quarters of a ring, drawn by bulges of four digits."""
    rings = [Contour.circle((0, 0), 50), Contour.circle((0, 0), 45).reversed()]
    b = 2.4142  # tan(270 deg / 4) is 2.41421356
    drawn = Contour([(50, 0), (0, -50), (0, -45), (45, 0)], [b, 0, -b, 0])
    found = drawn_onto(drawn, rings, 0.02)
    middles = found.polyline(1e-3)
    far = np.hypot(*middles.T)
    on_arcs = (np.abs(far - 50) < 0.1) | (np.abs(far - 45) < 0.1)
    off = np.minimum(np.abs(far - 50), np.abs(far - 45))
    assert on_arcs.sum() > 100
    assert off[on_arcs].max() < 1e-12 * 50
    before = np.hypot(*drawn.polyline(1e-3).T)
    assert np.abs(before - 50)[np.abs(before - 50) < 0.1].max() > 1e-4


def test_a_corner_goes_where_both_its_lines_meet() -> None:
    inner = Contour([(0.02, 0.01), (60, -0.01), (60, 40), (-0.01, 40)])
    found = drawn_onto(inner, [SQUARE], 0.05)
    assert found.points == pytest.approx(np.array([(0, 0), (60, 0), (60, 40), (0, 40)]), abs=1e-9)
    assert not found.bulges.any()


@pytest.mark.parametrize(
    "points",
    [
        [(0, 0), (60, 0), (60, 40), (0, 40)],  # on it already
        [(1, 1), (60, 1), (60, 40), (1, 40)],  # away
        [(0, 0.01), (60, 0.5), (60, 40), (20, 40)],  # one end near
        [(200, 0.01), (300, 0.01), (300, 40), (200, 40)],  # beyond its end
    ],
)
def test_what_does_not_run_beside_it_stays(points: list[tuple[float, float]]) -> None:
    contour = Contour(points)
    assert drawn_onto(contour, [SQUARE], 0.05) is contour
    assert drawn_onto(contour, [], 0.05) is contour
