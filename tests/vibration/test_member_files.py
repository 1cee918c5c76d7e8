"""Mass in member files, frequencies as limits, and what bad input is told."""

from __future__ import annotations

import json
from pathlib import Path

import numpy as np
import pytest
from soapfilm.cli.main import main
from soapfilm.geometry.errors import InputError
from soapfilm.solver.member.file import MemberRequest, member_from_toml
from soapfilm.solver.member.review.frequency_limit import frequency_rows
from soapfilm.solver.member.vibration.analysis import Vibration, vibration_of
from soapfilm.solver.member.vibration.below import count_below

#: A bar known by its figures, so that the classical theory answers at once.
BAR = """
name = "bar"
unit = "m"
[section.bar]
E = "210 GPa"
G = "81 GPa"
A = "5000 mm^2"
I_x = "4e6 mm^4"
I_y = "1e6 mm^4"
J = "1e8 mm^4"
mass = "39.25 kg/m"
[[span]]
length = 20
[[support]]
at = ["start", "end"]
kind = "fork"
"""


def request_of(more: str = "", text: str = BAR) -> MemberRequest:
    return member_from_toml(text + more)


def solved(request: MemberRequest, **options: object) -> Vibration:
    return vibration_of(
        request.member, request.sections, request.units, judged=False,
        **({"modes": 4} | options),  # type: ignore[arg-type]
    )  # fmt: skip


def vertical(request: MemberRequest) -> float:
    vibration = solved(request)
    return float(vibration.frequencies[vibration.names.index("vertical")])


def test_load_as_mass_counts_by_its_share() -> None:
    """f falls with the root of the mass: a load of half the bar's weight, once whole, once 30 %."""
    bare = vertical(request_of())
    weight = 39.25 * 9.80665 / 2
    load = f'[[load]]\nweight = "{weight} N/m"\nplace = [0, 0]\n'
    assert vertical(request_of(load)) == pytest.approx(bare, rel=1e-9)
    assert vertical(request_of(load + "as_mass = true\n")) == pytest.approx(
        bare / np.sqrt(1.5), rel=1e-5
    )
    assert vertical(request_of(load + "as_mass = 0.3\n")) == pytest.approx(
        bare / np.sqrt(1.15), rel=1e-5
    )
    assert solved(request_of(load)).left_out == ("load",)


def test_factor_of_self_weight_is_mass_too() -> None:
    heavier = request_of("[self_weight]\nfactor = 1.2\n")
    assert vertical(heavier) == pytest.approx(vertical(request_of()) / np.sqrt(1.2), rel=1e-6)


def test_heavy_mass_in_the_middle() -> None:
    """omega^2 = 48 E I / L^3 / (m + 0.4857 m_bar), the bar's share by Rayleigh's quotient of the
    static shape 17/35 (Den Hartog, Mechanical Vibrations; derived); exact for a heavy mass."""
    mass = 50_000.0
    found = vertical(request_of(f'[[mass]]\nat = "middle"\nmass = "{mass} kg"\nplace = [0, 0]\n'))
    stiffness = 48 * 210e9 * 4e-6 / 20.0**3
    expected = np.sqrt(stiffness / (mass + 17 / 35 * 39.25 * 20)) / (2 * np.pi)
    assert found == pytest.approx(expected, rel=1e-5)


def test_a_mass_beside_which_the_bar_has_none() -> None:
    """What the first block left to rounding was taken for vectors: an IndexError. The flexure of a
    middle load, 48 E I / L^3, rules exactly."""
    mass = 1e20
    found = vertical(request_of(f'[[mass]]\nat = 10\nmass = "{mass} kg"\n'))
    stiffness = 48 * 210e9 * 4e-6 / 20**3
    assert found == pytest.approx(np.sqrt(stiffness / mass) / (2 * np.pi), rel=1e-3)


def test_mass_off_the_axis_resists_twist() -> None:
    """A pair of masses at +-b on a bar stiff in bending: I = 2 m b^2 + 2 I_own at the middle of
    the length, with springs of twist 4 G J / L (derived)."""
    text = BAR.replace('I_x = "4e6', 'I_x = "4e12').replace('I_y = "1e6', 'I_y = "1e12')
    text = text.replace('J = "1e8', 'J = "1e5').replace('mass = "39.25', 'mass = "0.00001')
    more = "".join(
        f'[[mass]]\nname = "{b}"\nat = "middle"\nmass = "500 kg"\nplace = [{b}, 0]\n'
        'rotary_inertia = "40 kg*m^2"\n'
        for b in (-0.8, 0.8)
    )
    vibration = solved(request_of(more, text), modes=1)
    inertia = 2 * 500 * 0.8**2 + 2 * 40
    expected = np.sqrt(4 * 81e9 * 1e-7 / 20.0 / inertia) / (2 * np.pi)
    assert vibration.names == ("torsional",)
    assert vibration.frequencies[0] == pytest.approx(expected, rel=1e-3)


def test_spring_holds_a_mass() -> None:
    """A light stiff bar on two springs of k each, mass m in the middle: omega^2 = K / m with
    1 / K = 1 / (2 k) + L^3 / (48 E I)."""
    stiffness = 1 / (1 / 40e3 + 20.0**3 / (48 * 210e9 * 4e-4))
    text = BAR.replace('I_x = "4e6', 'I_x = "4e8').replace('mass = "39.25', 'mass = "0.001')
    text = text.replace('I_y = "1e6', 'I_y = "1e8')
    text = text.replace('kind = "fork"', 'x = "held"\ntwist = "held"\ny = "20 kN/m"')
    request = request_of('[[mass]]\nat = "middle"\nmass = "800 kg"\nplace = [0, 0]\n', text)
    assert solved(request, modes=1).frequencies[0] == pytest.approx(
        np.sqrt(stiffness / 800) / (2 * np.pi), rel=1e-4
    )


