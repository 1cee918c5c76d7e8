"""`soapfilm member` from file to output, and every mistake as one line."""

from __future__ import annotations

import csv
import json
from pathlib import Path

import pytest
from soapfilm.cli.main import main

TUBE = """
unit = "mm"
[material.steel]
grade = "S355"
[[shape]]
profile = "RectangleHollow"
XDim = 150
YDim = 250
WallThickness = 10
OuterFilletRadius = 15
InnerFilletRadius = 10
"""
MEMBER = """
name = "edge tube"
unit = "mm"
[section.tube]
file = "tube.toml"
[[span]]
length = "6 m"
[[support]]
name = "left"
at = "start"
kind = "fork"
lever_arm = "250 mm"
[[support]]
name = "right"
at = "end"
kind = "fork"
[points]
tip = [340, -60]
[[load]]
name = "stone"
case = "stone"
weight = "5 kN/m"
place = "tip"
[[combination]]
name = "service"
factors = { stone = 1.0 }
[[combination]]
name = "strength"
factors = { stone = 1.35 }
[[limit]]
twist = "0.05 deg"
combinations = ["service"]
[[limit]]
stress = "strength"
"""


@pytest.fixture
def member(tmp_path: Path) -> Path:
    (tmp_path / "tube.toml").write_text(TUBE)
    file = tmp_path / "member.toml"
    file.write_text(MEMBER)
    return file


def run(capsys: pytest.CaptureFixture[str], *words: object) -> tuple[int, str, str]:
    code = main(["member", *map(str, words)])
    out, err = capsys.readouterr()
    return code, out, err


def refused(capsys: pytest.CaptureFixture[str], *words: object) -> str:
    """The one line on standard error of a command that must change its input."""
    code, out, err = run(capsys, *words)
    assert (code, out) == (2, "")
    assert err.startswith("soapfilm: error: ")
    assert err.count("\n") == 1
    return err


# -- what it prints and writes --------------------------------------------------------------------
def test_the_table_says_what_an_engineer_asks(
    capsys: pytest.CaptureFixture[str], member: Path
) -> None:
    """End torque q e L / 2 = 5.1 kN m and reaction 15 kN, by statics, 1.35 of it in strength."""
    code, out, err = run(capsys, member)
    assert (code, err) == (0, "")
    for heading in (
        "Applied loads and torques",
        "Sections that deform",
        "Largest results of each combination, sections keeping their shape",
        "Displacements of named points",
        "Support reactions",
        "Limits",
        "Why it twists",
        "Remedies, each solved again",
    ):
        assert f"\n{heading}\n{'-' * len(heading)}\n" in out
    held = out.partition("Support reactions")[2].partition("Limits")[0]
    assert {"15", "20.25", "5.1", "6.885"} <= set(held.split())
    assert "27.54" in out  # 6.885 kN m over 250 mm
    assert "EXCEEDED" in out
    assert " OK " in out
    assert "loads moved to the shear centre" in out
    assert "licensed" in out
    assert max(map(len, out.splitlines())) <= 110


def test_named_points_move_as_their_limits_judge_them(
    capsys: pytest.CaptureFixture[str], member: Path
) -> None:
    """Both by sections that deform, one after the other; the classical movement stands beside."""
    limit = '[[limit]]\ndeflection = "span/300"\npoint = "tip"\n'
    member.write_text(member.read_text() + limit)
    code, out, err = run(capsys, member, "--no-remedies", "--json")
    assert (code, err) == (0, "")
    found = json.loads(out)
    up = next(p for p in found["points"] if p["direction"] == "up")
    judged = next(r for r in found["limits"] if "span/300" in r["limit"])
    assert abs(up["displacement"]) == pytest.approx(abs(judged["value"]), rel=1e-4)
    assert abs(up["displacement"]) > abs(up["classical"]) > 0


def test_the_greatest_stress_is_one_number_everywhere(
    capsys: pytest.CaptureFixture[str], member: Path
) -> None:
    """A channel's peak lies between the sampled points, so a mere sample is below it."""
    (member.parent / "tube.toml").write_text(
        'unit = "mm"\n[[shape]]\nshape = "UPN240"\nmaterial = "S355"\n'
    )
    member.write_text(MEMBER.replace("5 kN/m", "0.5 kN/m"))
    code, out, _ = run(capsys, member, "--json", "--no-remedies")
    assert code == 0
    record = json.loads(out)
    sampled = record["stations"]["strength"]["von Mises"]
    assert record["stress"]["theory"] == "sections that deform"
    assert record["stress"]["classical"]["von Mises"] > max(sampled)
    for stress in (record["stress"], record["stress"]["classical"]):
        assert stress["combination"] == "strength"
        assert stress["largest"]["strength"]["von Mises"] == stress["von Mises"]
        assert stress["largest"]["service"]["von Mises"] < stress["von Mises"]
    along = record["stress_along_by_sections_that_deform"]["strength"]["von Mises"]
    assert max(along) == record["stress"]["von Mises"]
    (beside,) = [row for row in record["deforming"]["combinations"] if row["name"] == "strength"]
    assert beside["stress"]["deforming"] == record["stress"]["von Mises"]
    assert beside["stress"]["classical"] == record["stress"]["classical"]["von Mises"]


