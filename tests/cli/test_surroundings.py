"""Commands where streams are closed, disks full, folders locked, and file names no UTF-8."""

from __future__ import annotations

import errno
import os
import subprocess
import sys
from pathlib import Path

import pytest
from soapfilm.cli import demo
from soapfilm.cli.main import main
from soapfilm.geometry.errors import InputError
from soapfilm.geometry.input_file import name_of
from soapfilm.geometry.section_file import load_section
from soapfilm.report.files import replacing, write_text

PLATE = 'unit = "mm"\n[[outline]]\nmaterial = "S355"\npoints = [[0, 0], [60, 0], [60, 8], [0, 8]]\n'


def shell(words: str, folder: Path) -> subprocess.CompletedProcess[str]:
    """The command with what a shell makes of its streams."""
    command = f"{sys.executable} -m soapfilm.cli {words}"
    return subprocess.run(
        command, shell=True, cwd=folder, capture_output=True, text=True, check=False, timeout=120
    )


def test_closed_streams_lead_nowhere(tmp_path: Path) -> None:
    """Python has no stream object for a closed one; figures are written all the same."""
    (tmp_path / "a.toml").write_text(PLATE)
    done = shell("draw a.toml --figure a.svg <&- >&- 2>&-", tmp_path)
    assert done.returncode == 0, done
    assert "</svg>" in (tmp_path / "a.svg").read_text()


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="the device is Linux's")
def test_full_outputs(tmp_path: Path) -> None:
    done = shell("shapes HEB200 >/dev/full", tmp_path)
    assert done.returncode == 2
    said = "the output cannot be written: No space left on device; make room"
    assert said in done.stderr
    assert shell("section none.toml 2>/dev/full", tmp_path).returncode == 2


def test_a_full_disk_is_named_with_what_was_to_be_written(tmp_path: Path) -> None:
    """Whatever writes it, and whether or not the system names the file."""
    path = tmp_path / "kept.csv"
    path.write_text("before")
    said = rf"^cannot write {path}: No space left on device; make room, or name another place$"
    with pytest.raises(InputError, match=said), replacing(path):
        raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))
    assert path.read_text() == "before"
    assert [p.name for p in tmp_path.iterdir()] == ["kept.csv"]
    with pytest.raises(BrokenPipeError), replacing(path):  # head has enough: that is no fault
        raise BrokenPipeError(errno.EPIPE, "Broken pipe")


def test_names_as_long_as_a_folder_takes(tmp_path: Path) -> None:
    """The file beside it, which takes its place, has ten letters more."""
    name = "x" * 251 + ".csv"
    with replacing(tmp_path / name) as temporary:
        temporary.write_text("rows")
    assert (tmp_path / name).read_text() == "rows"


def test_a_folder_that_cannot_be_made_is_named(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "file").write_text("no folder")
    assert main(["demo", "--folder", str(tmp_path / "file" / "in")]) == 2
    err = capsys.readouterr().err
    assert "cannot make the folder" in err
    assert "give another --folder" in err
    assert demo.FIRST not in err


@pytest.mark.skipif(sys.platform != "linux", reason="elsewhere names are text")
def test_names_that_are_no_text(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Fonts and encoders refused the half characters by which Python keeps such bytes."""
    path = os.fsdecode(os.fsencode(tmp_path) + b"/edge-\xff.toml")
    Path(path).write_text(PLATE)
    assert name_of(path) == load_section(path).name == "edge-\ufffd"
    assert main(["draw", path, "--figure", str(tmp_path / "a.png")]) == 0
    write_text(tmp_path / "a.html", f"soapfilm report {path}")  # pages tell their command
    assert "edge-?.toml" in (tmp_path / "a.html").read_text("utf-8")
    assert capsys.readouterr().err == ""


def test_what_libraries_log_is_not_shown(tmp_path: Path) -> None:
    """Where it has no folder of its own matplotlib told of it in two lines, on every run."""
    (tmp_path / "a.toml").write_text(PLATE)
    (tmp_path / "file").write_text("no folder")
    words = f"-m soapfilm.cli draw a.toml --figure {tmp_path}/a.png"
    done = subprocess.run(
        [sys.executable, *words.split()],
        env={**os.environ, "MPLCONFIGDIR": str(tmp_path / "file" / "in")},
        cwd=tmp_path, capture_output=True, text=True, check=False, timeout=120,
    )  # fmt: skip
    assert (done.returncode, done.stderr) == (0, "")
