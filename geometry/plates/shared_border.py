"""Where plates touch: the stretches of border that two regions share."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ..errors import GeometryError
from ..outline.contour import edge_points, sub_bulge
from ..planar.crossings import CROSSING, length_tolerance, meetings
from ..planar.locate import inside
from ..section import Region
from .carrier import Edge
from .path import Path, place

Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True, eq=False)
class SharedBorder:
    """A stretch of border that two regions share (or the seam of one).

    Attributes
    ----------
    first, second : int
        Regions, first <= second; equal for a seam.
    path : Path
        Run along the border of `first`, which lies on its left.
    """

    first: int
    second: int
    path: Path

    @property
    def closed(self) -> bool:
        """True when the contact goes all around, so that it has no ends."""
        return self.first != self.second and self.path.returns


@dataclass(frozen=True, slots=True, eq=False)
class Borders:
    """All edges of all regions in one list, with the region each belongs to."""

    start: Array
    end: Array
    bulge: Array
    region: NDArray[np.int64]

    @classmethod
    def of(cls, regions: Sequence[Region]) -> Borders:
        """The borders of regions, each with its material on the left."""
        loops = [(i, c) for i, r in enumerate(regions) for c in r.contours]
        return cls(
            np.vstack([c.points for _, c in loops]),
            np.vstack([c.ends for _, c in loops]),
            np.concatenate([c.bulges for _, c in loops]),
            np.concatenate([np.full(len(c), i) for i, c in loops]),
        )

    @property
    def tolerance(self) -> float:
        """Distance below which points are one."""
        return length_tolerance(self.start)


def region_contacts(regions: Sequence[Region]) -> list[SharedBorder]:
    """Every stretch of border that two of the regions share.

    Raises
    ------
    GeometryError
        When two regions overlap instead of touching; the message names them and the place.
    """
    borders = Borders.of(regions)
    met = meetings(borders.start, borders.end, borders.bulge, borders.tolerance)
    ra, rb = borders.region[met.first], borders.region[met.second]
    crossed = np.flatnonzero((ra != rb) & (met.kind == CROSSING))
    if crossed.size:
        k = int(crossed[0])
        _overlap(regions[ra[k]], regions[rb[k]], met.points[k])
    _check_apart(regions, set(zip(ra.tolist(), rb.tolist(), strict=True)))
    pieces: dict[tuple[int, int], list[Path]] = {}
    for low, high in met.stretches:
        a, b = int(met.first[low]), int(met.second[low])
        i, j = int(borders.region[a]), int(borders.region[b])
        if i == j:
            continue
        # Counted along region i's own edge; swap when the second edge belongs to the earlier
        # region.
        edge, at = (a, met.at_first) if i < j else (b, met.at_second)
        if at[low] > at[high]:
            low, high = high, low
        other = met.at_second if i < j else met.at_first
        if other[low] < other[high]:
            _overlap(regions[i], regions[j], (met.points[low] + met.points[high]) / 2)
        bulge = sub_bulge(borders.bulge[edge : edge + 1], np.array([at[high] - at[low]]))
        piece = Path(np.array([met.points[low], met.points[high]]), bulge)
        pieces.setdefault((min(i, j), max(i, j)), []).append(piece)
    return [
        SharedBorder(i, j, chain)
        for (i, j), parts in sorted(pieces.items())
        for chain in _chained(parts, borders.tolerance)
    ]


def _check_apart(regions: Sequence[Region], meeting: set[tuple[int, int]]) -> None:
    """Borders that never meet may still lie one inside the other."""
    for i, a in enumerate(regions):
        for j, b in enumerate(regions):
            if i == j or (i, j) in meeting or (j, i) in meeting:
                continue
            if inside(b.outline.points[:1], a.contours)[0]:
                _overlap(a, b, b.outline.points[0])


def _overlap(a: Region, b: Region, point: Array) -> None:
    raise GeometryError(
        f"{a.name!r} and {b.name!r} overlap near {place(point)}; move one, or end it on the "
        "other's line or face"
    )


def _chained(pieces: list[Path], tolerance: float) -> list[Path]:
    """Pieces that follow each other, strung together."""
    chains: list[list[Path]] = []
    for piece in pieces:
        chain = [piece]
        for other in list(chains):
            if _follows(other[-1], chain[0], tolerance):
                chains.remove(other)
                chain = other + chain
            elif _follows(chain[-1], other[0], tolerance):
                chains.remove(other)
                chain = chain + other
        chains.append(chain)
    return [
        Path(
            np.vstack([chain[0].points[:1], *(piece.points[1:] for piece in chain)]),
            np.concatenate([piece.bulges for piece in chain]),
        )
        for chain in chains
    ]


def _follows(before: Path, after: Path, tolerance: float) -> bool:
    return bool(np.hypot(*(before.points[-1] - after.points[0])) <= tolerance)


def border_from(
    region: Region, point: Array, length: float, *, ahead: bool, tolerance: float
) -> Path | None:
    """The smooth stretch of a region's border that starts at a point on it.

    Parameters
    ----------
    ahead : bool
        True: along the border (material on the left), False: against it.
    length : float
        How far to go; smooth neighbouring edges (a bend) are followed.

    Returns
    -------
    Path, shorter than `length` when a corner comes first; None when the point is not on the border.
    """
    for contour in region.contours:
        loop = Path(np.vstack([contour.points, contour.points[:1]]), contour.bulges)
        loop = loop if ahead else loop.reversed()
        for k in range(len(loop)):
            at = _fraction_on(loop, k, point, tolerance)
            if at is None or at >= 1.0:
                continue
            return _smooth_run(loop, k, at, point, length)
    return None


def _fraction_on(loop: Path, k: int, point: Array, tolerance: float) -> float | None:
    """Where a point lies on edge k, 1.0 at its end; None off the edge."""
    edge = Edge.of(loop, k)
    if np.hypot(*(edge.end - point)) <= tolerance:
        return 1.0
    if np.hypot(*(edge.start - point)) <= tolerance:
        return 0.0
    foot, _ = edge.nearest(point)
    return edge.fraction(foot) if np.hypot(*(foot - point)) <= tolerance else None


def _smooth_run(loop: Path, k: int, at: float, point: Array, length: float) -> Path:
    """Edges from a fraction of edge k on, up to the length or the next corner."""
    first, last = loop.directions()
    points, bulges, reached, n = [point], [], 0.0, len(loop)
    for step in range(n):
        e = (k + step) % n
        begin = at if step == 0 else 0.0
        if step and last[e - 1] @ first[e] < 1 - 1e-12:  # a corner of more than 1e-6 radians
            break
        full = float(loop.edge_lengths[e])
        stop = min(1.0, begin + (length - reached) / full)
        if stop >= 1 - 1e-12:
            points.append(loop.points[e + 1])
        else:
            s, q, b = loop.points[e : e + 1], loop.points[e + 1 : e + 2], loop.bulges[e : e + 1]
            points.append(edge_points(s, q, b, np.array([stop]))[0, 0])
        bulges.append(float(sub_bulge(loop.bulges[e : e + 1], np.array([stop - begin]))[0]))
        reached += (stop - begin) * full
        if reached >= length * (1 - 1e-12):
            break
    return Path(np.array(points), np.array(bulges))
