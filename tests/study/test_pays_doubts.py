"""Derivatives of `pays` and their doubts beside closed forms and members cut far finer."""

from __future__ import annotations

from pathlib import Path

import pytest
from soapfilm.solver.member.beam.analysis import critical_loads, solve
from soapfilm.solver.member.derivative.moved_member import FactoredMember
from soapfilm.solver.section.derivative.difference import STEPS, derivative
from soapfilm.solver.study.derivative.file_number import numbers_of
from soapfilm.solver.study.derivative.member_pay import member_pay
from soapfilm.solver.study.derivative.section_pay import section_pay
from soapfilm.solver.study.file.member_base import MemberBase
from soapfilm.solver.study.file.section_base import SectionBase

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


def test_ellipses_with_equal_axes_follow_either(tmp_path: Path) -> None:
    """I_x = pi/4 a b^3: a circle by sixteen arcs, wherever they join, gave 1.005 and 2.995."""
    path = tmp_path / "section.toml"
    shape = '[[shape]]\nprofile = "Ellipse"\nSemiAxis1 = 50\nSemiAxis2 = 50\n'
    path.write_text('unit = "mm"\n' + shape)
    pay = section_pay(SectionBase.from_file(path))
    found = [one.elasticity("second_moment_x", pay.properties) for one in pay.numbers]
    assert found == pytest.approx([1, 3], abs=5e-5)


def test_layers_split_off_an_element_are_no_other_kind(tmp_path: Path) -> None:
    """An element as long as its boundary layers is solved in one of two ways that agree; where a
    number led from one to the other, it was said to have no derivative."""
    path = tmp_path / "member.toml"
    constant = 81 * 15 * 320**2 / 210  # the first span is as long as sqrt(E C_w / G J), in cm
    text = CURVED.replace("radius = 40000\n", "").replace("5000 cm^6", f"{constant!r} cm^6")
    load = text[text.index("[[load]]") : text.index("[[combination]]")]
    own = '[[load]]\ncase = "live"\nweight = "6 kN/m"\nplace = [-40, -42]\n'
    path.write_text(text.replace(load, own))
    base = MemberBase.from_file(path)
    (number,) = numbers_of(base.parsed, ["span.1.length"])
    members = [base.request(number.assigned(3200 + 0.3 * k), 1e-5).member for k in STEPS]
    found = FactoredMember.of(solve(base.request({}, 1e-5).member)).moved(members, 0.3)
    families = [one.elements.family.tolist() for one in found.posed]
    assert families[0] != families[-1]


def test_the_twist_of_a_place_between_stations(tmp_path: Path) -> None:
    """Of a round tube with torque t per length from b to the middle of its span between forks, the
    largest twist is where the torque vanishes: its derivative to b needs that place."""
    path = tmp_path / "member.toml"
    text = ANGLE.replace('C_w = "5000 cm^6"\n', "")
    load = text[text.index("[[load]]") : text.index("[[combination]]")]
    spans = text[text.index("[[span]]") : text.index("[[support]]")]
    text = text.replace(spans, "[[span]]\nlength = 4000\n").replace('"end of span 1", ', "")
    own = '[[load]]\ncase = "live"\nm_t = "2 kN*m/m"\nfrom = 317.3\nto = "end"\n'
    path.write_text(text.replace(load, own))
    pay = member_pay(MemberBase.from_file(path), ["load.1.from"])
    begin, length = 317.3, 4000.0
    # the start's torque R = t c^2 / 2 L with c = L - b; the twist R b + R^2 / 2 t, by G J,
    # where the torque vanishes
    c = length - begin
    at_start, slope = c**2 / (2 * length), -c / length
    twist = at_start * begin + at_start**2 / 2
    change = slope * begin + at_start + at_start * slope
    (rate,) = pay.numbers
    found = change * begin / twist
    assert pay.elasticity(rate, "twist_deg") == pytest.approx(found, abs=1e-8)


def test_largest_values_between_stations_are_in_doubt(tmp_path: Path) -> None:
    """Stages are differenced at stations: the elasticity of a twist that is largest between two of
    them was off by 4e-4, and said to be in doubt by 5e-6."""
    text = ANGLE[: ANGLE.index("[section.angle]")] + (
        '[[section.t.shape]]\nname = "s"\nprofile = "CircleHollow"\nRadius = 100\n'
        'WallThickness = 8\nmaterial = "S355"\n[[span]]\nlength = 4137\n'
        '[[support]]\nat = "start"\nkind = "fork"\n[[support]]\nat = "end"\nkind = "fork"\n'
        'twist = "200 kN*m/rad"\n[[load]]\ncase = "live"\nweight = "2 kN/m"\nplace = [90, 0]\n'
        'from = "0.4 m"\n[[combination]]\nname = "all"\nfactors = { live = 1.0 }\n'
    )
    path = tmp_path / "member.toml"
    found = []
    for stages in ("", '[[stage]]\nname = "one"\ncases = ["live"]\n'):
        path.write_text(text + stages)
        pay = member_pay(MemberBase.from_file(path), ["section.t.s.Radius"])
        (rate,) = pay.numbers
        found.append((pay.elasticity(rate, "twist_deg"), pay.doubt(rate, "twist_deg")))
    (exact, _), (differenced, doubt) = found
    assert 1e-5 < abs(differenced - exact) < doubt < 5e-3


def test_a_twist_that_bends_between_stations_of_stages_is_in_doubt(tmp_path: Path) -> None:
    """T a (L - a) / (G J L) under a torque at a: a / (L - a) by the span; the stations of stages
    move past the torque, and the elasticity was 0.5 off, its doubt 1e-3."""
    text = ANGLE[: ANGLE.index("[section.angle]")] + (
        '[[section.t.shape]]\nname = "s"\nprofile = "CircleHollow"\nRadius = 100\n'
        'WallThickness = 8\nmaterial = "S355"\n[[span]]\nlength = 2551.63\n'
        '[[support]]\nat = ["start", "end"]\nkind = "fork"\n[[load]]\ncase = "live"\nT = "1 kN*m"\n'
        'at = 1535.58\n[[combination]]\nname = "all"\nfactors = { live = 1.0 }\n'
        '[[stage]]\nname = "one"\ncases = ["live"]\n'
    )
    path = tmp_path / "member.toml"
    path.write_text(text)
    pay = member_pay(MemberBase.from_file(path), ["span.1.length"])
    (rate,) = pay.numbers
    if "twist_deg" in rate.rates:
        off = abs(pay.elasticity(rate, "twist_deg") - 1535.58 / (2551.63 - 1535.58))
        assert off < pay.doubt(rate, "twist_deg")
    else:
        assert any("no derivative" in words for words in rate.remarks)
