"""Exact derivatives of classical members: closed forms, members solved anew, peaks and modes that
share a value."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from pathlib import Path

import numpy as np
import pytest
from soapfilm.geometry.errors import InputError
from soapfilm.solver.member.beam.analysis import critical_loads, solve
from soapfilm.solver.member.derivative.peak import high_nearby
from soapfilm.solver.member.influence.case_results import read_result
from soapfilm.solver.member.influence.words import asked_in_words
from soapfilm.solver.member.vibration.analysis import vibration_of
from soapfilm.solver.section.derivative.difference import STEPS, derivative
from soapfilm.solver.study.choice.member_outcome import member_mass
from soapfilm.solver.study.derivative.followed_sections import FollowedSections
from soapfilm.solver.study.derivative.member_pay import MemberPay, MemberRate, member_pay
from soapfilm.solver.study.file.member_base import MemberBase

FIGURES = """unit = "m"
[section.g]
E = "210 GPa"
G = "80 GPa"
A = "80 cm^2"
I_x = "{I_x} cm^4"
I_y = "{I_y} cm^4"
J = "50 cm^4"
C_w = "{C_w} cm^6"
mass = "60 kg/m"
"""
FORKS = '[[support]]\nat = ["start", "end"]\nkind = "fork"\n'


def _figures(text: str, i_x: float = 20000, i_y: float = 2000, c_w: float = 0) -> str:
    return FIGURES.format(I_x=i_x, I_y=i_y, C_w=c_w) + text


def _pay(
    folder: Path, text: str, numbers: Sequence[str], results: Sequence[str] = ()
) -> tuple[MemberPay, dict[str, MemberRate]]:
    path = folder / "member.toml"
    path.write_text(text)
    pay = member_pay(MemberBase.from_file(path), numbers, keep_shape=True, results=results)
    return pay, {rate.number.name: rate for rate in pay.numbers}


def test_torque_on_a_bar_between_forks(tmp_path: Path) -> None:
    """phi = T a b / (L G J) under the torque, whose supports hold T b / L and T a / L."""
    text = _figures(
        '[[span]]\nlength = "5 m"\n' + FORKS + '[[load]]\ncase = "t"\nat = "2 m"\nT = "3 kN*m"\n'
    )
    asked = "T of support at 0 m"
    numbers = ["section.g.J", "section.g.G", "load.1.at", "span.1.length", "load.1.T"]
    pay, rates = _pay(tmp_path, text, numbers, [asked, "twist at 1 m"])
    a, b = 2.0, 3.0
    expected = {
        "section.g.J": -1.0, "section.g.G": -1.0, "load.1.at": (b - a) / b,
        "span.1.length": (a + b) / b - 1, "load.1.T": 1.0,
    }  # fmt: skip
    for name, value in expected.items():
        assert rates[name].exact
        assert pay.elasticity(rates[name], "twist_deg") == pytest.approx(value, abs=1e-9), name
    assert pay.elasticity(rates["load.1.at"], asked) == pytest.approx(-a / b, abs=1e-9)
    assert pay.elasticity(rates["load.1.at"], "twist at 1 m") == pytest.approx(-a / b, abs=1e-9)
    phi = np.degrees(3e3 * a * b / (5 * 80e9 * 50e-8))
    assert pay.results["twist_deg"] == pytest.approx(phi, rel=1e-9)


def test_euler_column_and_its_equal_modes(tmp_path: Path) -> None:
    """P = pi^2 E I / L^2; of I_x = I_y the lower factor stays when I_y grows, and falls with it."""
    load = (
        '[[span]]\nlength = "6 m"\n' + FORKS
        + '[[load]]\ncase = "n"\nat = "end"\nF_z = "-10 kN"\nplace = [0, 0]\n'
    )  # fmt: skip
    numbers = ["section.g.I_y", "section.g.E", "span.1.length", "load.1.F_z"]
    pay, rates = _pay(tmp_path, _figures(load, c_w=4e5), numbers)
    for name, value in zip(numbers, (1.0, 1.0, -2.0, -1.0), strict=True):
        found = pay.elasticity(rates[name], "critical_factor")
        assert found == pytest.approx(value, abs=2e-4), name  # of the axial shortening's softness
    pay, rates = _pay(tmp_path, _figures(load, 2000, 2000, 4e5), ["section.g.I_y"])
    rate = rates["section.g.I_y"]
    assert pay.elasticity(rate, "critical_factor") == pytest.approx(0, abs=1e-4)
    (told,) = (r for r in rate.remarks if r.startswith("critical_factor"))
    assert "2 modes share it" in told
    assert rate.doubts["critical_factor"] == pytest.approx(
        pay.results["critical_factor"] / rate.number.value, rel=1e-3
    )


def test_lateral_torsional_buckling_under_an_even_moment(tmp_path: Path) -> None:
    """M = pi/L sqrt(E I_y (G J + pi^2 E C_w / L^2)) (Timoshenko & Gere, Theory of Elastic
    Stability, 1961, ch. 6), of a beam far stiffer in the plane of its moments."""
    text = _figures(
        '[[span]]\nlength = "8 m"\n' + FORKS
        + '[[load]]\ncase = "m"\nat = "start"\nM_x = "-10 kN*m"\n'
        '[[load]]\ncase = "m"\nat = "end"\nM_x = "10 kN*m"\n',
        i_x=2e7, c_w=3e5,
    )  # fmt: skip
    numbers = ["section.g.I_y", "section.g.J", "section.g.C_w", "span.1.length"]
    pay, rates = _pay(tmp_path, text, numbers)
    torsion, warping = 80e9 * 50e-8, np.pi**2 * 210e9 * 3e5 * 1e-12 / 64
    share = torsion / (torsion + warping)
    factor = np.pi / 8 * np.sqrt(210e9 * 2000e-8 * (torsion + warping)) / 10e3
    assert pay.results["critical_factor"] == pytest.approx(factor, rel=3e-4)
    for name, value in zip(
        numbers, (0.5, share / 2, (1 - share) / 2, -1 - (1 - share)), strict=True
    ):
        found = pay.elasticity(rates[name], "critical_factor")
        assert found == pytest.approx(value, abs=5e-4), name


def test_frequency_of_a_beam(tmp_path: Path) -> None:
    """f = pi/2 sqrt(E I / (m L^4)), slender: shear and rotary inertia take some 1e-3."""
    text = _figures('[[span]]\nlength = "10 m"\n' + FORKS + '[self_weight]\ncase = "g"\n')
    numbers = ["section.g.I_y", "section.g.mass", "span.1.length", "self_weight.factor"]
    pay, rates = _pay(tmp_path, text + "factor = 1.0\n", numbers)
    for name, value in zip(numbers, (0.5, -0.5, -2.0, -0.5), strict=True):
        assert pay.elasticity(rates[name], "frequency") == pytest.approx(value, abs=2e-3), name


def test_peaks_that_share_the_largest_twist(tmp_path: Path) -> None:
    """Two equal spans with a torque each: more of the first raises the largest twist, less of it
    leaves that of the second; of torques 1 % apart the change that lets one overtake is told."""
    spans = '[[span]]\nlength = "4 m"\n[[span]]\nlength = "4 m"\n'
    supports = '[[support]]\nat = ["start", "middle", "end"]\nkind = "fork"\n'
    torque = '[[load]]\ncase = "t"\nat = "{} m"\nT = "{} kN*m"\n'
    for second in (3.0, 2.98):
        loads = torque.format(2, 3.0) + torque.format(6, second)
        pay, rates = _pay(tmp_path, _figures(spans + supports + loads), ["load.1.T"])
        rate = rates["load.1.T"]
        assert pay.elasticity(rate, "twist_deg") == pytest.approx(1, abs=1e-9)
        (told,) = (r for r in rate.remarks if r.startswith("twist_deg"))
        if second == 3.0:
            assert "equally high" in told
            assert rate.doubts["twist_deg"] * 3 / pay.results["twist_deg"] == pytest.approx(1)
        else:
            assert "99.33 %" in told
            assert "changes by -0.67 %" in told


I = """[section.{name}]
unit = "mm"
[[section.{name}.shape]]
name = "{name}"
profile = "I"
material = "S355"
OverallWidth = 200
OverallDepth = {depth}
WebThickness = 10
FlangeThickness = 16
FilletRadius = 21
"""  # noqa: E741
TWO = I.format(name="a", depth=400) + I.format(name="b", depth=250)
CURVED = f"""unit = "mm"
{TWO}
[[segment]]
section = "a"
to = "3 m"
[[segment]]
section = "b"
[[span]]
length = "4 m"
radius = "25 m"
[[span]]
length = "5 m"
[[support]]
at = "start"
kind = "fixed"
[[support]]
at = "middle"
y = "20 kN/mm"
x = "held"
twist = "600 kN*m"
[[support]]
at = "end"
kind = "fork"
[points]
p = [80, 150]
[self_weight]
case = "g"
[[load]]
case = "q"
from = "1 m"
to = "8 m"
place = "p"
weight = "8 kN/m"
[[combination]]
name = "all"
factors = {{ g = 1.35, q = 1.5 }}
"""
TAPERED = f"""unit = "mm"
{TWO}
[[segment]]
section = "a"
taper_to = "b"
taper_parts = 2
[[span]]
length = "6 m"
[[support]]
at = "start"
kind = "fixed"
[[spring]]
at = "4 m"
twist = "40 kN*m"
[[load]]
case = "q"
at = "end"
place = [50, 100]
weight = "5 kN"
[self_weight]
case = "q"
"""
SECOND = f"""unit = "mm"
{I.format(name="a", depth=400)}
[analysis]
order = "second"
[[span]]
length = "9 m"
[[support]]
at = ["start", "end"]
kind = "fork"
[points]
p = [20, 200]
[[load]]
case = "q"
from = "start"
to = "end"
place = "p"
weight = "6 kN/m"
"""


@pytest.mark.parametrize(
    ("text", "numbers", "words"),
    [
        (
            CURVED,
            ["section.a.a.FlangeThickness", "span.1.radius", "support.2.y", "load.1.from"],
            ["twist at 2 m", "R_y of support at 4500 mm", "M_x at start", "u_y of p at 6 m"],
        ),
        (TAPERED, ["section.b.b.OverallDepth", "spring.1.at"], ["twist at end", "B at start"]),
        (SECOND, ["section.a.a.WebThickness", "points.p.y"], ["twist at middle"]),
    ],
    ids=["curved, stepped, on springs", "tapered", "second order"],
)
def test_members_solved_anew(
    text: str, numbers: list[str], words: list[str], tmp_path: Path
) -> None:
    """Each beside differences of members solved at four values, their sections on one mesh."""
    pay, rates = _pay(tmp_path, text, numbers, words)
    base, solving = MemberBase.from_file(tmp_path / "member.toml"), FollowedSections()
    base.request({}, 1e-5, solving)
    for name in numbers:
        rate = rates[name]
        assert rate.exact, rate
        step = 1e-3 * rate.number.value
        every = []
        for k in STEPS:
            assigned = rate.number.assigned(rate.number.value + k * step)
            every.append(_anew(base, assigned, solving, words))
        for result, value in pay.results.items():
            if result in every[0]:
                found = float(derivative([one[result] for one in every], step))
                scale = abs(value / rate.number.value)
                near = 2e-6 * scale
                if result == "critical_factor" and "second" not in text:  # of finer elements
                    found *= 2 * value / (every[1][result] + every[2][result])
                    near = rate.doubts[result]
                    assert near < 2e-3 * scale, (name, near / scale)
                assert rate.rates[result] == pytest.approx(found, abs=near), (name, result)


def _anew(
    base: MemberBase, assigned: Mapping[str, object], solving: FollowedSections, words: list[str]
) -> dict[str, float]:
    request = base.request(assigned, 1e-5, solving)  # type: ignore[arg-type]
    solution = solve(request.member, order=request.order)
    found = {"mass": member_mass(request) or 0.0}
    for one in words:
        asked = asked_in_words(one, request.member, request.units)
        value = float(read_result(solution, asked)[0])
        found[one] = float(np.degrees(value)) if asked.kind == "twist" else value
    if request.order == "first":  # the second order looks at critical loads on its own mesh
        found["critical_factor"] = critical_loads(request.member, parts=64)[0].factor
        modes = vibration_of(
            request.member, request.sections, request.units, keep_shape=True, modes=2, judged=False
        )
        found["frequency"] = float(modes.frequencies[0])
    return found


def test_where_a_number_parts_what_met_differences_are_told(tmp_path: Path) -> None:
    """A load that leaves the support it stands on makes a node of its own."""
    text = _figures(
        '[[span]]\nlength = "4 m"\n[[span]]\nlength = "4 m"\n'
        + '[[support]]\nat = ["start", "4 m", "end"]\nkind = "fork"\n'
        + '[[load]]\ncase = "t"\nat = "4 m"\nT = "3 kN*m"\n'
        + '[[load]]\ncase = "t"\nat = "6 m"\nT = "2 kN*m"\n'
    )
    _, rates = _pay(tmp_path, text, ["load.1.at"])
    rate = rates["load.1.at"]
    assert not rate.exact
    assert any("meet at one station" in remark for remark in rate.remarks)


def test_words_that_are_no_result(tmp_path: Path) -> None:
    text = _figures('[[span]]\nlength = "5 m"\n' + FORKS + '[self_weight]\ncase = "g"\n')
    with pytest.raises(InputError, match="no result"):
        _pay(tmp_path, text, ["section.g.J"], ["warmth at 2 m"])
    with pytest.raises(InputError, match="the largest is differentiated"):
        _pay(tmp_path, text, ["section.g.J"], ["stress of [0, 0] at 2 m"])
    path = tmp_path / "member.toml"
    with pytest.raises(InputError, match="by the classical theory alone"):
        member_pay(MemberBase.from_file(path), ["section.g.J"], results=["twist at 2 m"])


def test_a_peak_beside_a_node_is_sought_on_both_sides_of_it() -> None:
    """Both elements have the node's value but for rounding: the peak is narrowed in either."""
    values = np.array([[1.9, 2 - 4e-16, 2.0, 1.95], [1.9, 2.0, 2 - 4e-16, 1.95]]).T
    assert high_nearby(values, 2.0).T.tolist() == [[False, True, True, False]] * 2
