"""A section between two others, for members that taper: outlines matched vertex by vertex."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from ..section import Region, Section, Slit
from .contour import Contour


def matches(first: Section, last: Section) -> bool:
    """Whether the sections have the same regions, contours, vertices, materials and slits, in
    order."""
    if len(first.regions) != len(last.regions) or len(first.slits) != len(last.slits):
        return False
    if any(len(p.points) != len(q.points) for p, q in zip(first.slits, last.slits, strict=True)):
        return False
    return first.unit == last.unit and all(
        a.material == b.material
        and len(a.contours) == len(b.contours)
        and all(len(p) == len(q) for p, q in zip(a.contours, b.contours, strict=True))
        for a, b in zip(first.regions, last.regions, strict=True)
    )


def intermediate(first: Section, last: Section, share: float, name: str = "") -> Section:
    """The section `share` of the way from the first to the last, every vertex on a straight line.

    Bulges are interpolated too, so that fillets stay fillets. The sections must match.

    Examples
    --------
    >>> small = Section.single(Contour([[0, 0], [2, 0], [0, 1]]))
    >>> large = Section.single(Contour([[0, 0], [4, 0], [0, 3]]))
    >>> intermediate(small, large, 0.5).bounds()
    (0.0, 0.0, 3.0, 2.0)
    """
    regions = tuple(_region(a, b, share) for a, b in zip(first.regions, last.regions, strict=True))
    slits = tuple(_slit(a, b, share) for a, b in zip(first.slits, last.slits, strict=True))
    return replace(first, regions=regions, slits=slits, name=name or first.name, joints=())


def _region(first: Region, last: Region, share: float) -> Region:
    pairs = zip(first.contours, last.contours, strict=True)
    return first.within([_contour(a, b, share) for a, b in pairs])


def _slit(first: Slit, last: Slit, share: float) -> Slit:
    points = np.asarray(first.points) * (1 - share) + np.asarray(last.points) * share
    bulges = np.asarray(first.bulges) * (1 - share) + np.asarray(last.bulges) * share
    return replace(
        first,
        points=tuple((float(x), float(y)) for x, y in points),
        bulges=tuple(map(float, bulges)),
    )


def _contour(first: Contour, last: Contour, share: float) -> Contour:
    return Contour(
        np.asarray(first.points) * (1 - share) + np.asarray(last.points) * share,
        np.asarray(first.bulges) * (1 - share) + np.asarray(last.bulges) * share,
    )
