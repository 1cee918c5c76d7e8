"""Shear lag along members: flanges found in the outline, and how much of them works."""

from __future__ import annotations

from pathlib import Path

import pytest
from soapfilm.geometry.catalogue import shape
from soapfilm.report.member.record import member_record
from soapfilm.report.member.shear_lag import HEADING
from soapfilm.report.member.table import passages
from soapfilm.solver.member.deforming.analysis import solve_deforming
from soapfilm.solver.member.deforming.course import Course, MemberPart
from soapfilm.solver.member.deforming.effective_width import code_ratio
from soapfilm.solver.member.file import member_from_toml
from soapfilm.solver.member.model.axis import Axis
from soapfilm.solver.member.model.load import LineLoad
from soapfilm.solver.member.model.member import Member, Segment
from soapfilm.solver.member.model.support import fixed, fork
from soapfilm.solver.member.review.assessment import assess
from soapfilm.solver.member.review.shear_lag import flanges_of, shear_lag

from .sections import box, classical, rectangle, reduced

#: The box of the exact solution in `test_shear_lag`: 3000 between webs, over 12 m. The load is
#: even, not a sine, so less of the flange works than the 0.906 there.
WIDE = """
unit = "mm"
[section.box]
unit = "mm"
[section.box.material.steel]
E = "210 GPa"
nu = 0.3
[[section.box.outline]]
points = [[-1506, -758], [1506, -758], [1506, 758], [-1506, 758]]
holes = [[[-1494, -742], [1494, -742], [1494, 742], [-1494, 742]]]
[analysis]
accuracy = 1e-4
[[span]]
length = "12 m"
[[support]]
at = ["start", "end"]
kind = "fork"
[[load]]
weight = "50 kN/m"
place = [1500, 0]
[[load]]
weight = "50 kN/m"
place = [-1500, 0]
"""


def test_flanges_of_a_box_and_a_rolled_girder() -> None:
    bottom = {f.side: f for f in flanges_of(box(2000, 1000, 20, 12))}["bottom"]
    assert bottom.y == pytest.approx(-490)
    assert (bottom.start, bottom.end) == pytest.approx((-1000, 1000), abs=0.01)
    assert bottom.webs == pytest.approx((-994, 994))
    # half the width between the webs to either side; what stands out by half a web is none
    assert [abs(b - a) for a, b in bottom.strips] == pytest.approx([994, 994])
    top, low = flanges_of(shape("IPE300"))
    assert (top.side, low.side) == ("top", "bottom")
    assert top.y == pytest.approx(150 - 10.7 / 2, abs=0.1)
    assert top.webs == pytest.approx((0.0,), abs=0.01)
    assert flanges_of(rectangle(100, 300)) == []


def test_a_wide_flange_is_told_of_beside_the_code() -> None:
    found = assess(member_from_toml(WIDE, folder=Path()), cures=False)
    rows = member_record(found)["shear_lag"]
    assert {row["flange"] for row in rows} == {"top", "bottom"}
    for row in rows:
        assert row["at"] == pytest.approx(6000)
        # EN 1993-1-5, 3.2.1 with kappa = 1500 / 12000: 1 / (1 + 6.4 kappa^2), from memory.
        assert row["by_EN_1993_1_5_from_memory"] == pytest.approx(0.9091, abs=1e-3)
        assert 0.88 < row["effective_over_width"] < 0.95
    text = str(passages(found)[HEADING])
    assert "middle of span" in text
    assert "from memory" in text


def test_beside_an_inner_support_the_codes_share_is_that_of_the_same_place() -> None:
    """EN 1993-1-5, 3.2 and figure 3.1, from memory: beta of the support with L_e = (L1 + L2) / 4,
    that of the span with 0.85 L, in proportion over a quarter of the span."""
    measures, span = (3012.0, 1516.0, 16.0, 12.0), 24_000.0
    section, solved = reduced("box", *measures), classical("box", *measures)
    load = LineLoad(0, 2 * span, (0, -50.0, 0), place=(1500.0, 0.0))
    member = Member(
        Axis.straight(2 * span),
        (Segment(0, 2 * span, solved.constants),),
        (fork(0.0), fork(span), fork(2 * span)),
        loads=(load,),
    )
    course = Course((MemberPart(0, 2 * span, section, section),))
    found = shear_lag(solve_deforming(member, course, orders=(5,)), {"box": solved})
    beside = [one for one in found if one.hogging]
    assert len(beside) == 2
    at_support = code_ratio(1500.0, span / 2, hogging=True)
    middle = code_ratio(1500.0, 0.85 * span)
    share = (beside[0].station - span) / (span / 4)
    assert 0.4 < share < 0.7
    for one in beside:
        assert one.code_at_support == pytest.approx(at_support, rel=5e-3)
        assert one.code == pytest.approx(at_support + share * (middle - at_support), rel=5e-3)
        assert one.ratio > one.code_at_support
    # Both spans end at an end support: beta_0 = (0.55 + 0.025 / kappa) beta_1 there.
    kappa = 1500.0 / (0.85 * span)
    ends = [one.code_at_support for one in found if not one.hogging]
    assert ends == pytest.approx([(0.55 + 0.025 / kappa) * middle] * 4, rel=5e-3)


def test_an_overhang_takes_the_codes_share_of_hogging() -> None:
    """EN 1993-1-5, table 3.1 and figure 3.1, from memory: beta_2 with twice its length; as a span
    that sags it would have had beta_1 with its length, 0.91 for 0.78."""
    measures, length = (3012.0, 1516.0, 16.0, 12.0), 12_000.0
    section, solved = reduced("box", *measures), classical("box", *measures)
    member = Member(
        Axis.straight(length),
        (Segment(0, length, solved.constants),),
        (fixed(0.0),),
        loads=(LineLoad(0, length, (0, -50.0, 0), place=(0.0, 758.0)),),
    )
    course = Course((MemberPart(0, length, section, section),))
    found = shear_lag(solve_deforming(member, course, orders=(5,)), {"box": solved})
    assert len(found) == 2
    for one in found:
        assert one.code == pytest.approx(code_ratio(1500.0, 2 * length, hogging=True), rel=5e-3)
        assert one.code_at_support is None
