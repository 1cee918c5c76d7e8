"""`soapfilm doctor` and `soapfilm completion`."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path

import pytest
from soapfilm.cli.main import COMMANDS, main


def test_everything_needed_is_tried(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["doctor", "--json"]) == 0
    found = {f["what"]: f for f in json.loads(capsys.readouterr().out)}
    assert found["gmsh"]["works"]
    assert "1405.77" in found["a square is meshed and solved"]["found"]
    assert found["scipy"]["needed"]
    assert not found["pandas"]["needed"]


def test_a_cache_that_cannot_be_written_is_found(
    capsys: pytest.CaptureFixture[str], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    place = tmp_path / "file"
    place.write_text("")
    monkeypatch.setenv("SOAPFILM_CACHE", str(place / "below a file"))
    assert main(["doctor"]) == 1
    line = next(x for x in capsys.readouterr().out.splitlines() if x.startswith("cache"))
    assert "does not work" in line


def _offered(script: Path, words: list[str]) -> list[str]:
    """What bash offers for the last of these words."""
    line = " ".join(f"'{word}'" for word in words)
    told = subprocess.run(
        [
            "bash",
            "-c",
            f"source {script}; COMP_WORDS=({line}); COMP_CWORD={len(words) - 1}; "
            '_shtab_soapfilm; printf "%s\\n" "${COMPREPLY[@]}"',
        ],
        capture_output=True,
        text=True,
        check=True,
    )
    return told.stdout.split()


def test_bash_offers_commands_and_their_options(
    capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    assert main(["completion", "bash"]) == 0
    script = tmp_path / "soapfilm.sh"
    script.write_text(capsys.readouterr().out)
    assert set(_offered(script, ["soapfilm", ""])) >= set(COMMANDS)
    assert _offered(script, ["soapfilm", "vib"]) == ["vibrate"]
    assert "--output-unit" in _offered(script, ["soapfilm", "section", "--out"])


def test_completion_without_its_library(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setitem(sys.modules, "shtab", None)
    assert main(["completion", "zsh"]) == 2
    assert "soapfilm[shell]" in capsys.readouterr().err