def test_json_and_csv_tell_the_same(
    capsys: pytest.CaptureFixture[str], member: Path, tmp_path: Path
) -> None:
    stations = tmp_path / "stations.csv"
    code, out, err = run(capsys, member, "--json", "--csv", stations)
    assert (code, err) == (0, "")
    record = json.loads(out)
    assert record["units"]["moment"] == "N*mm"
    combination = record["combinations"][1]
    left = combination["reactions"][0]
    assert left["force"][1] == pytest.approx(1.35 * 15e3)
    assert left["couple"] == pytest.approx(1.35 * 5.1e6 / 250)
    assert combination["largest"]["T"]["value"] == pytest.approx(1.35 * -5.1e6, abs=1.0) or (
        combination["largest"]["T"]["value"] == pytest.approx(1.35 * 5.1e6, abs=1.0)
    )
    assert [limit["passed"] for limit in record["limits"]] == [False, True]
    with stations.open(newline="") as stream:
        rows = list(csv.DictReader(stream))
    strength = [row for row in rows if row["combination"] == "strength"]
    assert len(strength) == len(record["stations"]["z"])
    for key, word, factor in (
        ("twist (deg)", "phi", 57.29577951308232),
        ("v (mm)", "v", 1.0),
        ("T (kN·m)", "T", 1e-6),
        ("von Mises (MPa)", "von Mises", 1.0),
    ):
        got = [float(row[key]) for row in strength]
        wanted = [v * factor for v in record["stations"]["strength"][word]]
        assert got == pytest.approx(wanted, rel=1e-7, abs=1e-9)


@pytest.mark.parametrize("suffix", [".png", ".svg", ".pdf"])
def test_figures(
    capsys: pytest.CaptureFixture[str], member: Path, tmp_path: Path, suffix: str
) -> None:
    path = tmp_path / f"figure{suffix}"
    code, out, err = run(capsys, member, "--figure", path, "--no-remedies")
    assert (code, err) == (0, "")
    assert f"written to {path}" in out
    assert "Remedies, each solved again" not in out
    start = {".png": b"\x89PNG", ".svg": b"<?xml", ".pdf": b"%PDF"}[suffix]
    assert path.read_bytes().startswith(start)


def test_the_figure_shows_the_combination_asked_for(
    capsys: pytest.CaptureFixture[str], member: Path, tmp_path: Path
) -> None:
    path = tmp_path / "figure.svg"
    assert run(capsys, member, "--figure", path)[0] == 0
    assert "dark blue lines and sketch: service" in path.read_text("utf-8")
    assert run(capsys, member, "--figure", path, "--combination", "strength")[0] == 0
    assert "dark blue lines and sketch: strength" in path.read_text("utf-8")


