"""Loose strokes joined into closed contours, end to end.

Ends that coincide up to rounding are one node. Ends left open are joined in pairs when each is the
other's nearest and their gap is within the tolerance: only ends move, so that an edge shorter than
the tolerance survives. Every gap closed is reported; whatever stays open, or branches, is an error
that says where.
"""

from __future__ import annotations

import shlex
from collections import defaultdict
from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass

import numpy as np

from ..errors import GeometryError
from ..outline.contour import Contour
from ..place_words import place
from .clusters import clusters
from .stroke import Array, Stroke, on_layer

#: Layers that a message names at most.
_MOST_LAYERS = 6


@dataclass(frozen=True, slots=True, eq=False)
class Loop:
    """A closed contour and where it comes from."""

    contour: Contour
    layer: str
    group: str
    source: str


@dataclass(frozen=True, slots=True)
class Gap:
    """An opening that was closed: its width, place and layer."""

    width: float
    where: tuple[float, float]
    layer: str


def close_contours(
    strokes: Sequence[Stroke], gap: float, tiny: float, unit: str
) -> tuple[list[Loop], list[Gap], int]:
    """Closed contours of the strokes, each group joined for itself.

    Parameters
    ----------
    strokes : sequence of Stroke
        Without curves: straight and circular edges only.
    gap : float
        Ends at most this far apart may be joined.
    tiny : float
        Distance that is rounding only (at most `gap`).
    unit : str
        Length unit, for messages.

    Returns
    -------
    loops : list of Loop
    gaps : list of Gap
        Those wider than `tiny`.
    dropped : int
        Edges that repeat another one.

    Raises
    ------
    GeometryError
        For an open end, or more than two ends in one place.
    """
    loops: list[Loop] = []
    gaps: list[Gap] = []
    dropped = 0
    loose: dict[str, list[Stroke]] = defaultdict(list)
    for stroke in strokes:
        tidy = without_points(stroke, tiny)
        if tidy is None:
            continue
        if stroke.closed:
            loops.append(_loop([(tidy, True)], {}, unit))
        else:
            loose[stroke.group].append(tidy)
    layers = dict.fromkeys(s.layer for s in strokes)
    for members in loose.values():
        chained, closed_gaps, repeats = _chain(members, gap, tiny, unit, layers)
        loops += chained
        gaps += closed_gaps
        dropped += repeats
    return loops, gaps, dropped


def without_points(stroke: Stroke, tiny: float) -> Stroke | None:
    """The stroke without edges of no length; None when nothing is left of it."""
    step = np.hypot(*np.diff(stroke.points, axis=0).T)
    if not (step <= tiny).any():
        return stroke
    keep = np.flatnonzero(step > tiny)
    if not keep.size:
        return None
    points = np.vstack([stroke.points[keep], stroke.points[-1:]])
    if stroke.closed:
        points[-1] = points[0]
    return stroke.replaced(points, stroke.bulges[keep])


