"""Edges that run so close to those of another outline that both are meant as one.

Two drawings of one wall rarely agree to the last digit: an arc by its bulge and a circle by its
radius part by hundredths of a millimetre. Between them lie slivers that cost a mesh thousands of
triangles and say nothing.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from .contour import Contour, edge_points
from .edges import Array, Complex, Edges

#: Places of an edge, as shares of its length, that must be near.
_PLACES = np.array([0.0, 0.25, 0.5, 0.75, 1.0])
#: Edges shorter than this many distances are corners, not walls.
_SHORT = 20.0
#: Steps that take a corner onto the lines or circles of both its edges.
_STEPS = 4
#: Share of the distance within which an edge follows another already.
_SAME = 1e-6
#: Carriers that meet at a smaller angle (rad) than this are one at their corner.
_TANGENT = 1e-3


def drawn_onto(contour: Contour, others: Sequence[Contour], distance: float) -> Contour:
    """The contour with edges that leave edges of other contours by no more than a distance drawn
    onto the lines and circles of these; the same object where there are none."""
    if not others:
        return contour
    lines = Edges.of(
        np.concatenate([c.points for c in others]),
        np.concatenate([c.ends for c in others]),
        np.concatenate([c.bulges for c in others]),
    )
    own = Edges.of(contour.points, contour.ends, contour.bulges)
    spots = edge_points(contour.points, contour.ends, contour.bulges, _PLACES) @ (1, 1j)
    carriers: list[int | None] = []
    parted = False
    for z, length in zip(spots, own.lengths(), strict=True):
        k, off = _carrier(lines, z, distance) if length > _SHORT * distance else (None, 0.0)
        carriers.append(k)
        parted |= off > _SAME * distance
    if not parted:
        return contour
    beside = [
        [k for k in pair if k is not None]
        for pair in zip([carriers[-1], *carriers[:-1]], carriers, strict=True)
    ]
    points = np.array(
        [
            _onto(p, [lines[np.array([k])] for k in both])
            for p, both in zip(own.p, beside, strict=True)
        ]
    )
    bulges = np.array(contour.bulges)
    for n, k in enumerate(carriers):
        if k is None:
            continue
        line = lines[np.array([k])]
        middle = _onto(spots[n, 2], [line])
        turn = np.angle((points[(n + 1) % len(points)] - middle) / (middle - points[n]))
        bulges[n] = np.tan(turn / 2) if line.b[0] else 0.0
    return Contour(np.column_stack([points.real, points.imag]), bulges)


def _carrier(lines: Edges, spots: Complex, distance: float) -> tuple[int | None, float]:
    """The edge whose line or circle is nearest all spots of another, and reaches its middle; how
    far they are off it."""
    off = np.abs([lines.distance(z) for z in spots]).max(axis=0)
    near = (off <= distance) & lines.reach(spots[2], distance)[0]
    if not near.any():
        return None, 0.0
    k = int(np.where(near, off, np.inf).argmin())
    return k, float(off[k])


def _onto(point: complex, lines: Sequence[Edges]) -> complex:
    """The nearest point of the lines or circles of one or two edges."""
    for _ in range(_STEPS if lines else 0):
        z = np.array([point])
        slope = np.array([line.gradient(z)[0] for line in lines])
        off = np.array([line.distance(z)[0] for line in lines])
        matrix: Array = np.column_stack([slope.real, slope.imag])
        dx, dy = np.linalg.lstsq(matrix, off, rcond=_TANGENT)[0]
        point -= complex(dx, dy)
    return point
