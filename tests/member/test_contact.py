"""One-sided contacts: whatever the loads, what is found must satisfy all its conditions at once."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st
from soapfilm.geometry.errors import InputError
from soapfilm.solver.member.beam.analysis import solve
from soapfilm.solver.member.beam.contact import ABOVE, BELOW, OPEN
from soapfilm.solver.member.model.axis import Axis
from soapfilm.solver.member.model.load import LineLoad, PointLoad
from soapfilm.solver.member.model.member import Member
from soapfilm.solver.member.model.restraint import TwistSpring
from soapfilm.solver.member.model.support import bearing_pair, fork

from .models import closed_section, unit_section

MANY = settings(max_examples=120, deadline=None)


def conditions_hold(member: Member) -> bool:
    """c.d and r of every contact lie on its law; False if the member is refused as loose."""
    try:
        solution = solve(member)
    except InputError:
        return False
    assert solution.residual.max() < 1e-10
    motion = solution.states.motion
    forces = np.abs(solution.states.push).max()
    moved = max(np.abs(motion[:, :3]).max(), 1e-12)
    turned = max(np.abs(motion[:, 5]).max(), 1e-12)
    for n, contact in enumerate(solution.contacts):
        if not contact.one_sided:
            continue
        size = turned if contact.freedom == "twist" else moved
        for c in range(len(solution.names)):
            seen = float(np.dot(contact.direction, motion[contact.node, :, c]))
            push = float(solution.states.push[n, c])
            state = int(solution.engaged[c, n])
            held = seen + push * contact.softness
            if state == OPEN:
                assert push == pytest.approx(0, abs=1e-9 * forces)
                assert -contact.below - 1e-8 * size <= seen <= contact.above + 1e-8 * size
            elif state == BELOW:
                assert push >= -1e-8 * forces
                assert held == pytest.approx(-contact.below, abs=1e-8 * size)
            elif state == ABOVE:
                assert push <= 1e-8 * forces
                assert held == pytest.approx(contact.above, abs=1e-8 * size)
            else:
                # Tight without force, in the middle of its play.
                assert push == pytest.approx(0, abs=max(1e-6 * forces, 1e-9))
    return True


@MANY
@given(
    st.lists(
        st.tuples(st.floats(0.5, 59.5), st.floats(-3000, 6000), st.floats(-4, 4)),
        min_size=1,
        max_size=4,
    ),
    st.floats(1.0, 6.0),
    st.sampled_from([None, 1e4, 1e6]),
    st.sampled_from([None, 45.0, -45.0]),
)
def test_bearing_pairs_that_may_lift(
    loads: list[tuple[float, float, float]],
    spacing: float,
    stiffness: float | None,
    radius: float | None,
) -> None:
    length = 60.0
    axis = Axis.straight(length) if radius is None else Axis.arc(length, radius)
    supports = [bearing_pair(z, spacing, stiffness=stiffness) for z in (0.0, 17.0, 41.0, length)]
    weight = LineLoad(0, length, force=(0, -40.0, 0), place=(0, 0))
    points = [
        PointLoad(at, force=(0, -down, 0), place=(x, 0), name=f"load {n}")
        for n, (at, down, x) in enumerate(loads)
    ]
    member = Member.prismatic(axis, closed_section(), supports, loads=(weight, *points))
    if not conditions_hold(member):
        # Held down, some bearing must then pull.
        down = tuple(
            s.with_(bearings=tuple(replace(b, holds_down=True) for b in s.bearings))
            for s in supports
        )
        tight = solve(member.with_(supports=down))
        assert min(b.force for r in tight.reactions[0] for b in r.bearings) < 0


@MANY
@example(torque=1.3125, other=-1.25, plays=[0.25, 0.375, 0.25, 0.125], stiffness=13.0)
@given(
    st.floats(-5, 5),
    st.floats(-5, 5),
    st.lists(st.floats(0, 0.4), min_size=4, max_size=4),
    st.floats(0.1, 100),
)
def test_play_at_supports_and_restraints(
    torque: float, other: float, plays: list[float], stiffness: float
) -> None:
    restraints = tuple(
        TwistSpring(z, stiffness, slip=p) for z, p in zip((0.3, 0.8), plays[2:], strict=True)
    )
    loads = (
        PointLoad(0.45, moment=(0, 0, torque)),
        PointLoad(0.75, moment=(0, 0, other), name="other"),
    )
    supports = [fork(0, twist_slip=plays[0]), fork(1, twist_slip=plays[1])]
    member = Member.prismatic(1.0, unit_section(2.0), supports, restraints=restraints, loads=loads)
    assert conditions_hold(member)


def test_three_bearings_on_one_side_that_are_not_in_line_hold_a_member() -> None:
    """Every bearing may open but one of each pair, whichever way to that leads over states that
    hold nothing: this was refused as rolling over."""
    pairs = ((0.0, 0.2), (16.5, 0.2), (33.0, -0.3))
    supports = tuple(
        bearing_pair(at, 1.02, centre=centre, level=-0.44, z="free" if at else "held")
        for at, centre in pairs
    )
    loads = (
        PointLoad(18.2, (-0.075, -3.0, -0.3), (-1.0, 0.44), (0.0, 0.0, -1.5)),
        LineLoad(19.55, 29.0, (0.0, -0.06, 0.0), place=(-1.0, -0.44)),
        PointLoad(16.5, (0.0, -1.28, 0.0), (0.0, 0.0)),
    )
    section = closed_section(centroid=(0.0, 0.0), shear_centre=(0.0, 0.0))
    made = Member.prismatic(33.0, section, supports=supports, loads=loads)
    solution = solve(made)
    assert conditions_hold(made)
    assert [b.lifted for r in solution.reactions[0] for b in r.bearings] == [False, True] * 3
