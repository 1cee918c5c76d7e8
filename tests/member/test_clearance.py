"""Clearances as an envelope, against a bar by hand."""

from __future__ import annotations

import math

import pytest
from soapfilm.report.member.limits import limit_grid
from soapfilm.report.member.slip import clearance_record, clearances, worst_use
from soapfilm.report.member.units import MemberUnits
from soapfilm.report.text.rendering import render_passage
from soapfilm.solver.member.beam.analysis import solve
from soapfilm.solver.member.file import member_from_toml
from soapfilm.solver.member.model.load import PointLoad
from soapfilm.solver.member.model.member import Member
from soapfilm.solver.member.model.support import fork
from soapfilm.solver.member.review.assessment import assess
from soapfilm.solver.member.review.clearance import clearance_envelope
from soapfilm.solver.member.review.connection import connection_actions

from .models import unit_section


@pytest.mark.parametrize("torque", [0.7, -0.7])
@pytest.mark.parametrize("slip", [0.01, 0.9])
def test_a_bar_between_two_joints_that_slip(torque: float, slip: float) -> None:
    """G J = 1, length 2, T at the middle: phi = T L / 4 and the slip; one end alone takes
    T / 2 + (2 s) / L as long as the other end reaches its own end, else all of it."""
    section, length = unit_section(math.inf), 2.0
    supports = [fork(0.0, twist_slip=slip), fork(length, twist_slip=slip, lever_arm=0.25)]
    load = PointLoad(length / 2, moment=(0.0, 0.0, torque))
    found = clearance_envelope(solve(Member.prismatic(length, section, supports, loads=(load,))))
    assert found is not None
    size, turn = abs(torque), abs(torque) * length / 4
    assert found.preloaded[0] == pytest.approx(turn, rel=1e-9)
    assert found.centred[0] == pytest.approx(turn + slip, rel=1e-9)
    assert found.worst[0] == pytest.approx(turn + 2 * slip, rel=1e-9)
    for joint in found.joints:
        assert joint.centred[0] == pytest.approx(-torque / 2, rel=1e-9)
        assert joint.preloaded[0] == pytest.approx(-torque / 2, rel=1e-9)
        alone = min(size / 2 + 2 * slip / length, size)
        assert joint.worst[0] == pytest.approx(-math.copysign(alone, torque), rel=1e-9)
    assert [j.lever_arm for j in found.joints] == [None, 0.25]


def test_a_member_without_clearance_has_no_envelope() -> None:
    member = Member.prismatic(
        2.0, unit_section(1.0), [fork(0.0), fork(2.0)],
        loads=(PointLoad(1.0, moment=(0.0, 0.0, 1.0)),),
    )  # fmt: skip
    assert clearance_envelope(solve(member)) is None


FILE = """
unit = "mm"
[section.beam]
shape = "HEB300"
material = "S355"
[[span]]
length = "4 m"
[[support]]
name = "column"
at = ["start", "end"]
kind = "fork"
lever_arm = "210 mm"
clearance = "1 mm"
clearance_arm = "210 mm"
[[load]]
weight = "5 kN/m"
place = [180, 0]
[[limit]]
twist = "0.8 deg"
"""


def test_both_theories_bound_the_twist_and_the_table_says_so() -> None:
    found = assess(member_from_toml(FILE), cures=False)
    envelope = found.clearance
    assert envelope is not None
    slip = math.radians(1) * 180 / math.pi / 210
    assert envelope.worst[0] - envelope.preloaded[0] == pytest.approx(2 * slip, rel=1e-3)
    classical = clearance_envelope(found.solution)
    assert classical is not None
    assert classical.worst[0] - classical.preloaded[0] == pytest.approx(2 * slip, rel=1e-9)
    for own, other in zip(envelope.joints, classical.joints, strict=True):
        # Half of 5 kN/m x 4 m x 180 mm, and what turns one end by 2 s beside the other.
        constants = found.request.sections["beam"].constants
        bar = constants.shear_modulus * constants.torsion_constant / 4000
        alone = 5 * 4000 * 180 / 2 + bar * 2 * slip
        assert other.worst[0] == pytest.approx(alone, rel=1e-9)
        assert own.worst[0] == pytest.approx(alone, rel=0.01)
    text = " ".join(render_passage(clearances(found, MemberUnits(found.request.units))).split())
    assert "torque at column 1" in text
    assert "couple there" in text
    assert "in the worst state it is exceeded" in text
    assert "preloaded" in text
    record = clearance_record(found)
    assert record is not None
    (actions,) = connection_actions(found, "column 1", "load")
    assert actions.worst_torque == envelope.joints[0].worst[0]
    couple = record["joints"][0]["torque"]["load"]["worst"] / 210
    assert abs(couple) >= 5 * 4000 * 180 / 2 / 210


def test_the_limit_row_says_it_and_the_worst_torque_has_its_company() -> None:
    """Statics of the bar: each end bears half the weight, wherever the joints stand."""
    done = assess(member_from_toml(FILE), cures=False)
    kept = [item for item in done.limits if worst_use(done, item) is not None]
    assert len(kept) == 1
    row = render_passage(limit_grid(done, MemberUnits(done.request.units)))
    assert "OK centred, worst slip EXCEEDED" in " ".join(row.split())
    assert done.clearance is not None
    record = clearance_record(done)
    assert record is not None
    for joint, entry in zip(done.clearance.joints, record["joints"], strict=True):
        assert joint.concurrent.title == joint.title
        assert joint.concurrent.moment[2] == pytest.approx(joint.worst[joint.combination])
        centred = done.reactions[0].of(joint.title)[joint.combination]
        assert joint.concurrent.force[1] == pytest.approx(centred.force[1], rel=1e-3)
        assert entry["at_its_worst"]["R_y"] == joint.concurrent.force[1]