def _chain(
    strokes: list[Stroke], gap: float, tiny: float, unit: str, layers: Iterable[str]
) -> tuple[list[Loop], list[Gap], int]:
    """Loops of one group's open strokes, of a drawing with these layers.

    End 2 i is the start of stroke i, end 2 i + 1 its end.
    """
    strokes, dropped = _distinct(strokes, tiny)
    ends = np.array([p for s in strokes for p in (s.points[0], s.points[-1])])
    node = clusters(ends, tiny)
    at: dict[int, list[int]] = defaultdict(list)
    for end, n in enumerate(node):
        at[int(n)].append(end)
    partner: dict[int, int] = {}
    moved: dict[int, Array] = {}
    for members in at.values():
        if len(members) > 2:
            _branch(strokes, ends, members, unit)
        if len(members) == 2:
            a, b = members
            partner[a], partner[b] = b, a
            moved[a] = moved[b] = ends[_given(strokes, a, b)]
    single = [m[0] for m in at.values() if len(m) == 1]
    gaps = []
    for a, b, width in _pairs(strokes, ends, single, gap):
        partner[a], partner[b] = b, a
        moved[a] = moved[b] = middle = (ends[a] + ends[b]) / 2
        gaps.append(Gap(width, (float(middle[0]), float(middle[1])), strokes[a // 2].layer))
    left = [e for e in single if e not in partner]
    if left:
        _open(strokes, ends, left, gap, unit, layers)
    return _walk(strokes, partner, moved, unit), gaps, dropped


def _walk(
    strokes: list[Stroke], partner: dict[int, int], moved: dict[int, Array], unit: str
) -> list[Loop]:
    """Follow the partners from end to end until each run closes."""
    loops, seen = [], set()
    for first in range(len(strokes)):
        if first in seen:
            continue
        run, entry = [], 2 * first
        while entry // 2 not in seen:
            i, forward = entry // 2, entry % 2 == 0
            seen.add(i)
            run.append((i, forward))
            entry = partner[entry ^ 1]
        members = [(strokes[i], forward) for i, forward in run]
        starts = {k: moved[2 * i + (not forward)] for k, (i, forward) in enumerate(run)}
        loops.append(_loop(members, starts, unit))
    return loops


def _loop(members: Sequence[tuple[Stroke, bool]], starts: dict[int, Array], unit: str) -> Loop:
    """One contour from strokes in order, each run forward or backward, some starting at a moved
    point."""
    points, bulges = [], []
    for k, (stroke, forward) in enumerate(members):
        p = (stroke.points if forward else stroke.points[::-1])[:-1].copy()
        p[0] = starts.get(k, p[0])
        points.append(p)
        bulges.append(stroke.bulges if forward else -stroke.bulges[::-1])
    first = members[0][0]
    p, b = np.vstack(points), np.concatenate(bulges)
    if len(p) < 2 or (len(p) == 2 and not b.any()):
        raise GeometryError(
            f"{first.source}{on_layer(first.layer)} near {place(p[0], unit)} encloses no area; "
            "complete or delete it"
        )
    return Loop(Contour(p, b), first.layer, first.group, first.source)


def _given(strokes: list[Stroke], a: int, b: int) -> int:
    """Of two ends that coincide the one to keep: a point written down beats one computed from an
    angle."""
    straight = strokes[b // 2].bulges[-1 if b % 2 else 0] == 0
    return b if straight and strokes[a // 2].bulges[-1 if a % 2 else 0] != 0 else a


def _distinct(strokes: list[Stroke], tiny: float) -> tuple[list[Stroke], int]:
    """The strokes, each shape once: drawings often hold the same line twice."""
    cell = 8 * tiny or 1.0
    seen, kept = set(), []
    for stroke in strokes:
        forward = _key(stroke.points, stroke.bulges, cell)
        backward = _key(stroke.points[::-1], -stroke.bulges[::-1], cell)
        if forward in seen or backward in seen:
            continue
        seen.add(forward)
        kept.append(stroke)
    return kept, len(strokes) - len(kept)


def _key(points: Array, bulges: Array, cell: float) -> bytes:
    b = np.round(bulges, 9) + 0.0  # no negative zeros: they differ as bytes
    return (np.round(points / cell) + 0.0).tobytes() + b.tobytes()


def _pairs(
    strokes: list[Stroke], ends: Array, single: list[int], gap: float
) -> Iterable[tuple[int, int, float]]:
    """Open ends that are each other's nearest within the tolerance."""
    if len(single) < 2:
        return
    nearest = _nearest(ends[single])
    for i, (j, width) in enumerate(nearest):
        a, b = single[i], single[j]
        alone = a // 2 == b // 2 and len(strokes[a // 2]) == 1 and strokes[a // 2].bulges[0] == 0
        if i < j and nearest[j][0] == i and width <= gap and not alone:
            yield a, b, width


def _nearest(points: Array) -> list[tuple[int, float]]:
    """Index and distance of the nearest other point of each."""
    import shapely

    dots = shapely.points(points)
    (mine, other), far = shapely.STRtree(dots).query_nearest(
        dots, exclusive=True, all_matches=False, return_distance=True
    )
    found = {int(i): (int(j), float(d)) for i, j, d in zip(mine, other, far, strict=True)}
    return [found.get(i, (i, np.inf)) for i in range(len(points))]


def _other_layers(apart: Collection[str], layers: Iterable[str]) -> str:
    """What to do where open ends lie on layers apart from those of whole outlines."""
    closed = [name for name in layers if name not in apart]
    if not 0 < len(closed) <= _MOST_LAYERS:
        return ""
    options = " ".join(f"--layer {shlex.quote(name or '0')}" for name in closed)
    return f"; if what is open is no outline, read the others alone: {options}"


def _open(
    strokes: list[Stroke],
    ends: Array,
    left: list[int],
    gap: float,
    unit: str,
    layers: Iterable[str],
) -> None:
    layer = on_layer(strokes[left[0] // 2].layer)
    where = place(ends[left[0]], unit)
    near = _nearest(ends[left])[0][1] if len(left) > 1 else np.inf
    others = np.delete(ends, left[0], axis=0)
    touch = float(np.min(np.hypot(*(others - ends[left[0]]).T))) if len(others) else np.inf
    away = f"{min(near, touch):.4g} away" if np.isfinite(min(near, touch)) else "nowhere"
    more = f" ({len(left)} open ends in all)" if len(left) > 1 else ""
    crowd = touch <= gap
    advice = (
        "more than two ends lie within the gap tolerance there: lower it or redraw the corner"
        if crowd
        else f"close the contour there, or allow a larger gap than {gap:.4g} {unit}".rstrip()
        + ", with --gap on the command line or gap = in a [[drawing]]"
        + _other_layers({strokes[end // 2].layer for end in left}, layers)
    )
    raise GeometryError(f"open end at {where}{layer}, nearest other end {away}{more}; {advice}")


def _branch(strokes: list[Stroke], ends: Array, members: list[int], unit: str) -> None:
    layer = on_layer(strokes[members[0] // 2].layer)
    raise GeometryError(
        f"the outline branches at {place(ends[members[0]], unit)}{layer}: {len(members)} ends meet "
        "there, a contour has two; draw each contour as a closed polyline of its own, or put parts "
        "on separate layers"
    )
