"""What is written along an outline: vertex numbers, lengths of edges, radii of arcs."""

from __future__ import annotations

import math
from collections.abc import Container, Iterator, Sequence

import numpy as np
from numpy.typing import NDArray

from ...geometry.outline.contour import (
    Contour,
    arc_circles,
    edge_lengths,
    edge_points,
    edge_tangents,
)
from .labels import Board, Seat

Array = NDArray[np.float64]

NUMBERS, LENGTHS = "#3d4f66", "#1a1a1a"
#: A contour with more vertices than this is a traced curve, and has some of them numbered only.
_MOST_NUMBERED, _SOME = 60, 20
#: A contour with more different lengths than this is a traced curve: none is written.
_MOST_LENGTHS = 40
SIZE = 6.0


def number_vertices(board: Board, contour: Contour) -> None:
    """The numbers that messages call the vertices by, outside the material.

    They count in the direction in which contours are stored, outlines anticlockwise and holes
    clockwise.
    """
    step = 1 if len(contour) <= _MOST_NUMBERED else -(-len(contour) // _SOME)
    outward = _vertex_normals(contour)
    for i in range(0, len(contour), step):
        seats = [
            _turned(outward[i], turn, distance)
            for distance in (7.0, 10.5)
            for turn in (0, 35, -35, 75, -75)
        ]
        board.place(str(i + 1), contour.points[i], seats, size=5.0, colour=NUMBERS)


def write_lengths(
    board: Board, contours: Sequence[Contour], written: Container[tuple[str, int]] = ()
) -> None:
    """Each different length of a straight edge once, each different radius once, where there is
    room; diameters of full circles.

    Parameters
    ----------
    board : Board
    contours : sequence of Contour
    written : container of (text, degrees)
        Lengths and directions that stand there already.
    """
    for contour in contours:
        if _is_circle(contour):
            _write_diameter(board, contour)
            continue
        lines = list(_lengths(contour))
        arcs = list(_radii(contour))
        if len(lines) <= _MOST_LENGTHS:
            for text, at, direction, size in lines:
                if (text, direction_degrees(direction)) not in written:
                    board.place(text, at, _beside(text, direction, size * board.scale), size=SIZE)
        if len(arcs) <= _MOST_LENGTHS:
            for text, at, normal in arcs:
                seats = [
                    _turned(normal, turn, distance)
                    for distance in (11.0, 16.0, 24.0)
                    for turn in (0, 180, 40, -40, 220, 140)
                ]
                board.place(text, at, seats, size=SIZE, leader=True)


def length_words(value: float) -> str:
    """A length with four digits, or all before the point: "10.7", "8.485", "12500".

    >>> length_words(8.485281), length_words(12500.4), length_words(0.16)
    ('8.485', '12500', '0.16')
    """
    decimals = max(0, 3 - math.floor(math.log10(value)))
    text = f"{value:.{min(decimals, 12)}f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


def direction_degrees(direction: Array) -> int:
    """Direction of a line in whole degrees from 0 to 179: both ways along it are one."""
    return round(float(np.degrees(np.arctan2(direction[1], direction[0])))) % 180


def _write_diameter(board: Board, contour: Contour) -> None:
    """The diameter of a full circle, on its inside."""
    centre, radius = arc_circles(contour.points[:1], contour.ends[:1], contour.bulges[:1])
    text = f"\u2300 {length_words(2 * float(radius[0]))}"
    seats = [Seat((0.0, -9.0)), Seat((0.0, 9.0)), Seat((0.0, 0.0))]
    board.place(text, centre[0], seats, size=SIZE, over_lines=True)


def _is_circle(contour: Contour) -> bool:
    return len(contour) == 2 and bool(np.all(np.abs(contour.bulges) == 1.0))


def _vertex_normals(contour: Contour) -> Array:
    """(n, 2) directions away from the material, halfway between those of both edges."""
    ends = edge_tangents(contour.points, contour.ends, contour.bulges, np.array([0.0, 1.0]))
    size = np.hypot(ends[..., 0], ends[..., 1])[..., None]
    unit = ends / np.where(size > 0, size, 1.0)  # an edge of no length has no direction
    both = unit[:, 0] + np.roll(unit[:, 1], 1, axis=0)
    normal = np.stack([both[:, 1], -both[:, 0]], axis=1)
    width = np.hypot(normal[:, 0], normal[:, 1])[:, None]
    # at a spike the two tangents cancel: go on in the direction of the first
    normal = np.where(width > 1e-9, normal, np.roll(unit[:, 1], 1, axis=0))
    width = np.hypot(normal[:, 0], normal[:, 1])[:, None]
    return np.asarray(normal / np.where(width > 0, width, 1.0))


def _turned(direction: Array, degrees: float, distance: float) -> Seat:
    a = np.deg2rad(degrees)
    x, y = direction
    turned = (x * np.cos(a) - y * np.sin(a), x * np.sin(a) + y * np.cos(a))
    return Seat((distance * float(turned[0]), distance * float(turned[1])))


def _lengths(contour: Contour) -> Iterator[tuple[str, Array, Array, float]]:
    """Text, middle, unit direction and length of one edge for each different length and
    direction, longest first."""
    straight = np.flatnonzero(contour.bulges == 0.0)
    p, q = contour.points[straight], contour.ends[straight]
    length = edge_lengths(p, q, np.zeros(len(p)))
    seen = set()
    for k in np.argsort(-length, kind="stable"):
        if not length[k] > 0:
            continue
        direction = (q[k] - p[k]) / length[k]
        angle, text = direction_degrees(direction), length_words(float(length[k]))
        if (text, angle) not in seen:
            seen.add((text, angle))
            yield text, (p[k] + q[k]) / 2, direction, float(length[k])


def _beside(text: str, direction: Array, room: float) -> list[Seat]:
    """Seats along an edge of `room` points, outside the material first; across it where the text is
    longer than the edge."""
    outward = np.array([direction[1], -direction[0]])
    along = float(np.degrees(np.arctan2(direction[1], direction[0])))
    upright = (along + 90.0) % 180.0 - 90.0
    across = (along + 180.0) % 180.0 - 90.0
    needed = 0.58 * SIZE * len(text)
    seats = []
    if room > needed:
        for side in (5.5, -5.5):
            seats.append(Seat((float(side * outward[0]), float(side * outward[1])), upright))
    if room > 0.8 * SIZE or not seats:
        for side in (1.0, -1.0):
            for gap in (4.0, 11.0):
                reach = side * (needed / 2 + gap)
                offset = (float(reach * outward[0]), float(reach * outward[1]))
                seats.append(Seat(offset, across))
    return seats


def _radii(contour: Contour) -> Iterator[tuple[str, Array, Array]]:
    """Text, middle and direction away from the material of one arc for each different radius."""
    arcs = np.flatnonzero(contour.bulges)
    p, q, b = contour.points[arcs], contour.ends[arcs], contour.bulges[arcs]
    if not len(arcs):
        return
    _, radius = arc_circles(p, q, b)
    middle = edge_points(p, q, b, np.array([0.5]))[:, 0]
    tangent = edge_tangents(p, q, b, np.array([0.5]))[:, 0]
    texts = [f"R {length_words(float(r))}" for r in radius]
    for text in dict.fromkeys(texts):
        k, count = texts.index(text), texts.count(text)
        normal = np.array([tangent[k, 1], -tangent[k, 0]])
        many = f"{count} \u00d7 " if count > 1 else ""
        yield many + text, middle[k], normal / np.hypot(*normal)
