"""A file of one kind given to the command of another: which kind it is, and its command."""

from __future__ import annotations

from pathlib import Path

import pytest
from soapfilm.cli.main import main

FILES = {
    "section": '[[shape]]\nprofile = "Rectangle"\nXDim = 10\nYDim = 20\n',
    "member": "[[span]]\nlength = 6\n[[joint]]\n",
    "sizes": 'member = "a.toml"\nsection = "b.toml"\n[[parameter]]\nname = "t"\n',
    "study": 'section = "b.toml"\n[[parameter]]\nname = "t"\n',
    "joints": '[[joint]]\nkind = "fin plate"\n[[case]]\n',
    "cases": "[[case]]\n",
}


@pytest.mark.parametrize(
    ("command", "file", "said"),
    [
        ("member", "sizes", "a size file, not a member file; use: soapfilm size"),
        ("member", "study", "a study file, not a member file; use: soapfilm sweep"),
        ("influence", "joints", "a joint file, not a member file; use: soapfilm joint"),
        ("vibrate", "section", "a section file, not a member file; use: soapfilm section"),
        ("section", "joints", "a joint file, not a section file; use: soapfilm joint"),
        ("section", "cases", "not a section file; use: soapfilm stress SECTION --cases"),
        ("report", "sizes", "a size file, not a section file; use: soapfilm size"),
        ("report", "joints", "a joint file, not a section file; use: soapfilm joint"),
        ("size", "member", "a member file, not a size file; use: soapfilm member"),
        ("sweep", "section", "a section file, not a study file; use: soapfilm section"),
        ("joint", "section", "a section file, not a joint file; use: soapfilm section"),
    ],
)
def test_the_right_command_is_named(
    command: str,
    file: str,
    said: str,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    """A size file given to `member` was "'member' is not known here; did you mean remedy?"."""
    monkeypatch.chdir(tmp_path)
    Path("given.toml").write_text(f'unit = "mm"\n{FILES[file]}')
    assert main([command, "given.toml"]) == 2
    assert capsys.readouterr().err.endswith(f"{said}\n")
