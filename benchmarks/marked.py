"""Blocks of a page that are rewritten or kept: what stands between a block's two markers."""

from __future__ import annotations

from pathlib import Path

README = Path(__file__).parent / "README.md"


def rewrite(block: str, text: str, page: Path = README) -> None:
    """Replace what stands between ``<!-- block: start -->`` and ``<!-- block: end -->``."""
    start, end = marks(block)
    whole = page.read_text("utf-8")
    if start not in whole or end not in whole:
        raise SystemExit(f"benchmarks: {page} lacks the markers {start} and {end}")
    head, rest = whole.split(start, 1)
    tail = rest.split(end, 1)[1]
    page.write_text(f"{head}{start}\n{text.strip()}\n{end}{tail}", "utf-8")


def kept(block: str, page: Path) -> str:
    """What stands between a block's markers; nothing where the page has no such block."""
    start, end = marks(block)
    return page.read_text("utf-8").partition(start)[2].partition(end)[0].strip()


def marked(block: str, text: str) -> str:
    """A text between the markers of a block."""
    start, end = marks(block)
    return f"{start}\n{text}\n{end}"


def marks(block: str) -> tuple[str, str]:
    """Where a block begins and ends."""
    return f"<!-- {block}: start -->", f"<!-- {block}: end -->"
