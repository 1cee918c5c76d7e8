"""What a member says of its change where loads leave no station half a section's size away."""

from __future__ import annotations

import numpy as np
from soapfilm.solver.member.deforming.analysis import solve_deforming
from soapfilm.solver.member.deforming.change import change_of
from soapfilm.solver.member.deforming.envelope import stress_envelope
from soapfilm.solver.member.deforming.gathering import course_of
from soapfilm.solver.member.model.axis import Axis
from soapfilm.solver.member.model.load import PointLoad
from soapfilm.solver.member.model.member import Member, Segment
from soapfilm.solver.member.model.support import fork

from .sections import classical


def test_loads_in_a_row_leave_a_change_to_tell() -> None:
    """It was said to be 0 % where no station looked at lay as far off as any could; a stress that
    had not settled then passed for settled."""
    length, section = 6000.0, classical("box", 1200.0, 700.0, 5.0, 5.0)
    known = {section.constants.name: section}
    joists = [
        PointLoad(float(z), (0, -1e3, 0), place=(600.0, 350.0)) for z in np.arange(1e3, 6e3, 1e3)
    ]
    member = Member(
        Axis.straight(length),
        (Segment(0, length, section.constants),),
        (fork(0.0), fork(length)),
        loads=tuple(joists),
    )
    solution = solve_deforming(member, course_of(member, known))
    change = change_of(solution, stress_envelope(solution, known), known)
    assert 0 < change.stress_away < change.stress
