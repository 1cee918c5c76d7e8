"""A section to be printed, cut out and held in the hand: true to scale on sheets of paper, and for
a tube the strip that folds or rolls into a length of it.

Every sheet has crop marks and a ruler by which the print is checked.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from typing import TYPE_CHECKING, Any

import numpy as np
from numpy.typing import NDArray

from ...geometry.errors import InputError
from ...geometry.units import Units
from .drafting import INK, outline_path

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

    from ...geometry.outline.contour import Contour
    from ...geometry.section import Section

Array = NDArray[np.float64]

#: Width and height of sheets, in mm.
PAPERS = {"A4": (210.0, 297.0), "letter": (215.9, 279.4)}
#: Length of the strip of a tube, in mm.
STRIP = 150.0
_MARGIN, _FLAP, _MARK = 12.0, 12.0, 6.0
_MOST_SHEETS = 24
#: Room at the foot of a sheet for its words and the ruler.
_FOOT = 18.0
#: Corners that turn by less are no folds.
_FOLD = math.radians(3.0)
_INCH = 25.4
_FINE: dict[str, Any] = {"color": INK, "linewidth": 0.4}


def cut_out_sheets(
    section: Section, paper: str = "A4", scale: float = 1.0, length: float = STRIP
) -> list[Figure]:
    """The sheets, one figure each, to be printed without fitting them to the page.

    Parameters
    ----------
    section : Section
    paper : str
        A key of `PAPERS`.
    scale : float
        Size on paper over real size.
    length : float
        Length of a tube's strip on paper, in mm.

    Raises
    ------
    InputError
        For a section without a unit, a length that no strip has, or too many sheets.
    """
    if not section.unit:
        raise InputError("a cut-out needs the section's length unit; give --unit")
    if not 0 < length <= 2000:
        raise InputError(f"a strip is up to 2 m long, got {length:g} mm on paper")
    factor = scale * Units(section.unit).factor("length", "mm")
    x0, y0, x1, y1 = (factor * v for v in section.bounds())
    title = f"{section.name or 'section'}, {_scale_words(scale)}"

    def outline(axes: Axes, dx: float, dy: float) -> None:
        from matplotlib.patches import PathPatch
        from matplotlib.transforms import Affine2D

        path = outline_path(section).transformed(
            Affine2D().scale(factor).translate(dx - x0, dy - y0)
        )
        axes.add_patch(PathPatch(path, facecolor="#e9edf2", edgecolor=INK, linewidth=0.6))

    sheets = list(_tiles(title, outline, x1 - x0, y1 - y0, PAPERS[paper]))
    tube = _tube(section)
    if tube is not None:
        strip = _Strip(tube, factor, length)
        words = f"{title}: the tube's outside; fold at dashed lines, roll between dotted ones"
        sheets += _tiles(words, strip.draw, strip.width, strip.height, PAPERS[paper])
    return sheets


def _scale_words(scale: float) -> str:
    if scale == 1:
        return "true size"
    return f"scale 1 : {1 / scale:g}" if scale < 1 else f"scale {scale:g} : 1"


def _tube(section: Section) -> Contour | None:
    """The outside of a section that is one tube."""
    if len(section.regions) != 1 or len(section.regions[0].holes) != 1 or section.slits:
        return None
    return section.regions[0].contours[0]


# -- sheets ----------------------------------------------------------------------------------------
def _tiles(
    title: str,
    draw: Callable[[Axes, float, float], None],
    width: float,
    height: float,
    paper: tuple[float, float],
) -> Iterator[Figure]:
    """A drawing of this size on as many sheets as it takes, upright or lying."""
    ways = [paper, paper[::-1]]
    counts = [_counted(width, height, way) for way in ways]
    across, down = min(counts, key=lambda count: count[0] * count[1])
    wide, high = ways[counts.index((across, down))]
    if across * down > _MOST_SHEETS:
        raise InputError(
            f"{width:.0f} x {height:.0f} mm would take {across * down} sheets; draw it smaller: "
            "--scale 1:10"
        )
    room_x, room_y = wide - 2 * _MARGIN, high - 2 * _MARGIN - _FOOT
    alone = across * down == 1
    for row in range(down):
        for column in range(across):
            part = "" if alone else f", part {column + 1} of {across} from the left, "
            part += "" if alone else f"{row + 1} of {down} from below"
            left = _MARGIN + ((room_x - width) / 2 if across == 1 else -column * room_x)
            low = _MARGIN + _FOOT + ((room_y - height) / 2 if down == 1 else -row * room_y)
            figure, axes = _sheet(wide, high, title + part)
            draw(axes, left, low)
            yield figure


def _counted(width: float, height: float, paper: tuple[float, float]) -> tuple[int, int]:
    return (
        max(1, math.ceil(width / (paper[0] - 2 * _MARGIN))),
        max(1, math.ceil(height / (paper[1] - 2 * _MARGIN - _FOOT))),
    )


def _sheet(wide: float, high: float, words: str) -> tuple[Figure, Axes]:
    """An empty sheet whose data coordinates are millimetres of paper."""
    from matplotlib.figure import Figure

    figure = Figure(figsize=(wide / _INCH, high / _INCH), facecolor="white")
    axes = figure.add_axes((0, 0, 1, 1))
    axes.set(xlim=(0, wide), ylim=(0, high))
    axes.set_axis_off()
    ends = (_MARGIN, wide - _MARGIN), (_MARGIN + _FOOT, high - _MARGIN)
    for x, out_x in zip(ends[0], (-1, 1), strict=True):
        for y, out_y in zip(ends[1], (-1, 1), strict=True):
            axes.plot([x + out_x, x + out_x * _MARK], [y, y], **_FINE)
            axes.plot([x, x], [y + out_y, y + out_y * _MARK], **_FINE)
    ruler = np.arange(0, 101, 10)
    axes.plot([_MARGIN, _MARGIN + 100], [_MARGIN, _MARGIN], **_FINE)
    for tick in ruler:
        axes.plot([_MARGIN + tick] * 2, [_MARGIN, _MARGIN + (3 if tick % 50 == 0 else 2)], **_FINE)
    axes.text(
        _MARGIN + 103, _MARGIN, "100 mm on paper: print at 100 %, not fitted to the page",
        fontsize=7, va="center", color=INK,
    )  # fmt: skip
    axes.text(_MARGIN, _MARGIN + 6, words, fontsize=8, va="bottom", color=INK)
    return figure, axes


# -- the strip of a tube ---------------------------------------------------------------------------
class _Strip:
    """The outside of a tube laid flat: its outline along the sheet, its length across, and a flap.

    Parameters
    ----------
    outline : Contour
    factor : float
        From the section's unit to mm on paper.
    length : float
    """

    def __init__(self, outline: Contour, factor: float, length: float) -> None:
        from ...geometry.outline.contour import edge_lengths

        points, bulges = np.asarray(outline.points), np.asarray(outline.bulges)
        ends = np.roll(points, -1, axis=0)
        first = _start(points, ends, bulges)
        lengths = np.roll(factor * edge_lengths(points, ends, bulges), -first)
        self.at = np.concatenate([[0.0], np.cumsum(lengths)])
        self.curved = np.roll(bulges, -first) != 0
        turns = np.roll(_turns(points, ends, bulges), -first)
        self.folds = self.at[:-1][(np.abs(turns) > _FOLD)]
        self.length = length

    @property
    def width(self) -> float:
        """Outline and flap."""
        return float(self.at[-1]) + _FLAP

    @property
    def height(self) -> float:
        """The strip's length."""
        return self.length

    def draw(self, axes: Axes, dx: float, dy: float) -> None:
        """Draw it with its lower left corner at (dx, dy)."""
        total, up = float(self.at[-1]), self.length
        x, y = np.array([0, total, total, 0, 0.0]) + dx, np.array([0, 0, up, up, 0.0]) + dy
        axes.plot(x, y, color=INK, linewidth=0.6)
        cut = min(_FLAP, up / 4)
        along, across = np.array([[0, _FLAP, _FLAP, 0], [0, cut, up - cut, up]])
        axes.plot(total + dx + along, dy + across, color=INK, linewidth=0.6)
        axes.text(
            total + dx + _FLAP / 2, dy + up / 2, "glue; without it, a slit tube", rotation=90,
            fontsize=6, ha="center", va="center", color=INK,
        )  # fmt: skip
        for at in self.folds[self.folds > 0]:
            axes.plot([at + dx] * 2, [dy, dy + up], linestyle=(0, (6, 3)), **_FINE)
        axes.plot([total + dx] * 2, [dy, dy + up], linestyle=(0, (6, 3)), **_FINE)
        for start, end, curved in zip(self.at[:-1], self.at[1:], self.curved, strict=True):
            for at in (start, end) if curved and not self.curved.all() else ():
                axes.plot([at + dx] * 2, [dy, dy + up], linestyle=(0, (1, 2)), **_FINE)


def _start(points: Array, ends: Array, bulges: Array) -> int:
    """The edge to begin with: after the longest straight one's start, else the first."""
    straight = np.where(bulges == 0, np.hypot(*(ends - points).T), 0.0)
    return int(np.argmax(straight)) if straight.any() else 0


def _turns(points: Array, ends: Array, bulges: Array) -> Array:
    """Angle by which the outline turns at the start of each edge."""
    from ...geometry.outline.contour import edge_tangents

    tangents = edge_tangents(points, ends, bulges, np.array([0.0, 1.0]))
    before, after = np.roll(tangents[:, 1], 1, axis=0), tangents[:, 0]
    cross = before[:, 0] * after[:, 1] - before[:, 1] * after[:, 0]
    return np.asarray(np.arctan2(cross, (before * after).sum(axis=1)))
