"""Penetrations and fillets on one contact: one joint, from free face to free face."""

from __future__ import annotations

import numpy as np
import pytest
from soapfilm.geometry.errors import GeometryError
from soapfilm.geometry.plates import Plate, Weld, assemble
from soapfilm.geometry.section import Section
from soapfilm.solver.section import solve_section
from soapfilm.solver.section.stress.joint_flow import joint_flows
from soapfilm.solver.section.stress.unit_stress import unit_stress

TEE = (Plate("flange", ((-50, 5), (50, 5)), 10), Plate("web", ((0, 0), (0, -120)), 8))
PAIR, BACK = ("flange", "web"), ("web", "flange")


def tee(*welds: Weld) -> Section:
    return assemble(TEE, welds, unit="mm")


@pytest.mark.parametrize("order", [[0, 1], [1, 0]])
@pytest.mark.parametrize("pair", [PAIR, BACK])
def test_full_penetration_with_fillets_is_one_joint(order: list[int], pair: tuple) -> None:
    welds = [Weld("butt", PAIR, kind="full"), Weld("toe", pair, leg=5)]
    section = tee(*(welds[k] for k in order))
    (joint,) = section.joints
    assert set(joint.name.split(" + ")) == {"butt", "toe 1", "toe 2"}
    assert set(joint.kind.split(" + ")) == {"full", "fillet"}
    assert not section.slits
    xs = sorted((joint.points[0][0], joint.points[-1][0]))
    assert xs == pytest.approx([-6.5, 6.5])  # from face to face: half a leg beyond the web
    length = np.hypot(*np.diff(joint.points, axis=0).T).sum()
    assert length == pytest.approx(8 + 2 * 5 / np.sqrt(2))


def test_its_flow_is_v_q_over_i() -> None:
    """By statics of the flange and the halves of the fillets beyond the throat."""
    section = tee(Weld("butt", PAIR, kind="full"), Weld("toe", PAIR, leg=5))
    result = solve_section(section, 1e-5)
    (flow,) = joint_flows(unit_stress(result))
    y = float(result.centroid[1])
    q = 1000 * (5 - y) + 2 * 25 / 4 * (-5 / 6 - y)
    assert flow.part is not None
    assert abs(flow.unit_flow[4]) == pytest.approx(q / result.second_moments.x, rel=1e-9)


def test_partial_penetration_with_fillets_is_two_joints() -> None:
    section = tee(Weld("butt", PAIR, kind="partial", depth=2), Weld("toe", PAIR, leg=5))
    assert sorted(j.name for j in section.joints) == ["butt 1 + toe 1", "butt 2 + toe 2"]
    (slit,) = section.slits
    assert abs(slit.points[0][0] - slit.points[-1][0]) == pytest.approx(4)
    for joint in section.joints:
        ends = {round(abs(joint.points[k][0]), 9) for k in (0, -1)}
        assert ends == {2.0, 6.5}  # from the slit to the fillet's face
    result = solve_section(section, 1e-4)
    flows = joint_flows(unit_stress(result))
    assert flows[0].unit_flow[4] == pytest.approx(flows[1].unit_flow[4], rel=0.02)


def test_fillets_apart_stay_two_joints() -> None:
    section = tee(Weld("toe", PAIR, leg=5))
    assert [j.name for j in section.joints] == ["toe 1", "toe 2"]


def test_two_partial_welds_that_meet_are_one_joint() -> None:
    left = Weld("left", PAIR, kind="partial", depth=3, near=(-4, 0))
    right = Weld("right", BACK, kind="partial", depth=5, near=(4, 0))
    section = tee(left, right)
    (joint,) = section.joints
    assert not section.slits
    assert {round(joint.points[k][0]) for k in (0, -1)} == {-4, 4}
    solve_section(section, 1e-3)


@pytest.mark.parametrize(
    ("welds", "says"),
    [
        (
            [Weld("a", PAIR, kind="full"), Weld("b", BACK, kind="full")],
            r"weld 'b': another weld joins the contact near \(.*, 0\) already",
        ),
        (
            [Weld("a", PAIR, kind="full"), Weld("b", PAIR, kind="partial", depth=1)],
            "weld 'b': another weld joins",
        ),
        (
            [
                Weld("a", PAIR, kind="partial", depth=5, near=(-4, 0)),
                Weld("b", PAIR, kind="partial", depth=5, near=(4, 0)),
            ],
            "weld 'b': another weld joins",
        ),
        (
            [
                Weld("a", PAIR, kind="full"),
                Weld("b", PAIR, leg=5, weld_length=40.0, pitch=100.0),
            ],
            "welds 'a' and 'b 1' meet at .* give both the same length and pitch",
        ),
    ],
)
def test_welds_that_do_not_go_together(welds: list[Weld], says: str) -> None:
    with pytest.raises(GeometryError, match=says):
        tee(*welds)
