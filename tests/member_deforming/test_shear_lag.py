"""Effective width of flanges, beside exact plane stress and the code's formula."""

from __future__ import annotations

import math

import numpy as np
import pytest
from soapfilm.geometry.errors import InputError
from soapfilm.solver.member.deforming.analysis import solve_deforming
from soapfilm.solver.member.deforming.course import Course, MemberPart
from soapfilm.solver.member.deforming.effective_width import code_ratio, effective_width
from soapfilm.solver.member.model.axis import Axis
from soapfilm.solver.member.model.load import LineLoad
from soapfilm.solver.member.model.member import Member, Segment
from soapfilm.solver.member.model.support import fork

from .sections import classical, reduced

#: Middle lines 3000 apart and 1500 high, flanges 16 and webs 12 thick.
BOX = ("box", 3012.0, 1516.0, 16.0, 12.0)


@pytest.mark.parametrize(
    ("length", "ratio", "corner"),
    [(12_000.0, 0.905970053, 1.09120531), (24_000.0, 0.97488031, 1.02283857)],
)
def test_flange_of_a_box_under_a_sine_load(length: float, ratio: float, corner: float) -> None:
    """Exact plane stress in the flanges (a stress function with sigma_y = 0 at the webs, derived):
    psi = (sinh kw cosh kw + kw) / (2 kw cosh^2 kw), corner stress I / (I_w + psi I_s) times the
    plain one. It takes the webs' stress as linear, so spans of eight heights and more are asked."""
    pieces = 16
    z = np.linspace(0.0, length, pieces + 1)
    q = np.sin(np.pi * z / length)
    loads = [
        LineLoad(a, b, (0, -p, 0), (0, -r, 0), place=(side * 1500.0, 0.0))
        for a, b, p, r in zip(z[:-1], z[1:], q[:-1], q[1:], strict=True)
        for side in (-1, 1)
    ]
    constants = classical(*BOX).constants
    member = Member(
        Axis.straight(length),
        (Segment(0, length, constants),),
        (fork(0.0), fork(length)),
        loads=tuple(loads),
    )
    section = reduced(*BOX)
    solution = solve_deforming(member, Course((MemberPart(0, length, section, section),)))
    found = effective_width(solution, (-1500.0, -750.0), (0.0, -750.0), length / 2)
    assert found.ratio[0] == pytest.approx(ratio, rel=0.02)
    moment = abs(solution.resultants([length / 2]).M_x[0, 0])
    plain = moment * 750 / constants.second_moment_x
    assert found.at_web[0] / plain == pytest.approx(corner, rel=0.02)


@pytest.mark.parametrize(
    ("kappa", "beta"), [(0.25, 0.7143), (0.125, 0.9091), (0.0625, 0.9756), (0.02, 1.0)]
)
def test_the_codes_ratio_in_sagging_bending(kappa: float, beta: float) -> None:
    """EN 1993-1-5, 3.2.1, from memory."""
    assert code_ratio(kappa, 1.0) == pytest.approx(beta, abs=5e-5)


def test_the_codes_ratio_is_lower_over_supports_and_falls() -> None:
    for kappa in (0.1, 0.3, 0.69, 0.71, 1.5):
        assert code_ratio(kappa, 1.0, hogging=True) < code_ratio(kappa, 1.0)
    assert math.isclose(code_ratio(0.7, 1.0), code_ratio(0.7001, 1.0), rel_tol=0.01)


def test_a_flange_of_no_length_is_refused() -> None:
    with pytest.raises(InputError, match="positive"):
        code_ratio(0.0, 1.0)
