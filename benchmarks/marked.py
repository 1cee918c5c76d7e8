"""Blocks of README.md that measurements rewrite: what stands between a block's two markers."""

from __future__ import annotations

from pathlib import Path

README = Path(__file__).parent / "README.md"


def rewrite(block: str, text: str, page: Path = README) -> None:
    """Replace what stands between ``<!-- block: start -->`` and ``<!-- block: end -->``."""
    start, end = f"<!-- {block}: start -->", f"<!-- {block}: end -->"
    whole = page.read_text("utf-8")
    if start not in whole or end not in whole:
        raise SystemExit(f"benchmarks: {page} lacks the markers {start} and {end}")
    head, rest = whole.split(start, 1)
    tail = rest.split(end, 1)[1]
    page.write_text(f"{head}{start}\n{text.strip()}\n{end}{tail}", "utf-8")
