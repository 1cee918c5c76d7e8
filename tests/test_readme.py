"""Everything README.md shows is run: files written, commands and Python executed, output compared.

A block's language says what happens to it: ``toml NAME`` and ``text NAME`` are files, ``sh`` holds
commands one a line, ``python`` a program, ``output`` what the command or program before it prints.
Numbers in output may differ in their last digits from machine to machine; everything else may not.
"""

from __future__ import annotations

import importlib.util
import re
import subprocess
import sys
from pathlib import Path
from types import ModuleType

import pytest

ROOT = Path(__file__).parent.parent


def _gallery() -> ModuleType:
    """The script that runs documents: it lies beside them, outside the package."""
    spec = importlib.util.spec_from_file_location("gallery", ROOT / "docs" / "gallery.py")
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    sys.modules[spec.name] = module
    spec.loader.exec_module(module)
    return module


gallery = _gallery()
DOCUMENTS = [ROOT / "README.md", *gallery.documents()]


@pytest.mark.parametrize("document", DOCUMENTS, ids=lambda d: d.relative_to(ROOT).as_posix())
def test_the_document_runs(document: Path, tmp_path: Path) -> None:
    """In one folder and in order, as a reader would; the figures that it shows are made by it."""
    for block, printed in gallery.ran(document, tmp_path):
        if block.language == "output":
            assert gallery.difference(block.text, printed) == ""
    if not gallery.blocks(document):
        return  # an index
    for figure in gallery.shown(document):
        made = figure.replace("-page.png", ".html")
        assert (tmp_path / made).stat().st_size > 10_000, figure


@pytest.mark.parametrize("document", DOCUMENTS, ids=lambda d: d.relative_to(ROOT).as_posix())
def test_the_figures_shown_are_there(document: Path) -> None:
    for figure in gallery.shown(document):
        assert (ROOT / "docs" / "figures" / figure).read_bytes().startswith(b"\x89PNG"), figure


def test_no_figure_is_left_over() -> None:
    shown = {figure for document in gallery.documents() for figure in gallery.shown(document)}
    assert {path.name for path in (ROOT / "docs" / "figures").iterdir()} == shown


def test_a_difference_is_found() -> None:
    assert gallery.difference("J = 1.00001\n", "first\nJ = 1.00002\nlast\n") == ""
    assert "1.2" in gallery.difference("J = 1.0\n", "J = 1.2\n")
    assert "K" in gallery.difference("J = 1.0\n", "K = 1.0\n")


@pytest.mark.parametrize("document", ["README.md", "DEVELOPERS.md"])
def test_make_rules_exist(document: str) -> None:
    words = (ROOT / document).read_text()
    rules = set(re.findall(r"(?:^|[`&] ?)make ((?:[a-z]+ ?)+)", words, re.M))
    targets = {target for rule in rules for target in rule.split()}
    assert targets
    for target in targets:
        subprocess.run(["make", "-n", target], cwd=ROOT, check=True, capture_output=True)


@pytest.mark.parametrize("document", DOCUMENTS, ids=lambda d: d.relative_to(ROOT).as_posix())
def test_every_block_says_what_it_is(document: Path) -> None:
    blocks = gallery.blocks(document)
    assert {block.language for block in blocks} <= {"sh", "python", "toml", "text", "output"}
    assert document.read_text("utf-8").count("```") == 2 * len(blocks)


@pytest.mark.parametrize("document", [*DOCUMENTS, ROOT / "DEVELOPERS.md", ROOT / "CHANGELOG.md"])
def test_named_paths_exist(document: Path) -> None:
    words = document.read_text()
    for path in re.findall(r"\]\((?!http)([^)#]+)\)", words):
        assert (document.parent / path).exists(), path
    rooms = r"`((?:geometry|solver|report|cli|tests|benchmarks|docs)/[\w/.]*)`"
    for path in re.findall(rooms, words):
        assert (ROOT / path).exists(), path
