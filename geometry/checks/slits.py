"""Slits that leave the material, part nothing, or part the section in two."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from ..planar.arrangement import connected
from ..planar.overlay import Overlay
from .fault import Fault, Kind


def slits_outside(over: Overlay) -> Iterator[Fault]:
    """Slits that leave the material."""
    for edge in over.stray:
        yield _at(over, Kind.SLIT_OUTSIDE, int(edge))


def idle_slits(over: Overlay) -> Iterator[Fault]:
    """Slits that run along free borders only."""
    a = over.arrangement
    contour = over.contour_of[a.source]
    for k, slit in enumerate(over.section.slits):
        if not over.parted[a.piece[contour == -1 - k]].any():
            yield Fault(Kind.SLIT_PARTS_NOTHING, slits=(k,), places=(slit.points[0],))


def cutting_slits(over: Overlay) -> Iterator[Fault]:
    """Slits that part the body in two.

    The body less its slits stays in one piece exactly when the slits, drawn as a graph in which
    every connected free border counts as one vertex, form no cycle (the plane is cut by closed
    curves only).
    """
    a = over.arrangement
    if not over.section.slits:
        return
    free = (over.left < 0) != (over.right < 0)
    vertex = connected(len(a.nodes), a.edges[free])
    for edge in np.flatnonzero(over.parted):
        one, other = vertex[a.edges[edge]]
        if one == other:
            yield _at(over, Kind.SLIT_CUTS_APART, int(edge))
        vertex[vertex == max(one, other)] = min(one, other)


def _at(over: Overlay, kind: Kind, edge: int) -> Fault:
    """A fault of the slit that an edge belongs to, at the edge's middle."""
    a = over.arrangement
    contour = over.contour_of[a.source]
    slit = -1 - int(contour[(contour < 0) & (a.piece == edge)][0])
    x, y = over.middles(np.array([edge]))[0]
    return Fault(kind, slits=(slit,), places=((x, y),))
