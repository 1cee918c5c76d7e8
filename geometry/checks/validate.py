"""Is a section valid? What is wrong, where, and what to do.

All questions are asked of one arrangement of the section's edges, in which places closer than the
tolerance of `crossings` are one: a valid contour visits every node and every edge there once, and
so does a valid region with all its contours. Holes are looked at in `holes`,
regions against each other in `body`.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from ..errors import GeometryError
from ..outline.contour import Contour
from ..planar.crossings import CROSSING, length_tolerance
from ..planar.overlay import Overlay, map_of, overlay
from ..planar.planar_map import PlanarMap
from ..section import Section
from .holes import check_nesting, clash, contact, name_of
from .naming import contour_name, place, region_name, slit_name
from .overlaps import check_joints, check_overlaps, check_slits

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
    check_nesting(over)
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
            raise GeometryError(
                f"{name_of(over, a[k])} crosses itself near {where}, where "
                f"{_edge(over, met.first[k])} meets {_edge(over, met.second[k])}; "
                f"let it run around the material once"
            )
        if over.region_of[a[k]] == over.region_of[b[k]]:
            raise clash(over, a[k], b[k], "crosses", where)
        one, other = (region_name(over.section, over.region_of[c]) for c in (a[k], b[k]))
        raise GeometryError(
            f"{other} overlaps {one}: their borders cross near {where}; "
            f"move one of them or cut it out of the other"
        )


def _edge(over: Overlay, source: int) -> str:
    """An edge by its ends: a number would not tell which way the contour was given."""
    c = over.contour_of[source]
    contour, k = over.contours[c], source - over.first_edge[c]
    unit = over.section.unit
    return f"the edge from {place(contour.points[k], '')} to {place(contour.ends[k], unit)}"


def _check_folds(over: Overlay) -> None:
    """No region uses an edge twice: there would be no material, or no hole, between the two."""
    for one, other in _repeated(over, over.arrangement.piece):
        a = over.arrangement
        first, last = (place(p, over.section.unit) for p in a.nodes[a.edges[a.piece[one]]])
        c, d = over.contour_of[a.source[[one, other]]]
        if c != d:
            raise contact(
                over, c, d, f"runs along {{}} between {first} and {last}: no wall is left"
            )
        raise GeometryError(
            f"{name_of(over, c)} folds back on itself between {first} and {last}: zero thickness; "
            f"remove the spike or give it a width"
        )


def _check_touches(over: Overlay) -> None:
    """No region visits a node twice."""
    a = over.arrangement
    for one, other in _repeated(over, a.tail):
        where = place(a.nodes[a.tail[one]], over.section.unit)
        c, d = over.contour_of[a.source[[one, other]]]
        if c != d:
            raise contact(over, c, d, f"touches {{}} near {where}: no wall is left")
        raise GeometryError(
            f"{name_of(over, c)} touches itself near {where}, where "
            f"{_edge(over, a.source[one])} meets {_edge(over, a.source[other])}: "
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
