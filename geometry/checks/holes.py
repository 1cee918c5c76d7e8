"""Holes against their outline and against each other."""

from __future__ import annotations

import numpy as np

from ..errors import GeometryError
from ..outline.contour import Contour
from ..outline.edges import Array
from ..planar.locate import inside
from ..planar.near_boxes import edge_boxes
from ..planar.overlay import Overlay
from .naming import contour_name, place


def check_nesting(over: Overlay) -> None:
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


def clash(over: Overlay, one: int, other: int, what: str, where: str) -> GeometryError:
    """Two contours of one region meet, the hole named first."""
    low, high = sorted((one, other), key=lambda c: int(over.rank[c]))
    advice = "merge them or move one of them" if over.rank[low] else "move it inside or merge it"
    return GeometryError(
        f"{name_of(over, high)} {what} {name_of(over, low)} near {where}; {advice}"
    )


def contact(over: Overlay, one: int, other: int, touch: str) -> GeometryError:
    """Two contours of one region meet at vertices or along edges: do they cross, overlap or only
    touch?"""
    low, high = sorted((int(one), int(other)), key=lambda c: int(over.rank[c]))
    hole, base = name_of(over, high), name_of(over, low)
    within, beyond, at = _sides(over, high, low)
    if over.rank[low] == 0:
        if within and beyond:
            return clash(over, high, low, "crosses", at)
        if not within:
            what = "lies outside" if beyond else "covers"
            return GeometryError(f"{hole} {what} {base}, near {at}; move it inside or remove it")
        return GeometryError(f"{hole} {touch.format(base)}; move it inside or merge it")
    around, _, _ = _sides(over, low, high)
    if within or around or not beyond:
        return clash(over, high, low, "overlaps", at)
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


def name_of(over: Overlay, contour: int) -> str:
    """A contour of an overlay in words."""
    return contour_name(over.section, int(over.region_of[contour]), int(over.rank[contour]))


def _boxes(contours: tuple[Contour, ...]) -> tuple[Array, Array]:
    """(n, 2) lower and upper corners of the contours' boxes."""
    low, high = edge_boxes(
        np.vstack([c.points for c in contours]),
        np.vstack([c.ends for c in contours]),
        np.concatenate([c.bulges for c in contours]),
    )
    first = np.cumsum([0, *(len(c) for c in contours[:-1])])
    return np.minimum.reduceat(low, first), np.maximum.reduceat(high, first)
