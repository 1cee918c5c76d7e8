"""`soapfilm report`: what a person types, and what goes wrong."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest
from soapfilm.cli.main import main

BAR = """
name = "bar"
unit = "in"
[material.steel]
E = "29000 ksi"
nu = 0.3
[[shape]]
profile = "Rectangle"
XDim = 2
YDim = 3
"""


@pytest.fixture
def bar(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    path = tmp_path / "bar.toml"
    path.write_text(BAR, "utf-8")
    return path


def run(capsys: pytest.CaptureFixture[str], *words: object) -> tuple[int, str, str]:
    code = main([str(w) for w in words])
    out, err = capsys.readouterr()
    return code, out, err


def test_a_page_with_load_cases_and_its_print(
    bar: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    if shutil.which("chromium") is None:
        pytest.skip("Chromium is missing: apt-get install chromium")
    code, out, err = run(
        capsys, "report", bar, "T = 1.5 kip*ft", "--strength", "36 ksi", "-o", "r.html",
        "--pdf", "r.pdf",
    )  # fmt: skip
    assert (code, err) == (0, "")
    assert "report written to r.html (" in out
    text = Path("r.html").read_text("utf-8")
    assert "soapfilm report" in text
    assert "--strength &#39;36 ksi&#39;" in text
    assert "XDim = 2" in text
    data = Path("r.pdf").read_bytes()
    assert data.startswith(b"%PDF")
    assert b"/MediaBox [0 0 612 792]" in data  # letter paper with inches


def test_the_page_is_named_after_the_file(bar: Path, capsys: pytest.CaptureFixture[str]) -> None:
    code, out, _ = run(capsys, "report", bar)
    assert code == 0
    assert "bar.html" in out
    assert Path("bar.html").stat().st_size > 100_000


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (["-o", "r.docx"], "end its name in .html"),
        (["--pdf", "r.ps"], "end its name in .pdf"),
        (["-o", "none/r.html"], "does not exist"),
        (["T = 3 mm"], "not a moment"),
        (["T = 1 kip*ft", "--cases", "c.toml"], "not both"),
        (["--factor", "1.1"], "needs a strength"),
    ],
)
def test_mistakes_are_one_line(
    bar: Path, capsys: pytest.CaptureFixture[str], words: list[str], says: str
) -> None:
    code, out, err = run(capsys, "report", bar, *words)
    assert code == 2
    assert out == ""
    assert says in err
    assert err.count("\n") == 1
    assert not Path("bar.html").exists()


# -- members, comparisons, studies ---------------------------------------------------------------
MEMBER = """
name = "<i>beam</i>"
unit = "in"
[section.bar]
file = "bar.toml"
[[span]]
length = "10 ft"
[[support]]
at = ["start", "end"]
kind = "fork"
[[load]]
name = "wall"
weight = "0.3 kip/ft"
place = [1, 0]
"""
STUDY = """
name = "depth of the bar"
section = "bar.toml"
[[parameter]]
name = "bar depth"
sets = "shape.1.YDim"
values = [2, 3, 4]
"""


def test_a_member_reports(bar: Path, capsys: pytest.CaptureFixture[str]) -> None:
    Path("beam.toml").write_text(MEMBER, "utf-8")
    code, _, err = run(capsys, "report", "beam.toml")
    assert (code, err) == (0, "")
    text = Path("beam.html").read_text("utf-8")
    assert "<h1>&lt;i&gt;beam&lt;/i&gt;</h1>" in text
    assert "XDim = 2" in text  # the section's file too
    assert 'id="live-member"' in text


def test_sections_side_by_side(bar: Path, capsys: pytest.CaptureFixture[str]) -> None:
    code, _, err = run(capsys, "report", bar, "--compare", "W10X49", "-o", "both.html")
    assert (code, err) == (0, "")
    text = Path("both.html").read_text("utf-8")
    assert "<h1>bar beside W10X49</h1>" in text
    assert text.count('class="live live-film') == 2
    assert "--compare W10X49" in text


def test_a_study_reports_its_rows(bar: Path, capsys: pytest.CaptureFixture[str]) -> None:
    Path("depth.toml").write_text(STUDY, "utf-8")
    code, _, err = run(capsys, "report", "depth.toml")
    assert code == 2
    assert "soapfilm sweep depth.toml" in err
    assert run(capsys, "sweep", "depth.toml", "--workers", "1", "--no-cache")[0] == 0
    code, _, err = run(capsys, "report", "depth.toml")
    assert (code, err) == (0, "")
    text = Path("depth.html").read_text("utf-8")
    assert "3 rows, of which 3 are solved" in text
    assert "<script>" not in text  # nothing is live in it


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (["beam.toml", "T = 1 kip*ft"], "leave out ACTION"),
        (["beam.toml", "--strength", "36 ksi"], "leave out --strength"),
        (["beam.toml", "--compare", "W10X49"], "is no section"),
        (["bar.toml", "T = 1 kip*ft", "--compare", "W10X49"], "leave out ACTION"),
        (["bar.toml", "--compare", "W10X4999"], "W10X4999"),
    ],
)
def test_options_of_another_kind_are_refused(
    bar: Path, capsys: pytest.CaptureFixture[str], words: list[str], says: str
) -> None:
    Path("beam.toml").write_text(MEMBER, "utf-8")
    code, out, err = run(capsys, "report", *words)
    assert (code, out) == (2, "")
    assert says in err
    assert err.count("\n") == 1
