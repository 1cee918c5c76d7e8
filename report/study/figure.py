"""Figures of a study: a result as lines over one parameter, as a contour over two, or as points."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

import numpy as np
from numpy.typing import NDArray

from ...geometry.errors import InputError
from ...solver.study.file.parameter import Value
from ..drawing import drafting
from ..drawing.figure_style import style
from ..drawing.palette import SERIES
from .axis import labelled, on_one_scale, scale_unit
from .columns import column_unit, column_words, with_unit

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.contour import ContourSet
    from matplotlib.tri import Triangulation

    from ...solver.study.run.store import Store
    from ...solver.study.run.sweep import Study

Array = NDArray[np.float64]
KINDS = ("lines", "contour", "points")
#: More lines than this are a contour's job.
_MOST_LINES = 8
_LEVELS = 14
#: More rows than this are drawn without triangles, and points of a drawing as a picture within it:
#: triangles of a million rows take a minute and gigabytes, points a file of a hundred megabytes.
_MANY = 20_000
_CONTOURS: dict[str, Any] = {"cmap": None, "colors": drafting.INK, "linewidths": 0.4}


def plot_study(
    study: Study, store: Store, show: str, against: Sequence[str] = (), kind: str = ""
) -> Axes:
    """Draw one result over one or two parameters.

    Parameters
    ----------
    study : Study
    store : Store
    show : str
        Column of the result.
    against : sequence of str
        Parameters: the first runs along x; the second parts lines, or runs along y of a contour.
        Left out: the study's first two.
    kind : str
        One of `KINDS`; left out, what suits the study.

    Raises
    ------
    InputError
        For a name the study has not, or a figure its rows cannot make.
    """
    from matplotlib.figure import Figure

    names = list(against) or list(study.plan.names[:2])
    _check(study, store, show, names)
    rows = _rows(store, study.base.unit, show, names)
    kind = kind or _fitting(study, names)
    with style():
        figure = Figure(figsize=(8.2, 5.2), facecolor=drafting.PAPER)
        axes = figure.add_axes((0.1, 0.12, 0.84 if kind == "contour" else 0.66, 0.76))
        if kind == "contour":
            _contour(axes, rows, names, with_unit(show, study.base.unit))
        elif kind == "points":
            _points(axes, study, rows, names)
        else:
            _lines(axes, study, rows, names)
        axes.set_xlabel(labelled(study, names[0]), fontsize=9)
        up = labelled(study, names[1]) if kind == "contour" else with_unit(show, study.base.unit)
        axes.set_ylabel(up, fontsize=9)
        figure.text(0.1, 0.94, f"{study.name}: {column_words(show)}", fontsize=11, weight="bold")
        axes.tick_params(labelsize=8, width=0.5, length=2.5)
        for side in ("top", "right"):
            axes.spines[side].set_visible(kind == "contour")
    return axes


def _check(study: Study, store: Store, show: str, names: Sequence[str]) -> None:
    if show not in store.results:
        raise InputError(
            f"--show {show!r}: the study has no such result; it has {', '.join(store.results)}"
        )
    for name in names:
        if name not in study.plan.names:
            raise InputError(
                f"--against {name!r}: the study has no such parameter; it has "
                f"{', '.join(study.plan.names)}"
            )


def _rows(store: Store, unit: str, show: str, names: Sequence[str]) -> list[tuple[Any, ...]]:
    found = (row for row in store.rows([*names, show]) if row[-1] is not None)
    _, factor = column_unit(show, unit)
    rows = [
        (*row[:-1], factor * row[-1] if isinstance(row[-1], float) else row[-1]) for row in found
    ]
    if not rows:
        raise InputError(f"no row has a {column_words(show)}; there is nothing to draw")
    return rows


def _fitting(study: Study, names: Sequence[str]) -> str:
    """Lines where they are few, a contour over two parameters, points where others vary."""
    plan = study.plan
    if len(plan.names) > len(names):
        return "points"
    if len(names) == 1:
        return "points" if plan.kind == "sample" else "lines"
    second = next(p for p in plan.parameters if p.name == names[1])
    values = second.values or ()
    if values and (len(values) <= _MOST_LINES or on_one_scale(values) is None):
        return "lines"
    return "contour"


def _lines(axes: Axes, study: Study, rows: list[tuple[Any, ...]], names: Sequence[str]) -> None:
    """One line for every value of the second parameter, in the order of the study."""
    groups: dict[Value, list[tuple[Any, ...]]] = {}
    for row in rows:
        groups.setdefault(row[1] if len(names) > 1 else "", []).append(row)
    if len(groups) > 4 * _MOST_LINES:
        raise InputError(
            f"{len(groups)} lines, one for every {names[1]}, would show nothing; use --kind contour"
        )
    places = _places([row[0] for row in rows], axes)
    unit = scale_unit(study, names[1]) if len(names) > 1 else ""
    for n, (value, own) in enumerate(groups.items()):
        points = np.array([(places[row[0]], row[-1]) for row in own], dtype=float)
        points = points[np.argsort(points[:, 0], kind="stable")]
        axes.plot(
            *points.T,
            color=SERIES[n % len(SERIES)],
            marker="o" if len(points) < 40 else "",
            markersize=3,
            linewidth=1.3,
            linestyle=("-", "--", ":", "-.")[n // len(SERIES) % 4],
            label=_line_label(names[1], value, unit) if len(names) > 1 else None,
        )
    axes.grid(linewidth=0.3, color="#cccccc")
    if len(names) > 1:
        axes.legend(fontsize=8, frameon=False, loc="upper left", bbox_to_anchor=(1.01, 1.0))


def _line_label(name: str, value: Value, unit: str) -> str:
    bare = isinstance(value, (int, float)) and unit
    return f"{name} = {value} {unit}" if bare else f"{name} = {value}"


def _points(axes: Axes, study: Study, rows: list[tuple[Any, ...]], names: Sequence[str]) -> None:
    """Every row by itself; the second parameter as colour."""
    places = _places([row[0] for row in rows], axes)
    x = np.array([places[row[0]] for row in rows])
    y = np.array([row[-1] for row in rows], dtype=float)
    shade = None
    if len(names) > 1:
        numbers = on_one_scale([row[1] for row in rows])
        shade = None if numbers is None else np.array(numbers)
    drawn = axes.scatter(
        x,
        y,
        s=9,
        c=shade if shade is not None else SERIES[0],
        linewidths=0,
        rasterized=len(x) > _MANY,
    )
    axes.grid(linewidth=0.3, color="#cccccc")
    if shade is not None:
        figure = axes.get_figure(root=True)
        assert figure is not None
        bar = figure.colorbar(drawn, cax=figure.add_axes((0.8, 0.12, 0.02, 0.76)))
        bar.set_label(labelled(study, names[1]), fontsize=9)
        bar.ax.tick_params(labelsize=8)


def _contour(axes: Axes, rows: list[tuple[Any, ...]], names: Sequence[str], label: str) -> None:
    """Filled contours over two parameters with numbers, on the triangles between the rows, or on
    the meshes of the grid that many rows make."""
    if len(names) < 2:
        raise InputError("a contour needs two parameters; name them with --against")
    columns = []
    for k, name in enumerate(names):
        column = on_one_scale([row[k] for row in rows])
        if column is None:
            raise InputError(
                f"a contour needs numbers along {name}, all in one unit; it has names or several "
                "units: use lines"
            )
        columns.append(np.array(column))
    x, y = columns
    z = np.array([row[-1] for row in rows], dtype=float)
    if (
        len(np.unique(x)) < 2
        or len(np.unique(y)) < 2
        or len(np.unique(np.stack([x, y]), axis=1).T) < 3
    ):
        raise InputError("a contour needs rows that span an area; vary both parameters")
    options: dict[str, Any] = {"levels": _LEVELS, "cmap": "viridis"}
    grid = _grid(x, y, z) if len(z) > _MANY else None
    filled: ContourSet
    lines: ContourSet
    if grid is not None:
        filled = axes.contourf(*grid, **options)
        lines = axes.contour(*grid, **options | {"levels": filled.levels, **_CONTOURS})
    else:
        mesh = _triangles(x, y)
        filled = axes.tricontourf(mesh, z, **options)
        lines = axes.tricontour(mesh, z, **options | {"levels": filled.levels, **_CONTOURS})
    axes.clabel(lines, np.asarray(lines.levels)[::3], fontsize=7, inline_spacing=2)
    if len(x) < 400:
        axes.plot(x, y, ".", color=drafting.PAPER, markersize=1.5, alpha=0.7)
    figure = axes.get_figure(root=True)
    assert figure is not None
    bar = figure.colorbar(filled, ax=axes, fraction=0.05, pad=0.02)
    bar.set_label(label, fontsize=9)
    bar.ax.tick_params(labelsize=8)


def _triangles(x: Array, y: Array) -> Triangulation:
    """Triangles between points; of even shape, which needs axes of even length."""
    from matplotlib.tri import Triangulation

    u, v = ((c - c.min()) / np.ptp(c) for c in (x, y))
    return Triangulation(x, y, Triangulation(u, v).triangles)


def _grid(x: Array, y: Array, z: Array) -> tuple[Array, Array, Array] | None:
    """Values along either side and (n, m) results of rows that make a grid, masked where a row has
    none; None for rows that make none: others than the two parameters vary, or a sample."""
    along, column = np.unique(x, return_inverse=True)
    up, line = np.unique(y, return_inverse=True)
    if not len(z) <= len(along) * len(up) <= 2 * len(z):
        return None
    filled = np.full((len(up), len(along)), np.nan)
    filled[line.reshape(-1), column.reshape(-1)] = z
    if np.isfinite(filled).sum() < len(z):
        return None
    return along, up, np.ma.masked_invalid(filled)


def _places(values: Sequence[Value], axes: Axes) -> dict[Value, float]:
    """Where each value stands along x: numbers at themselves, names in order with a tick each."""
    own = list(dict.fromkeys(values))
    numbers = on_one_scale(own)
    if numbers is not None:
        return dict(zip(own, numbers, strict=True))
    axes.set_xticks(range(len(own)), [str(v) for v in own], rotation=60, ha="right", fontsize=7)
    return {v: float(k) for k, v in enumerate(own)}
