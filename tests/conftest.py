"""Measured spreads, shown after a run: how far results lie from the values they are checked by."""

from __future__ import annotations

import os
from collections import defaultdict
from collections.abc import Callable
from typing import Any

import pytest
from hypothesis import settings

from .slow import LONGEST, SLOW

# The same examples in every run of continuous integration, so that a red run is about the change;
# runs by hand explore new ones, and what they find becomes an example of its test.
settings.register_profile("same examples", derandomize=True)
if os.environ.get("CI"):
    settings.load_profile("same examples")

# Tests leave the user's own cache alone; those of caches name a folder.
os.environ.setdefault("SOAPFILM_CACHE", "off")

_KEY = "spread"


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Mark what `make test` leaves to `make slow`; the longest files come first."""
    for item in items:
        if item.nodeid.startswith(SLOW):
            item.add_marker(pytest.mark.slow)
    items.sort(key=lambda item: not item.nodeid.startswith(LONGEST))


@pytest.fixture
def spread(record_property: Callable[[str, object], None]) -> Callable[[str, str, float], None]:
    """`spread(family, quantity, error)`: a relative error for the summary of the run."""

    def record(family: str, quantity: str, error: float) -> None:
        record_property(_KEY, (family, quantity, float(error)))

    return record


def pytest_terminal_summary(terminalreporter: Any) -> None:
    """One line a family and quantity: number of values, and where their errors lie."""
    found: dict[tuple[str, str], list[float]] = defaultdict(list)
    for outcome in ("passed", "failed"):
        for report in terminalreporter.stats.get(outcome, []):
            for key, value in getattr(report, "user_properties", []):
                if key == _KEY:
                    family, quantity, error = value
                    found[family, quantity].append(error)
    if not found:
        return
    terminalreporter.section("spread: result / table value - 1")
    for (family, quantity), errors in sorted(found.items()):
        errors.sort()
        middle = errors[len(errors) // 2]
        terminalreporter.write_line(
            f"{family:<28} {quantity:<14} {len(errors):4d}   from {errors[0]:+8.3%}"
            f"   middle {middle:+8.3%}   to {errors[-1]:+8.3%}"
        )
