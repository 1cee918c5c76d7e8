"""Everything README.md shows is run: files written, commands and Python executed, output compared.

A block's language says what happens to it: ``toml NAME`` and ``text NAME`` are files, ``sh`` holds
commands one a line, ``python`` a program, ``output`` what the command or program before it prints.
Numbers in output may differ in their last digits from machine to machine; everything else may not.
"""

from __future__ import annotations

import os
import re
import subprocess
import sys
from dataclasses import dataclass
from pathlib import Path

import pytest

ROOT = Path(__file__).parent.parent
_BLOCK = re.compile(r"^```(\w+)(?: (\S+))?\n(.*?)^```$", re.M | re.S)
_NUMBER = re.compile(r"(?<![\w.])-?\d+(?:\.\d+)?(?:e-?\d+)?(?![\w])")
#: Lines that tell of the run, not of the section.
_RUN = re.compile(r"elements of order|unknowns|, in .* s\.$")


@dataclass(frozen=True)
class Block:
    language: str
    name: str
    text: str


BLOCKS = [
    Block(*(part or "" for part in m.groups()))
    for m in _BLOCK.finditer((ROOT / "README.md").read_text())
]


def test_the_whole_readme_runs(tmp_path: Path) -> None:
    """In one folder and in order, as a reader would."""
    printed = ""
    ran = 0
    for block in BLOCKS:
        if block.language == "output":
            _compare(block.text, printed)
        elif block.name:
            (tmp_path / block.name).write_text(block.text)
        elif block.language == "python":
            printed = _run([sys.executable, "-W", "error", "-c", block.text], tmp_path)
            ran += 1
        elif block.language == "sh":
            for line in block.text.splitlines():
                printed = _shell(line, tmp_path) if line.startswith("soapfilm") else printed
                ran += line.startswith("soapfilm")
    assert ran > 3


@pytest.mark.parametrize("document", ["README.md", "DEVELOPERS.md"])
def test_make_rules_exist(document: str) -> None:
    words = (ROOT / document).read_text()
    rules = set(re.findall(r"(?:^|[`&] ?)make ((?:[a-z]+ ?)+)", words, re.M))
    targets = {target for rule in rules for target in rule.split()}
    assert targets
    for target in targets:
        subprocess.run(["make", "-n", target], cwd=ROOT, check=True, capture_output=True)


def test_every_block_says_what_it_is() -> None:
    assert {block.language for block in BLOCKS} <= {"sh", "python", "toml", "text", "output"}
    assert (ROOT / "README.md").read_text().count("```") == 2 * len(BLOCKS)


@pytest.mark.parametrize("document", ["README.md", "DEVELOPERS.md", "CHANGELOG.md"])
def test_named_paths_exist(document: str) -> None:
    words = (ROOT / document).read_text()
    for path in re.findall(r"\]\((?!http)([^)#]+)\)", words):
        assert (ROOT / path).exists(), path
    rooms = r"`((?:geometry|solver|report|cli|tests|benchmarks|docs)/[\w/.]*)`"
    for path in re.findall(rooms, words):
        assert (ROOT / path).exists(), path


def _shell(line: str, folder: Path) -> str:
    command = line.split("#")[0].strip()
    assert not set(command) & set(";&$`"), f"README commands are plain: {command}"
    script = command.replace("soapfilm", f"{sys.executable} -m soapfilm.cli", 1)
    return _run(["sh", "-c", script], folder)


def _run(command: list[str], folder: Path) -> str:
    environment = os.environ | {"PYTHONIOENCODING": "utf-8"}
    done = subprocess.run(
        command,
        cwd=folder,
        capture_output=True,
        text=True,
        env=environment,
        timeout=120,
        check=False,
    )
    assert done.returncode == 0, done.stderr
    return done.stdout


def _compare(shown: str, printed: str) -> None:
    """The shown lines are a stretch of the printed ones, numbers apart from their last digits."""
    expected, got = (
        [line for line in text.rstrip().splitlines() if not _RUN.search(line)]
        for text in (shown, printed)
    )
    shapes = [_NUMBER.sub("#", line) for line in got]
    wanted = [_NUMBER.sub("#", line) for line in expected]
    starts = [k for k in range(len(shapes)) if shapes[k : k + len(wanted)] == wanted]
    assert starts, f"README shows\n{shown}\nbut this was printed:\n{printed}"
    for line, other in zip(expected, got[starts[0] :], strict=False):
        ours, theirs = ([float(n) for n in _NUMBER.findall(text)] for text in (line, other))
        assert theirs == pytest.approx(ours, rel=2e-4, abs=1e-9), f"{line}\n{other}"
