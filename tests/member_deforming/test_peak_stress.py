"""The largest stress of a member is not missed between the places that are looked at."""

from __future__ import annotations

import numpy as np
import pytest
from soapfilm.solver.member.deforming.envelope import stress_envelope

from benchmarks.deforming_members import solved_case
from tests.deforming.references import reference

#: A line of the section's border that holds the peak, x and from which y to which, as near to the
#: corner as stress is told (a quarter of the wall, 5 or 3 mm); from where to where along the
#: member, as near to the load as stress is told; and what was missed before, in %.
LINES = {
    "wide-deck": (1000.0, (200.0, 474.9999), (5_800.0, 6_200.0)),  # 10.1
    "hollow-fixed": (-88.0, (-134.9999, 0.0), (18.0, 300.0)),  # 3.8
}


@pytest.mark.parametrize("name", LINES)
def test_no_place_is_stressed_more_than_the_largest_stress_told(name: str) -> None:
    """The peaks stand where the border leaves what is left out about corners and loads, at
    stations between those of the elements."""
    x, heights, stations = LINES[name]
    solution, sections = solved_case(reference(name).case)
    told = stress_envelope(solution, sections)
    y, z = np.linspace(*heights, 201), np.linspace(*stations, 201)
    points = np.column_stack([np.full(len(y), x), y])
    xx, yy, zz, yz, xz, xy = np.moveaxis(solution.stress(points, z)[..., 0], 2, 0)
    mises = np.sqrt(
        ((xx - yy) ** 2 + (yy - zz) ** 2 + (zz - xx) ** 2) / 2 + 3 * (yz**2 + xz**2 + xy**2)
    )
    assert told.mises.max() == pytest.approx(mises.max(), rel=1e-3)
