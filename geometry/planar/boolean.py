"""Exact union, difference and intersection of regions with straight and circular-arc edges.

The edges of all regions are arranged; for each piece it is known, or found by one sample a run,
what lies on its left and right; the pieces with the result on one side only are its border.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence

import numpy as np

from ..errors import GeometryError
from ..material import Material
from ..outline.contour import Contour, edge_points
from ..outline.edges import Array, Bools, Ints
from ..outline.smoothing import merged
from ..place_words import place
from ..section import Region
from .arrangement import Arrangement, arrange, runs
from .crossings import length_tolerance
from .locate import inside
from .loops import loops

Rule = Callable[[Bools, Bools], Bools]
#: Tail node, head node and bulge of directed pieces.
Pieces = tuple[Ints, Ints, Array]

#: Factors on the tolerance, tried in turn. Borders that stray from each other by about one
#: tolerance can be cut in one place and not in the next; a wider one then takes them as one
#: throughout.
_WIDENING = (1.0, 4.0, 16.0, 64.0)


def union(a: Sequence[Region], b: Sequence[Region] = ()) -> tuple[Region, ...]:
    """The regions covered by `a` or `b`, merged where they overlap or share a border.

    Parameters
    ----------
    a, b : sequences of Region
        All of one material; regions of one sequence may overlap.

    Returns
    -------
    tuple of Region
        Apart from each other except in points; contours without collinear or co-circular splits.

    Raises
    ------
    GeometryError
        If the materials differ.
    """
    return _combine(a, b, np.logical_or, _common([*a, *b]))


def difference(a: Sequence[Region], b: Sequence[Region]) -> tuple[Region, ...]:
    """The regions covered by `a` and not by `b`, of a's material; see `union`."""
    return _combine(a, b, lambda x, y: x & ~y, _common(a))


def intersection(a: Sequence[Region], b: Sequence[Region]) -> tuple[Region, ...]:
    """The regions covered by both `a` and `b`, of a's material; see `union`."""
    return _combine(a, b, np.logical_and, _common(a))


def _common(regions: Sequence[Region]) -> tuple[Material, str]:
    """The material of the regions and their name, if they have the same."""
    for r in regions[1:]:
        if r.material != regions[0].material:
            at = place(r.outline.points[0], "")
            raise GeometryError(
                f"regions of {regions[0].material.name!r} and {r.material.name!r} cannot be merged "
                f"(the second near {at}); keep them as regions of one section, bonded there"
            )
    names = {r.name for r in regions}
    material = regions[0].material if regions else Material()
    return material, (names.pop() if len(names) == 1 else "")


def _combine(
    a: Sequence[Region], b: Sequence[Region], rule: Rule, common: tuple[Material, str]
) -> tuple[Region, ...]:
    regions = [*a, *b]
    contours = [c for r in regions for c in r.contours]
    if not contours:
        return ()
    start = np.vstack([c.points for c in contours])
    end = np.vstack([c.ends for c in contours])
    bulge = np.concatenate([c.bulges for c in contours])
    owner = np.repeat(np.arange(len(regions)), [sum(map(len, r.contours)) for r in regions])
    for widening in _WIDENING:
        tolerance = widening * length_tolerance(start)
        arrangement = arrange(start, end, bulge, tolerance)
        left, right = _sides(arrangement, regions, owner, len(a))
        result = _border(arrangement, rule(*left), rule(*right))
        both = [result, *(_border(arrangement, x, y) for x, y in zip(left, right, strict=True))]
        loose = [node for tail, head, _ in both for node in _unbalanced(tail, head)]
        if not loose:
            found = _nested(_rings(arrangement.nodes, result, tolerance), common)
            if found is not None:
                return found
    where = place(arrangement.nodes[loose[0] if loose else 0], "")
    raise GeometryError(
        f"borders nearly coincide near {where} but stray by more than {tolerance:.3g}; "
        f"let them share their vertices or move them apart"
    )


def _unbalanced(tail: Ints, head: Ints) -> list[int]:
    """Nodes where not as many pieces start as end: left and right were not told consistently."""
    count = 1 + max(tail.max(initial=0), head.max(initial=0))
    surplus = np.bincount(tail, minlength=count) - np.bincount(head, minlength=count)
    return list(np.flatnonzero(surplus))


def _rings(nodes: Array, pieces: Pieces, tolerance: float) -> list[Contour]:
    tail, _, bulge = pieces
    rings = (merged(nodes[tail[k]], bulge[k], tolerance) for k in loops(nodes, *pieces))
    return [ring for ring in rings if ring is not None]


def _sides(
    arrangement: Arrangement, regions: Sequence[Region], owner: Ints, split: int
) -> tuple[tuple[Bools, Bools], tuple[Bools, Bools]]:
    """Whether the first `split` regions, and the others, cover the left of each edge; the same for
    its right."""
    edges, nodes = arrangement.edges, arrangement.nodes
    covered = np.zeros((2, 2, len(edges)), dtype=bool)
    sample, run = runs(nodes, edges)
    p = nodes[edges[sample]]
    middles = edge_points(p[:, 0], p[:, 1], arrangement.bulges[sample], np.array([0.5]))[:, 0]
    piece_owner = owner[arrangement.source]
    for k, region in enumerate(regions):
        group = int(k >= split)
        own = piece_owner == k
        piece, forward = arrangement.piece[own], arrangement.forward[own]
        x0, y0, x1, y1 = region.outline.bounds()
        x, y = middles.T
        near = np.flatnonzero((x > x0) & (x < x1) & (y > y0) & (y < y1))
        within = np.zeros(len(middles), dtype=bool)
        within[near] = inside(middles[near], region.contours)
        both = within[run]
        # On the region's own border the direction decides, not the sample.
        both[piece] = False
        sides = np.stack([both, both])
        sides[np.where(forward, 0, 1), piece] = True
        covered[group] |= sides
    return (covered[0, 0], covered[1, 0]), (covered[0, 1], covered[1, 1])


def _border(arrangement: Arrangement, left: Bools, right: Bools) -> Pieces:
    """The pieces with cover on one side only, run with it on their left."""
    border = np.flatnonzero(left != right)
    keep = left[border]
    one, other = arrangement.edges[border].T
    bulge = arrangement.bulges[border]
    return (
        np.where(keep, one, other),
        np.where(keep, other, one),
        np.where(keep, bulge, 0.0 - bulge),
    )


def _nested(rings: list[Contour], common: tuple[Material, str]) -> tuple[Region, ...] | None:
    """Each hole goes to the smallest outline around it; None if one finds no outline."""
    areas = np.array([ring.area() for ring in rings])
    outlines = [k for k in np.argsort(areas) if areas[k] > 0]
    holes = [k for k in range(len(rings)) if areas[k] < 0]
    home = np.full(len(holes), -1)
    # A vertex may lie on the outline, where the two touch in a point; the middle of an edge cannot.
    samples = np.array([_middle(rings[k]) for k in holes]).reshape(-1, 2)
    for k in outlines:
        free = np.flatnonzero(home < 0)
        home[free[inside(samples[free], (rings[k],))]] = k
    if (home < 0).any():
        return None
    material, name = common
    return tuple(
        Region(
            rings[k],
            tuple(rings[h] for h, at in zip(holes, home, strict=True) if at == k),
            material,
            name,
        )
        for k in sorted(outlines)
    )


def _middle(ring: Contour) -> Array:
    points = edge_points(ring.points[:1], ring.ends[:1], ring.bulges[:1], np.array([0.5]))
    return np.asarray(points[0, 0])
