"""What a rule finds wrong, in numbers: the kind, the parts and the places; `wording` says it."""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum, auto

Point = tuple[float, float]


class Kind(Enum):
    """Kinds of faults; each has its sentence in `wording`."""

    SIZE = auto()
    SLIT_NOT_FINITE = auto()
    SLIT_POINT_TWICE = auto()
    VERTEX_TWICE = auto()
    CROSSES_ITSELF = auto()
    FOLDS_BACK = auto()
    TOUCHES_ITSELF = auto()
    HOLE_CROSSES_OUTLINE = auto()
    HOLE_ALONG_OUTLINE = auto()
    HOLE_TOUCHES_OUTLINE = auto()
    HOLE_COVERS_OUTLINE = auto()
    HOLE_OUTSIDE = auto()
    HOLES_CROSS = auto()
    HOLES_OVERLAP = auto()
    HOLES_ALONG = auto()
    HOLES_TOUCH = auto()
    HOLE_IN_HOLE = auto()
    REGIONS_CROSS = auto()
    REGIONS_OVERLAP = auto()
    REGIONS_TOUCH = auto()
    GAP = auto()
    SLIT_OUTSIDE = auto()
    SLIT_PARTS_NOTHING = auto()
    SLIT_CUTS_APART = auto()


@dataclass(frozen=True, slots=True)
class Fault:
    """A fault of a section.

    Attributes
    ----------
    kind : Kind
    contours : tuple of (region, rank)
        Rank 0 is the region's outline, k its hole k.
    regions, slits : tuple of int
    places : tuple of points
        The first is where it is; ends of edges may follow.
    counts : tuple of int
        Numbers of vertices or points, from 1.
    length : float
        A width or an extent.
    """

    kind: Kind
    contours: tuple[tuple[int, int], ...] = ()
    regions: tuple[int, ...] = ()
    slits: tuple[int, ...] = ()
    places: tuple[Point, ...] = ()
    counts: tuple[int, ...] = ()
    length: float = 0.0
