"""A written file is whole or untouched."""

from __future__ import annotations

import os
from pathlib import Path

import pytest
from soapfilm.geometry.errors import InputError
from soapfilm.report.files import check_writable, replacing, write_bytes, write_text


def test_writes_text_and_bytes(tmp_path: Path) -> None:
    write_text(tmp_path / "a.txt", "θ′·ω\n")
    write_bytes(tmp_path / "b.bin", b"\x00\xff")
    assert (tmp_path / "a.txt").read_text("utf-8") == "θ′·ω\n"
    assert (tmp_path / "b.bin").read_bytes() == b"\x00\xff"


@pytest.mark.parametrize("error", [ValueError, KeyboardInterrupt, MemoryError])
def test_an_existing_file_survives_a_failure(tmp_path: Path, error: type[BaseException]) -> None:
    path = tmp_path / "figure.svg"
    path.write_text("old")

    def fail() -> None:
        with replacing(path) as temporary:
            temporary.write_text("half")
            raise error

    with pytest.raises(error):
        fail()
    assert path.read_text() == "old"
    assert [p.name for p in tmp_path.iterdir()] == ["figure.svg"]


def test_the_temporary_file_keeps_the_extension(tmp_path: Path) -> None:
    with replacing(tmp_path / "mesh.vtu") as temporary:
        assert temporary.suffix == ".vtu"
        assert temporary.parent == tmp_path


def test_a_link_stays_a_link_and_permissions_stay(tmp_path: Path) -> None:
    real, link = tmp_path / "real.csv", tmp_path / "link.csv"
    real.write_text("old")
    real.chmod(0o640)
    link.symlink_to(real)
    write_text(link, "new")
    assert link.is_symlink()
    assert real.read_text() == "new"
    assert real.stat().st_mode & 0o777 == 0o640


def test_a_new_file_gets_the_permissions_any_new_file_gets(tmp_path: Path) -> None:
    (tmp_path / "plain").write_text("")
    write_text(tmp_path / "ours", "")
    assert (tmp_path / "ours").stat().st_mode == (tmp_path / "plain").stat().st_mode


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="no pipes with names here")
def test_a_pipe_is_refused(tmp_path: Path) -> None:
    """Nobody read it: the command waited for ever."""
    os.mkfifo(tmp_path / "pipe.svg")
    with pytest.raises(InputError, match="it is a pipe"):
        check_writable(tmp_path / "pipe.svg")


@pytest.mark.skipif(not Path("/dev/null").exists(), reason="no such device here")
def test_a_device_is_written_through() -> None:
    write_text("/dev/null", "gone")
    assert not Path("/dev/null").is_file()


def test_destinations_that_cannot_be_written_are_named(tmp_path: Path) -> None:
    with pytest.raises(InputError, match="does not exist; make it first"):
        check_writable(tmp_path / "missing" / "a.svg")
    with pytest.raises(InputError, match="is a folder"):
        check_writable(tmp_path)


@pytest.mark.skipif(os.geteuid() == 0, reason="root may write anywhere")
def test_a_locked_folder_is_named(tmp_path: Path) -> None:
    tmp_path.chmod(0o500)
    with pytest.raises(InputError, match="no permission"):
        check_writable(tmp_path / "a.svg")
