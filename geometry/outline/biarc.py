"""A smooth curve followed by circular arcs, within a deviation that is measured and reported.

Each stretch of the curve is replaced by a biarc: two arcs that meet smoothly and share the
stretch's end points and tangents. Of the one-parameter family the member with equal tangent lengths
d is taken,

    |p1 - p0 - d (t0 + t1)|^2 = (2 d)^2,

whose joint lies midway between p0 + d t0 and p1 - d t1 (K. M. Bolton, "Biarc curves",
Computer-Aided Design 7, 1975, from memory; the equation follows from the tangents at a common
joint). It leaves the curve by an amount that falls with the cube of the stretch's length, so
stretches are halved until each of them is within the deviation.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from ..errors import GeometryError
from ..place_words import place
from .contour import Contour

Array = NDArray[np.float64]
#: Points (n, 2) and derivatives (n, 2) at the parameters (n,).
Curve = Callable[[Array], tuple[Array, Array]]

#: Where the distance is measured inside each stretch; it is smooth there, with one or two humps to
#: an arc.
_SAMPLES = np.linspace(0.0, 1.0, 26)[1:-1]
#: Stretches are halved at most this often: 2^-40 of a curve is below the rounding of its points.
_MAX_LEVELS = 40
#: Stretches waiting at once; a smooth curve within any useful deviation needs fewer.
_MOST = 10_000
#: Arcs of more than a third of a turn belong to a stretch too long to be judged by samples.
_MAX_BULGE = np.tan(np.pi / 6)


class ArcRun(NamedTuple):
    """An open run of arcs: points (n + 1, 2), bulges (n,) and the largest deviation found."""

    points: Array
    bulges: Array
    deviation: float


def curve_arcs(curve: Curve, breaks: Sequence[float], deviation: float) -> ArcRun:
    """Arcs and straight edges along a curve, from its first to its last break.

    Parameters
    ----------
    curve : callable
        Parameters (k,) to points and derivatives (k, 2); smooth between the breaks. Where the
        derivative vanishes the curve's own direction is used.
    breaks : sequence of float
        Parameters, in order, where arcs must start and end; corners of the curve among them.
    deviation : float
        Largest distance of the curve from its arcs.

    Raises
    ------
    GeometryError
        When the deviation is not positive, or so small that more than 10,000 stretches are needed.
    """
    if not 0 < deviation < np.inf:
        raise GeometryError(f"the deviation must be a positive length, got {deviation}")
    active = np.stack([breaks[:-1], breaks[1:]], axis=1)
    spans, joints, bulges, worst = [], [], [], 0.0
    for _ in range(_MAX_LEVELS):
        joint, bulge, off = _stretches(curve, active, deviation)
        good = off <= deviation
        worst = max(worst, float(off[good].max(initial=0.0)))
        spans.append(active[good])
        joints.append(joint[good])
        bulges.append(bulge[good])
        left = active[~good]
        if not left.size:
            break
        middle = left.mean(axis=1, keepdims=True)
        active = np.vstack([np.hstack([left[:, :1], middle]), np.hstack([middle, left[:, 1:]])])
        if len(active) > _MOST:
            raise _too_close(curve, active, deviation)
    else:
        raise _too_close(curve, active, deviation)
    start = np.vstack(spans)[:, 0]
    order = np.argsort(start)
    ends = curve(np.append(start[order], breaks[-1]))[0]
    return ArcRun(*_joined(ends, np.vstack(joints)[order], np.vstack(bulges)[order]), worst)


def _too_close(curve: Curve, active: Array, deviation: float) -> GeometryError:
    where = place(curve(active[0, :1])[0][0], "")
    return GeometryError(
        f"a deviation of {deviation:g} needs too many arcs near {where}; give a larger one"
    )


def ellipse_arcs(semi_x: float, semi_y: float, deviation: float) -> tuple[Contour, float]:
    """The ellipse about the origin as arcs, and the largest deviation found."""

    def curve(t: Array) -> tuple[Array, Array]:
        c, s = np.cos(t), np.sin(t)
        return (
            np.stack([semi_x * c, semi_y * s], axis=1),
            np.stack([-semi_x * s, semi_y * c], axis=1),
        )

    # One quarter, mirrored: the contour keeps both symmetries to the last digit. Its arcs are many
    # enough to follow both axes where these are alike, too, and any arc would do for a circle.
    run = curve_arcs(curve, np.linspace(0.0, np.pi / 2, 9).tolist(), deviation)
    quarter, bulges = run.points.copy(), run.bulges
    quarter[-1, 0] = quarter[0, 1] = 0.0
    half = np.vstack([quarter[:-1], quarter[:0:-1] * [-1.0, 1.0]])
    turned = np.concatenate([bulges, bulges[::-1]])
    return Contour(np.vstack([half, -half]), np.concatenate([turned, turned])), run.deviation


def _joined(ends: Array, joints: Array, bulges: Array) -> tuple[Array, Array]:
    """One run of edges from stretches; a straight stretch has no joint (NaN) and stays one edge."""
    straight = np.isnan(joints[:, 0])
    points = np.stack([ends[:-1], joints], axis=1)
    keep = np.stack([np.ones(len(joints), bool), ~straight], axis=1)
    return np.vstack([points[keep], ends[-1:]]), bulges[keep]


def _stretches(curve: Curve, spans: Array, deviation: float) -> tuple[Array, Array, Array]:
    """Joint (m, 2), bulges (m, 2) and deviation (m,) of the biarc, or the straight edge, over each
    span."""
    m, k = len(spans), len(_SAMPLES)
    t = spans[:, :1] + (spans[:, 1:] - spans[:, :1]) * np.concatenate([[0.0, 1.0], _SAMPLES])
    points, slopes = (a.reshape(m, k + 2, 2) for a in curve(t.ravel()))
    p0, p1, inner = points[:, 0], points[:, 1], points[:, 2:]
    t0, t1 = _tangents(points, slopes)
    joint, bulges = biarc(p0, t0, p1, t1)
    off = np.minimum(
        distance(inner, p0, joint, bulges[:, 0]), distance(inner, joint, p1, bulges[:, 1])
    ).max(axis=1)
    off = np.where((np.abs(bulges) <= _MAX_BULGE).all(axis=1) & np.isfinite(off), off, np.inf)
    flat = distance(inner, p0, p1, np.zeros(m)).max(axis=1)
    # A straight edge where the curve is one, or where a cusp has left a stretch too small to have
    # tangents.
    line = (flat <= 1e-3 * deviation) | ((off > deviation) & (flat <= deviation))
    joint[line], bulges[line] = np.nan, 0.0
    return joint, bulges, np.where(line, flat, off)


def _tangents(points: Array, slopes: Array) -> tuple[Array, Array]:
    """Unit tangents at both ends of each stretch; the direction of the nearest sample where the
    derivative vanishes (a Bezier curve whose first two control points coincide)."""
    chords = (points[:, 2] - points[:, 0], points[:, 1] - points[:, -1])
    size = np.hypot(slopes[..., 0], slopes[..., 1]).max(axis=1)
    out = []
    for end, chord in zip((0, 1), chords, strict=True):
        slope = slopes[:, end]
        weak = np.hypot(slope[:, 0], slope[:, 1]) <= 1e-7 * size
        direction = np.where(weak[:, None], chord, slope)
        norm = np.hypot(direction[:, 0], direction[:, 1])
        out.append(direction / np.where(norm > 0, norm, 1.0)[:, None])
    return out[0], out[1]


def biarc(p0: Array, t0: Array, p1: Array, t1: Array) -> tuple[Array, Array]:
    """Joints (m, 2) and bulges (m, 2) of the equal-length biarcs between points with unit
    tangents."""
    v, t = p1 - p0, t0 + t1
    vt, vv = np.einsum("ij,ij->i", v, t), np.einsum("ij,ij->i", v, v)
    # 2 (1 - t0.t1) d^2 + 2 v.t d - v.v = 0, in the form that stays exact as the tangents become
    # parallel
    curvature = np.einsum("ij,ij->i", t1 - t0, t1 - t0)
    denominator = vt + np.sqrt(vt**2 + curvature * vv)
    d = vv / np.where(denominator > 0, denominator, 1.0)
    joint = (p0 + p1 + d[:, None] * (t0 - t1)) / 2
    return joint, np.stack([_bulge(t0, joint - p0), _bulge(p1 - joint, t1)], axis=1)


def _bulge(before: Array, after: Array) -> Array:
    """tan(a / 2) of the turn a between two directions: tangent and chord enclose half the arc's
    angle."""
    turn = np.arctan2(
        before[:, 0] * after[:, 1] - before[:, 1] * after[:, 0],
        np.einsum("ij,ij->i", before, after),
    )
    bulge: NDArray[np.float64] = np.tan(turn / 2)
    return bulge


def distance(points: Array, start: Array, end: Array, bulge: Array) -> Array:
    """(m, k) distances from points (m, k, 2) to one edge each.

    Beside the chord that of the circle, N / (4 |b| (|p - centre| + radius)) with both sums
    multiplied by 4 |b|, so that no digits are lost as the radius grows; beyond the chord that of
    the nearer end.
    """
    d = end - start
    chord = np.hypot(d[:, 0], d[:, 1])
    unit = d / np.where(chord > 0, chord, 1.0)[:, None]
    r = points - ((start + end) / 2)[:, None]
    x = r[..., 0] * unit[:, None, 0] + r[..., 1] * unit[:, None, 1]
    y = r[..., 1] * unit[:, None, 0] - r[..., 0] * unit[:, None, 1]
    b, c = bulge[:, None], chord[:, None]
    over = np.abs(4 * b * (x**2 + y**2 - c**2 / 4) - 2 * y * c * (1 - b**2))
    under = np.hypot(4 * b * x, 4 * b * y - c * (1 - b**2)) + c * (1 + b**2)
    beside = over / np.where(under > 0, under, 1.0)
    beyond = np.hypot(np.abs(x) - c / 2, y)
    result: NDArray[np.float64] = np.where(np.abs(x) <= c / 2, beside, beyond)
    return result
