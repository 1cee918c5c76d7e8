"""Texts beside a drawing that keep out of each other's way.

A label is a row of discs along its text, in printer's points; candidates for its seat are tried in
turn, and a label that finds no room is left out. What is drawn first has the best seats.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

import numpy as np
from numpy.typing import ArrayLike, NDArray

from .drafting import INK
from .layout import points_per_length

if TYPE_CHECKING:
    from matplotlib.axes import Axes

Array = NDArray[np.float64]

#: Mean width of a character and half the height of one, as shares of the font size.
_WIDTH, _HALF = 0.58, 0.6
_PAPER: dict[str, Any] = {"facecolor": "white", "edgecolor": "none", "pad": 0.6, "alpha": 0.75}


@dataclass(frozen=True, slots=True)
class Seat:
    """Where a label might go.

    `offset` in points from the anchor to the text's middle; `angle` of the text in degrees.
    """

    offset: tuple[float, float]
    angle: float = 0.0


@dataclass(slots=True)
class Board:
    """The drawing's labels so far, and the lines they should not cover.

    Parameters
    ----------
    axes : Axes
        Framed and with an equal aspect.
    lines : (n, 2) array
        Points along the drawn lines, in data units, close enough together for the smallest text.
    """

    axes: Axes
    lines: Array
    scale: float = 0.0
    _discs: list[Array] = field(default_factory=list)
    _radii: list[Array] = field(default_factory=list)

    def __post_init__(self) -> None:
        self.scale = points_per_length(self.axes)
        self.lines = self.lines * self.scale

    def place(
        self,
        text: str,
        anchor: ArrayLike,
        seats: Sequence[Seat],
        *,
        size: float = 6.0,
        colour: str = INK,
        over_lines: bool = False,
        leader: bool = False,
        bold: bool = False,
    ) -> bool:
        """Write a text at the first free seat; False where none is free.

        Parameters
        ----------
        text : str
        anchor : (x, y)
            In data units.
        seats : sequence of Seat
        size : float
            Of the font, in points.
        over_lines : bool
            Allow seats that cover drawn lines, when no other is free.
        leader : bool
            Draw a thin line from the text to the anchor.
        """
        place = np.asarray(anchor, dtype=float)
        at = place * self.scale
        choice: Seat | None = None
        for seat in seats:
            discs, radius = self._shape(text, at, seat, size)
            if not self._inside(discs, radius) or self._taken(discs, radius):
                continue
            if not self._covers(discs, radius):
                choice = seat
                break
            if over_lines and choice is None:
                choice = seat
        if choice is None:
            return False
        discs, radius = self._shape(text, at, choice, size)
        self._discs.append(discs)
        self._radii.append(np.full(len(discs), radius))
        self._write(text, place, choice, size, colour, leader, bold)
        return True

    def block(self, start: Array, end: Array, radius: float) -> None:
        """Keep labels off a drawn line (in data units), `radius` points to each side."""
        a, b = start * self.scale, end * self.scale
        count = 2 + int(np.hypot(*(b - a)) / radius)
        self._discs.append(np.linspace(a, b, count))
        self._radii.append(np.full(count, radius))

    def _shape(self, text: str, at: Array, seat: Seat, size: float) -> tuple[Array, float]:
        """Centres (k, 2) and radius of the discs along a text."""
        radius, half = _HALF * size, _WIDTH * size * len(text) / 2
        reach = max(half - radius, 0.0)
        steps = np.linspace(-reach, reach, max(1, int(np.ceil(reach / radius)) + 1))
        turn = np.deg2rad(seat.angle)
        direction = np.array([np.cos(turn), np.sin(turn)])
        return at + np.asarray(seat.offset) + steps[:, None] * direction, radius

    def _inside(self, discs: Array, radius: float) -> bool:
        """Within the frame, where nothing else is written."""
        (x0, x1), (y0, y1) = self.axes.get_xlim(), self.axes.get_ylim()
        low = np.array([x0, y0]) * self.scale + radius
        high = np.array([x1, y1]) * self.scale - radius
        return bool(np.all((discs >= low) & (discs <= high)))

    def _taken(self, discs: Array, radius: float) -> bool:
        if not self._discs:
            return False
        others, radii = np.vstack(self._discs), np.concatenate(self._radii)
        apart = np.hypot(*(discs[:, None] - others[None]).transpose(2, 0, 1))
        return bool(np.any(apart < radius + radii))

    def _covers(self, discs: Array, radius: float) -> bool:
        low, high = discs.min(axis=0) - radius, discs.max(axis=0) + radius
        near = self.lines[np.all((self.lines >= low) & (self.lines <= high), axis=1)]
        if not len(near):
            return False
        apart = np.hypot(*(discs[:, None] - near[None]).transpose(2, 0, 1))
        return bool(np.any(apart < radius))

    def _write(
        self,
        text: str,
        anchor: Array,
        seat: Seat,
        size: float,
        colour: str,
        leader: bool,
        bold: bool,
    ) -> None:
        arrow = {"arrowstyle": "-", "color": colour, "linewidth": 0.5, "shrinkA": 0, "shrinkB": 0}
        options: dict[str, Any] = {"arrowprops": arrow} if leader else {}
        self.axes.annotate(
            text,
            (float(anchor[0]), float(anchor[1])),
            seat.offset,
            textcoords="offset points",
            fontsize=size,
            color=colour,
            rotation=seat.angle,
            rotation_mode="anchor",
            ha="center",
            va="center_baseline" if seat.angle == 0 else "center",
            bbox=_PAPER,
            weight="bold" if bold else "normal",
            zorder=9,
            **options,
        )


def around(distances: Sequence[float], first: float = 45.0, count: int = 8) -> list[Seat]:
    """Seats around an anchor: all directions at the first distance, then at the next.

    Directions start at `first` (degrees) and go to both sides in turn.
    """
    turns = [0.0]
    for k in range(1, count // 2 + 1):
        turns += [360.0 * k / count, -360.0 * k / count]
    seats = []
    for distance in distances:
        for turn in turns[:count]:
            a = np.deg2rad(first + turn)
            seats.append(Seat((distance * float(np.cos(a)), distance * float(np.sin(a)))))
    return seats
