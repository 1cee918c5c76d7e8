"""Messages that name their cure, and cautions where a figure is hardly meant."""

from __future__ import annotations

from pathlib import Path

import pytest
from soapfilm.cli.main import main
from soapfilm.geometry.section_file.section_file import section_from_toml

MEMBER = """
unit = "mm"
[section.deck]
E = "{E}"
G = "80 GPa"
A = "5000 mm^2"
I_x = "8e7 mm^4"
I_y = "8e6 mm^4"
J = "3e5 mm^4"
[[span]]
length = {length}
[[support]]
at = ["start", "end"]
kind = "fork"
{more}
"""


@pytest.fixture
def typed(tmp_path: Path, capsys: pytest.CaptureFixture[str]):  # type: ignore[no-untyped-def]
    def run(command: str, text: str) -> tuple[int, str, str]:
        path = tmp_path / "file.toml"
        path.write_text(text)
        code = main([command, str(path)])
        out = capsys.readouterr()
        return code, out.out, out.err

    return run


@pytest.mark.parametrize(
    ("text", "command"),
    [
        ('section = "a.toml"\n[[parameter]]\nname = "t"\n', "soapfilm sweep"),
        ('member = "m.toml"\nsection = "a.toml"\n[[parameter]]\nname = "t"\n', "soapfilm size"),
        ('unit = "mm"\n[[span]]\nlength = 3\n', "soapfilm member"),
        ('[[case]]\nV_y = "3 kN"\n', "soapfilm stress SECTION --cases"),
    ],
)
def test_the_right_command_is_named(typed, text: str, command: str) -> None:  # type: ignore[no-untyped-def]
    code, _, error = typed("section", text)
    assert code == 2
    assert command in error


def test_a_rolled_shape_is_no_profile(typed) -> None:  # type: ignore[no-untyped-def]
    _, _, error = typed("section", 'unit = "mm"\n[[shape]]\nprofile = "IPE300"\n')
    assert 'shape = "IPE300"' in error


def test_a_slope_in_per_cent() -> None:
    text = (
        'unit = "mm"\n[[shape]]\nprofile = "U"\nDepth = 200\nFlangeWidth = 75\n'
        'WebThickness = 8.5\nFlangeThickness = 11.5\nFlangeSlope = "{}"\n'
    )
    one, two = (section_from_toml(text.format(slope)) for slope in ("8 %", "1:12.5"))
    assert one.regions[0].area() == pytest.approx(two.regions[0].area(), rel=1e-12)


def test_modulus_in_the_wrong_unit_is_doubted(typed) -> None:  # type: ignore[no-untyped-def]
    text = (
        'unit = "mm"\n[material.steel]\nE = "210 {}"\nnu = 0.3\n[[shape]]\n'
        'profile = "Rectangle"\nXDim = 60\nYDim = 40\n'
    )
    assert "E of 'steel' is 210 MPa" in " ".join(typed("section", text.format("MPa"))[1].split())
    assert "check its unit" not in typed("section", text.format("GPa"))[1]


@pytest.mark.parametrize(
    ("more", "says"),
    [
        ('[[load]]\nat = "left"\nplace = "origin"\n', '"start", "middle", "end"'),
        ("[self_weight]\n", "self-weight needs the mass of section 'deck'"),
        ('[[limit]]\ndeflection = "L/300"\n', 'as "span/300"'),
    ],
)
def test_member_files(typed, more: str, says: str) -> None:  # type: ignore[no-untyped-def]
    code, _, error = typed("member", MEMBER.format(E="210 GPa", length=6000, more=more))
    assert code == 2
    assert says in error


def test_a_girder_of_six_millimetres_is_doubted(typed) -> None:  # type: ignore[no-untyped-def]
    more = '[[load]]\nat = "middle"\nF_y = "-3 kN"\nplace = ["900 m", 0]\n'
    _, out, error = typed("member", MEMBER.format(E="210 GPa", length=6, more=more))
    told = " ".join(out.split())
    assert "the span from 0 to 6 mm is shorter than the section is large" in told, error
    assert "acts 9e+05 mm from the section's origin" in told
