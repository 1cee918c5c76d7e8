"""What `pays` of a member says of its derivatives' doubts beside members cut far finer."""

from __future__ import annotations

from pathlib import Path

import pytest
from soapfilm.solver.member.beam.analysis import critical_loads
from soapfilm.solver.section.derivative.difference import STEPS, derivative
from soapfilm.solver.study.derivative.file_number import numbers_of
from soapfilm.solver.study.derivative.member_pay import member_pay
from soapfilm.solver.study.file.member_base import MemberBase

ANGLE = """unit = "mm"
[analysis]
sections = "keep their shape"
[section.angle]
E = "210 GPa"
G = "81 GPa"
A = "30 cm^2"
I_x = "750 cm^4"
I_y = "290 cm^4"
I_xy = "-270 cm^4"
J = "15 cm^4"
shear_centre = [-25, -42]
mass = "24 kg/m"
[[span]]
length = 3200
[[span]]
length = 3000
[[support]]
at = ["start", "end of span 1", "end"]
kind = "fork"
[[load]]
case = "live"
weight = "6 kN"
place = [-140, -70]
at = 2100
[[load]]
case = "live"
weight = "9 kN"
place = [150, 145]
at = 2400
[[combination]]
name = "all"
factors = { live = 1.0 }
"""


CURVED = ANGLE.replace("[[span]]\n", "[[span]]\nradius = 40000\n").replace(
    'J = "15 cm^4"', 'J = "15 cm^4"\nC_w = "5000 cm^6"'
)


@pytest.mark.parametrize("text", [ANGLE, CURVED], ids=["straight", "curved"])
def test_critical_factors_are_in_doubt_as_far_as_elements_are_long(
    tmp_path: Path, text: str
) -> None:
    """Where twist is a line in each element, or a curve has straight ones: errors of the factor's
    derivative were 15 and 50 times their doubt."""
    path = tmp_path / "member.toml"
    path.write_text(text)
    address = "load.2.at"
    base = MemberBase.from_file(path)
    pay = member_pay(base, [address])
    (number,) = numbers_of(base.parsed, [address])

    def factor(change: float) -> float:
        member = base.request(number.assigned(number.value + change), 1e-5).member
        return min(load.factor for load in critical_loads(member, parts=64))

    step = 0.005 * number.value
    near = float(derivative([factor(k * step) for k in STEPS], step)) * number.value / factor(0)
    (rate,) = pay.numbers
    apart = abs(pay.elasticity(rate, "critical_factor") - near)
    assert apart < pay.doubt(rate, "critical_factor") < 0.01
