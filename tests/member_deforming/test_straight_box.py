"""A straight box girder with end diaphragms only, its load over one web, beside 3D elasticity.

The 3D values are of tensor Gauss-Lobatto elements of order 4 to 5, converged to about 0.1 % in
displacements and 1 % in stresses (our own computation).
"""

from __future__ import annotations

import numpy as np
import pytest
from soapfilm.solver.member.deforming.analysis import solve_deforming
from soapfilm.solver.member.deforming.course import Course, MemberPart
from soapfilm.solver.member.deforming.reactions import reactions
from soapfilm.solver.member.deforming.solution import DeformingSolution
from soapfilm.solver.member.model.axis import Axis
from soapfilm.solver.member.model.load import LineLoad
from soapfilm.solver.member.model.member import Member, Segment
from soapfilm.solver.member.model.support import fork

from .sections import classical, reduced

LENGTH = 30_000.0
CASE_1 = ("box", 2000.0, 1000.0, 20.0, 20.0)
EDGES = [(-1000, 500), (1000, 500), (-1000, -500), (1000, -500)]


@pytest.fixture(scope="module")
def girder() -> DeformingSolution:
    member = Member(
        Axis.straight(LENGTH),
        (Segment(0, LENGTH, classical(*CASE_1).constants),),
        (fork(0.0), fork(LENGTH)),
        loads=(
            LineLoad(14_750, 15_250, (0, -1000.0, 0), place=(1000.0, 500.0), case="right"),
            LineLoad(6_000, 7_000, (300.0, 0, 0), place=(-1000.0, -500.0), case="left"),
        ),
    )
    section = reduced(*CASE_1)
    return solve_deforming(member, Course((MemberPart(0, LENGTH, section, section),)))


def test_webs_go_down_as_in_elasticity(girder: DeformingSolution) -> None:
    v = girder.displacement(EDGES, [7_500, 15_000])[:, :, 1, 0]
    assert v[0] == pytest.approx([-38.68, -45.99, -38.68, -45.99], rel=0.005)
    assert v[1] == pytest.approx([-53.39, -70.75, -53.38, -70.55], rel=0.005)


def test_flanges_move_across_as_in_elasticity(girder: DeformingSolution) -> None:
    """The 3D values are printed to 0.01 and good to 0.1 % of the largest displacement."""
    u = girder.displacement(EDGES, [7_500])[0, :, 0, 0]
    assert u == pytest.approx([-1.41, -1.29, 1.45, 1.33], abs=0.04)


def test_web_bends_across_its_thickness(girder: DeformingSolution) -> None:
    """sigma_yy at both faces of the web, 3 m from the load."""
    stress = girder.stress([(980, -400), (1000, -400)], [12_000])[0, :, :, 0]
    assert stress[:, 1] == pytest.approx([-50.7, 50.9], rel=0.02)
    assert stress[:, 2] == pytest.approx([47.5, 77.7], rel=0.02)


def test_reactions_balance_the_loads(girder: DeformingSolution) -> None:
    force = np.array([reactions(girder, c) for c in (0, 1)], dtype=object)
    total = [[sum(r.force[k] for r in force[c]) for k in range(3)] for c in (0, 1)]
    assert total[0] == pytest.approx([0, 500e3, 0], abs=500e3 * 1e-9)
    assert total[1] == pytest.approx([-300e3, 0, 0], abs=300e3 * 1e-9)
    torque = sum(r.torque for r in force[0])
    assert torque == pytest.approx(500e3 * 1000, rel=1e-9)


def test_resultants_are_those_of_statics(girder: DeformingSolution) -> None:
    """By integration of the stress away from where it is disturbed."""
    found = girder.resultants([7_500.0])
    assert found.M_x[0, 0] == pytest.approx(-250e3 * 7_500, rel=1e-6)
    assert found.V_y[0, 0] == pytest.approx(-250e3, rel=1e-6)
    assert found.T[0, 0] == pytest.approx(-250e6, rel=1e-6)


def test_work_of_one_load_on_the_other_is_the_same_both_ways(girder: DeformingSolution) -> None:
    """Maxwell and Betti: reciprocity."""
    x, w = np.polynomial.legendre.leggauss(9)
    right = 15_000 + 250 * x, w * 250
    left = 6_500 + 500 * x, w * 500
    one = right[1] @ girder.displacement([(1000, 500)], right[0])[:, 0, 1, 1] * -1000.0
    other = left[1] @ girder.displacement([(-1000, -500)], left[0])[:, 0, 0, 0] * 300.0
    assert one == pytest.approx(other, rel=1e-9)


def test_order_is_raised_until_the_answer_stands(girder: DeformingSolution) -> None:
    assert 0 < girder.order_change < 1e-4
