"""Data of the live deformed section: its border, how each place moves, and the functions along z.

The page gets the border once for each piece of the member, with rows that turn the functions of a
station into movement; so the section under the marker costs one product of a matrix and a vector.
Rows and functions are 16-bit fields: 1e-4 of the largest movement, less than a line's width.
"""

from __future__ import annotations

from itertools import pairwise
from typing import TYPE_CHECKING, Any

import numpy as np
from numpy.typing import NDArray

from ...solver.member.deforming.shapes import shape_of, without_mean
from ..member.deformed_sections import SHOWN
from ..member.units import MemberUnits
from ..member.view import nice
from .packing import field, floats

if TYPE_CHECKING:
    from ...solver.member.deforming.solution import DeformingSolution
    from ...solver.member.review.assessment import Assessment

Array = NDArray[np.float64]

#: Stations at which functions are given, and pieces a tapered part is shown in.
STATIONS, TAPER_PIECES = 121, 6


def shape_data(assessment: Assessment) -> dict[str, Any] | None:
    """What the page needs to draw the section under the marker; None without deforming sections."""
    found = assessment.deformed
    if found is None:
        return None
    solution = found.solution
    units = MemberUnits(assessment.request.units)
    along = units.factor("along")
    z = np.linspace(0.0, solution.member.length, STATIONS)
    _, a, _ = solution.functions(z)
    size = np.abs(a).max(axis=(0, 2))
    used = np.flatnonzero(size > 0)
    parts, largest, reach = [], 0.0, 0.0
    for start, end, edges, rows in _pieces(solution):
        own = without_mean(edges, rows)
        here = a[(z >= start) & (z <= end)]
        if here.size:
            moved = np.einsum("esdn,mnc->esdmc", own, here)
            largest = max(largest, float(np.linalg.norm(moved, axis=2).max()))
        reach = max(reach, float(np.ptp(edges, axis=(0, 1)).max()))
        scaled = (own * size)[..., used]
        parts.append(
            {
                "end": end * along,
                "places": edges.shape[1],
                "edges": floats(edges),
                "rows": field(scaled.reshape(-1, len(used))),
            }
        )
    return {
        "parts": parts,
        "stations": STATIONS,
        "functions": field(np.moveaxis(a[:, used] / size[used, None], 2, 0)),
        "count": len(used),
        "factor": nice(SHOWN * reach / largest) if largest > 1e-9 * reach else 0.0,
        "unit": units.units.length,
    }


def _pieces(solution: DeformingSolution) -> list[tuple[float, float, Array, Array]]:
    """Start, end, border (e, s, 2) and rows (e, s, 2, n) of each piece that is drawn alike."""
    found = []
    for part in solution.course.parts:
        cuts = np.linspace(part.start, part.end, 1 + (TAPER_PIECES if part.tapered else 1))
        for start, end in pairwise(cuts):
            shape = shape_of(part, float(start + end) / 2)
            found.append((float(start), float(end), shape.edges, shape.rows[:, :, :2]))
    return found
