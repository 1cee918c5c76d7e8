"""Figure of a section's slow modes: its shape in the plane, the motion along the member as colour,
and over which length each dies out."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import numpy as np
from numpy.typing import NDArray

from ...geometry.units import Units
from ...solver.section.elements.basis import places_at
from ...solver.section.mesh.section_mesh import border_of
from ..drawing import palette
from ..drawing.drafting import INK
from .figure import style

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

    from ...solver.section.deforming.reduced import ReducedSection

Array = NDArray[np.float64]

#: Largest motion in the plane, by the section's size.
_DRAWN = 0.12
#: Parts that each triangle's edges are drawn in.
_PARTS = 10
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
    points, moved, along, triangles = _drawn(section, shape)
    size = float(np.ptp(points, axis=0).max())
    most = float(np.hypot(*moved.T).max()) or 1.0
    scale = _DRAWN * size / most
    at = points + scale * moved
    limit = float(np.abs(along).max()) or 1.0
    ax.tripcolor(
        Triangulation(at[:, 0], at[:, 1], triangles), along / limit, shading="gouraud",
        cmap=palette.warping_colours(), vmin=-1, vmax=1, rasterized=True, zorder=2,
    )  # fmt: skip
    rest, line = _border(section, shape)
    ax.add_collection(LineCollection(list(rest), colors="#999999", linewidths=0.5, zorder=1))
    ax.add_collection(
        LineCollection(list(rest + scale * line), colors=INK, linewidths=0.5, zorder=3)
    )
    low, high = np.minimum(points, at).min(axis=0), np.maximum(points, at).max(axis=0)
    pad = 0.03 * size
    ax.set_xlim(low[0] - pad, high[0] + pad)
    ax.set_ylim(low[1] - pad, high[1] + pad)
    ax.set_aspect("equal")
    ax.set_axis_off()
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


def _drawn(section: ReducedSection, shape: Array) -> tuple[Array, Array, Array, NDArray[np.int64]]:
    """Points (p, 2), their motion in the plane (p, 2) and along the member (p,), and triangles."""
    fields = section.fields
    own = np.flatnonzero(section.elastic.solid)
    n = _PARTS
    i, j = np.array([(i, j) for j in range(n + 1) for i in range(n + 1 - j)]).T
    number = np.full((n + 1, n + 1), -1)
    number[i, j] = np.arange(len(i))
    cells = [
        (number[a, b], number[a + 1, b], number[a, b + 1]) for b in range(n) for a in range(n - b)
    ] + [
        (number[a + 1, b], number[a + 1, b + 1], number[a, b + 1])
        for b in range(n - 1)
        for a in range(n - 1 - b)
    ]
    spots = fields.spots(own, places_at(fields.order, i / n, j / n))
    u = _at(section, spots, shape)
    first = np.arange(len(own))[:, None, None] * len(i)
    triangles = (first + np.array(cells)).reshape(-1, 3)
    flat = u.reshape(-1, 3)
    return spots.points.reshape(-1, 2), flat[:, :2], flat[:, 2], triangles


def _border(section: ReducedSection, shape: Array) -> tuple[Array, Array]:
    """(e, k, 2) points along the border's mesh edges, and their motion in the plane."""
    from ...solver.section.deforming.elasticity.part import part_of

    fields = section.fields
    own = np.flatnonzero(section.elastic.solid)
    part = part_of(fields.mesh, 2, own)
    border = border_of(part.mesh)
    local = np.argmax(part.mesh.triangle_edges[border.triangles] == border.edges[:, None], axis=1)
    s = np.linspace(0, 1, 2 * _PARTS + 1)
    zero = np.zeros_like(s)
    # places along the local edges (0, 1), (0, 2) and (1, 2)
    along = ((s, zero), (zero, s), (1 - s, s))
    points = np.empty((len(local), len(s), 2))
    moved = np.empty_like(points)
    for k, (xi, eta) in enumerate(along):
        some = np.flatnonzero(local == k)
        spots = fields.spots(own[border.triangles[some]], places_at(fields.order, xi, eta))
        points[some] = spots.points
        moved[some] = _at(section, spots, shape)[..., :2]
    return points, moved


def _at(section: ReducedSection, spots: Any, shape: Array) -> Array:
    """(t, q, 3) displacements of one shape."""
    fields = section.fields
    c = (fields.coefficients @ shape)[fields.numbers[spots.triangles]]
    return np.asarray(np.einsum("qn,tnd->tqd", spots.value, c))
