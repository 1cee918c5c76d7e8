"""Asking for more accuracy never gives less, whatever the limits stop."""

from __future__ import annotations

import numpy as np
import pytest
from soapfilm.solver.section import Limits
from soapfilm.solver.section.solve import solve_fields
from soapfilm.solver.section.torsion import adaptive

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


def test_many_corners_may_have_more_unknowns(monkeypatch: pytest.MonkeyPatch) -> None:
    """196 cells stopped at 4.9e-7 of the 1e-7 asked for, with the system of 900,000 unknowns that
    reaches it within the memory that outlines of ten thousand vertices have."""
    monkeypatch.setattr(adaptive, "MANY_CORNERS", 60)
    few = Limits(unknowns=2_000, first=2_000)
    field = solve_fields(grid_of_cells(4), 1e-6, limits=few)
    assert field.relative_width <= 1e-6
    assert few.unknowns < field.unknowns <= adaptive.EACH_CORNER * 68
