"""Runs the documents of this folder as a reader would, and keeps the figures that they show.

    python docs/gallery.py

A block's language says what happens to it: ``toml NAME`` and ``text NAME`` are files, ``sh`` holds
commands one a line, ``python`` a program, ``output`` what the command or program before it printed.
``NAME-page.png`` is a picture of the page NAME.html, taken where Chromium is installed. A comment
``<!-- files of howto/other.md -->`` lays down the files of another document first. A command that
several documents give on the same files is carried out once.
"""

from __future__ import annotations

import hashlib
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
_FIGURE = re.compile(r"!\[[^\]]+\]\((?:\.\./|docs/)?figures/([^)]+)\)")
_FILES_OF = re.compile(r"^<!-- files of (\S+) -->$", re.M)
#: What commands of documents read.
_INPUTS = (".toml", ".wkt")
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
    """The documents of this folder and of those in it."""
    return sorted(HERE.rglob("*.md"))


def blocks(document: Path) -> list[Block]:
    """The fenced blocks of a document, in order."""
    found = _BLOCK.finditer(document.read_text("utf-8"))
    return [Block(*(part or "" for part in match.groups())) for match in found]


def shown(document: Path) -> list[str]:
    """Names of the figures that a document shows."""
    return _FIGURE.findall(document.read_text("utf-8"))


def commands(block: Block) -> list[str]:
    """What a block of commands has for this program; others are the reader's own."""
    lines = block.text.splitlines() if block.language == "sh" else []
    return [line for line in lines if line.startswith("soapfilm")]


def runs(document: Path) -> bool:
    """Whether anything of a document is carried out."""
    return any(commands(b) or b.language == "python" for b in blocks(document))


def ran(document: Path, folder: Path, memory: Path | None = None) -> Iterator[tuple[Block, str]]:
    """Each block, carried out in the folder, with what the last program printed.

    What a command printed and wrote is kept in `memory` and taken from there when it is given
    again on the same files.
    """
    for other in _FILES_OF.findall(document.read_text("utf-8")):
        for block in blocks(HERE / other):
            if block.name:
                (folder / block.name).write_text(block.text, "utf-8")
    printed = ""
    for block in blocks(document):
        if block.name:
            (folder / block.name).write_text(block.text, "utf-8")
        elif block.language == "python":
            printed = _run([sys.executable, "-W", "error", "-c", block.text], folder)
        for line in commands(block):
            printed = _remembered(line, folder, memory) if memory else _shell(line, folder)
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
    """Run every document that shows figures, and put these into `figures`."""
    with tempfile.TemporaryDirectory() as name:
        memory = Path(name) / "memory"
        memory.mkdir()
        for document in documents():
            if not runs(document) or not shown(document):
                continue
            folder = Path(name) / document.stem
            folder.mkdir()
            for _ in ran(document, folder, memory):
                pass
            for figure in shown(document):
                made = folder / figure
                if figure.endswith(_PAGE):
                    screenshot(folder / f"{figure.removesuffix(_PAGE)}.html", made)
                shutil.copy(made, HERE / "figures" / figure)
                print(f"{figure}: {made.stat().st_size // 1000} kB")


def _remembered(line: str, folder: Path, memory: Path) -> str:
    """What a command prints and writes, from its first run on the same files."""
    known = hashlib.sha256(line.encode())
    for path in sorted(folder.rglob("*")):
        if path.suffix in _INPUTS:
            known.update(f"\0{path.relative_to(folder)}\0".encode() + path.read_bytes())
    kept = memory / known.hexdigest()
    if not kept.exists():
        before = _states(folder)
        printed = _shell(line, folder)
        with tempfile.TemporaryDirectory(dir=memory) as name:
            made = Path(name) / "kept"
            for path, state in _states(folder).items():
                if before.get(path) != state:
                    copy = made / "files" / path.relative_to(folder)
                    copy.parent.mkdir(parents=True, exist_ok=True)
                    shutil.copy(path, copy)
            made.mkdir(exist_ok=True)
            (made / "printed").write_text(printed, "utf-8")
            if not kept.exists():  # another process may have been faster
                made.rename(kept)
        return printed
    if (kept / "files").exists():
        shutil.copytree(kept / "files", folder, dirs_exist_ok=True)
    return (kept / "printed").read_text("utf-8")


def _states(folder: Path) -> dict[Path, tuple[int, int]]:
    files = (path for path in folder.rglob("*") if path.is_file())
    return {path: (path.stat().st_mtime_ns, path.stat().st_size) for path in files}


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
