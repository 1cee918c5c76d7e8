"""The curves of drawings that are not circular: elliptic arcs, Bezier curves, rational splines."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import ArrayLike

from ..errors import FileFormatError
from ..outline.biarc import Curve
from .stroke import Array

#: Two semi-axes this close in length (relative) are a circle written with rounding.
_ROUND = 1e-9
_MAX_DEGREE = 12
_LONGEST_ARC = 1.9 * np.pi


def elliptic_edges(
    centre: ArrayLike, first: ArrayLike, second: ArrayLike, start: float, sweep: float
) -> tuple[Array, Array, dict[int, Curve]]:
    """Edges along centre + first cos(t) + second sin(t) for t from `start` over `sweep` radians.

    Conjugate half diameters that are equal and at right angles give an exact circular arc (two when
    it nearly closes, for its bulge would lose its digits); any others give curves, cut at the
    quarters.

    Returns
    -------
    points (n + 1, 2), bulges (n,), and the curve of each edge that is not circular.
    """
    c, u, v = (np.asarray(a, dtype=float) for a in (centre, first, second))
    a, b = float(np.hypot(*u)), float(np.hypot(*v))
    if not 0 < min(a, b) < np.inf:
        raise FileFormatError(f"an ellipse or arc needs two positive radii, got {a:g} and {b:g}")
    circular = abs(a - b) <= _ROUND * a and abs(float(u @ v)) <= _ROUND * a * b
    if not np.isfinite([*c, start, sweep]).all() or sweep == 0:
        raise FileFormatError(
            f"an arc over {sweep:g} radians from {start:g} cannot be drawn; redraw it"
        )
    longest = _LONGEST_ARC if circular else np.pi / 2
    n = max(1, int(np.ceil(min(abs(sweep), 2 * np.pi) / longest - 1e-12)))
    t = start + sweep * np.arange(n + 1) / n
    points = c + np.outer(np.cos(t), u) + np.outer(np.sin(t), v)
    if abs(sweep) == 2 * np.pi:
        points[-1] = points[0]
    if circular:
        hand = np.sign(u[0] * v[1] - u[1] * v[0])
        return points, np.full(n, hand * np.tan(sweep / n / 4)), {}
    return points, np.zeros(n), {i: _elliptic(c, u, v, t[i], t[i + 1]) for i in range(n)}


def _elliptic(c: Array, u: Array, v: Array, t0: float, t1: float) -> Curve:
    def curve(s: Array) -> tuple[Array, Array]:
        t = t0 + (t1 - t0) * s
        cos, sin = np.cos(t), np.sin(t)
        return c + np.outer(cos, u) + np.outer(sin, v), (t1 - t0) * (
            np.outer(cos, v) - np.outer(sin, u)
        )

    return curve


def bezier(control: ArrayLike) -> Curve:
    """The Bezier curve of (n + 1, 2) control points, by de Casteljau's scheme."""
    points = np.asarray(control, dtype=float)

    def curve(s: Array) -> tuple[Array, Array]:
        level = np.broadcast_to(points, (len(s), *points.shape))
        w = s[:, None, None]
        while level.shape[1] > 2:
            level = level[:, :-1] * (1 - w) + level[:, 1:] * w
        step = level[:, 1] - level[:, 0]
        return level[:, 0] * (1 - w[:, 0]) + level[:, 1] * w[:, 0], (len(points) - 1) * step

    return curve


def spline_edges(
    control: ArrayLike, knots: Sequence[float], degree: int, weights: Sequence[float] | None
) -> tuple[Array, Array, dict[int, Curve]]:
    """One edge for each knot span of a (rational) B-spline.

    Parameters
    ----------
    control : (n, 2) array
    knots : n + degree + 1 numbers, not falling
    degree : int
    weights : n positive numbers, optional

    Raises
    ------
    FileFormatError
        If these do not make a spline.
    """
    from scipy.interpolate import BSpline, PPoly

    p, u = np.asarray(control, dtype=float), np.asarray(knots, dtype=float)
    w = np.ones(len(p)) if weights is None else np.asarray(weights, dtype=float)
    if not 1 <= degree <= _MAX_DEGREE or len(p) <= degree:
        raise FileFormatError(
            f"a spline of degree {degree} with {len(p)} control points cannot be read; "
            f"degrees 1 to {_MAX_DEGREE} and more points than the degree can"
        )
    if u.shape != (len(p) + degree + 1,) or not np.isfinite(u).all() or (np.diff(u) < 0).any():
        raise FileFormatError(
            f"a spline with {len(p)} control points of degree {degree} needs {len(p) + degree + 1} "
            f"rising knots, got {u.size}"
        )
    if w.shape != (len(p),) or not ((w > 0) & (w < np.inf)).all():
        raise FileFormatError("a spline's weights must be positive, one for each control point")
    if not np.isfinite(p).all():
        raise FileFormatError("a spline's control points must be finite numbers")
    first, last = u[degree], u[len(p)]
    if not last > first:
        raise FileFormatError("a spline whose knots are all equal has no length; delete it")
    homogeneous = [PPoly.from_spline(BSpline(u, c, degree)) for c in (*(p * w[:, None]).T, w)]
    pieces, coefficients = homogeneous[0], np.stack([q.c for q in homogeneous], axis=2)
    spans = [
        i
        for i in range(len(pieces.x) - 1)
        if pieces.x[i + 1] > pieces.x[i] and first <= pieces.x[i] and pieces.x[i + 1] <= last
    ]
    curves = {
        k: _rational(coefficients[:, i], float(pieces.x[i + 1] - pieces.x[i]))
        for k, i in enumerate(spans)
    }
    ends = [curve(np.array([0.0, 1.0]))[0] for curve in curves.values()]
    points = np.vstack([ends[0][:1], *(e[1:] for e in ends)])
    return points, np.zeros(len(spans)), curves


def _rational(coefficients: Array, length: float) -> Curve:
    """x(t)/w(t), y(t)/w(t) from (degree + 1, 3) polynomial coefficients, highest power first."""
    slopes = coefficients[:-1] * np.arange(len(coefficients) - 1, 0, -1)[:, None]

    def curve(s: Array) -> tuple[Array, Array]:
        t = (s * length)[:, None]
        value, slope = np.zeros((len(s), 3)), np.zeros((len(s), 3))
        for row in coefficients:
            value = value * t + row
        for row in slopes:
            slope = slope * t + row
        points = value[:, :2] / value[:, 2:]
        return points, length * (slope[:, :2] - points * slope[:, 2:]) / value[:, 2:]

    return curve
