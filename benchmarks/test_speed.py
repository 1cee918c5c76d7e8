"""Our own times, tracked by pytest-benchmark: ``make track`` puts them beside the run before.

Not collected by ``make test``. Processor time of one thread.
"""

from __future__ import annotations

from collections.abc import Callable

import pytest
from soapfilm.solver.section.solve import solve_fields, solve_section

from benchmarks.growth_cases import grid_of_cells, round_tube
from benchmarks.sections import SECTIONS

CASES = {
    **SECTIONS,
    "tube_1_to_1000": lambda: round_tube(1000),
    "sixteen_cells": lambda: grid_of_cells(16),
}
WORK: dict[str, Callable] = {
    "torsion": solve_fields,
    "all": lambda section, accuracy: solve_section(section, accuracy).field,
}


@pytest.mark.parametrize("work", WORK)
@pytest.mark.parametrize("key", CASES)
def test_speed(benchmark, key: str, work: str) -> None:
    """J to 1e-6, alone and with all properties."""
    field = benchmark(WORK[work], CASES[key](), accuracy=1e-6)
    assert field.relative_width <= 1e-6