def test_count_of_pivots_sees_every_mode() -> None:
    vibration = solved(request_of(), modes=8)
    squares = (2 * np.pi * vibration.frequencies) ** 2
    for k, square in enumerate(squares):
        below = sum(s < square * (1 - 1e-6) for s in squares)
        assert count_below(vibration.moving, float(square * (1 - 1e-6))) == below <= k


def test_frequency_as_limit(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """A limit row of soapfilm member, used by allowed over value."""
    first = vertical(request_of())
    more = (
        f'[[limit]]\nfirst_frequency = "{first / 2} Hz"\nmotion = "vertical"\n'
        f'[[limit]]\nfirst_frequency = "{first * 2} Hz"\nmotion = "vertical"\n'
        '[[load]]\nweight = "10 N/m"\nplace = [0, 0]\n'
    )
    rows = frequency_rows(request_of(more))
    assert [row.ratio for row in rows] == pytest.approx([0.5, 2.0], rel=1e-5)
    assert [row.passed for row in rows] == [True, False]
    file = tmp_path / "bar.toml"
    file.write_text(BAR + more, "utf-8")
    assert main(["member", str(file), "--no-remedies", "--json"]) == 0
    limits = json.loads(capsys.readouterr().out)["limits"]
    assert [row["kind"] for row in limits] == ["frequency", "frequency"]
    assert [row["passed"] for row in limits] == [True, False]


@pytest.mark.parametrize(
    ("more", "words"),
    [
        ('[[mass]]\nat = "middle"\nmass = "-3 kg"\n', "mass must be positive, got -3"),
        ('[[mass]]\nat = "middle"\nmass = "nan kg"\n', "mass"),
        ("[[mass]]\nat = 21\nmass = '3 kg'\n", "lies outside the member"),
        ('[[mass]]\nat = "middle"\n', "mass is missing"),
        ('[[mass]]\nevery = "0.01 mm"\nmass = "3 kg"\n', "10000 are the most"),
        ('[[mass]]\nat = "middle"\nmass = "3 kN"\n', "mass"),
        ('[[mass]]\nat = "middle"\nmass = "3 kg"\nweight = 2\n', "is not a key of mass"),
        ('[[load]]\nq_y = "2 kN/m"\nplace = [0, 0]\nas_mass = 1.0\n', "does not act downward"),
        ('[[load]]\nweight = "2 kN/m"\nplace = [0, 0]\nas_mass = -1\n', "as_mass is the share"),
        ('[[load]]\nweight = "2 kN/m"\nplace = [0, 0]\nas_mass = 1.5\n', "from 0 to 1, like 0.3"),
        ("[[limit]]\nfirst_frequency = 3\n", 'a text like "3 Hz"'),
        ('[[limit]]\nfirst_frequency = "3 Hz"\nmotion = "sideways"\n', "say one of vertical"),
        ('[[limit]]\nfirst_frequency = "0 Hz"\n', "must be positive"),
        ('[[diaphragm]]\nat = "middle"\nmass = "-1 kg"\n', "mass must be zero or positive"),
    ],
)
def test_bad_input_is_told_in_words(more: str, words: str) -> None:
    with pytest.raises(InputError, match=words.replace("(", r"\(")):
        request_of(more)


def test_missing_density_names_the_section() -> None:
    with pytest.raises(InputError, match="mass of section 'bar'"):
        solved(request_of(text=BAR.replace('mass = "39.25 kg/m"\n', "")))


def test_a_mechanism_is_named() -> None:
    loose = BAR.replace('kind = "fork"', 'y = "held"\nx = "held"')
    with pytest.raises(InputError, match="rotate freely about its length"):
        solved(request_of(text=loose))


def test_slip_left_open_is_softer_or_a_mechanism() -> None:
    text = BAR.replace(
        'kind = "fork"', 'x = "held"\ny = "held"\ntwist = "held"\ntwist_slip = "1 deg"'
    )
    request = request_of(text=text)
    taken_up = solved(request)
    assert any("taken up" in note for note in taken_up.notes)
    with pytest.raises(InputError, match="rotate freely"):
        solved(request, slip_open=True)


def test_a_study_tells_the_frequency(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """A sweep over the span has the frequency of its limit as a result: f goes as 1 / L^2."""
    limit = '[[limit]]\nfirst_frequency = "0.1 Hz"\nmotion = "vertical"\n'
    (tmp_path / "bar.toml").write_text(
        BAR + limit + '[[load]]\nweight = "10 N/m"\nplace = [0, 0]\n', "utf-8"
    )
    (tmp_path / "study.toml").write_text(
        'name = "spans"\nmember = "bar.toml"\n[[parameter]]\nname = "L"\n'
        'sets = "span.1.length"\nvalues = [16, 32]\n',
        "utf-8",
    )
    out = tmp_path / "out.csv"
    words = ["sweep", str(tmp_path / "study.toml"), "--workers", "1", "--no-cache"]
    assert main([*words, "--csv", str(out)]) == 0
    summary = capsys.readouterr().out
    assert "frequency of limit 1" in summary
    assert "critical factor" not in summary  # no limit asks for it
    heads, *rows = [line.split(",") for line in out.read_text("utf-8").splitlines()]
    numbers = [[float(c) for c in row if c.replace(".", "").isdigit()] for row in rows]
    assert "limit_1_hertz" in heads
    first = vertical(request_of()) * (20 / 16) ** 2
    for found, expected in zip(numbers, (first, first / 4), strict=True):
        assert min(abs(value / expected - 1) for value in found) < 1e-4
