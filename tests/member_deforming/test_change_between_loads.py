"""What a member says of its change where loads leave no station half a section's size away."""

from __future__ import annotations

import numpy as np
import pytest
from soapfilm.solver.member.deforming.analysis import solve_deforming
from soapfilm.solver.member.deforming.change import STATIONS, change_of
from soapfilm.solver.member.deforming.envelope import stress_envelope
from soapfilm.solver.member.deforming.gathering import course_of
from soapfilm.solver.member.model.axis import Axis
from soapfilm.solver.member.model.load import PointLoad
from soapfilm.solver.member.model.member import Member, Segment
from soapfilm.solver.member.model.support import fixed, fork

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


def test_a_station_that_falls_on_a_force_changes_nothing() -> None:
    """Elastic movement under a force at a point has no bound (Boussinesq's is F (1 - nu^2) /
    (pi E r)): it was stated where a station looked at fell on it, and not where it did not."""
    length, section = 1440.0, classical("box", 174.0, 174.0, 10.0, 10.0)
    known = {section.constants.name: section}
    stated = []
    for at in (25 * length / (STATIONS - 1), 25.5 * length / (STATIONS - 1)):
        member = Member(
            Axis.straight(length),
            (Segment(0, length, section.constants),),
            (fixed(0.0), fixed(length)),
            loads=(PointLoad(at, (0, -2e3, 0), place=(87.0, -87.0)),),
        )
        solution = solve_deforming(member, course_of(member, known))
        change = change_of(solution, stress_envelope(solution, known), known)
        stated.append(change.displacement_anywhere)
    assert stated[0] == pytest.approx(stated[1], abs=0.01)
    assert 0 < stated[0] < 0.02