# -- mistakes -------------------------------------------------------------------------------------
#: What is wrong, how the file is changed, and what the line must name.
WRONG: dict[str, tuple[str, str, tuple[str, ...]]] = {
    "no twist support": (
        'kind = "fork"',
        'y = "held"\nx = "held"',
        (
            "mechanism: nothing restrains the twist at either end: the member would rotate",
            "restrain the twist at",
        ),
    ),
    "load outside the span": (
        'place = "tip"',
        'place = "tip"\nfrom = "6.5 m"',
        ("load 1 'stone': from: '6.5 m' lies outside the member, which runs from 0 to 6000 mm",),
    ),
    "a section file that fails": (
        'file = "tube.toml"',
        'file = "broken.toml"',
        (
            "section 'tube': ",
            "broken.toml: shape 1: WallThickness -10 mm must be a positive",
        ),
    ),
    "a section file that is not there": (
        'file = "tube.toml"',
        'file = "none.toml"',
        ("section 'tube': ", "none.toml: cannot be read: No such file"),
    ),
    "negative stiffness": (
        'kind = "fork"\nlever',
        'kind = "fork"\ntwist = "-9 kN*m/rad"\nlever',
        ("support 1 'left': twist: a stiffness must not be negative, got '-9 kN*m/rad'",),
    ),
    "a curve whose centre lies in the section": (
        'length = "6 m"',
        'length = "6 m"\nradius = "75 mm"',
        ("span 1: radius 75 mm is not larger than the 75 mm from the axis to the inner side of",),
    ),
    "an unknown load case in a combination": (
        "stone = 1.35",
        "stones = 1.35",
        ("combination 'strength': load case 'stones' has no loads (did you mean 'stone'?)",),
    ),
    "a missing unit": (
        'weight = "5 kN/m"',
        "weight = 5",
        ("load 1 'stone': weight: '5' has no unit; write it like \"0.3 kN/m\"",),
    ),
    "a wrong unit": (
        'weight = "5 kN/m"',
        'weight = "5 kN"',
        ("load 1 'stone': weight: '5 kN' is not a line load",),
    ),
    "an unknown key": (
        "lever_arm",
        "lever_arms",
        ("support 1 'left': 'lever_arms' is not a key of support; did you mean lever_arm",),
    ),
    "an unknown table": ("[[limit]]", "[[limits]]", ("'limits' is not known here; did you mean",)),
    "an unknown point": (
        'place = "tip"',
        'place = "tipp"',
        ("load 1 'stone': place: there is no point 'tipp'; did you mean 'tip'?",),
    ),
    "broken TOML": ("[[span]]", "[[span]", ("not valid TOML",)),
    "no unit at all": ('unit = "mm"\n[section', "[section", ("unit is missing",)),
    "a stress limit without a strength": (
        'file = "tube.toml"',
        'file = "weak.toml"',
        ("limit 2: material 'steel' of section 'tube' states no strength",),
    ),
}


@pytest.mark.parametrize("what", WRONG)
def test_wrong_files_are_one_line(
    capsys: pytest.CaptureFixture[str], member: Path, what: str
) -> None:
    old, new, says = WRONG[what]
    (member.parent / "broken.toml").write_text(
        TUBE.replace("WallThickness = 10", "WallThickness = -10")
    )
    (member.parent / "weak.toml").write_text(
        TUBE.replace('grade = "S355"', 'E = "210 GPa"\nnu = 0.3\n')
    )
    assert old in MEMBER
    member.write_text(MEMBER.replace(old, new))
    line = refused(capsys, member)
    assert line.startswith(f"soapfilm: error: {member}: ")
    for words in says:
        assert words in line


def test_wrong_options(capsys: pytest.CaptureFixture[str], member: Path, tmp_path: Path) -> None:
    assert "does not end in .csv" in refused(capsys, member, "--csv", "a.txt")
    assert "does not say which kind" in refused(capsys, member, "--figure", "a.bmp")
    assert "does not exist; make it first" in refused(capsys, member, "--csv", "no/such/a.csv")
    assert "combination 'x' was not solved; solved are service, strength" in refused(
        capsys, member, "--combination", "x"
    )
    assert "ends in .toml" in refused(capsys, tmp_path / "deck.dxf")
    assert "No such file" in refused(capsys, tmp_path / "none.toml")
    assert "not a member file; use: soapfilm section" in refused(
        capsys, member.parent / "tube.toml"
    )


def test_a_figure_may_not_replace_the_file_it_is_drawn_from(
    capsys: pytest.CaptureFixture[str], member: Path, tmp_path: Path
) -> None:
    link = tmp_path / "figure.svg"
    link.symlink_to(member)
    assert "is an input of this command" in refused(capsys, member, "--figure", link)
    assert member.read_text() == MEMBER


def test_outputs_survive_a_failure(
    capsys: pytest.CaptureFixture[str], member: Path, tmp_path: Path
) -> None:
    kept = tmp_path / "kept.csv"
    kept.write_text("mine")
    member.write_text(MEMBER.replace('kind = "fork"', 'y = "held"'))
    refused(capsys, member, "--csv", kept)
    assert kept.read_text() == "mine"


def test_a_member_near_its_critical_load_is_not_solved_in_first_order(
    capsys: pytest.CaptureFixture[str], member: Path
) -> None:
    """A slender plate on edge under a load on top of it: exit code 1, and what to write."""
    plate = """
unit = "mm"
[material.steel]
grade = "S355"
[[shape]]
profile = "Rectangle"
XDim = 8
YDim = 200
"""
    (member.parent / "tube.toml").write_text(plate)
    text = MEMBER.replace('place = "tip"', "place = [0, 100]").replace("5 kN/m", "0.1 kN/m")
    member.write_text(text)
    code, out, err = run(capsys, member)
    assert (code, out) == (1, "")
    assert "of its elastic critical load" in err
    assert 'order = "second" under [analysis]' in err


def test_a_former_option_is_answered_with_its_present_name(capsys) -> None:
    assert main(["member", "beam.toml", "--no-cures"]) == 2
    assert "--no-cures is called --no-remedies now" in capsys.readouterr().err
