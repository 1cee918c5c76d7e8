"""A smooth curve as circular arcs, within a stated deviation.

Between two points with tangents runs a biarc: two arcs that meet with a common tangent (the one
whose two tangent lengths are equal). Stretches are halved until every one of them stays within the
deviation, so an ellipse or a spline becomes a smooth run of arcs. A biarc leaves its curve by an
amount that falls with the cube of the stretch's length.

The biarc: R. Sharrock, "Biarcs in three dimensions" (1987), plane case, from memory; checked by the
tests against the two properties it must have.
"""

from __future__ import annotations

import itertools
from collections.abc import Callable, Sequence
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from .contour import Contour, arc_circles
from .errors import GeometryError

Array = NDArray[np.float64]
#: Points (n, 2) and tangents (n, 2), of any length, at the parameters (n,).
Curve = Callable[[Array], tuple[Array, Array]]

_SAMPLES = np.linspace(0.0, 1.0, 34)[1:-1]
_MOST_ARCS = 20_000


class ArcRun(NamedTuple):
    """An open run of arcs: points (n + 1, 2), bulges (n,) and the largest deviation found."""

    points: Array
    bulges: Array
    deviation: float


def curve_arcs(curve: Curve, breaks: Sequence[float], deviation: float) -> ArcRun:
    """Arcs along a curve, from its first to its last break.

    Parameters
    ----------
    curve : callable
        Gives points and tangents at parameters; smooth between the breaks.
    breaks : sequence of float
        Parameters, in order, where arcs must start and end; corners of the curve among them.
    deviation : float
        Largest distance of the curve from its arcs.

    Raises
    ------
    GeometryError
        When the deviation is not positive, or so small that more than 20,000 arcs would be needed.
    """
    if not 0 < deviation < np.inf:
        raise GeometryError(f"the deviation must be a positive length, got {deviation}")
    waiting = list(itertools.pairwise(breaks))[::-1]
    points: list[Array] = []
    bulges: list[float] = []
    worst = 0.0
    while waiting:
        first, last = waiting.pop()
        inside = first + (last - first) * _SAMPLES
        ends, tangents = curve(np.array([first, last]))
        samples, _ = curve(inside)
        p, b = _biarc(ends, tangents)
        found = _distance(samples, p, b)
        middle = 0.5 * (first + last)
        if found > deviation:
            if len(bulges) + 2 * len(waiting) > _MOST_ARCS or not first < middle < last:
                raise GeometryError(
                    f"a deviation of {deviation:g} needs more than {_MOST_ARCS} arcs; "
                    "give a larger one"
                )
            waiting += [(middle, last), (first, middle)]
            continue
        worst = max(worst, found)
        points.append(p[:-1])
        bulges.extend(b)
    points.append(ends[1:])
    return ArcRun(np.vstack(points), np.array(bulges), worst)


def ellipse_arcs(semi_x: float, semi_y: float, deviation: float) -> tuple[Contour, float]:
    """The ellipse about the origin as arcs, and the largest deviation found."""

    def curve(t: Array) -> tuple[Array, Array]:
        c, s = np.cos(t), np.sin(t)
        return (
            np.stack([semi_x * c, semi_y * s], axis=1),
            np.stack([-semi_x * s, semi_y * c], axis=1),
        )

    # One quarter, mirrored: the contour keeps both symmetries to the last digit.
    run = curve_arcs(curve, [0.0, np.pi / 4, np.pi / 2], deviation)
    quarter, bulges = run.points.copy(), run.bulges
    quarter[-1, 0] = quarter[0, 1] = 0.0
    half = np.vstack([quarter[:-1], quarter[:0:-1] * [-1.0, 1.0]])
    turned = np.concatenate([bulges, bulges[::-1]])
    return Contour(np.vstack([half, -half]), np.concatenate([turned, turned])), run.deviation


def _biarc(ends: Array, tangents: Array) -> tuple[Array, list[float]]:
    """Points (3, 2) and bulges (2) of the biarc, or (2, 2) and [0] of a straight stretch."""
    unit = tangents / np.hypot(*tangents.T)[:, None]
    v = ends[1] - ends[0]
    chord2 = float(v @ v)
    both = unit[0] + unit[1]
    gap = 2 * (1 - float(unit[0] @ unit[1]))
    along = float(v @ both)
    if gap < 1e-14:  # parallel tangents
        reach = chord2 / (2 * along) if along > 0 else np.sqrt(chord2) / 2
    else:
        # reach^2 gap + 2 reach along - chord2 = 0, in the form without cancellation
        reach = (
            chord2 / (along + np.sqrt(along * along + gap * chord2))
            if along > 0
            else ((-along + np.sqrt(along * along + gap * chord2)) / gap)
        )
    middle = 0.5 * (ends[0] + ends[1] + reach * (unit[0] - unit[1]))
    bulges = [_bulge(unit[0], middle - ends[0]), _bulge(-unit[1], middle - ends[1]) * -1.0]
    if not any(bulges):
        return ends, [0.0]
    return np.vstack([ends[0], middle, ends[1]]), bulges


def _bulge(tangent: Array, chord: Array) -> float:
    """Bulge of the arc that leaves along a unit tangent and ends at the chord's end."""
    cross = tangent[0] * chord[1] - tangent[1] * chord[0]
    half = np.arctan2(cross, float(tangent @ chord))
    return float(np.tan(half / 2)) if abs(half) > 1e-12 else 0.0


def _distance(samples: Array, points: Array, bulges: Sequence[float]) -> float:
    """Largest distance of the samples from the run of arcs."""
    from_each = []
    for p, q, b in zip(points[:-1], points[1:], bulges, strict=True):
        if b == 0.0:
            d = q - p
            t = np.clip((samples - p) @ d / float(d @ d), 0.0, 1.0)
            from_each.append(np.hypot(*(samples - p - t[:, None] * d).T))
            continue
        centre, radius = arc_circles(p[None], q[None], np.array([b]))
        out = samples - centre[0]
        # beside the arc (past its ends) the nearer end counts
        first, sweep = np.arctan2(*(p - centre[0])[::-1]), 4 * np.arctan(b)
        ahead = ((np.arctan2(out[:, 1], out[:, 0]) - first) * np.sign(b)) % (2 * np.pi)
        at_ends = np.minimum(np.hypot(*(samples - p).T), np.hypot(*(samples - q).T))
        ring = np.abs(np.hypot(*out.T) - radius[0])
        from_each.append(np.where(ahead <= abs(sweep), ring, at_ends))
    return float(np.min(from_each, axis=0).max())
