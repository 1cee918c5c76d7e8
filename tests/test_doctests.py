"""Every example in a docstring is run."""

from __future__ import annotations

import doctest
import importlib
from pathlib import Path

import pytest

ROOT = Path(__file__).parent.parent
ROOMS = ("api", "geometry", "solver", "report", "cli")
EXAMPLES = sorted(
    path.relative_to(ROOT)
    for room in (*ROOMS, "benchmarks/checks")
    for path in (ROOT / room).rglob("*.py")
    if ">>>" in path.read_text()
)


@pytest.mark.parametrize("path", EXAMPLES, ids=str)
def test_docstring_examples(path: Path) -> None:
    words = [part for part in path.with_suffix("").parts if part != "__init__"]
    package = ["soapfilm"] if words[0] in ROOMS else []
    words = words[1:] if words[0] == "api" else words  # the package itself
    module = importlib.import_module(".".join([*package, *words]))
    assert any(test.examples for test in doctest.DocTestFinder().find(module))
    flags = doctest.NORMALIZE_WHITESPACE | doctest.ELLIPSIS
    assert doctest.testmod(module, optionflags=flags).failed == 0
