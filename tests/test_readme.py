"""Everything the documents show is run: files written, commands and Python executed, and output
compared.

A block's language says what happens to it: ``toml NAME`` and ``text NAME`` are files, ``sh`` holds
commands one a line, ``python`` a program, ``output`` what the command or program before it prints.
Numbers in output may differ in their last digits from machine to machine; everything else may not.
``toml`` without a name is a part of a member or size file: it must be one as far as it
goes. README.md is a front page: what it shows, a document of `docs/` shows and runs.
"""

from __future__ import annotations

import importlib.util
import os
import re
import runpy
import subprocess
import sys
from pathlib import Path
from types import ModuleType

import jsonschema
import pytest
from soapfilm.geometry.keys.description import file_kind
from soapfilm.geometry.keys.schema import schema_of
from soapfilm.geometry.section_file.text import parsed

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
#: Pages of the site that lie in no file: reference of files and commands.
WRITTEN = runpy.run_path(str(ROOT / "docs" / "reference.py"))["pages"]()
README = ROOT / "README.md"
DOCUMENTS = [README, *gallery.documents()]
RUN = [document for document in gallery.documents() if gallery.runs(document)]


def _name(document: Path) -> str:
    return document.relative_to(ROOT).as_posix()


@pytest.fixture(scope="session")
def memory(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Where commands' results are kept for other documents, of other processes of this run too."""
    home = tmp_path_factory.getbasetemp()
    folder = (home.parent if "PYTEST_XDIST_WORKER" in os.environ else home) / "documents"
    folder.mkdir(exist_ok=True)
    return folder


@pytest.mark.parametrize("document", RUN, ids=_name)
def test_the_document_runs(document: Path, tmp_path: Path, memory: Path) -> None:
    """In one folder and in order, as a reader would; the figures that it shows are made by it."""
    for block, printed in gallery.ran(document, tmp_path, memory):
        if block.language == "output":
            assert gallery.difference(block.text, printed) == ""
    for figure in gallery.shown(document):
        made = figure.replace("-page.png", ".html")
        assert (tmp_path / made).stat().st_size > 10_000, figure


def test_the_front_page_shows_what_a_document_runs() -> None:
    """Word for word, so that nothing is run twice; an output may be an excerpt of that there."""
    shown = {step for document in RUN for step in _steps(document)}
    for step in _steps(README):
        kind, words, below = step
        assert step in shown or (
            kind == "output" and any((k, b) == (kind, below) and words in w for k, w, b in shown)
        ), f"README.md shows what no document in docs runs; add it to one first:\n{words}"


def _steps(document: Path) -> list[tuple[str, str, str]]:
    """Files, commands, programs and outputs of a document, these with what printed them."""
    found, last = [], ""
    for block in gallery.blocks(document):
        if block.language == "output":
            found.append(("output", block.text, last))
        elif block.name or block.language == "python":
            found.append((block.language, block.text, block.name))
            last = last if block.name else block.text
        for line in gallery.commands(block):
            found.append(("sh", line, ""))
            last = line
    return found


FRAGMENTS = [
    (document, block.text)
    for document in gallery.documents()
    for block in gallery.blocks(document)
    if block.language == "toml" and not block.name
]


@pytest.mark.parametrize(("document", "text"), FRAGMENTS, ids=lambda v: getattr(v, "stem", "part"))
def test_a_part_of_a_file_says_what_files_may_say(document: Path, text: str) -> None:
    """Parts of member files, and of files that ask for sizes of one."""
    whole = parsed(text)
    kind = "size" if "member" in whole else "member"
    if kind == "member":
        whole = {"unit": "mm", **whole}
    for error in jsonschema.Draft202012Validator(schema_of(file_kind(kind))).iter_errors(whole):
        assert error.validator == "required", f"{_name(document)}: {error.message}"


@pytest.mark.parametrize("document", DOCUMENTS, ids=_name)
def test_the_figures_shown_are_there(document: Path) -> None:
    for figure in gallery.shown(document):
        assert (ROOT / "docs" / "figures" / figure).read_bytes().startswith(b"\x89PNG"), figure


def test_no_figure_is_left_over() -> None:
    shown = {figure for document in RUN for figure in gallery.shown(document)}
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


@pytest.mark.parametrize("document", DOCUMENTS, ids=_name)
def test_every_block_says_what_it_is(document: Path) -> None:
    blocks = gallery.blocks(document)
    assert {block.language for block in blocks} <= {"sh", "python", "toml", "text", "output"}
    assert document.read_text("utf-8").count("```") == 2 * len(blocks)


@pytest.mark.parametrize(
    "document", [*DOCUMENTS, ROOT / "DEVELOPERS.md", ROOT / "CHANGELOG.md"], ids=_name
)
def test_named_paths_exist(document: Path) -> None:
    """Pages that are written when the site is built are looked for by its own check of links."""
    words = document.read_text("utf-8")
    written = {ROOT / "docs" / page for page in WRITTEN}
    for path in re.findall(r"\]\((?!http)([^)#]+)(?:#[^)]*)?\)", words):
        place = (document.parent / path).resolve()
        assert place.exists() or place in written, path
    rooms = r"`((?:geometry|solver|report|cli|tests|benchmarks|docs)/[\w/.]*)`"
    for path in re.findall(rooms, words):
        assert (ROOT / path).exists(), path


def test_the_site_is_built_without_a_warning(tmp_path: Path) -> None:
    """Strictly: links, anchors, navigation, equations; and a reader's browser fetches nothing."""
    site = tmp_path / "site"
    done = subprocess.run(
        [sys.executable, "-m", "mkdocs", "build", "--strict", "--site-dir", str(site)],
        cwd=ROOT,
        capture_output=True,
        text=True,
        env=os.environ | {"NO_MKDOCS_2_WARNING": "1"},
        timeout=600,
        check=False,
    )
    assert done.returncode == 0, done.stderr
    assert "WARNING" not in done.stderr
    pages = sorted(site.rglob("*.html"))
    assert len(pages) > 40
    fetched = re.compile(r"<(?:script|img|link)[^>]+(?:src|href)=\"?(?:https?:)?//")
    for page in pages:
        html = page.read_text("utf-8")
        assert not fetched.findall(html), page
        assert "arithmatex" not in html, page
    member = (site / "reference" / "member-file.html").read_text("utf-8")
    for table in file_kind("member").tables:
        assert all(f"<code>{key.name}</code>" in member for key in table.keys), table.name
