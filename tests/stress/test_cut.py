"""Shear flow through cuts: cells, first moments, welds."""

from __future__ import annotations

import numpy as np
import pytest
from soapfilm.geometry.errors import InputError
from soapfilm.geometry.joint import JointLine
from soapfilm.geometry.outline.contour import Contour
from soapfilm.geometry.section import Section
from soapfilm.solver.section.stress.cut import cut_flow

from .shapes import box, i_section, solved


def line(*points: tuple[float, float], **keywords: object) -> JointLine:
    return JointLine("cut", tuple(points), **keywords)  # type: ignore[arg-type]


def test_flow_of_torque_through_a_cells_wall_is_the_cells() -> None:
    units = solved(box(200, 100, 8))
    (cell,) = units.result.cells
    flow = cut_flow(units, line((90, 0), (110, 0)))
    assert abs(flow.unit_flow[5]) == pytest.approx(cell.shear_flow_per_torque, rel=1e-9)
    assert flow.part is None
    assert flow.length == pytest.approx(8)
    # Bredt: q = T/(2 A), A between the middles of the walls (thin walls: a few per cent)
    assert abs(flow.unit_flow[5]) == pytest.approx(1 / (2 * 200 * 100), rel=0.02)


def test_flow_of_torque_through_an_open_wall_is_zero() -> None:
    units = solved(i_section(100, 200, 10, 6))
    flow = cut_flow(units, line((-10, 0), (10, 0)))
    assert flow.unit_flow[5] == pytest.approx(0, abs=1e-15)


def test_web_flow_is_vq_over_i() -> None:
    """q = V Q/I (Jourawski; common practice), exact by statics; the field agrees as it
    converges."""
    units = solved(i_section(100, 200, 10, 6), 1e-7)
    flow = cut_flow(units, line((-10, 20), (10, 20)))
    inertia = units.result.second_moments.x
    q = 100 * 10 * 100 + 6 * 75 * 57.5
    assert flow.part is not None
    assert flow.part.first_moment_x == pytest.approx(q, rel=1e-9)
    assert flow.part.area == pytest.approx(100 * 10 + 6 * 75)
    assert abs(flow.flow(np.eye(8)[4])) == pytest.approx(q / inertia, rel=1e-9)


def test_flow_turns_with_the_line() -> None:
    units = solved(i_section(100, 200, 10, 6))
    there = cut_flow(units, line((-10, 20), (10, 20))).unit_flow
    back = cut_flow(units, line((10, 20), (-10, 20))).unit_flow
    assert back == pytest.approx(-there, abs=1e-12)


def test_flows_into_a_joint_balance() -> None:
    """Cuts around a flange-web junction: what enters leaves or stays in the piece between them."""
    units = solved(i_section(100, 200, 10, 6), 1e-7)
    inertia = units.result.second_moments.x
    left = cut_flow(units, line((-20, 90), (-20, 110))).unit_flow[4]
    right = cut_flow(units, line((20, 110), (20, 90))).unit_flow[4]
    web = cut_flow(units, line((-10, 80), (10, 80))).unit_flow[4]
    kept = (40 * 10 * 100 + 6 * 15 * 87.5) / inertia
    assert abs(web) == pytest.approx(abs(left) + abs(right) + kept, rel=1e-8)


def test_intermittent_weld_carries_flow_times_pitch() -> None:
    units = solved(i_section(100, 200, 10, 6))
    flow = cut_flow(units, line((-10, 20), (10, 20), weld_length=40.0, pitch=150.0))
    actions = 5.0 * np.eye(8)[4]
    assert flow.force_per_weld(actions) == pytest.approx(150 * flow.flow(actions))


def test_cut_along_an_arc() -> None:
    """A full ring cut: the flow of shear through two radial cuts of a ring sector balances."""
    ring = Section.single(Contour.circle((0, 0), 10), [Contour.circle((0, 0), 8)])
    units = solved(ring, 1e-7)
    arc = JointLine("arc", ((12.0, 0.0), (0.0, 12.0)), (np.tan(np.pi / 8),))
    with pytest.raises(InputError, match="does not pass through the section"):
        cut_flow(units, arc)
    top = cut_flow(units, line((0, 7), (0, 11)))
    side = cut_flow(units, line((7, 0), (11, 0)))
    assert top.unit_flow[4] == pytest.approx(0, abs=1e-6)
    inertia = units.result.second_moments.x
    q = 2 / 3 * (10**3 - 8**3) / 2  # first moment of a quarter ring about x: (R^3 - r^3)/3
    assert abs(side.unit_flow[4]) == pytest.approx(q / inertia, rel=1e-3)


def test_line_that_ends_in_the_material_is_refused() -> None:
    units = solved(i_section(100, 200, 10, 6))
    with pytest.raises(InputError, match=r"ends inside the material at \(0, 20\), 3 from"):
        cut_flow(units, line((-10, 20), (0, 20)))
