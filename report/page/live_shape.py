"""Data of the live deformed section: its border, how each place moves, and the functions along z.

The page gets the border once for each piece of the member, with rows that turn the functions of a
station into movement; so the section under the marker costs one product of a matrix and a vector.
Rows and functions are 16-bit fields: 1e-4 of the largest movement, less than a line's width.
"""

from __future__ import annotations

from collections.abc import Sequence
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
    from ...solver.member.deforming.course import Course
    from ...solver.member.deforming.solution import DeformingSolution
    from ...solver.member.review.assessment import Assessment

Array = NDArray[np.float64]
#: Start, end, border (e, s, 2), and rows (e, s, 2, n) that turn functions into movement.
Piece = tuple[float, float, Array, Array]

#: Stations at which functions are given, and pieces a tapered part is shown in.
STATIONS, TAPER_PIECES = 121, 6


def shape_data(assessment: Assessment) -> dict[str, Any] | None:
    """What the page needs to draw the section under the marker; None without deforming sections."""
    found = assessment.deformed
    if found is None:
        return None
    return solution_shape(found.solution, MemberUnits(assessment.request.units))


def solution_shape(solution: DeformingSolution, units: MemberUnits) -> dict[str, Any]:
    """The same of a solution with deforming sections."""
    z = np.linspace(0.0, solution.member.length, STATIONS)
    _, a, _ = solution.functions(z)
    return shape_of_pieces(pieces_of(solution.course), z, a, units)


def shape_of_pieces(
    pieces: Sequence[Piece], z: Array, a: Array, units: MemberUnits, *, carried: bool = False
) -> dict[str, Any]:
    """Data of a member whose sections move by rows @ a.

    Parameters
    ----------
    pieces : sequence of (start, end, edges (e, s, 2), rows (e, s, 2, n))
        What is drawn alike.
    z : (m,)
        Stations.
    a : (m, n, c)
        Functions there, of every combination.
    units : MemberUnits
    carried : bool
        Whether sections are carried along, up and across, as they turn and distort.
    """
    along = units.factor("along")
    size = np.abs(a).max(axis=(0, 2))
    used = np.flatnonzero(size > 0)
    parts, largest, reach = [], 0.0, 0.0
    for start, end, edges, rows in pieces:
        own = rows if carried else without_mean(edges, rows)
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
        "stations": len(z),
        "functions": field(np.moveaxis(a[:, used] / size[used, None], 2, 0)),
        "count": len(used),
        "factor": nice(SHOWN * reach / largest) if largest > 1e-9 * reach else 0.0,
        "unit": units.units.length,
    }


def pieces_of(course: Course) -> list[Piece]:
    """What of a member is drawn alike; rows are those of all functions of its sections."""
    found = []
    for part in course.parts:
        cuts = np.linspace(part.start, part.end, 1 + (TAPER_PIECES if part.tapered else 1))
        for start, end in pairwise(cuts):
            shape = shape_of(part, float(start + end) / 2)
            found.append((float(start), float(end), shape.edges, shape.rows[:, :, :2]))
    return found
