"""Figure of a section's slow modes: its shape in the plane, the motion along the member as colour,
and over which length each dies out."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from ...geometry.units import Units
from ..drawing import palette
from ..drawing.drafting import INK
from .figure import style
from .moved_section import frame_both, moved_border, moved_inside

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

    from ...solver.section.deforming.reduced import ReducedSection

Array = NDArray[np.float64]

#: Largest motion in the plane, by the section's size.
_DRAWN = 0.12
#: Modes a row, and width and least and largest height of a panel in inches.
_ROW, _WIDE, _HIGH = 3, 3.1, (1.2, 3.2)


def modes_figure(section: ReducedSection, unit: str = "", count: int = 6) -> Figure:
    """The first slow modes of a section, each in a panel.

    Parameters
    ----------
    section : ReducedSection
    unit : str
        Length unit of the section.
    count : int
        Modes drawn at most.
    """
    from matplotlib.cm import ScalarMappable
    from matplotlib.colors import Normalize
    from matplotlib.figure import Figure

    count = min(count, len(section.kinds))
    rows = -(-count // _ROW)
    with style():
        wide = min(count, _ROW)
        extent = np.ptp(section.fields.placed().vertices, axis=0)
        drawn = extent[1] + 2 * _DRAWN * extent.max()
        high = float(np.clip(_WIDE * drawn / extent[0], *_HIGH)) + 0.3
        figure = Figure(figsize=(wide * _WIDE, rows * high + 0.6), layout="constrained")
        panels = figure.subplots(rows, wide, squeeze=False)
        for k, axes in enumerate(panels.ravel()):
            if k < count:
                plot_mode(section, k, unit, ax=axes)
            else:
                axes.set_axis_off()
        bar = figure.colorbar(
            ScalarMappable(Normalize(-1, 1), palette.warping_colours()),
            ax=panels, orientation="horizontal", fraction=0.035, pad=0.02, aspect=50,
        )  # fmt: skip
        bar.set_ticks([-0.95, 0, 0.95], labels=["away", "0", "to the reader"], fontsize=7)
        bar.set_label(
            "motion along the member, relative to its maximum in each mode; shapes enlarged",
            fontsize=8,
        )
    return figure


def plot_mode(section: ReducedSection, mode: int, unit: str = "", *, ax: Axes) -> Axes:
    """One slow mode, numbered from 0: outline at rest in grey, the deformed section coloured."""
    from matplotlib.collections import LineCollection
    from matplotlib.tri import Triangulation

    shape = _turned(section.shapes[:, mode])
    coefficients, solid = section.fields.coefficients @ shape, section.elastic.solid
    points, moved, along, triangles = moved_inside(section.fields, solid, coefficients)
    size = float(np.ptp(points, axis=0).max())
    most = float(np.hypot(*moved.T).max()) or 1.0
    scale = _DRAWN * size / most
    at = points + scale * moved
    limit = float(np.abs(along).max()) or 1.0
    ax.tripcolor(
        Triangulation(at[:, 0], at[:, 1], triangles), along / limit, shading="gouraud",
        cmap=palette.warping_colours(), vmin=-1, vmax=1, rasterized=True, zorder=2,
    )  # fmt: skip
    rest, line = moved_border(section.fields, solid, coefficients)
    ax.add_collection(LineCollection(list(rest), colors="#999999", linewidths=0.5, zorder=1))
    ax.add_collection(
        LineCollection(list(rest + scale * line), colors=INK, linewidths=0.5, zorder=3)
    )
    frame_both(ax, points, at)
    ax.set_title(f"{mode + 1}  {mode_text(section, mode, unit)}", fontsize=8)
    return ax


def mode_text(section: ReducedSection, mode: int, unit: str = "") -> str:
    """What a mode is, and over which length it dies out to 1/e."""
    length = 1 / section.rates[mode].real
    return f"{section.kinds[mode]}, dies out over {decay_text(length, unit)}"


def decay_text(length: float, unit: str) -> str:
    """A decay length with two digits, in metres or feet from one of them on.

    Examples
    --------
    >>> decay_text(6202.0, "mm")
    '6.2 m'
    >>> decay_text(87.4, "mm")
    '87 mm'
    """
    if unit:
        large, factor = _larger(unit)
        if length * factor >= 1:
            length, unit = length * factor, large
    places = 1 - int(np.floor(np.log10(length)))
    length, digits = round(length, places), max(0, places)
    return f"{length:.{digits}f} {unit}".rstrip()


def _larger(unit: str) -> tuple[str, float]:
    units = Units(unit)
    name = "m" if units.metric else "ft"
    return name, units.factor("length", name)


def _turned(shape: NDArray[np.complex128]) -> Array:
    """The real shape at the phase where it is largest: a decaying wave shows all its phases along
    the member."""
    angle = np.angle((shape**2).sum()) / 2
    return np.asarray((shape * np.exp(-1j * angle)).real)
