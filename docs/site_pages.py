"""What the site of these documents has beyond plain Markdown: a hook of mkdocs (see mkdocs.yml).

- Reference pages are written from what files and commands say of themselves (`reference.py`).
- Pages that the navigation names and that lie outside (`benchmarks/`, the list of changes) are
  shown from there, not copied.
- A block's name, as in ``toml girder.toml``, is shown over it.
- Equations between dollar signs become MathML, which browsers set by themselves; one that cannot
  be turned into it fails the build.
"""

from __future__ import annotations

import html
import posixpath
import re
import runpy
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from latex2mathml.converter import convert
from mkdocs.exceptions import PluginError
from mkdocs.structure.files import File, Files
from mkdocs.structure.pages import Page

HERE = Path(__file__).parent
ROOT = HERE.parent
REFERENCE = runpy.run_path(str(HERE / "reference.py"))
#: Pages that lie outside this folder: those of the navigation that are not in it.
_OUTSIDE: set[str] = set()
_FENCE = re.compile(r"^```(\w+)(?: (\S+))?$", re.M)
_LINK = re.compile(r"\[([^\[\]]*)\]\(([^)#\s]+)((?:#[^)]*)?)\)")
_CODE = re.compile(r"^```.*?^```$", re.M | re.S)
_MATHEMATICS = re.compile(
    r'<(span|div) class="arithmatex">\\[\[(](.*?)\\[\])]</(?:span|div)>', re.S
)
#: Superscripts are set by fonts for mathematics as primes should be, by others far too high.
_PRIME = re.compile(r"<msup>(<mi>[^<]*</mi>)(<mi>&#x0203[234];</mi>)</msup>")
#: A command that the converter does not know stays in what it makes.
_UNKNOWN = re.compile(r"\\[A-Za-z]+")


def on_files(files: Files, config: Any) -> Files:
    """Add the pages that are written, and those that lie outside."""
    for name, write in REFERENCE["pages"]().items():
        files.append(File.generated(config, name, content=write()))
    known = {file.src_uri for file in files}
    for name in _named(config["nav"]):
        if name not in known and (ROOT / name).exists():
            files.append(_outside(config, name))
            _OUTSIDE.add(name)
    for figure in sorted((ROOT / "benchmarks").glob("*.svg")):
        files.append(_outside(config, figure.relative_to(ROOT).as_posix()))
    return files


def on_page_markdown(markdown: str, page: Page, config: Any, files: Files) -> str:
    """Links as they lead on the site, and the names of blocks over them."""
    parts, end = [], 0
    for code in _CODE.finditer(markdown):
        parts += [_linked(markdown[end : code.start()], page), _FENCE.sub(_titled, code.group())]
        end = code.end()
    return "".join([*parts, _linked(markdown[end:], page)])


def on_page_content(content: str, page: Page, config: Any, files: Files) -> str:
    """Equations as MathML."""

    def mathml(match: re.Match[str]) -> str:
        display = "block" if match[1] == "div" else "inline"
        try:
            found = convert(html.unescape(match[2]).strip(), display=display)
        except Exception as error:
            raise PluginError(f"{page.file.src_uri}: {match[2]}: {error!r}") from error
        if _UNKNOWN.search(html.unescape(found)):
            raise PluginError(f"{page.file.src_uri}: no MathML for {match[2]}")
        return _PRIME.sub(r"<mrow>\1\2</mrow>", found)

    return _MATHEMATICS.sub(mathml, content)


def _named(nav: Any) -> Iterator[str]:
    """Every page that the navigation names."""
    if isinstance(nav, str):
        yield nav
    else:
        for part in nav.values() if isinstance(nav, dict) else nav:
            yield from _named(part)


def _outside(config: Any, name: str) -> File:
    return File.generated(config, name, abs_src_path=str(ROOT / name))


def _titled(match: re.Match[str]) -> str:
    """The head of a block as the site's Markdown has it."""
    language, name = match.groups()
    if language == "output":
        return "``` { .text .output .no-copy }"
    return f'```{language} title="{name}"' if name else f"```{language}"


def _linked(text: str, page: Page) -> str:
    return _LINK.sub(lambda link: _led(link, page), text)


def _led(link: re.Match[str], page: Page) -> str:
    """Where a link leads: pages from outside stand beside those of this folder, on the site.

    A program or a folder of the project is no page; its name alone is left.
    """
    words, target, anchor = link.groups()
    if "//" in target or target.startswith("mailto:"):
        return link.group()
    here = Path(page.file.abs_src_path or HERE / page.file.src_uri).parent
    place = (here / target).resolve()
    if not place.is_relative_to(ROOT) or place.is_relative_to(HERE):
        return link.group()
    name = place.relative_to(ROOT).as_posix()
    if name not in _OUTSIDE and place.suffix != ".svg":
        return words
    return f"[{words}]({posixpath.relpath(name, posixpath.dirname(page.file.src_uri))}{anchor})"
