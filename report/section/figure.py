"""Figures of a solved section: shear stress of a torque with its flow lines, and its warping.

Fields come from the high-order solution on a fine sub-triangulation. Where walls are too thin on
the page to show what happens inside them, the place of the peak stress is enlarged beside the
drawing.
"""

from __future__ import annotations

import os
from collections.abc import Sequence
from io import BytesIO
from pathlib import Path
from typing import TYPE_CHECKING, Any

import numpy as np
from numpy.typing import NDArray

from ...geometry.units import Units
from ..drawing import drafting, palette
from ..drawing import fills as layers
from ..drawing.field_view import FieldView, Lookup
from ..drawing.figure_style import style
from ..drawing.fonts import use_fonts_that_have, within
from ..drawing.layout import Layout, arrange, points_per_length
from ..drawing.symbols import LEAST_TYPESET, typeset
from ..files import write_bytes
from ..text.number import unit_text

if TYPE_CHECKING:
    from matplotlib.artist import Artist
    from matplotlib.axes import Axes
    from matplotlib.colors import Colormap
    from matplotlib.figure import Figure

    from ...solver.section import SectionResult

Array = NDArray[np.float64]

#: A mean wall drawn thinner than this many points gets a detail, this many walls wide.
_THIN_WALL = 12.0
_DETAIL_WALLS = 4.5
#: A peak stress below this calls for a larger unit of torque.
_SMALL = 0.5


def plot_shear(result: SectionResult, *, ax: Axes | None = None) -> Axes:
    """Shear stress per unit torque as contours, flow lines, and the section's points and axes.

    Parameters
    ----------
    result : SectionResult
    ax : matplotlib Axes, optional
        Draw here, with bar and key around it; left out: a page of its own, with a detail where
        walls are thin.
    """
    view = FieldView.of(result)
    with style():
        axes, layout = page(view, may_enlarge=True) if ax is None else (framed(ax, view), None)
        factor, unit = stress_per_torque(view.section.unit, view.peak)
        colours, lookup = palette.stress_colours(), Lookup(view)
        key = layers.stress_layer(axes, view, lookup, colours)
        if layout is not None and layout.detail is not None:
            key |= _detail(axes, layout, view, lookup, colours)
        key |= _marks(axes, view)
        where = "peak away from corners" if len(view.corners) else "peak"
        key[f"{where}: {view.peak * factor:.4g} {unit}"] = drafting.greatest(axes, view.peak_at)
        if len(view.corners):
            key["sharp corner: no bound, give it a fillet"] = drafting.refused_corners(
                axes, view.corners
            )
        span = (0.0, view.peak * factor)
        colour_bar(
            axes,
            layout,
            colours,
            span,
            f"shear stress from torsion ({unit})",
            over=bool(len(view.corners)),
        )
        legend(axes, layout, key)
    return axes


def plot_warping(result: SectionResult, *, ax: Axes | None = None) -> Axes:
    """Warping function about the shear centre: displacement along z per unit rate of twist."""
    view = FieldView.of(result)
    with style():
        axes, layout = page(view, may_enlarge=False) if ax is None else (framed(ax, view), None)
        colours = palette.warping_colours()
        limit = float(np.abs(view.warping).max()) or 1.0
        key = layers.warping_layer(axes, view, limit, colours) | _marks(axes, view)
        unit = f" ({view.section.unit}²)" if view.section.unit else ""
        colour_bar(
            axes,
            layout,
            colours,
            (-limit, limit),
            f"warping, + toward the reader{unit}",
            over=False,
        )
        legend(axes, layout, key)
    return axes


def save(axes: Axes | Figure, path: str | os.PathLike[str], dpi: float = 160) -> None:
    """Write the axes' figure as SVG, PNG or PDF by the path's extension, whole or not at all;
    `dpi` are the pixels of an inch in PNG."""
    figure = axes.get_figure(root=True)
    assert figure is not None  # axes are made in a figure
    kind = Path(path).suffix.lstrip(".").lower()
    metadata = {"svg": {"Date": None}, "pdf": {"CreationDate": None}}.get(kind, {})
    drawn = BytesIO()
    with style():
        use_fonts_that_have(figure)
        figure.savefig(drawn, format=kind, dpi=dpi, metadata=metadata)
    write_bytes(path, drawn.getvalue())


def save_sheets(figures: Sequence[Figure], path: str | os.PathLike[str]) -> None:
    """Write figures as the pages of one PDF, whole or not at all."""
    from matplotlib.backends.backend_pdf import PdfPages

    drawn = BytesIO()
    with style(), PdfPages(drawn, metadata={"CreationDate": None}) as pages:
        for figure in figures:
            use_fonts_that_have(figure)
            pages.savefig(figure)
    write_bytes(path, drawn.getvalue())


def stress_per_torque(length: str, peak: float) -> tuple[float, str]:
    """Factor and name of the unit in which stress per torque is shown.

    `peak` (1/length^3) decides between torques a bracket, a girder or a bridge would see.
    """
    if not length:
        return 1.0, "1/length³"
    units = Units(length)
    stress, to_stress = units.display("stress")
    moments = ("N*m", "kN*m", "MN*m") if units.metric else ("kip*in", "kip*ft")
    for moment in moments:
        factor = to_stress / units.factor("moment", moment)
        if peak * factor >= _SMALL or moment == moments[-1]:
            break
    return factor, f"{stress} per {unit_text(moment)}"


