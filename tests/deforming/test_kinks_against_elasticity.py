"""Boxes with a kink in plan beside 3D elasticity (our own computation, kept with the program that
made it in benchmarks/elasticity): bare walls at 15 degrees, a plate at 30.

Both pieces are taken to end square to their own axes; what that costs is what `KINK_ERRORS` says
beside every result.
"""

from __future__ import annotations

import numpy as np
import pytest
from soapfilm.solver.member.deforming.passing import KINK_ERRORS

from benchmarks.deforming_members import solution_of

from .references import Reference, kinks

TOLD = {angle: (stress / 100, moved / 100) for angle, stress, moved in KINK_ERRORS}


@pytest.mark.parametrize("known", kinks(), ids=lambda k: k.case.name)
def test_displacements_and_stresses_are_as_near_as_is_said(known: Reference) -> None:
    solved = solution_of(known.case)
    stress, moved = TOLD[round(np.degrees(known.case.kink[1]))]
    largest = max(abs(c) for v in known.displacements for c in v.value[:2])
    for value in known.displacements:
        x, y, z = value.at
        found = solved.displacement([(x, y)], [z])[0, 0, :, 0]
        assert np.abs(found - value.value)[:2].max() < moved * largest, (value.at, found)
    largest = max(abs(c) for v in known.stresses for c in v.value)
    for value in known.stresses:
        x, y, z = value.at
        found = solved.stress([(x, y)], [z])[0, 0, :, 0]
        # Along the member; across it, bending of the walls beside the kink.
        off = np.abs(found - value.value)[2]
        assert off < stress * largest, (value.at, found, value.value)
