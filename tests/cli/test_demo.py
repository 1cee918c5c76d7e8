"""`soapfilm demo`: every bundled example is listed, written and solved."""

from __future__ import annotations

from pathlib import Path

import pytest
from soapfilm.cli.demo import FIRST, bundled, is_joint, is_member
from soapfilm.cli.main import main
from soapfilm.geometry.section_file import load_section

EXAMPLES = bundled()
MEMBERS = [name for name, text in EXAMPLES.items() if is_member(text)]
JOINTS = [name for name, text in EXAMPLES.items() if is_joint(text)]


def test_at_least_five_examples_say_what_they_are() -> None:
    assert len(EXAMPLES) >= 5
    assert FIRST in EXAMPLES
    for text in EXAMPLES.values():
        assert text.startswith("# ")


@pytest.mark.parametrize("name", [n for n in EXAMPLES if n not in MEMBERS + JOINTS])
def test_every_section_example_solves(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], name: str
) -> None:
    file = tmp_path / f"{name}.toml"
    file.write_text(EXAMPLES[name])
    assert load_section(file).name != name  # a readable name of its own
    assert main(["section", str(file)]) == 0
    out, err = capsys.readouterr()
    assert err == ""
    assert "torsion constant" in out


def test_seven_members_are_among_them() -> None:
    assert len(MEMBERS) == 7
    for name in MEMBERS:
        assert EXAMPLES[name].startswith("# Member: ")
        assert "invented" in EXAMPLES[name].splitlines()[0]


@pytest.mark.parametrize("name", MEMBERS)
def test_every_member_example_solves_and_is_drawn(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], name: str
) -> None:
    """Run through the demo, which writes the section files that the member refers to."""
    assert main(["demo", name, "--folder", str(tmp_path)]) == 0
    out, err = capsys.readouterr()
    assert err == ""
    assert f"soapfilm member {tmp_path / name}.toml" in out
    staged = "[[stage]]" in EXAMPLES[name]
    assert ("Limits, stage by stage" if staged else "Remedies, each solved again") in out
    figure = tmp_path / f"{name}.png"
    assert f"written to {figure}" in out
    assert figure.read_bytes().startswith(b"\x89PNG")


@pytest.mark.parametrize("name", JOINTS)
def test_joint_examples_run(tmp_path: Path, capsys: pytest.CaptureFixture[str], name: str) -> None:
    assert EXAMPLES[name].startswith("# Joints: ")
    assert main(["demo", name, "--folder", str(tmp_path)]) == 0
    out, err = capsys.readouterr()
    assert err == ""
    assert "Springs and slip" in out
    assert (tmp_path / f"{name}.png").read_bytes().startswith(b"\x89PNG")


def test_the_demo_writes_everything_and_names_its_figures(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    folder = tmp_path / "new" / "demo"
    assert main(["demo", "--folder", str(folder)]) == 0
    out = capsys.readouterr().out
    for name in EXAMPLES:
        assert f"  {name} " in out
        first, _, rest = (folder / f"{name}.toml").read_text().partition("\n")
        assert rest == EXAMPLES[name]
        assert (folder / first.removeprefix("#:schema ")).is_file()
    for word in ("shear", "warping"):
        figure = folder / f"{FIRST}-{word}.png"
        assert f"figure written to {figure}" in out
        assert figure.read_bytes().startswith(b"\x89PNG")


def test_a_changed_example_is_kept(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    mine = tmp_path / "sharp-bracket.toml"
    mine.write_text(EXAMPLES["sharp-bracket"].replace("90", "95"))
    assert main(["demo", "sharp-bracket", "--folder", str(tmp_path)]) == 0
    assert "stays as it is" in capsys.readouterr().out
    assert "95" in mine.read_text()


def test_listing_writes_nothing(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    assert main(["demo", "--list"]) == 0
    assert FIRST in capsys.readouterr().out
    assert list(tmp_path.iterdir()) == []


def test_a_misspelt_example_gets_the_nearest(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["demo", "landing-dek"]) == 2
    assert "did you mean landing-deck?" in capsys.readouterr().err


def test_a_folder_that_is_a_file(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (tmp_path / "taken").write_text("")
    assert main(["demo", "--folder", str(tmp_path / "taken")]) == 2
    err = capsys.readouterr().err
    assert err.startswith("soapfilm: error: ")
    assert "taken" in err
