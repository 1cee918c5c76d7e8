"""--arcs-within: the chords of a drawing become arcs again in every command that reads one."""

from __future__ import annotations

import json
import math
from pathlib import Path

import pytest
import shapely
from soapfilm.cli.main import main
from soapfilm.geometry.errors import InputError
from soapfilm.geometry.section_file import load_section
from soapfilm.geometry.section_file.preview import preview
from soapfilm.solver.member.file import load_member

RADIUS, CHORDS = 50.0, 64
#: Height of an arc over its chord: the vertices lie on the circle.
SAGITTA = RADIUS * (1 - math.cos(math.pi / CHORDS))
EXACT = math.pi * RADIUS**4 / 2


@pytest.fixture
def disc(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> str:
    monkeypatch.chdir(tmp_path)
    Path("disc.wkt").write_text(shapely.Point(0, 0).buffer(RADIUS, quad_segs=CHORDS // 4).wkt)
    return "disc.wkt"


def section_json(capsys: pytest.CaptureFixture[str], *words: str) -> dict[str, object]:
    assert main(["section", *words, "--json"]) == 0
    record: dict[str, object] = json.loads(capsys.readouterr().out)
    return record


def test_a_disc_of_chords_becomes_the_circle(capsys: pytest.CaptureFixture[str], disc: str) -> None:
    as_drawn = section_json(capsys, disc, "--unit", "mm")["torsion_constant"]
    assert isinstance(as_drawn, dict)
    assert as_drawn["upper"] < 0.999 * EXACT
    record = section_json(capsys, disc, "--unit", "mm", "--arcs-within", "0.1 mm")
    found = record["torsion_constant"]
    assert isinstance(found, dict)
    assert found["lower"] <= EXACT <= found["upper"]
    assert f"moved by at most {SAGITTA:.2g} mm" in str(record["notes"])


def test_the_length_has_a_unit_of_its_own(capsys: pytest.CaptureFixture[str], disc: str) -> None:
    # in metres the same disc is a thousand times as large, and so is its sagitta of 60 mm
    words = (disc, "--unit", "m", "--arcs-within")
    assert "no chords recognised as arcs within 0.03 m" in str(
        section_json(capsys, *words, "30 mm")["notes"]
    )
    assert f"{CHORDS} chords recognised as 2 arcs" in str(
        section_json(capsys, *words, "100mm")["notes"]
    )


@pytest.mark.parametrize(
    "words",
    [
        ["stress", "disc.wkt", "T = 1 kN*m"],
        ["draw", "disc.wkt", "--outline", "disc.dxf"],
        ["report", "disc.wkt"],
    ],
)
def test_every_command_that_reads_a_drawing_takes_it(
    capsys: pytest.CaptureFixture[str], disc: str, words: list[str]
) -> None:
    assert main([*words, "--unit", "mm", "--arcs-within", "0.1 mm"]) == 0
    said = capsys.readouterr().out
    if words[0] == "report":
        said = Path("disc.html").read_text()
        assert "--arcs-within &#39;0.1 mm&#39;" in said  # the command that repeats the page
    assert f"{CHORDS} chords recognised as 2 arcs" in said
    if words[0] == "draw":
        assert load_section("disc.dxf").regions[0].outline.bulges.all()


def test_compare_leaves_section_files_and_rolled_shapes_alone(
    capsys: pytest.CaptureFixture[str], disc: str
) -> None:
    Path("bar.toml").write_text('unit = "mm"\n[[shape]]\nprofile = "Circle"\nRadius = 50\n')
    words = ["compare", "bar.toml", disc, "CHS168.3X6.3", "--unit", "mm", "--json"]
    assert main([*words, "--arcs-within", "0.1 mm"]) == 0
    sections = json.loads(capsys.readouterr().out)["sections"]
    bar, drawn, _ = (section["properties"] for section in sections)
    assert drawn["perimeter"] == pytest.approx(bar["perimeter"], rel=1e-12)


def test_a_drawing_named_in_a_section_file(disc: str) -> None:
    drawing = f'[[drawing]]\nfile = "{disc}"\nunit = "m"\narcs_within = '
    text = f'unit = "mm"\n{drawing}'
    Path("named.toml").write_text(text + "70")  # a bare number is in the section file's unit
    assert load_section("named.toml").notes[-1].startswith("64 chords recognised as 2 arcs")
    Path("named.toml").write_text(text + '"50 mm"')
    assert load_section("named.toml").notes[-1] == "no chords recognised as arcs within 50 mm"


def test_a_drawing_named_in_a_member_file(disc: str) -> None:
    text = f"""
unit = "mm"
[section.bar]
file = "{disc}"
unit = "mm"
material = "S355"
arcs_within = LENGTH
[[span]]
length = "2 m"
[[support]]
at = ["start", "end"]
kind = "fork"
[[load]]
weight = "1 kN/m"
place = "shear centre"
"""
    Path("member.toml").write_text(text.replace("LENGTH", '"0.1 mm"'))
    bar = load_member("member.toml").sections["bar"].constants
    assert bar.torsion_constant == pytest.approx(EXACT, rel=1e-5)
    Path("member.toml").write_text(text.replace("LENGTH", "0.1"))
    with pytest.raises(InputError, match="arcs_within must be a text in quotes"):
        load_member("member.toml")


def test_a_preview_shows_the_arcs(disc: str) -> None:
    seen = preview(disc, "mm", "0.1 mm").section
    assert seen is not None
    assert len(seen.regions[0].outline) == 2


@pytest.mark.parametrize(
    ("length", "says"),
    [
        ("0.5", "arcs within: length: '0.5' has no unit"),
        ("2 kN", "arcs within: length: '2 kN' is not a length"),
        ("-1 mm", "arcs within: the deviation must be a positive length"),
        ("nan mm", "arcs within: length: 'nan mm' is not a number"),
    ],
)
def test_lengths_that_are_none(
    capsys: pytest.CaptureFixture[str], disc: str, length: str, says: str
) -> None:
    assert main(["section", disc, "--unit", "mm", f"--arcs-within={length}"]) == 2
    line = capsys.readouterr().err
    assert line.startswith(f"soapfilm: error: {disc}: {says}")
    assert line.count("\n") == 1


def test_a_section_file_says_it_itself(capsys: pytest.CaptureFixture[str], disc: str) -> None:
    Path("bar.toml").write_text('unit = "mm"\n[[shape]]\nprofile = "Circle"\nRadius = 50\n')
    assert main(["section", "bar.toml", "--arcs-within", "1 mm"]) == 2
    assert "a section file asks for it itself: arcs_within" in capsys.readouterr().err
    member = "[section.a]\nfile = 'bar.toml'\narcs_within = '1 mm'\n"
    Path("member.toml").write_text(f"unit = 'mm'\n{member}[[span]]\nlength = 1000\n")
    with pytest.raises(InputError, match="a section file asks for it itself"):
        load_member("member.toml")
    assert main(["report", "member.toml", "--arcs-within", "1 mm"]) == 2
    assert "is a member" in capsys.readouterr().err
