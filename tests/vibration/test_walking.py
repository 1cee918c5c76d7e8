"""The screen of frequencies for people on foot, by the figures of the papers it names.

Held: ranges of Setra and AFGC (2006, ch. 2) and of EN 1990/A1 A2.4.3.2, from memory. Their limits
of acceleration (0.5, 1 and 2.5 m/s2; 0.7, 0.2 and 0.4 m/s2), their numbers of equivalent walkers
and the 0.5 sqrt(f) of BS 5400-2 have nothing to be held by: the screen knows no acceleration, and
says so.
"""

from __future__ import annotations

import numpy as np
import pytest
from soapfilm.solver.member.vibration.walking import (
    CAUTION,
    CODE_LATERAL,
    CODE_VERTICAL,
    walking_rows,
)


@pytest.mark.parametrize(
    ("name", "bounds"),
    [("vertical", (1.0, 1.7, 2.1, 2.6, 5.0)), ("lateral", (0.3, 0.5, 1.1, 1.3, 2.5))],
)
def test_risk_of_resonance(name: str, bounds: tuple[float, ...]) -> None:
    f = np.concatenate([np.subtract(bounds, 0.01), [bounds[-1] + 0.01]])
    assert [row.risk for row in walking_rows(f, [name] * 6)] == [4, 2, 1, 2, 3, 4]


def test_a_coupled_mode_has_the_higher_risk_of_both() -> None:
    (row,) = walking_rows(np.array([1.2]), ["coupled vertical-lateral"])
    assert row.risk == 2
    assert row.inside


def test_code() -> None:
    assert (CODE_VERTICAL, CODE_LATERAL) == (5.0, 2.5)
    rows = walking_rows(np.array([4.9, 5.1, 2.4, 2.6]), ["vertical"] * 2 + ["lateral"] * 2)
    assert ["EN 1990" in row.words for row in rows] == [True, False, True, False]
    assert "never says that a bridge is comfortable" in CAUTION
    assert "no acceleration" in CAUTION.replace("no number of walkers and no", "no")


def test_modes_along_the_member_are_screened_as_vertical_ones() -> None:
    """The guides of Setra and HiVoSS give vertical and longitudinal vibrations one range; EN 1990
    speaks of vertical, lateral and torsional ones alone (all from memory)."""
    rows = walking_rows(np.array([1.9, 3.0, 4.9]), ["axial"] * 3)
    assert [row.risk for row in rows] == [1, 3, 3]
    assert [row.inside for row in rows] == [True, True, False]
    assert not any("EN 1990" in row.words for row in rows)