# -- page ------------------------------------------------------------------------------------------
def page(view: FieldView, *, may_enlarge: bool) -> tuple[Axes, Layout]:
    """A figure of its own with framed drawing axes."""
    from matplotlib.figure import Figure

    x0, y0, x1, y1 = drafting.window(view.section, (view.centroid, view.shear_centre))
    layout = arrange(x1 - x0, y1 - y0, wants_detail=False)
    scale = layout.drawing[2] * 72 / (x1 - x0)
    if may_enlarge and view.wall * scale < _THIN_WALL:
        layout = arrange(x1 - x0, y1 - y0, wants_detail=True)
    figure = Figure(figsize=layout.page, facecolor=drafting.PAPER)
    axes = framed(layout.axes(figure, layout.drawing), view)
    left = layout.drawing[0] / layout.page[0]
    title, size = within(view.title, layout.page[0] - layout.drawing[0], 11)
    top = 0.2 if size == 11 else 0.12
    figure.text(left, 1 - top / layout.page[1], title, fontsize=size, weight="bold", va="top")
    figure.text(
        left,
        1 - 0.42 / layout.page[1],
        typeset(view.subtitle),
        fontsize=LEAST_TYPESET,
        va="top",
        color="#444444",
        parse_math=True,
    )
    return axes, layout


def framed(axes: Axes, view: FieldView) -> Axes:
    """Axes around the section, with its overall dimensions."""
    drafting.frame(axes, view.section, (view.centroid, view.shear_centre))
    drafting.dimensions(axes, view.section)
    return axes


def colour_bar(
    axes: Axes,
    layout: Layout | None,
    colours: Colormap,
    span: tuple[float, float],
    label: str,
    *,
    over: bool,
) -> None:
    """Colour bar with its unit, in its box or beside axes that are not ours."""
    from matplotlib.cm import ScalarMappable
    from matplotlib.colors import Normalize

    figure = axes.get_figure(root=True)
    assert figure is not None
    horizontal = layout is not None and layout.horizontal_bar
    place = (
        axes.inset_axes((1.1, 0.0, 0.035, 1.0))
        if layout is None
        else layout.axes(figure, layout.bar)
    )
    bar = figure.colorbar(
        ScalarMappable(Normalize(*span), colours),
        cax=place,
        orientation="horizontal" if horizontal else "vertical",
        extend="max" if over else "neither",
    )
    bar.outline.set_linewidth(0.4)
    bar.ax.tick_params(labelsize=7, width=0.5, length=2.5)
    bar.set_label(typeset(label), fontsize=LEAST_TYPESET, parse_math=True)
    bar.ax.ticklabel_format(scilimits=(-3, 6))
    bar.ax.xaxis.get_offset_text().set_fontsize(7)
    bar.ax.yaxis.get_offset_text().set_fontsize(7)


def legend(axes: Axes, layout: Layout | None, entries: dict[str, Artist]) -> None:
    """Explanation of the marks, in its box or below axes that are not ours."""
    options: dict[str, Any] = {
        "fontsize": 7.5,
        "frameon": False,
        "handlelength": 2.2,
        "borderaxespad": 0.0,
    }
    handles, labels = list(entries.values()), list(entries)
    if layout is None:
        axes.legend(
            handles, labels, loc="upper center", bbox_to_anchor=(0.5, -0.14), ncols=2, **options
        )
        return
    figure = axes.get_figure(root=True)
    assert figure is not None
    place = layout.axes(figure, layout.key)
    place.set_axis_off()
    columns = 2 if layout.horizontal_bar and layout.key[2] > 4.5 else 1
    place.legend(handles, labels, loc="upper left", ncols=columns, **options)


# -- marks -----------------------------------------------------------------------------------------
def _marks(axes: Axes, view: FieldView) -> dict[str, Artist]:
    """Principal axes, centroid and shear centre; returns the key's entries."""
    return {
        "principal axes: 1 major, 2 minor": drafting.principal_axes(
            axes, view.centroid, view.principal_angle
        ),
        "centroid": drafting.centroid(axes, view.centroid),
        "shear centre": drafting.shear_centre(axes, view.shear_centre),
    }


def _detail(
    axes: Axes, layout: Layout, view: FieldView, lookup: Lookup, colours: Colormap
) -> dict[str, Artist]:
    """The place of the peak stress, enlarged in its own box; returns the key's entries."""
    inner, window = detail_axes(axes, layout, view, view.peak_at)
    key = layers.stress_layer(inner, view.within(window), lookup, colours)
    if len(view.corners):
        drafting.refused_corners(inner, view.corners)
    return key


def detail_axes(
    axes: Axes, layout: Layout, view: FieldView, at: tuple[float, float]
) -> tuple[Axes, tuple[float, float, float, float]]:
    """Axes of the layout's detail around a place, and their window (xmin, ymin, xmax, ymax)."""
    figure = axes.get_figure(root=True)
    assert figure is not None
    assert layout.detail is not None
    inner = layout.axes(figure, layout.detail)
    half = _DETAIL_WALLS / 2 * view.wall
    x, y = at
    inner.set(
        xlim=(x - half, x + half), ylim=(y - half, y + half), xticks=[], yticks=[], aspect="equal"
    )
    ratio = points_per_length(inner) / points_per_length(axes)
    inner.set_title(f"the place of the peak stress, × {ratio:.2g}", fontsize=8, loc="left")
    for spine in inner.spines.values():
        spine.set(color=drafting.ACCENT, linewidth=0.8)
    return inner, (x - half, y - half, x + half, y + half)
