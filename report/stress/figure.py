"""Figure of one stress component under one load case.

Contours of the component, arrows of the shear where the component has a direction, the extremes
marked with their values, and hatching over the surroundings of sharp corners, where the elastic
shear has no bound and no number is given.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from ...geometry.units import Units
from ...solver.section.stress.actions import SYMBOLS
from ...solver.section.stress.components import COMPONENTS, Component
from ...solver.section.torsion.peak import LEFT_OUT
from ..drawing import drafting, flow_lines, palette
from ..drawing import fills as layers
from ..drawing.field_view import FieldView, mean_wall
from ..drawing.figure_style import style
from ..drawing.layout import points_per_length
from ..drawing.sampling import patches
from ..section import figure
from ..text.number import number, unit_text

if TYPE_CHECKING:
    from matplotlib.artist import Artist
    from matplotlib.axes import Axes
    from matplotlib.colors import Colormap

    from ...solver.section.stress.extremes import Extreme
    from ...solver.section.stress.load_cases import StressResult

Array = NDArray[np.float64]
Ints = NDArray[np.int64]

_THROUGH_WALL = 12
_LEVELS = 24
#: Least distance between shear arrows on the page, in points.
_ARROWS_APART = 26.0
#: A mean wall drawn thinner than this has its arrows so far beside it, both in points.
_THIN, _ASIDE = 9.0, 7.0
#: Shear below this share of the peak gets no arrow: its direction says nothing.
_FAINT = 0.08


def plot_stress(
    stress: StressResult, component: str = "von Mises", case: int = 0, *, ax: Axes | None = None
) -> Axes:
    """Draw a stress component of one load case.

    Parameters
    ----------
    stress : StressResult
    component : str
        A key of `solver.section.components.COMPONENTS`.
    case : int
        Number of the load case.
    ax : matplotlib Axes, optional
        Draw here; left out: a page of its own.
    """
    shown = COMPONENTS[component]
    view, values = _view(stress, shown, case)
    unit, factor = _unit(stress)
    extremes = [e for e in stress.cases[case].extremes if e.component == component]
    with style():
        axes, layout = (
            figure.page(view, may_enlarge=True) if ax is None else (figure.framed(ax, view), None)
        )
        levels, colours = _levels(shown, extremes)
        key = layers.fill(axes, view, values, levels, colours)
        if component in ("shear", "shear-x", "shear-y"):
            key |= _arrows(axes, view)
        if layout is not None and layout.detail is not None:
            peak = max(extremes, key=lambda e: abs(e.value))
            inner, _ = figure.detail_axes(axes, layout, view, peak.at)
            layers.fill(inner, view, values, levels, colours)
            drafting.greatest(inner, peak.at)
            _refusals(inner, stress, shown, case)
        key |= _refusals(axes, stress, shown, case)
        key |= _marks(axes, extremes, factor, unit)
        figure.colour_bar(
            axes,
            layout,
            colours,
            (levels[0] * factor, levels[-1] * factor),
            f"{shown.words} {shown.symbol} ({unit})",
            over=any(not e.bounded for e in extremes),
        )
        figure.legend(axes, layout, key)
    return axes


def _view(stress: StressResult, component: Component, case: int) -> tuple[FieldView, Array]:
    result, solved = stress.result, stress.cases[case]
    section, field = result.section, result.field
    points, cells, shear, values = [], [], [], []
    count = 0
    for patch in patches(field.mesh, field.order, mean_wall(section) / _THROUGH_WALL):
        arrays = stress.units.evaluate(patch.stations, patch.triangles)
        sigma, tau = arrays.combined(solved.vector)
        n, q, _ = patch.stations.points.shape
        points.append(patch.stations.points.reshape(-1, 2))
        cells.append((patch.cells + count + q * np.arange(n)[:, None, None]).reshape(-1, 3))
        shear.append(tau.reshape(-1, 2))
        values.append(component.of(sigma, tau).ravel())
        count += n * q
    flat = np.concatenate(points)
    tau = np.concatenate(shear)
    x, y = (float(c) for c in result.centroid)
    view = FieldView(
        section=section,
        title=f"{section.name}: {component.words}",
        subtitle=_actions_text(stress, case),
        points=flat,
        triangles=np.concatenate(cells),
        stress_function=np.zeros(len(flat)),
        stress=tau,
        warping=np.zeros(len(flat)),
        centroid=(x, y),
        shear_centre=(float(result.shear_centre[0]), float(result.shear_centre[1])),
        principal_angle=result.second_moments.angle,
        peak=1.0,
        peak_at=(x, y),
        corners=np.array([c.point for c in result.corners]).reshape(-1, 2),
    )
    return view, np.concatenate(values)


def _actions_text(stress: StressResult, case: int) -> str:
    from .table import action_text

    vector = stress.cases[case].vector
    parts = [action_text(stress, k, float(vector[k])) for k in range(len(SYMBOLS)) if vector[k]]
    return f"{stress.cases[case].actions.name}: " + ", ".join(parts)


def _unit(stress: StressResult) -> tuple[str, float]:
    if not stress.result.unit:
        return "force/length²", 1.0
    unit, factor = Units(stress.result.unit).display("stress")
    return unit_text(unit), factor


def _levels(component: Component, extremes: list[Extreme]) -> tuple[Array, Colormap]:
    """Contour levels and colours: light to dark from zero, or diverging about zero."""
    high = max(e.value for e in extremes)
    low = min(e.value for e in extremes)
    if component.key in ("shear", "von Mises"):
        return np.linspace(0.0, high or 1.0, _LEVELS + 1), palette.stress_colours()
    limit = max(abs(high), abs(low)) or 1.0
    return np.linspace(-limit, limit, 2 * _LEVELS + 1), palette.warping_colours()


def _arrows(axes: Axes, view: FieldView) -> dict[str, Artist]:
    """Arrows along the shear, evenly spread over the walls."""
    from matplotlib.lines import Line2D

    scale = points_per_length(axes)
    thin = view.wall * scale < _THIN  # arrows beside a thin wall, so that its colours are seen
    size = np.hypot(*view.stress.T)
    strong = np.flatnonzero(size > _FAINT * np.quantile(size, 0.99))
    if not strong.size:
        return {}
    grid = np.floor(view.points[strong] * scale / _ARROWS_APART).astype(int)
    middle = (grid + 0.5) * _ARROWS_APART / scale
    off = np.hypot(*(view.points[strong] - middle).T)
    order = np.lexsort((off, grid[:, 1], grid[:, 0]))
    _, first = np.unique(grid[order], axis=0, return_index=True)
    seats = _apart(strong[order[first]], view.points * scale)
    along = view.stress[seats] / size[seats, None]
    aside = np.stack([-along[:, 1], along[:, 0]], axis=1) * (_ASIDE / scale if thin else 0.0)
    flow_lines.draw_arrows(axes, view.points[seats] + aside, along, scale)
    return {
        "direction of the shear": Line2D(
            [], [], color=drafting.INK, marker=">", markersize=5, linestyle=""
        )
    }


def _apart(seats: Ints, points: Array) -> Ints:
    """Seats without those too near to one before: neighbouring cells may share a wall."""
    kept: list[int] = []
    for seat in seats:
        near = points[kept] - points[seat]
        if not kept or np.hypot(*near.T).min() >= 0.6 * _ARROWS_APART:
            kept.append(int(seat))
    return np.array(kept, dtype=np.int64)


def _refusals(
    axes: Axes, stress: StressResult, component: Component, case: int
) -> dict[str, Artist]:
    """Hatching over the surroundings of corners with unbounded shear."""
    from matplotlib.patches import Circle

    corners = stress.result.corners
    if not corners or not component.sheared or not np.any(stress.cases[case].vector[3:7]):
        return {}
    style = {
        "facecolor": "#ffffff",
        "edgecolor": drafting.ACCENT,
        "hatch": "////",
        "linewidth": 0.6,
        "zorder": 6,
    }
    shown: Artist | None = None
    for corner in corners:
        shown = axes.add_patch(Circle(corner.point, LEFT_OUT * corner.clearance, **style))
    assert shown is not None
    return {"no bound at the sharp corner: no value given": shown}


def _marks(axes: Axes, extremes: list[Extreme], factor: float, unit: str) -> dict[str, Artist]:
    """Rings around the extremes, with their values in the key and beside the rings."""
    key: dict[str, Artist] = {}
    for extreme in extremes:
        word = "maximum" if extreme.side > 0 else "minimum"
        away = "" if extreme.bounded else " away from corners"
        text = f"{number(extreme.value * factor, 4)} {unit}"
        mark = drafting.greatest(axes, extreme.at)
        (x0, x1), (y0, y1) = axes.get_xlim(), axes.get_ylim()
        right = extreme.at[0] < (x0 + x1) / 2
        up = extreme.at[1] < (y0 + y1) / 2
        axes.annotate(
            text,
            extreme.at,
            (14 if right else -14, 12 if up else -12),
            textcoords="offset points",
            ha="left" if right else "right",
            va="bottom" if up else "top",
            fontsize=8,
            bbox={"boxstyle": "round,pad=0.2", "facecolor": "#ffffffdd", "edgecolor": "none"},
            arrowprops={"arrowstyle": "-", "linewidth": 0.5, "color": drafting.ACCENT},
            zorder=9,
        )
        key[f"{word}{away}: {text}"] = mark
    return key
