"""Bolt and weld groups: statics, symmetry, limits; published coefficients are in
`benchmarks.checks.joints`."""

from __future__ import annotations

import math

import numpy as np
import pytest
from numpy.typing import NDArray
from soapfilm.geometry.errors import InputError
from soapfilm.solver.joint.bolt_group import axial_share, contact_share, polar_sum, vector_method
from soapfilm.solver.joint.instantaneous_centre import centre_method, load_share
from soapfilm.solver.joint.weld_centre import weld_centre_method
from soapfilm.solver.joint.weld_group import line_forces, line_moments

Array = NDArray[np.float64]


def random_group(seed: int) -> tuple[Array, Array, float]:
    """Bolts, a force and a moment of any size beside it."""
    draw = np.random.default_rng(seed)
    points = draw.uniform(-200, 200, (int(draw.integers(2, 14)), 2))
    return points, draw.normal(size=2), float(draw.normal() * 10.0 ** draw.uniform(-3, 4))


def statics(points: Array, forces: Array, force: Array, moment: float) -> float:
    """What is missing to balance, relative to what acts."""
    r = points - points.mean(axis=0)
    reach = np.abs(r).max()
    turn = (r[:, 0] * forces[:, 1] - r[:, 1] * forces[:, 0]).sum()
    size = np.abs(force).max() + abs(moment) / reach
    return float(max(np.abs(forces.sum(axis=0) - force).max(), abs(turn - moment) / reach) / size)


@pytest.mark.parametrize("seed", range(200))
def test_bolts_balance_what_acts_by_both_methods(seed: int) -> None:
    points, force, moment = random_group(seed)
    assert statics(points, vector_method(points, force, moment), force, moment) < 1e-12
    found = centre_method(points, force, moment)
    assert statics(points, found.forces, force, moment) < 1e-10
    # The law is followed: every bolt by its distance from the centre, the farthest at its limit.
    ratio = np.hypot(*(found.forces * found.coefficient).T)
    if found.centre is not None and math.hypot(*found.centre) < 1e5:
        reach = np.hypot(*(points - found.centre).T)
        assert ratio == pytest.approx(load_share(reach / reach.max()), abs=1e-7)


@pytest.mark.parametrize("seed", range(12))
def test_the_elastic_method_is_conservative(seed: int) -> None:
    """It lets the group hold less than the limit state does: the lower bound theorem."""
    points, force, moment = random_group(seed)
    elastic = load_share(1.0) / np.hypot(*vector_method(points, force, moment).T).max()
    assert centre_method(points, force, moment).coefficient >= elastic * (1 - 1e-9)


def test_the_group_can_be_turned_scaled_and_moved() -> None:
    points, force, moment = random_group(3)
    found = centre_method(points, force, moment).coefficient
    a = 0.7
    turn = np.array([[math.cos(a), -math.sin(a)], [math.sin(a), math.cos(a)]])
    turned = centre_method(points @ turn.T + (30, -9), turn @ force, moment).coefficient
    assert turned == pytest.approx(found, rel=1e-9)
    assert centre_method(2 * points, force, 2 * moment).coefficient == pytest.approx(found)


def test_a_force_through_the_centroid_is_shared_evenly() -> None:
    points = random_group(5)[0]
    found = centre_method(points, (3.0, 4.0), 0.0)
    assert found.forces == pytest.approx(np.tile([3.0, 4.0], (len(points), 1)) / len(points))
    assert found.centre is None


def test_one_bolt_holds_no_moment() -> None:
    for method in (vector_method, centre_method):
        with pytest.raises(InputError, match="single bolt"):
            method([(0.0, 0.0)], (1.0, 0.0), 5.0)
    assert vector_method([(7.0, 2.0)], (1.0, 0.0), 0.0).tolist() == [[1.0, 0.0]]


def test_no_number_is_refused() -> None:
    for method in (vector_method, centre_method):
        with pytest.raises(InputError, match="finite"):
            method([(0.0, math.nan), (1.0, 0.0)], (1.0, 0.0), 5.0)


def test_polar_sum_of_a_column() -> None:
    """n (n^2 - 1) s^2 / 12: the closed form of handbooks."""
    assert polar_sum([(0.0, 70.0 * k) for k in range(5)]) == pytest.approx(5 * 24 * 70**2 / 12)


