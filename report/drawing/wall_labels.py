"""Thicknesses of walls: two straight faces of a region opposite to each other, material between."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import numpy as np
from numpy.typing import NDArray

from .drafting import INK
from .labels import Board, Seat
from .outline_labels import SIZE, direction_degrees, length_words

if TYPE_CHECKING:
    from ...geometry.section import Region, Section

Array = NDArray[np.float64]

#: Faces within this sine of being parallel are; walls of more faces than this are traced curves.
_PARALLEL, _MOST_FACES = 1e-6, 120
#: Length of the arrows that point at the two faces, in points.
_ARROW = 10.0


@dataclass(frozen=True, slots=True)
class Wall:
    """A wall at the middle of the stretch where its two faces are opposite.

    `normal` points from the first face, through the material, to the second; `length` is that of
    the stretch.
    """

    middle: Array
    normal: Array
    thickness: float
    length: float


def write_walls(board: Board, section: Section) -> set[tuple[str, int]]:
    """Mark each different thickness of every region once, where the wall is longest.

    The middle of a wall is left to the length of its faces.

    Returns what is written (length and direction, as `outline_labels` names them), so that edges of
    the same length need no text.
    """
    written = set()
    for region in section.regions:
        seen: set[str] = set()
        for wall in sorted(walls(region), key=lambda w: -w.length):
            name = (length_words(wall.thickness), direction_degrees(wall.normal))
            if name[0] not in seen and wall.length > wall.thickness:
                seen.add(name[0])
                if _write(board, wall, name[0]):
                    written.add(name)
    return written


def walls(region: Region) -> Iterator[Wall]:
    """Every wall of a region: for each straight face the nearest one opposite to it."""
    edges = [
        (p, q)
        for c in region.contours
        for p, q, b in zip(c.points, c.ends, c.bulges, strict=True)
        if b == 0.0 and (p != q).any()
    ]
    if not 2 <= len(edges) <= _MOST_FACES:
        return
    start, end = (np.array([e[k] for e in edges]) for k in (0, 1))
    length = np.hypot(*(end - start).T)
    along = (end - start) / length[:, None]
    for i in range(len(edges)):
        inward = np.array([-along[i, 1], along[i, 0]])  # contours have their material on the left
        turned = along @ inward
        facing = (along @ along[i] < 0) & (np.abs(turned) < _PARALLEL)
        gap = (start - start[i]) @ inward
        low = np.maximum((end - start[i]) @ along[i], 0.0)
        high = np.minimum((start - start[i]) @ along[i], length[i])
        opposite = np.flatnonzero(facing & (gap > 0) & (high - low > 1e-6 * length[i]))
        if not opposite.size:
            continue
        j = opposite[np.argmin(gap[opposite])]
        if i < j:  # from one of the two faces only
            at = start[i] + along[i] * (low[j] + high[j]) / 2
            yield Wall(at + inward * gap[j] / 2, inward, float(gap[j]), float(high[j] - low[j]))


def _write(board: Board, wall: Wall, text: str) -> bool:
    """Two arrows onto the faces, and the thickness beside one of them; within a wall that has
    room, a double arrow and the text beside it."""
    along = np.array([wall.normal[1], -wall.normal[0]])
    half = wall.thickness / 2 * board.scale
    upright = (float(np.degrees(np.arctan2(wall.normal[1], wall.normal[0]))) + 90.0) % 180.0 - 90.0
    needed = 0.58 * SIZE * len(text)
    for share in (0.2, -0.2, 0.36, -0.36, 0.0):
        at = wall.middle + share * wall.length * along
        if 2 * half > needed + 8:
            shift = 5.0 * along
            seats = [Seat((float(s * shift[0]), float(s * shift[1])), upright) for s in (1, -1)]
            if board.place(text, at, seats, size=SIZE):
                _arrow(board, at - wall.normal * wall.thickness / 2, wall.normal, 2 * half, True)
                return True
            continue
        for side in (1.0, -1.0):
            reach = side * (half + _ARROW + needed / 2 + 1.5)
            seat = Seat((float(reach * wall.normal[0]), float(reach * wall.normal[1])), upright)
            if board.place(text, at, [seat], size=SIZE):
                for way in (1.0, -1.0):
                    face = at + way * wall.normal * wall.thickness / 2
                    _arrow(board, face, way * wall.normal, _ARROW, False)
                return True
    return False


def _arrow(board: Board, at: Array, direction: Array, points: float, both: bool) -> None:
    """An arrow of so many points that ends at a face, or spans from one face to the other."""
    far = at + direction * points / board.scale
    style: dict[str, Any] = {
        "arrowstyle": ("<|-|>" if both else "-|>") + ",head_width=0.1,head_length=0.25",
        "linewidth": 0.5,
        "color": INK,
        "shrinkA": 0,
        "shrinkB": 0,
    }
    board.block(at, far, 2.0)
    tail, head = ((float(x), float(y)) for x, y in (far, at))
    board.axes.annotate("", head, tail, arrowprops=style, zorder=8)
