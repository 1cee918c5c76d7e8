"""Outlines of one build: the same contours of equally many lines and arcs, which differ by numbers
only. Their edges stand in arrays with one row an outline."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from .contour import Contour, edge_points, sub_bulge

Array = NDArray[np.float64]
Ints = NDArray[np.int64]


@dataclass(frozen=True, slots=True, eq=False)
class AlikeEdges:
    """Edges of k outlines of one build.

    Attributes
    ----------
    start, end : (k, n, 2)
    bulges : (k, n)
    after : (n,) int
        The edge that follows each on its contour.
    contour : (n,) int
        Number of the contour that each is of; the outline's is 0.
    """

    start: Array
    end: Array
    bulges: Array
    after: Ints
    contour: Ints

    @classmethod
    def of(cls, outlines: Sequence[Sequence[Contour]]) -> AlikeEdges:
        """Of the contours of each outline, all in the same order and equally long."""
        sizes = [len(c) for c in outlines[0]]
        first = np.cumsum([0, *sizes])
        after = np.arange(1, first[-1] + 1)
        after[first[1:] - 1] = first[:-1]
        start = np.array([np.concatenate([c.points for c in run]) for run in outlines])
        bulges = np.array([np.concatenate([c.bulges for c in run]) for run in outlines])
        contour = np.repeat(np.arange(len(sizes)), sizes)
        return cls(start, start[:, after], bulges, after, contour)

    def __len__(self) -> int:
        return len(self.start)

    def rows(self, which: Ints | NDArray[np.bool_] | slice) -> AlikeEdges:
        """Some of the outlines."""
        return AlikeEdges(
            self.start[which], self.end[which], self.bulges[which], self.after, self.contour
        )

    def cut(self, turn: float) -> tuple[AlikeEdges, Ints]:
        """The same outlines with arcs cut, all alike, into pieces of at most `turn` (radians), and
        the edge (m,) that each piece is of."""
        angle = np.abs(4 * np.arctan(self.bulges)).max(axis=0)
        parts = np.maximum(1, np.ceil(angle / turn - 1e-9)).astype(np.int64)
        edge = np.repeat(np.arange(len(parts)), parts)
        if len(edge) == len(parts):
            return self, edge
        first = np.cumsum(parts) - parts
        nth = np.arange(len(edge)) - first[edge]
        last = nth + 1 == parts[edge]
        after = np.where(last, first[self.after[edge]], np.arange(1, len(edge) + 1))
        share = np.tile(nth / parts[edge], len(self))[:, None]
        p, q = (part[:, edge].reshape(-1, 2) for part in (self.start, self.end))
        start = edge_points(p, q, self.bulges[:, edge].ravel(), share).reshape(len(self), -1, 2)
        bulges = sub_bulge(self.bulges[:, edge], 1 / parts[edge])
        return AlikeEdges(start, start[:, after], bulges, after, self.contour[edge]), edge