class TestOutOfPlane:
    """Tensions of bolts under pull and bending."""

    POINTS = np.array([(y, z) for z in (-60.0, 60.0) for y in (-80.0, 0.0, 80.0)])
    CORNERS = np.array([(y, z) for z in (-100.0, 100.0) for y in (-120.0, 120.0)])

    def test_without_contact_by_the_closed_form(self) -> None:
        found = axial_share(self.POINTS, 6.0, (0.0, -32.0))
        assert found == pytest.approx(1.0 + 32.0 * self.POINTS[:, 0] / (4 * 80.0**2))

    def test_one_line_of_bolts_holds_no_moment_about_it(self) -> None:
        with pytest.raises(InputError, match="one line"):
            axial_share([(0.0, 0.0), (0.0, 70.0)], 0.0, (0.0, 5.0))

    @pytest.mark.parametrize("seed", range(200))
    def test_contact_balances_what_acts(self, seed: int) -> None:
        draw = np.random.default_rng(seed)
        pull, a, b = draw.normal(size=3) * (1.0, 90.0, 90.0) * draw.integers(0, 2, 3)
        tension, pressure = contact_share(self.POINTS, self.CORNERS, pull, (a, b))
        assert tension.min() >= 0
        assert pressure.min() >= 0
        size = max(abs(pull), abs(a) / 90, abs(b) / 90, 1e-9)
        assert tension.sum() - pressure.sum() == pytest.approx(pull, abs=1e-9 * size)
        turn = self.POINTS[:, 1] @ tension - self.CORNERS[:, 1] @ pressure
        assert turn == pytest.approx(a, abs=1e-7 * size)
        other = -self.POINTS[:, 0] @ tension + self.CORNERS[:, 0] @ pressure
        assert other == pytest.approx(b, abs=1e-7 * size)

    def test_a_plate_that_pulls_evenly_presses_nowhere(self) -> None:
        tension, pressure = contact_share(self.POINTS, self.CORNERS, 12.0, (0.0, 0.0))
        assert tension == pytest.approx(2.0)
        assert pressure == pytest.approx(0.0)

    def test_stiff_contact_turns_the_plate_about_its_edge(self) -> None:
        """Then tensions are M h / sum h^2 from the edge that presses (statics)."""
        tension, _ = contact_share(self.POINTS, self.CORNERS, 0.0, (0.0, -1e4), stiffness=1e4)
        h = self.POINTS[:, 0] + 120.0
        assert tension == pytest.approx(1e4 * h / (h @ h), rel=2e-3)


class TestWelds:
    """Lines of weld."""

    BOX = np.array(
        [[(0, 0), (5, 0)], [(5, 0), (5, 10)], [(5, 10), (0, 10)], [(0, 10), (0, 0)]], float
    )

    @pytest.mark.parametrize("seed", range(60))
    def test_line_forces_balance_what_acts(self, seed: int) -> None:
        """Gauss' rule with two points is exact for the product of two linear functions."""
        draw = np.random.default_rng(seed)
        lines = draw.uniform(-100, 100, (int(draw.integers(2, 6)), 2, 2))
        force, moment = draw.normal(size=3), draw.normal(size=3) * 80
        known = line_moments(lines)
        gauss = np.array([-1, 1]) / math.sqrt(3) / 2 + 0.5
        span = lines[:, 1] - lines[:, 0]
        points = (lines[:, None, 0] + gauss[None, :, None] * span[:, None]).reshape(-1, 2)
        weight = np.repeat(np.hypot(*span.T) / 2, 2)
        acting = weight[:, None] * line_forces(lines, points, force, moment)
        r = np.column_stack([points - known.centroid, np.zeros(len(points))])
        assert acting.sum(axis=0) == pytest.approx(force, abs=1e-9)
        assert np.cross(r, acting).sum(axis=0) == pytest.approx(moment, abs=1e-7)

    @pytest.mark.parametrize("seed", range(8))
    def test_pieces_about_their_centre_balance_what_acts(self, seed: int) -> None:
        draw = np.random.default_rng(seed)
        force, moment = draw.normal(size=2), float(draw.normal() * 10)
        found = weld_centre_method(self.BOX, force, moment, 60)
        at = (np.arange(60) + 0.5) / 60
        span = self.BOX[:, 1] - self.BOX[:, 0]
        points = (self.BOX[:, None, 0] + at[None, :, None] * span[:, None]).reshape(-1, 2)
        r = points - line_moments(self.BOX).centroid
        assert found.forces.sum(axis=0) == pytest.approx(force, abs=1e-9)
        turn = (r[:, 0] * found.forces[:, 1] - r[:, 1] * found.forces[:, 0]).sum()
        assert turn == pytest.approx(moment, abs=1e-8)

    def test_a_weld_across_its_load_is_half_as_strong_again(self) -> None:
        """1 + 0.5 sin^1.5: AISC 360 J2.4 (from memory)."""
        line = [[(0.0, 0.0), (0.0, 10.0)]]
        along = weld_centre_method(line, (0.0, 1.0), 0.0).coefficient
        across = weld_centre_method(line, (1.0, 0.0), 0.0).coefficient
        assert across / along == pytest.approx(1.5, rel=5e-3)

    def test_a_line_holds_no_moment_about_itself(self) -> None:
        with pytest.raises(InputError, match="one straight line"):
            line_forces([[(0, 0), (0, 5)]], [(0, 0)], (0, 0, 0), (0, 7.0, 0))

    def test_a_weld_without_length_is_refused(self) -> None:
        with pytest.raises(InputError, match="weld 2 has no length"):
            line_moments([[(0, 0), (0, 5)], [(1, 1), (1, 1)]])
