"""Chords that stand for arcs, for shapely and figures, leave them by no more than is said."""

from __future__ import annotations

from math import radians, tan

import numpy as np
import pytest
from soapfilm.geometry.outline.contour import Contour, arc_circles
from soapfilm.geometry.section import Section
from soapfilm.solver.section.torsion.sand_heap import plastic_torque


@pytest.mark.parametrize("degrees", [0.001, 0.01, 1.0, 90.0, 359.0])
@pytest.mark.parametrize("share", [0.2, 1e-2, 1e-4])
def test_chords_keep_within_the_deviation(degrees: float, share: float) -> None:
    """Of flat arcs too: 1 - deviation/radius is 1 to rounding there."""
    bulge = tan(radians(degrees) / 4)
    contour = Contour([(0, 0), (1, 0)], [0, bulge])
    rise = bulge / 2
    deviation = share * rise
    points = contour.polyline(deviation)
    ends = np.roll(points, -1, axis=0)
    centre, radius = arc_circles(contour.points[1:], contour.ends[1:], contour.bulges[1:])
    # the deviation of a chord is its circle's rise over half of it
    half = np.hypot(*(ends - points).T)[1:] / 2
    deepest = half.max() ** 2 / (radius[0] + np.sqrt(max(radius[0] ** 2 - half.max() ** 2, 0)))
    assert deepest <= deviation * (1 + 1e-6)
    on_circle = np.hypot(*(points - centre[0]).T) - radius[0]
    assert np.abs(on_circle).max() < 1e-15 * radius[0] + 1e-9 * rise
    # and no more of them than it takes: a chord's rise is R (1 - cos(turn/2))
    turn = 4 * np.arcsin(np.sqrt(min(deviation / (2 * radius[0]), 1.0)))
    assert len(points) <= 2 + max(2, np.ceil(radians(degrees) / turn))


def test_plastic_torque_of_a_flat_segment() -> None:
    """2 int h^2/4 dx over the chord, h = rise (1 - 4 x^2/c^2): 4/15 rise^2 c."""
    bulge = tan(radians(0.01) / 4)
    section = Section.single(Contour([(0, 0), (1, 0)], [0, bulge]))
    assert plastic_torque(section).value == pytest.approx(4 / 15 * (bulge / 2) ** 2, rel=1e-3)
