"""Runs of chords recognised as the arcs they stand for, on request and within a stated deviation.

A program that knows no arcs writes them as many short chords whose vertices lie on one circle. All
vertices of an arc from A to B see it under the same angle, so the direction turns by the same angle
from (v - A) to (B - v) at each of them: half the arc's included angle, of which the bulge is
tan(half / 2).
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from ..errors import GeometryError
from .contour import Contour, arc_circles

Array = NDArray[np.float64]

#: Fewest chords that are taken for an arc: three points always lie on a circle, so two chords say
#: nothing, and the fourth point is the first evidence.
_FEWEST = 3
#: Largest turn from chord to chord: beyond it a polygon is meant as one (an octagon turns by 45).
_SHARPEST = np.radians(35.0)
#: Longest arc made of one run: toward the full turn the chord A-B vanishes, and the digits with it.
_LONGEST = 1.75 * np.pi
#: Vertices written by a program lie on their circle to this share of the contour's size. Runs that
#: fit this well are taken first, so that two arcs which meet are parted where they truly meet.
_EXACT = 1e-9


def recognise_arcs(contour: Contour, deviation: float) -> tuple[Contour, float]:
    """The contour with runs of at least three chords on one circle replaced by arcs.

    Parameters
    ----------
    contour : Contour
        Its arcs stay as they are.
    deviation : float
        Largest distance between the old and the new outline; it must cover the height of an arc
        over its chords.

    Returns
    -------
    contour : Contour
    found : float
        Largest distance found, 0 when nothing was recognised.

    Raises
    ------
    GeometryError
        If the deviation is not a positive length.
    """
    if not 0 < deviation < np.inf:
        raise GeometryError(f"the deviation must be a positive length, got {deviation}")
    x0, y0, x1, y1 = contour.bounds()
    exact = min(_EXACT * float(np.hypot(x1 - x0, y1 - y0)), deviation)
    first, found_first = _recognised(contour, exact, deviation)
    second, found_second = _recognised(first, deviation, deviation)
    return second, max(found_first, found_second)


def _recognised(contour: Contour, scatter: float, deviation: float) -> tuple[Contour, float]:
    """One pass: vertices within `scatter` of their circle, chords within `deviation`."""
    n = len(contour)
    if n < _FEWEST or contour.bulges.all():
        return contour, 0.0
    start = _start(contour, scatter, deviation)
    points = np.roll(contour.points, -start, axis=0)
    bulges = np.roll(contour.bulges, -start)
    around = np.vstack([points, points[:1]])
    whole = _circle(points, bulges, scatter, deviation)
    if whole is not None:
        return whole
    keep: list[int] = []
    new: list[float] = []
    worst, i = 0.0, 0
    while i < n:
        best, j = None, i + _FEWEST
        while j <= n and not bulges[i:j].any():
            fit = _fit(around[i : j + 1], scatter, deviation)
            if fit is None:
                break
            best, j = fit, j + 1
        keep.append(i)
        if best is None:
            new.append(float(bulges[i]))
            i += 1
        else:
            new.append(best[0])
            worst = max(worst, best[1])
            i = j - 1
    return Contour(points[keep], new), worst


def _start(contour: Contour, scatter: float, deviation: float) -> int:
    """A vertex that no run passes through, 0 when there is none.

    A run through vertex i holds three chords of which two meet there.
    """
    n = len(contour)
    if contour.bulges.any():
        return (int(np.flatnonzero(contour.bulges)[0]) + 1) % n
    before = np.array([-2, -1, 0, 1])
    for i in range(n):
        runs = (contour.points[(i + before + k) % n] for k in (0, 1))
        if all(_fit(run, scatter, deviation) is None for run in runs):
            return i
    return 0


def _fit(run: Array, scatter: float, deviation: float) -> tuple[float, float] | None:
    """Bulge of the arc that replaces a run of chords and its distance from them, if it may."""
    first, last, inner = run[0], run[-1], run[1:-1]
    half = _angle(inner - first, last - inner)
    if not (np.sign(half) == np.sign(half[0])).all() or np.hypot(*(last - first)) == 0:
        return None
    angle = float(np.mean(half))
    chords = np.diff(run, axis=0)
    turns = _angle(chords[:-1], chords[1:])
    if (
        not 1e-12 < 2 * abs(angle) <= _LONGEST
        or (np.abs(turns) > _SHARPEST).any()
        or not (np.sign(turns) == np.sign(angle)).all()
    ):
        return None
    bulge = np.tan(angle / 2)
    centre, radius = arc_circles(first[None], last[None], np.array([bulge]))
    off = float(np.abs(np.hypot(*(inner - centre[0]).T) - radius[0]).max())
    height = _height(float(np.hypot(*chords.T).max()), float(radius[0]))
    if off > scatter or off + height > deviation:
        return None
    return float(bulge), off + height


def _circle(
    points: Array, bulges: Array, scatter: float, deviation: float
) -> tuple[Contour, float] | None:
    """The whole contour as a circle of two arcs, if it is one."""
    n = len(points)
    if bulges.any() or n < 2 * _FEWEST:
        return None
    chords = np.roll(points, -1, axis=0) - points
    turns = _angle(np.roll(chords, 1, axis=0), chords)
    if (np.abs(turns) > _SHARPEST).any() or abs(abs(turns.sum()) - 2 * np.pi) > 1e-6:
        return None
    # |p|^2 = 2 c.p + (r^2 - |c|^2), linear in centre and constant
    shift = points.mean(axis=0)
    q = points - shift
    matrix = np.column_stack([2 * q, np.ones(n)])
    solution, *_ = np.linalg.lstsq(matrix, np.sum(q**2, axis=1), rcond=None)
    centre = solution[:2]
    radius = float(np.sqrt(max(solution[2] + centre @ centre, 0.0)))
    off = float(np.abs(np.hypot(*(q - centre).T) - radius).max())
    height = _height(float(np.hypot(*chords.T).max()), radius)
    if off > scatter or off + height > deviation:
        return None
    side = np.sign(turns.sum())
    ends = shift + centre + radius * np.array([[-1.0, 0.0], [1.0, 0.0]])
    return Contour(ends, [side, side]), off + height


def _height(chord: float, radius: float) -> float:
    """Height of an arc over its chord."""
    half = min(chord / 2, radius)
    return half**2 / (radius + float(np.sqrt(radius**2 - half**2)))


def _angle(before: Array, after: Array) -> Array:
    cross = before[:, 0] * after[:, 1] - before[:, 1] * after[:, 0]
    result: Array = np.arctan2(cross, np.sum(before * after, axis=1))
    return result
