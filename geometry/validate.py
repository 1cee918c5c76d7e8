"""Is a section valid? What is wrong, where, and what to do.

All questions are asked of one arrangement of the section's edges, in which places closer than the
tolerance of `crossings` are one: a valid contour visits every node and every edge there once, and
so does a valid region with all its contours. The checks of regions against each other are in
`body`.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from .body import check_joints, check_overlaps, check_slits
from .candidates import edge_boxes
from .contour import Contour
from .crossings import CROSSING, length_tolerance
from .errors import GeometryError
from .locate import inside
from .naming import contour_name, place, region_name, slit_name
from .overlay import Overlay, map_of, overlay
from .planar_map import PlanarMap
from .section import Section

Array = NDArray[np.float64]
Ints = NDArray[np.int64]

#: Sizes whose fourth powers (second moments) and ratios stay far from overflow in double precision.
_LARGEST = 1e50


def check(section: Section) -> None:
    """Raise if the section is not valid.

    Valid means: every contour is simple, no stretch of it thinner than the tolerance; holes lie
    inside their outline, apart from it and from each other; regions do not overlap and form one
    body, joined by borders of positive length and nowhere by a point alone; slits run inside the
    material and leave it in one piece.

    Raises
    ------
    GeometryError
        Names the part, the place and what to do.
    """
    _checked(section)


def checked_map(section: Section) -> PlanarMap:
    """`check` and `overlay.planar_map` in one go, for the price of one arrangement."""
    return map_of(_checked(section))


def _checked(section: Section) -> Overlay:
    _check_points(section)
    over = overlay(section)
    _check_crossings(over)
    _check_folds(over)
    _check_touches(over)
    _check_nesting(over)
    check_overlaps(over)
    check_joints(over)
    check_slits(over)
    return over


def _check_points(section: Section) -> None:
    """Neighbouring points apart, slit points finite."""
    points = np.vstack([c.points for c in section.contours()])
    low, high = points.min(axis=0), points.max(axis=0)
    extent = float(max(high - low))
    if extent > _LARGEST or 0 < extent < 1 / _LARGEST:
        raise GeometryError(
            f"the section measures {extent:.3g} {section.unit}".rstrip()
            + f" across, from {place(low, section.unit)}; check the coordinates and the unit"
        )
    tolerance = length_tolerance(points)
    for k, s in enumerate(section.slits):
        run = np.asarray(s.points, dtype=float)
        if not (np.isfinite(run).all() and np.isfinite(s.bulges).all()):
            raise GeometryError(
                f"{slit_name(section, k)} holds a number that is not finite; give real coordinates"
            )
        for i in np.flatnonzero(np.hypot(*np.diff(run, axis=0).T) <= tolerance).tolist():
            raise GeometryError(
                f"{slit_name(section, k)}: point {i + 2} repeats point {i + 1} "
                f"at {place(run[i + 1], section.unit)}; remove one of them"
            )
    for r, region in enumerate(section.regions):
        for k, c in enumerate(region.contours):
            short = np.flatnonzero(np.hypot(*(c.ends - c.points).T) <= tolerance)
            if short.size:
                i = int(short[0])
                where = place(c.ends[i], section.unit)
                raise GeometryError(
                    f"{contour_name(section, r, k)}: {_vertex(c, i + 1, k)} repeats vertex {i + 1} "
                    f"at {where}; remove one of them (a contour closes by itself)"
                )


def _vertex(contour: Contour, index: int, rank: int) -> str:
    # Contours are stored in this direction whichever way they were given.
    return f"vertex {index % len(contour) + 1} (counted {'clockwise' if rank else 'anticlockwise'})"


def _check_crossings(over: Overlay) -> None:
    """No edge crosses another one inside both."""
    met = over.arrangement.meetings
    a, b = over.contour_of[met.first], over.contour_of[met.second]
    for k in np.flatnonzero((met.kind == CROSSING) & (a >= 0) & (b >= 0)):
        where = place(met.points[k], over.section.unit)
        if a[k] == b[k]:
            i, j = met.first[k] - over.first_edge[a[k]], met.second[k] - over.first_edge[a[k]]
            raise GeometryError(
                f"{_name(over, a[k])} crosses itself near {where}, where edge {i + 1} meets "
                f"edge {j + 1}; let it run around the material once"
            )
        if over.region_of[a[k]] == over.region_of[b[k]]:
            raise _clash(over, a[k], b[k], "crosses", where)
        one, other = (region_name(over.section, over.region_of[c]) for c in (a[k], b[k]))
        raise GeometryError(
            f"{other} overlaps {one}: their borders cross near {where}; "
            f"move one of them or cut it out of the other"
        )


def _clash(over: Overlay, one: int, other: int, what: str, where: str) -> GeometryError:
    """Two contours of one region meet, the hole named first."""
    low, high = sorted((one, other), key=lambda c: int(over.rank[c]))
    advice = "merge them or move one of them" if over.rank[low] else "move it inside or merge it"
    return GeometryError(f"{_name(over, high)} {what} {_name(over, low)} near {where}; {advice}")


def _name(over: Overlay, contour: int) -> str:
    return contour_name(over.section, int(over.region_of[contour]), int(over.rank[contour]))


def _check_folds(over: Overlay) -> None:
    """No region uses an edge twice: there would be no material, or no hole, between the two."""
    for one, other in _repeated(over, over.arrangement.piece):
        a = over.arrangement
        first, last = (place(p, over.section.unit) for p in a.nodes[a.edges[a.piece[one]]])
        c, d = over.contour_of[a.source[[one, other]]]
        if c != d:
            raise _met(over, c, d, f"runs along {{}} between {first} and {last}: no wall is left")
        raise GeometryError(
            f"{_name(over, c)} folds back on itself between {first} and {last}: zero thickness; "
            f"remove the spike or give it a width"
        )


def _check_touches(over: Overlay) -> None:
    """No region visits a node twice."""
    a = over.arrangement
    for one, other in _repeated(over, a.tail):
        where = place(a.nodes[a.tail[one]], over.section.unit)
        c, d = over.contour_of[a.source[[one, other]]]
        if c != d:
            raise _met(over, c, d, f"touches {{}} near {where}: no wall is left")
        i, j = a.source[[one, other]] - over.first_edge[c]
        raise GeometryError(
            f"{_name(over, c)} touches itself near {where}, where edge {i + 1} meets edge {j + 1}: "
            f"parts that touch only in a point are not joined; widen or part them there"
        )


def _repeated(over: Overlay, item: Ints) -> list[tuple[int, int]]:
    """The first two pieces of one region that share the same item (an edge or a node), if any."""
    a = over.arrangement
    pieces = np.flatnonzero(over.contour_of[a.source] >= 0)
    region = over.region_of[over.contour_of[a.source[pieces]]]
    key = region * (int(item.max(initial=0)) + 1) + item[pieces]
    order = np.argsort(key, kind="stable")
    twice = np.flatnonzero(np.diff(key[order]) == 0)
    if not twice.size:
        return []
    k = twice[np.argmin(order[twice])]
    return [(int(pieces[order[k]]), int(pieces[order[k + 1]]))]


def _met(over: Overlay, one: int, other: int, touch: str) -> GeometryError:
    """Two contours of one region meet at vertices or along edges: do they cross, overlap or only
    touch?"""
    low, high = sorted((int(one), int(other)), key=lambda c: int(over.rank[c]))
    hole, base = _name(over, high), _name(over, low)
    within, beyond, at = _sides(over, high, low)
    if over.rank[low] == 0:
        if within and beyond:
            return _clash(over, high, low, "crosses", at)
        if not within:
            what = "lies outside" if beyond else "covers"
            return GeometryError(f"{hole} {what} {base}, near {at}; move it inside or remove it")
        return GeometryError(f"{hole} {touch.format(base)}; move it inside or merge it")
    around, _, _ = _sides(over, low, high)
    if within or around or not beyond:
        return _clash(over, high, low, "overlaps", at)
    return GeometryError(f"{hole} {touch.format(base)}; merge them or move one of them")


def _sides(over: Overlay, contour: int, base: int) -> tuple[bool, bool, str]:
    """Whether pieces of a contour lie inside, and outside, another one, and a place on one of
    them."""
    a = over.arrangement
    of = over.contour_of[a.source]
    own = np.setdiff1d(a.piece[of == contour], a.piece[of == base])
    if not own.size:
        return False, False, place(over.contours[contour].points[0], over.section.unit)
    middles = over.middles(own)
    within = inside(middles, (over.contours[base],))
    # The odd ones out tell where the contour leaves the base.
    spot = middles[np.argmin(within)] if within.any() else middles[0]
    return bool(within.any()), bool((~within).any()), place(spot, over.section.unit)


def _check_nesting(over: Overlay) -> None:
    """Holes lie inside their outline and not in each other; nothing touches any more at this
    point."""
    section = over.section
    for r, region in enumerate(section.regions):
        if not region.holes:
            continue
        samples = np.array([h.points[0] for h in region.holes])
        for k in np.flatnonzero(~inside(samples, (region.outline,))).tolist():
            raise GeometryError(
                f"{contour_name(section, r, k + 1)} lies outside {contour_name(section, r, 0)}, "
                f"near {place(samples[k], section.unit)}; move it inside or remove it"
            )
        low, high = _boxes(region.holes)
        x, y = samples.T
        boxed = (x > low[:, :1]) & (x < high[:, :1]) & (y > low[:, 1:]) & (y < high[:, 1:])
        boxed[np.diag_indices(len(samples))] = False
        for k in np.flatnonzero(boxed.any(axis=1)).tolist():
            near = np.flatnonzero(boxed[k])
            for j in near[inside(samples[near], (region.holes[k],))].tolist():
                inner, outer = (contour_name(section, r, h + 1) for h in (j, k))
                where = place(samples[j], section.unit)
                raise GeometryError(
                    f"{inner} lies inside {outer}, near {where}; remove one of them, "
                    f"or make what lies between them a region of its own"
                )


def _boxes(contours: tuple[Contour, ...]) -> tuple[Array, Array]:
    """(n, 2) lower and upper corners of the contours' boxes."""
    low, high = edge_boxes(
        np.vstack([c.points for c in contours]),
        np.vstack([c.ends for c in contours]),
        np.concatenate([c.bulges for c in contours]),
    )
    first = np.cumsum([0, *(len(c) for c in contours[:-1])])
    return np.minimum.reduceat(low, first), np.maximum.reduceat(high, first)
