"""Half-wavelengths at which long plates buckle; their coefficients are checks of the book
(`benchmarks/checks/plate_buckling.py`).

Timoshenko & Gere, Theory of Elastic Stability, 1961, ch. 9, and Southwell & Skan 1924 for shear,
from memory; digits derived (Kirchhoff's strip).
"""

from __future__ import annotations

import pytest

from benchmarks.checks.plate_buckling import LONG, LongPlate, minimum

CASES = [case for cases in LONG.values() for case in cases]


@pytest.mark.parametrize("case", CASES, ids=str)
def test_where_the_minimum_lies(case: LongPlate) -> None:
    assert minimum(case)[1] == pytest.approx(case.length, rel=1e-2)
