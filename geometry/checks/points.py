"""Points that cannot be worked with: asked before there is a map."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from ..planar.crossings import length_tolerance
from ..section import Section
from .fault import Fault, Kind

#: Sizes whose fourth powers (second moments) and ratios stay far from overflow in double precision.
_LARGEST = 1e50


def point_faults(section: Section) -> Iterator[Fault]:
    """Sizes that overflow, slit points that are not finite, neighbours that coincide."""
    points = np.vstack([c.points for c in section.contours()])
    low, high = points.min(axis=0), points.max(axis=0)
    extent = float(max(high - low))
    if extent > _LARGEST or 0 < extent < 1 / _LARGEST:
        yield Fault(Kind.SIZE, places=((low[0], low[1]),), length=extent)
    tolerance = length_tolerance(points)
    for k, s in enumerate(section.slits):
        run = np.asarray(s.points, dtype=float)
        if not (np.isfinite(run).all() and np.isfinite(s.bulges).all()):
            yield Fault(Kind.SLIT_NOT_FINITE, slits=(k,))
        for i in np.flatnonzero(np.hypot(*np.diff(run, axis=0).T) <= tolerance).tolist():
            at = (run[i + 1, 0], run[i + 1, 1])
            yield Fault(Kind.SLIT_POINT_TWICE, slits=(k,), places=(at,), counts=(i + 2, i + 1))
    for r, region in enumerate(section.regions):
        for k, c in enumerate(region.contours):
            for i in np.flatnonzero(np.hypot(*(c.ends - c.points).T) <= tolerance).tolist():
                yield Fault(
                    Kind.VERTEX_TWICE,
                    contours=((r, k),),
                    places=((c.ends[i, 0], c.ends[i, 1]),),
                    counts=((i + 1) % len(c) + 1, i + 1),
                )
