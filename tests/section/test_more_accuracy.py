"""Asking for more accuracy never gives less, whatever the limits stop."""

from __future__ import annotations

import numpy as np
import pytest
from soapfilm.solver.section import Limits
from soapfilm.solver.section.solve import solve_fields

from benchmarks.growth_cases import grid_of_cells

#: So small that the plan for every accuracy of the test is beyond the first or the second.
LIMITS = Limits(unknowns=16_000, first=5_000)


def test_a_large_grid_goes_farther_along_one_way() -> None:
    """Layers for the asked accuracy were cut first and the order lowered until they fit: 196 cells
    reached 4e-6 by default, 1.4e-5 when asked for 1e-6, and 4e-4 when asked for 1e-8."""
    section = grid_of_cells(9)
    accuracies = 10.0 ** -np.arange(3.0, 10.0)
    widths = np.array([solve_fields(section, a, limits=LIMITS).relative_width for a in accuracies])
    assert (np.diff(widths) <= 0).all(), widths
    assert widths[-1] < 1e-5


@pytest.mark.parametrize("accuracy", [1e-6, 1e-9])
def test_limits_hold(accuracy: float) -> None:
    field = solve_fields(grid_of_cells(9), accuracy, limits=LIMITS)
    assert field.unknowns <= LIMITS.unknowns
