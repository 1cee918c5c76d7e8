"""Modes drawn: the member with its sections moved, and beside it the section that moves most."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from ..drawing import drafting
from ..drawing.figure_style import style
from ..drawing.fonts import use_fonts_that_have, within
from ..member.view import View, nice
from .result import ModesResult
from .table import hertz

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

Array = NDArray[np.float64]

#: Modes on one page, stations along the member.
SHOWN, STATIONS = 6, 25
#: Inches of the heading and of a mode.
_HEAD, _ROW = 0.75, 1.72
#: A section takes up to this share of the member's reach.
_THICK = 0.16
#: Largest displacement, as a share of the section's drawn size.
_MOVED = 0.45
_STILL, _COLOUR = "#b5b5b5", "#123f6b"


def plot_modes(result: ModesResult, modes: int = SHOWN) -> Figure:
    """One row a mode."""
    from matplotlib.figure import Figure

    vibration = result.vibration
    count = min(modes, len(vibration.frequencies))
    with style():
        height = _HEAD + _ROW * count
        figure = Figure(figsize=(8.3, height), dpi=150)
        rows = figure.add_gridspec(
            count, 2, width_ratios=(3.2, 1), left=0.03, right=0.97, top=1 - _HEAD / height,
            bottom=0.02, hspace=0.28, wspace=0.04,
        )  # fmt: skip
        title, size = within(f"{vibration.member.name}: natural frequencies", 7.6, 12.0)
        figure.text(0.03, 1 - 0.24 / height, title, fontsize=size, weight="bold", va="center")
        figure.text(
            0.03, 1 - 0.47 / height,
            "grey: at rest; blue: moved, not to scale; right: the section at the station named, "
            "where the mode is largest" + _left_out(result), fontsize=7, color=drafting.INK,
            va="center",
        )  # fmt: skip
        scene = Scene.of(result)
        for k in range(count):
            whole = figure.add_subplot(rows[k, 0])
            scene.draw(whole, k)
            f = hertz(float(vibration.frequencies[k]))
            whole.set_title(
                f"mode {k + 1}: {f} Hz, {vibration.names[k]}", fontsize=8.5, loc="left", pad=3
            )
            _section(figure.add_subplot(rows[k, 1]), result, k)
        use_fonts_that_have(figure)
    return figure


def _left_out(result: ModesResult) -> str:
    found = len(result.vibration.frequencies)
    return f"; the first {SHOWN} of {found} modes" if found > SHOWN else ""


class Scene:
    """Outlines along the member in space, at rest and moved."""

    def __init__(self, result: ModesResult, stations: int = STATIONS) -> None:
        member = result.vibration.member
        self.axis, self.line = member.axis, np.asarray(member.line)
        self.z = np.linspace(0.0, member.length, stations)
        self.outlines = [result.outlines.at(float(z)) for z in self.z]
        plan = np.array(member.axis.plan(np.linspace(0.0, member.length, 200))[:2])
        self.reach = float(np.hypot(*np.ptp(plan, axis=1)))
        size = max(float(np.ptp(o.edges.reshape(-1, 2), axis=0).max()) for o in self.outlines)
        thick = _THICK / 2 if member.axis.closed else _THICK
        self.enlarged = nice(thick * self.reach / size)
        self.size = size
        px, pz, _ = member.axis.plan([0.0, member.length])
        heading = 0.0 if member.axis.closed else float(np.arctan2(px[1] - px[0], pz[1] - pz[0]))
        self.view = View(heading)

    @classmethod
    def of(cls, result: ModesResult) -> Scene:
        """With the usual number of stations."""
        return cls(result)

    def placed(self, station: int, mode: int | None) -> Array:
        """(e, s, 3) outline in space; moved by a mode's unit displacement, or at rest."""
        outline = self.outlines[station]
        flat = np.zeros((*outline.edges.shape[:2], 1))
        local = np.concatenate([outline.edges - self.line, flat], axis=2)
        local = local * self.enlarged
        if mode is not None:
            local = local + _MOVED * self.size * self.enlarged * outline.moved[..., mode]
        x, z, heading = self.axis.plan([self.z[station]])
        cos, sin = float(np.cos(heading[0])), float(np.sin(heading[0]))
        return np.stack(
            [
                x[0] + local[..., 0] * cos + local[..., 2] * sin,
                local[..., 1],
                z[0] - local[..., 0] * sin + local[..., 2] * cos,
            ],
            axis=-1,
        )

    def draw(self, axes: Axes, mode: int) -> None:
        """The member at rest and in a mode."""
        from matplotlib.collections import LineCollection

        for which, colour, width in ((None, _STILL, 0.4), (mode, _COLOUR, 0.6)):
            axes.add_collection(
                LineCollection(self.lines(which), colors=colour, linewidths=width, zorder=1)
            )
        axes.autoscale_view()
        axes.set_aspect("equal")
        axes.set_axis_off()
        axes.set_anchor("W")
        axes.margins(0.01, 0.04)

    def lines(self, mode: int | None) -> list[Array]:
        """Lines (m, 2) on the page: outlines, and lines along the member that join them."""
        found: list[Array] = []
        rails: list[list[Array]] = [[] for _ in range(8)]
        for k in range(len(self.z)):
            page = self.view.page(self.placed(k, mode))[..., :2]
            found += list(page)
            for rail, at in zip(rails, self._corners(k), strict=True):
                rail.append(page.reshape(-1, 2)[at])
        return [*found, *(np.array(rail) for rail in rails)]

    def _corners(self, k: int) -> list[int]:
        """Places of an outline farthest out in eight directions: lines along the member join
        them."""
        flat = self.outlines[k].edges.reshape(-1, 2)
        angle = np.arange(8) * np.pi / 4 + 0.3
        out = flat @ np.array([np.cos(angle), np.sin(angle)])
        return [int(i) for i in out.argmax(axis=0)]


def moved_section(result: ModesResult, mode: int) -> tuple[Array, Array]:
    """Edges (e, s, 2) of the section where a mode is largest, at rest and moved."""
    outline = result.outlines.at(float(result.outlines.shapes.largest_at[mode]))
    size = float(np.ptp(outline.edges.reshape(-1, 2), axis=0).max())
    return outline.edges, outline.edges + 0.3 * size * outline.moved[..., :2, mode]


def _section(axes: Axes, result: ModesResult, mode: int) -> None:
    """The section where the mode is largest, at rest and moved."""
    from matplotlib.collections import LineCollection

    z = float(result.outlines.shapes.largest_at[mode])
    edges, moved = moved_section(result, mode)
    axes.add_collection(LineCollection(list(edges), colors=_STILL, linewidths=0.6))
    axes.add_collection(LineCollection(list(moved), colors=_COLOUR, linewidths=0.9))
    axes.autoscale_view()
    axes.set_aspect("equal")
    axes.set_axis_off()
    axes.margins(0.06)
    axes.set_title(f"at {result.units.text(z, 'along')}", fontsize=7, pad=3)
