"""Thin-wall formulas are limits: the error falls with the wall's thickness at the expected rate.

Walls are laid along their middle lines. J of open walls lacks its free ends and J of tubes gains at
their corners, parts t/b of the whole: the error halves with t. Warping follows the middle line but
for terms (t/b)^2: the errors of shear centre and C_w fall to a quarter.
"""

from __future__ import annotations

import numpy as np
import pytest

from benchmarks.checks import figures
from benchmarks.checks.thin_walls import CASES, solved

SCALES = (1.0, 0.5, 0.25)


@pytest.mark.parametrize("name", CASES)
def test_error_falls_with_the_thickness(name: str, spread) -> None:
    shape, quantity, thin, ratio = CASES[name]
    errors = np.array([quantity(solved(shape, s)) / thin(figures(), s) - 1 for s in SCALES])
    spread("thin walls", name, errors[-1])
    assert errors[2] / errors[1] == pytest.approx(ratio, rel=0.2)
    assert abs(errors[2]) < 0.6 * abs(errors[1])
    assert abs(errors[2]) < 0.02
