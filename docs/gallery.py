"""Runs the documents of this folder as a reader would, and keeps the figures that they show.

    python docs/gallery.py

A block's language says what happens to it: ``toml NAME`` and ``text NAME`` are files, ``sh`` holds
commands one a line, ``python`` a program, ``output`` what the command or program before it printed.
``NAME-page.png`` is a picture of the page NAME.html, taken where Chromium is installed.
"""

from __future__ import annotations

import os
import re
import shutil
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

HERE = Path(__file__).parent
_BLOCK = re.compile(r"^```(\w+)(?: (\S+))?\n(.*?)^```$", re.M | re.S)
_FIGURE = re.compile(r"!\[[^\]]+\]\(figures/([^)]+)\)")
_PAGE = "-page.png"
_NUMBER = re.compile(r"(?<![\w.])-?\d+(?:\.\d+)?(?:e-?\d+)?(?![\w])")
#: Lines that tell of the run, not of the section.
_RUN_LINE = re.compile(r"elements of order|unknowns|, in .* s\.$")
#: Last digits differ from machine to machine.
_CLOSE, _NOTHING = 2e-4, 1e-9


@dataclass(frozen=True)
class Block:
    """A fenced block of a document."""

    language: str
    name: str
    text: str


def documents() -> list[Path]:
    """The documents of this folder."""
    return sorted(HERE.glob("*.md"))


def blocks(document: Path) -> list[Block]:
    """The fenced blocks of a document, in order."""
    found = _BLOCK.finditer(document.read_text("utf-8"))
    return [Block(*(part or "" for part in match.groups())) for match in found]


def shown(document: Path) -> list[str]:
    """Names of the figures that a document shows."""
    return _FIGURE.findall(document.read_text("utf-8"))


def ran(document: Path, folder: Path) -> Iterator[tuple[Block, str]]:
    """Each block, carried out in the folder, with what the last program printed."""
    printed = ""
    for block in blocks(document):
        if block.name:
            (folder / block.name).write_text(block.text, "utf-8")
        elif block.language == "python":
            printed = _run([sys.executable, "-W", "error", "-c", block.text], folder)
        elif block.language == "sh":
            for line in block.text.splitlines():
                if line.startswith("soapfilm"):
                    printed = _shell(line, folder)
        yield block, printed


def difference(block: str, printed: str) -> str:
    """Where printed text differs from the stretch of it that a document shows; "" where not.

    Numbers may differ in their last digits; everything else may not.
    """
    expected, got = (
        [line for line in text.rstrip().splitlines() if not _RUN_LINE.search(line)]
        for text in (block, printed)
    )
    shapes = [_NUMBER.sub("#", line) for line in got]
    wanted = [_NUMBER.sub("#", line) for line in expected]
    starts = [k for k in range(len(shapes)) if shapes[k : k + len(wanted)] == wanted]
    if not starts:
        return f"shown is\n{block}\nbut this was printed:\n{printed}"
    for line, other in zip(expected, got[starts[0] :], strict=False):
        ours, theirs = ([float(n) for n in _NUMBER.findall(text)] for text in (line, other))
        for a, b in zip(ours, theirs, strict=True):
            if abs(a - b) > max(_CLOSE * abs(a), _NOTHING):
                return f"shown is\n{line}\nbut this was printed:\n{other}"
    return ""


def screenshot(page: Path, picture: Path) -> None:
    """The top of a page as a reader's screen shows it."""
    from soapfilm.report.page.printing import OPTIONS, browser

    with tempfile.TemporaryDirectory() as profile:
        command = [
            browser(),
            *OPTIONS,
            "--no-sandbox",
            "--hide-scrollbars",
            "--window-size=1280,1500",
        ]
        command += [f"--user-data-dir={profile}", "--virtual-time-budget=5000"]
        command += [f"--screenshot={picture}", page.as_uri()]
        subprocess.run(command, check=True, capture_output=True, timeout=90)


def main() -> None:
    """Run every document and put the figures that it shows into `figures`."""
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        for document in documents():
            for _ in ran(document, folder):
                pass
        for figure in sorted({f for document in documents() for f in shown(document)}):
            made = folder / figure
            if figure.endswith(_PAGE):
                screenshot(folder / f"{figure.removesuffix(_PAGE)}.html", made)
            shutil.copy(made, HERE / "figures" / figure)
            print(f"{figure}: {made.stat().st_size // 1000} kB")


def _shell(line: str, folder: Path) -> str:
    line = line.split("#")[0].strip()
    if set(line) & set(";&$`"):
        raise RuntimeError(f"commands in documents are plain: {line}")
    return _run(
        ["sh", "-c", line.replace("soapfilm", f"{sys.executable} -m soapfilm.cli", 1)], folder
    )


def _run(command: list[str], folder: Path) -> str:
    done = subprocess.run(
        command,
        cwd=folder,
        capture_output=True,
        text=True,
        env=os.environ | {"PYTHONIOENCODING": "utf-8"},
        timeout=600,  # a machine under load takes ten times as long as a free one
        check=False,
    )
    if done.returncode:
        raise RuntimeError(f"{' '.join(command)}\n{done.stderr}")
    return done.stdout


if __name__ == "__main__":
    main()
