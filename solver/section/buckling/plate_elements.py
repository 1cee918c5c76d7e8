"""The flat walls of a section: rectangles between two parallel faces, and what holds their ends.

Each wall spans the length over which its two straight faces are opposite: the clear width between
corners or fillets. An end is held where the material goes on beyond it, free where it does not.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from ....geometry.errors import InputError
from ....geometry.planar.boolean import union
from ....geometry.section import Region, Section
from ..mesh.section_mesh import Array, Ints

#: Faces within this sine of each other are parallel.
_PARALLEL = 1e-6
#: Shorter walls, by their thickness, are part of corners.
_STOCKY = 2.0
#: How far beyond an end, by the thickness, material is looked for.
_BEYOND = 0.25
#: Chords leave arcs by this part of the section's extent, where material is looked for.
_CHORD = 1e-4


@dataclass(frozen=True, slots=True, eq=False)
class PlateElement:
    """A flat wall.

    Attributes
    ----------
    start, end : (2,)
        Ends of its mid-line.
    thickness : float
    held : (bool, bool)
        Whether start and end join other walls.
    """

    start: Array
    end: Array
    thickness: float
    held: tuple[bool, bool]

    @property
    def width(self) -> float:
        """Clear width."""
        return float(np.hypot(*(self.end - self.start)))

    def at(self, distance: float) -> Array:
        """The point of the mid-line at a distance from the start."""
        return np.asarray(self.start + (self.end - self.start) * (distance / self.width))


def plate_elements(section: Section) -> list[PlateElement]:
    """All flat walls held at one end at least.

    Raises
    ------
    InputError
        For slits, several materials, or no flat wall of constant thickness.
    """
    if section.slits:
        raise InputError("effective widths need walls that are joined; weld the unjoined contacts")
    if len({region.material for region in section.regions}) > 1:
        raise InputError("effective widths are rules for one material; this section has several")
    regions = union(section.regions) if len(section.regions) > 1 else section.regions
    found = [element for region in regions for element in _walls(region)]
    if not found:
        raise InputError(
            "no flat wall between parallel faces is found, so there are no effective widths; "
            "they are rules for plated sections"
        )
    return found


def _walls(region: Region) -> Iterator[PlateElement]:
    from shapely import Point, Polygon

    start, end = _faces(region)
    if len(start) < 2:
        return
    length = np.hypot(*(end - start).T)
    along = (end - start) / length[:, None]
    fine = _CHORD * float(np.ptp(region.outline.points, axis=0).max())
    solid = Polygon(region.outline.polyline(fine), [hole.polyline(fine) for hole in region.holes])
    for i in range(len(start)):
        inward = np.array([-along[i, 1], along[i, 0]])  # material is on the left
        facing = (along @ along[i] < 0) & (np.abs(along @ inward) < _PARALLEL)
        gap = (start - start[i]) @ inward
        low = np.maximum((end - start[i]) @ along[i], 0.0)
        high = np.minimum((start - start[i]) @ along[i], length[i])
        opposite = np.flatnonzero(facing & (gap > 0) & (high > low))
        for j, a, b in _nearest(opposite, gap, low, high):
            t = float(gap[j])
            if i > j or b - a < _STOCKY * t:
                continue
            ends = [start[i] + along[i] * s + inward * t / 2 for s in (a, b)]
            if not solid.contains(Point((ends[0] + ends[1]) / 2)):
                continue
            beyond = [ends[0] - along[i] * _BEYOND * t, ends[1] + along[i] * _BEYOND * t]
            held = tuple(bool(solid.contains(Point(p))) for p in beyond)
            if any(held):
                yield PlateElement(ends[0], ends[1], t, (held[0], held[1]))


def _faces(region: Region) -> tuple[Array, Array]:
    """Straight edges of a region, those in one line joined."""
    starts, ends = [], []
    for contour in region.contours:
        straight = contour.bulges == 0.0
        p, q = contour.points, contour.ends
        step = (q - p) / np.maximum(np.hypot(*(q - p).T), 1e-300)[:, None]
        n = len(p)
        turn = np.abs(
            step[:, 0] * np.roll(step, -1, 0)[:, 1] - step[:, 1] * np.roll(step, -1, 0)[:, 0]
        )
        on = straight & np.roll(straight, -1) & (turn < _PARALLEL)
        on &= (step * np.roll(step, -1, 0)).sum(axis=1) > 0  # edge k goes on as k + 1
        first = int(np.argmin(on)) + 1 if not on.all() else 0
        k = 0
        while k < n:
            a = (first + k) % n
            b = a
            while on[b] and k < n - 1:
                b, k = (b + 1) % n, k + 1
            if straight[a]:
                starts.append(p[a])
                ends.append(q[b])
            k += 1
    return np.array(starts).reshape(-1, 2), np.array(ends).reshape(-1, 2)


def _nearest(
    opposite: Ints, gap: Array, low: Array, high: Array
) -> Iterator[tuple[int, float, float]]:
    """The nearest opposite face over each part of a face, nearer ones taken first."""
    taken: list[tuple[float, float]] = []
    for j in sorted(opposite, key=lambda k: float(gap[k])):
        for a, b in _without(float(low[j]), float(high[j]), taken):
            yield int(j), a, b
        taken.append((float(low[j]), float(high[j])))


def _without(
    low: float, high: float, taken: list[tuple[float, float]]
) -> Iterator[tuple[float, float]]:
    """Parts of an interval outside others."""
    parts = [(low, high)]
    for a, b in taken:
        parts = [
            piece
            for x, y in parts
            for piece in ((x, min(y, a)), (max(x, b), y))
            if piece[1] > piece[0]
        ]
    yield from parts
