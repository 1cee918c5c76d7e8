"""Closed contours sorted into regions with holes, by what lies inside what.

Within a group (a layer) nested contours alternate: solid, hole, solid. A contour of another group
inside a solid is a part embedded there and takes its place, so the two share that border and are
bonded, if one of their layers has a material; else it is a hole. A contour on a layer of voids is
a hole in whatever surrounds it. Containment is judged on polygons with short chords along the arcs;
the regions keep the exact contours.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import numpy as np

from ..errors import GeometryError
from ..material import Material
from ..outline.contour import Contour
from ..place_words import place
from ..planar.crossings import CROSSING, length_tolerance, meetings
from ..section import Region
from .bounds import MAX_CONTOURS, MAX_PAIRS, check_count
from .layers import is_void
from .stroke import Array, on_layer
from .stroke_chain import Loop

if TYPE_CHECKING:
    from numpy.typing import NDArray

#: Chords leave the arcs by at most this part of the contour's size.
_CHORD = 1e-6
#: Area, by size and length, of a contour that is a line but for rounding.
_FLAT = 4e-9


@dataclass(slots=True)
class _Curve:
    """One contour, possibly drawn in several groups, and what lies just inside it."""

    loop: int
    groups: list[str]
    area: float
    parent: int | None = None
    #: Groups entered and not left, outermost first.
    within: tuple[str, ...] = ()
    #: The group whose material lies just inside: the one entered last, None in a void.
    owner: str | None = None


def make_regions(
    loops: Sequence[Loop], materials: Mapping[str, Material] | None, unit: str
) -> tuple[list[Region], list[str]]:
    """Regions in the order of their outlines, and notes.

    Raises
    ------
    GeometryError
        If a contour crosses itself or another one, encloses nothing, or is claimed by two groups.
    """
    check_count(len(loops), MAX_CONTOURS, "closed contours")
    polygons = _polygons(loops, unit)
    curves, inside, notes = _relations(loops, polygons, unit)
    notes += _assign(curves, inside, loops, set(materials or {}), unit)
    regions, embedded = [], []
    for k, curve in sorted(curves.items(), key=lambda item: item[1].loop):
        above = curves[curve.parent].owner if curve.parent is not None else None
        if curve.owner is None or curve.owner == above:
            continue
        layer = _layer(loops, curve.owner)
        holes = [loops[curves[c].loop].contour for c in _children(curves, k)]
        material = (materials or {}).get(layer, Material())
        regions.append(Region(loops[curve.loop].contour, tuple(holes), material, layer))
        if above is not None and above in curve.within:
            embedded.append(
                f"{layer or 'a part'} is embedded in {_layer(loops, above) or 'another part'}"
            )
    if embedded:
        notes.append(
            f"{'; '.join(dict.fromkeys(embedded))}: it takes that area's place and is bonded to it"
        )
    return regions, notes


def _polygons(loops: Sequence[Loop], unit: str) -> NDArray[Any]:
    """A shapely polygon for each contour, checked for self-crossing and for area."""
    import shapely

    polygons = []
    for loop in loops:
        c = loop.contour
        size = _size(c)
        polygon = shapely.Polygon(c.polyline(_CHORD * size))
        name = f"{loop.source}{on_layer(loop.layer)}"
        # A figure of eight may enclose as much on one hand as on the other; its hull is no line.
        line = _FLAT * size * c.length()
        if polygon.convex_hull.area <= line or (polygon.is_valid and abs(c.area()) <= line):
            raise GeometryError(
                f"{name} near {place(c.points[0], unit)} encloses no area; complete or delete it"
            )
        if not polygon.is_valid:
            raise GeometryError(
                f"{name} crosses or touches itself near {_meeting([c], c.points[0], unit)}; "
                "redraw it without crossing"
            )
        polygons.append(polygon)
    return np.array(polygons, dtype=object)


def _size(contour: Contour) -> float:
    x0, y0, x1, y1 = contour.bounds()
    return float(np.hypot(x1 - x0, y1 - y0))


def _relations(
    loops: Sequence[Loop], polygons: NDArray[Any], unit: str
) -> tuple[dict[int, _Curve], dict[int, list[int]], list[str]]:
    """Distinct curves, what each of them lies inside, and a note on contours drawn twice."""
    import shapely

    area = shapely.area(polygons)
    i, j = shapely.STRtree(polygons).query(polygons)
    i, j = i[i < j], j[i < j]
    check_count(len(i), MAX_PAIRS, "pairs of overlapping contours")
    common = shapely.area(shapely.intersection(polygons[i], polygons[j]))
    # Curves that coincide may swap sides by their chords' deviation along the shorter one of them.
    size = np.array([_size(loop.contour) for loop in loops])
    slack = (
        4
        * _CHORD
        * np.maximum(size[i], size[j])
        * np.minimum(shapely.length(polygons[i]), shapely.length(polygons[j]))
    )
    slack = np.minimum(slack, 1e-3 * np.minimum(area[i], area[j]))
    curves = {k: _Curve(k, [loop.group], float(area[k])) for k, loop in enumerate(loops)}
    same: dict[int, int] = {}
    inside: dict[int, list[int]] = {k: [] for k in curves}
    doubled: list[str] = []
    for a, b, shared, eps in zip(i.tolist(), j.tolist(), common, slack, strict=True):
        small, large = (a, b) if area[a] <= area[b] else (b, a)
        if shared <= eps:
            continue
        if area[small] - shared > eps:
            _crossing(loops, a, b, unit)
        if area[large] - shared <= eps:
            same.setdefault(max(a, b), min(a, b))
        else:
            inside[small].append(large)
    for k in sorted(same):
        keep = same[k]
        while keep in same:
            keep = same[keep]
        group = curves.pop(k).groups[0]
        if group in curves[keep].groups:
            where = place(loops[k].contour.points[0], unit)
            doubled.append(f"{loops[k].source}{on_layer(loops[k].layer)} near {where}")
        else:
            curves[keep].groups.append(group)
    inside = {k: [m for m in inside[k] if m in curves] for k in curves}
    notes = [f"drawn twice, used once: {doubled[0]}{_more(len(doubled) - 1)}"] if doubled else []
    return curves, inside, notes


def _more(count: int) -> str:
    return f" and {count} more" if count > 0 else ""


def _assign(
    curves: dict[int, _Curve],
    inside: dict[int, list[int]],
    loops: Sequence[Loop],
    named: set[str],
    unit: str,
) -> list[str]:
    """Parents, and the groups that are solid inside each curve, from the outside in; notes on what
    is a hole because no layer in `named` has to do with it."""
    layer = {loop.group: loop.layer for loop in loops}
    holes: dict[str, None] = {}
    for k in sorted(curves, key=lambda k: -curves[k].area):
        curve = curves[k]
        if inside[k]:
            curve.parent = min(inside[k], key=lambda m: curves[m].area)
        before = curves[curve.parent].within if curve.parent is not None else ()
        entered = [g for g in curve.groups if g not in before]
        if len(entered) > 1:
            names = " and ".join(repr(layer[g]) for g in entered)
            raise GeometryError(
                f"layers {names} both claim the area inside the contour near "
                f"{place(loops[curve.loop].contour.points[0], unit)}; keep it on one layer"
            )
        # Entering a void leaves everything: what lies inside it begins anew.
        emptied = any(is_void(layer[g]) for g in entered)
        stay = [] if emptied else [g for g in before if g not in curve.groups]
        pair = [layer[g] for g in (*stay[-1:], *entered) if not is_void(layer[g])]
        if len(set(pair)) == 2 and not named.intersection(pair):
            holes[
                f"the outline on layer {pair[1] or '0'!r} inside layer {pair[0] or '0'!r} is a "
                "hole, since neither has a material; to fill it give one, in a section file: "
                f'[[drawing]] with materials = {{"{pair[1] or "0"}" = "..."}}'
            ] = None
            entered = stay = []
        curve.within = (*stay, *entered)
        last = curve.within[-1] if curve.within else None
        curve.owner = None if last is None or is_void(layer[last]) else last
    return list(holes)


def _children(curves: dict[int, _Curve], k: int) -> list[int]:
    """Curves that bound the face inside curve k from within; those that change nothing are looked
    through."""
    out = []
    for c, curve in curves.items():
        if curve.parent == k:
            out += _children(curves, c) if curve.owner == curves[k].owner else [c]
    return sorted(out)


def _layer(loops: Sequence[Loop], group: str) -> str:
    return next(loop.layer for loop in loops if loop.group == group)


def _crossing(loops: Sequence[Loop], a: int, b: int, unit: str) -> None:
    names = [f"{loops[k].source}{on_layer(loops[k].layer)}" for k in (a, b)]
    contours = [loops[a].contour, loops[b].contour]
    raise GeometryError(
        f"{names[0]} and {names[1]} overlap: they cross near "
        f"{_meeting(contours, contours[1].points[0], unit)}; merge them or move one of them"
    )


def _meeting(contours: Sequence[Contour], otherwise: Array, unit: str) -> str:
    """Where edges cross: inside both of them if there is such a place, else at an end of one."""
    start = np.vstack([c.points for c in contours])
    owner = np.repeat(np.arange(len(contours)), [len(c) for c in contours])
    met = meetings(
        start,
        np.vstack([c.ends for c in contours]),
        np.concatenate([c.bulges for c in contours]),
        length_tolerance(start),
    )
    apart = (met.second - met.first > 1) & (met.second - met.first < len(start) - 1)
    if len(contours) > 1:
        apart = owner[met.first] != owner[met.second]
    for found in ((met.kind == CROSSING) & (apart | (len(contours) == 1)), apart):
        if found.any():
            return place(met.points[found][0], unit)
    return place(otherwise, unit)
