"""Holes that lie outside their outline or in each other, when nothing touches."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from ..outline.contour import Contour
from ..outline.edges import Array
from ..planar.locate import inside
from ..planar.near_boxes import edge_boxes
from ..planar.overlay import Overlay
from ..section import Section
from .fault import Fault, Kind


def misplaced_holes(over: Overlay) -> Iterator[Fault]:
    """Holes outside their outline, or inside another hole."""
    return holes_out_of_place(over.section)


def holes_out_of_place(section: Section) -> Iterator[Fault]:
    """The same of a section whose borders touch nowhere."""
    for r, region in enumerate(section.regions):
        if not region.holes:
            continue
        samples = np.array([h.points[0] for h in region.holes])
        for k in np.flatnonzero(~inside(samples, (region.outline,))).tolist():
            at = (samples[k, 0], samples[k, 1])
            yield Fault(Kind.HOLE_OUTSIDE, contours=((r, k + 1), (r, 0)), places=(at,))
        low, high = _boxes(region.holes)
        x, y = samples.T
        boxed = (x > low[:, :1]) & (x < high[:, :1]) & (y > low[:, 1:]) & (y < high[:, 1:])
        boxed[np.diag_indices(len(samples))] = False
        for k in np.flatnonzero(boxed.any(axis=1)).tolist():
            near = np.flatnonzero(boxed[k])
            for j in near[inside(samples[near], (region.holes[k],))].tolist():
                at = (samples[j, 0], samples[j, 1])
                yield Fault(Kind.HOLE_IN_HOLE, contours=((r, j + 1), (r, k + 1)), places=(at,))


def _boxes(contours: tuple[Contour, ...]) -> tuple[Array, Array]:
    """(n, 2) lower and upper corners of the contours' boxes."""
    low, high = edge_boxes(
        np.vstack([c.points for c in contours]),
        np.vstack([c.ends for c in contours]),
        np.concatenate([c.bulges for c in contours]),
    )
    first = np.cumsum([0, *(len(c) for c in contours[:-1])])
    return np.minimum.reduceat(low, first), np.maximum.reduceat(high, first)
