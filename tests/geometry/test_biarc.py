"""Biarcs: the properties that define them, and how fast they close in on a curve."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.typing import NDArray
from soapfilm.geometry.errors import GeometryError
from soapfilm.geometry.outline.biarc import biarc, curve_arcs
from soapfilm.geometry.outline.contour import arc_circles, edge_tangents

Array = NDArray[np.float64]


def wave(t: Array) -> tuple[Array, Array]:
    """One hump of a sine, with an inflection at 0."""
    return (
        np.stack([t, np.sin(t)], axis=1),
        np.stack([np.ones_like(t), np.cos(t)], axis=1),
    )


@given(st.floats(-2.5, 2.5), st.floats(-2.5, 2.5), st.floats(0.1, 100), st.floats(-3, 3))
def test_a_biarc_keeps_ends_and_tangents(
    first: float, last: float, length: float, turn: float
) -> None:
    # tangents at angles to the chord, the whole turned and scaled
    along = np.array([[np.cos(turn), np.sin(turn)]])
    p0, p1 = np.zeros((1, 2)), length * along
    t0, t1 = (np.array([[np.cos(turn + angle), np.sin(turn + angle)]]) for angle in (first, -last))
    joint, bulges = biarc(p0, t0, p1, t1)
    runs = [(p0, joint, bulges[:, 0]), (joint, p1, bulges[:, 1])]
    tangents = [edge_tangents(*run, np.array([0.0, 1.0]))[0] for run in runs]
    (start, middle), (middle_too, end) = (t / np.hypot(*t.T)[:, None] for t in tangents)
    assert start == pytest.approx(t0[0], abs=1e-7)
    assert end == pytest.approx(t1[0], abs=1e-7)
    assert middle == pytest.approx(middle_too, abs=1e-7)


def test_the_deviation_told_is_the_deviation_there_is() -> None:
    run = curve_arcs(wave, [-2.0, 3.0], 1e-3)
    assert run.deviation <= 1e-3
    fine, _ = wave(np.linspace(-2, 3, 20_001))
    distance = np.full(len(fine), np.inf)
    for p, q, b in zip(run.points[:-1], run.points[1:], run.bulges, strict=True):
        centre, radius = arc_circles(p[None], q[None], np.array([b]))
        beside = np.abs((fine - (p + q) / 2) @ (q - p)) <= (q - p) @ (q - p) / 2
        off = np.abs(np.hypot(*(fine - centre[0]).T) - radius[0])
        distance = np.where(beside, np.minimum(distance, off), distance)
    assert np.isfinite(distance).mean() > 0.99
    assert distance[np.isfinite(distance)].max() == pytest.approx(run.deviation, rel=0.02)


def test_the_deviation_falls_with_the_cube_of_the_length() -> None:
    # No inflection or vertex of the curvature inside; the allowance is a few times what n equal
    # stretches need, so that none is halved.
    counts = np.array([4, 8, 16, 32])
    off = []
    for n in counts:
        run = curve_arcs(wave, np.linspace(0.3, 1.3, n + 1).tolist(), 1e-4 * (4 / n) ** 3)
        assert len(run.bulges) == 2 * n
        off.append(run.deviation)
    rate = np.diff(np.log(off)) / np.diff(np.log(counts))
    assert rate == pytest.approx(np.full(3, -3.0), abs=0.2)


def test_straight_curves_stay_straight() -> None:
    def line(t: Array) -> tuple[Array, Array]:
        return np.stack([t, 2 * t], axis=1), np.tile([1.0, 2.0], (len(t), 1))

    run = curve_arcs(line, [0.0, 1.0], 1e-6)
    assert run.bulges.tolist() == [0.0]
    assert run.points.tolist() == [[0.0, 0.0], [1.0, 2.0]]


@pytest.mark.parametrize("deviation", [0.0, -1.0, float("nan"), float("inf")])
def test_a_deviation_is_a_positive_length(deviation: float) -> None:
    with pytest.raises(GeometryError, match="deviation must be a positive length"):
        curve_arcs(wave, [0.0, 1.0], deviation)
