"""Actions: superposition, factors, and the point that shear acts through."""

from __future__ import annotations

import numpy as np
import pytest
from soapfilm.geometry.errors import InputError
from soapfilm.solver.section.stress.actions import Actions

CENTRE = np.array([3.0, -2.0])
DEAD = Actions(axial_force=-5.0, shear_y=12.0, moment_x=-40.0, through=(10.0, 1.0), name="dead")
LIVE = Actions(shear_x=2.0, shear_y=7.0, torque=1.5, through=(10.0, 1.0), name="live")


def test_sums_and_factors_are_those_of_the_vectors() -> None:
    both = DEAD.scaled(1.35) + LIVE.scaled(1.5, "crowd")
    expected = 1.35 * DEAD.vector(CENTRE) + 1.5 * LIVE.vector(CENTRE)
    assert both.vector(CENTRE) == pytest.approx(expected, rel=1e-14)
    assert both.name == "dead + crowd"


def test_shear_beside_the_shear_centre_twists() -> None:
    """T + (x - x_s) V_y - (y - y_s) V_x."""
    assert LIVE.vector(CENTRE)[5] == pytest.approx(1.5 + 7 * 7 - 3 * 2)


def test_what_has_no_sum_is_refused() -> None:
    elsewhere = Actions(shear_y=1.0, through=(0.0, 0.0), name="wind")
    with pytest.raises(InputError, match="'dead' and 'wind' act through different points"):
        DEAD + elsewhere
    with pytest.raises(InputError, match="load case 'case': torque must be a finite number"):
        Actions(torque=float("nan"))
    with pytest.raises(InputError, match="the point the shear acts through is"):
        Actions(shear_y=1.0, through=(float("inf"), 0.0))
