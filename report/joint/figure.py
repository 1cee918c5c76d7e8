"""A joint to scale from the side and toward the face: plates, bolts with their forces as arrows,
welds coloured by stress."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import numpy as np

from ...solver.joint.detail import AXES
from ..drawing import palette
from ..drawing.drafting import ACCENT, INK
from ..drawing.figure_style import style
from ..drawing.layout import points_per_length
from .measure import JointMeasure

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

    from ...geometry.units import Units
    from ...solver.joint.sharing import BoltShare, JointShare

#: Horizontal and vertical axis of each view, 0 to 2 for x to z.
_VIEWS = {"side": (0, 1), "face": (2, 1)}
_TITLES = {"side": "from the side", "face": "on the face, seen from the support"}
_CENTRED = "#1f5fa8"
#: The longest arrow, relative to the size of the joint.
_LONGEST = 0.3
#: Actions below this share of all that acts are rounding.
_FELT = 1e-9
#: Inches for both views together, and for title, axes and key above and below them.
_DRAWN, _TEXT = (7.6, 4.6), 2.85
_PLATE, _EDGE = "#d7dde4", "#b4bec9"


def plot_joint(found: JointShare, units: Units) -> Figure:
    """A page with both views, a bar for the welds and a key."""
    from matplotlib.figure import Figure

    measure = JointMeasure(units)
    with style():
        largest = max((b.largest for b in found.bolts), default=0.0)
        boxes = {view: _window(found, view, largest) for view in _VIEWS}
        bottom, top = min(b[2] for b in boxes.values()), max(b[3] for b in boxes.values())
        boxes = {view: (*box[:2], bottom, top) for view, box in boxes.items()}
        wide = [b[1] - b[0] for b in boxes.values()]
        high = max(b[3] - b[2] for b in boxes.values())
        scale = min(_DRAWN[1] / high, _DRAWN[0] / sum(wide))
        page = Figure(figsize=(10.0, max(high * scale, 2.0) + _TEXT))
        width, height = page.get_size_inches()
        peak, colours, left = found.largest_weld, palette.stress_colours(), 0.75
        gap = (width - 1.0 - sum(wide) * scale) / 2
        for view, box in boxes.items():
            w, h = (box[1] - box[0]) * scale, (box[3] - box[2]) * scale
            axes = page.add_axes((left / width, (_TEXT - 1.0) / height, w / width, h / height))
            left += w + max(gap, 0.7)
            _frame(axes, box, view, measure)
            _plates(axes, found, view)
            if peak > 0:
                _welds(axes, found, view, colours, peak)
            for group in found.bolts:
                _bolts(axes, group, view, largest, _reach(found), measure)
        if peak > 0:
            _bar(page, colours, peak, measure)
        _words(page, found, measure)
    return page


def _window(found: JointShare, view: str, largest: float) -> tuple[float, float, float, float]:
    """(left, right, bottom, top) of a view, in mm: plates, arrows and room for numbers."""
    across, up = _VIEWS[view]
    low, high = _extent(found, view)
    reach = _reach(found)
    for group in found.bolts:
        if group.place.plane == view and largest > 0:
            order = [AXES[group.place.plane][:2].index(axis) for axis in (across, up)]
            for forces in (group.elastic, group.centred):
                if forces is not None:
                    tips = group.place.points[:, [across, up]]
                    tips = tips + forces[:, order] / largest * _LONGEST * reach
                    low, high = np.minimum(low, tips.min(0)), np.maximum(high, tips.max(0))
    pad = 0.09 * reach
    narrow = max(0.5 * reach - (high[0] - low[0]), 0.0) / 2
    return (
        float(low[0] - pad - narrow), float(high[0] + 2 * pad + narrow),
        float(low[1] - pad), float(high[1] + pad),
    )  # fmt: skip


def _extent(found: JointShare, view: str) -> tuple[Any, Any]:
    """Lower left and upper right of all that the joint has in a view."""
    across, up = _VIEWS[view]
    places = [np.array(_corner(p, view)) for p in _shown_plates(found, view)]
    places += [g.place.points[:, [across, up]] for g in found.bolts]
    places += [w.place.lines[:, :, [across, up]].reshape(-1, 2) for w in found.welds]
    every = np.vstack(places)
    return every.min(axis=0), every.max(axis=0)


def _reach(found: JointShare) -> float:
    """Size of the joint, the same for both views."""
    return max(float((high - low).max()) for low, high in (_extent(found, v) for v in _VIEWS))


def _shown_plates(found: JointShare, view: str) -> list[Any]:
    return [
        p
        for p in found.detail.plates
        if p.plane != "flat" and not (p.name.endswith("from the side") and view == "face")
    ]


def _corner(plate: Any, view: str) -> tuple[tuple[float, float], tuple[float, float]]:
    """Lower left and upper right of a plate in a view, edge-on where it stands across it."""
    a0, b0, a1, b1 = plate.box
    t = plate.thickness
    spans = {0: (0.0, t), 1: (0.0, 0.0), 2: (-t / 2, t / 2)}
    first, second, _ = AXES[plate.plane]
    spans[first], spans[second] = (a0, a1), (b0, b1)
    across, up = _VIEWS[view]
    (left, right), (bottom, top) = spans[across], spans[up]
    return (left, bottom), (right, top)


def _plates(axes: Axes, found: JointShare, view: str) -> None:
    from matplotlib.patches import Rectangle

    for plate in _shown_plates(found, view):
        low, high = _corner(plate, view)
        own = plate.plane == view
        axes.add_patch(
            Rectangle(low, high[0] - low[0], high[1] - low[1], facecolor=_PLATE if own else _EDGE,
                      edgecolor=INK, linewidth=0.8, zorder=1 if own else 1.5)
        )  # fmt: skip
    if view == "side":
        left = axes.get_xlim()[0]
        axes.axvspan(left, 0.0, facecolor="none", edgecolor="#c4c4c4", hatch="////", linewidth=0)
        axes.axvline(0.0, color=INK, linewidth=1.4, zorder=1)


def _welds(axes: Axes, found: JointShare, view: str, colours: Any, peak: float) -> None:
    from matplotlib.collections import LineCollection

    across, up = _VIEWS[view]
    point = points_per_length(axes)
    for group in found.welds:
        width = max(group.place.leg * point, 2.5)
        for k in range(len(group.points)):
            at = group.points[k][:, [across, up]]
            middle = (group.stress[k][1:] + group.stress[k][:-1]) / 2
            pieces = np.stack([at[:-1], at[1:]], axis=1)
            if np.ptp(at, axis=0).max() <= 0:
                continue
            line = LineCollection(list(pieces), cmap=colours, linewidths=width, zorder=3)
            line.set_array(middle)
            line.set_clim(0.0, peak)
            axes.add_collection(line)


def _bolts(
    axes: Axes, group: BoltShare, view: str, largest: float, size: float, measure: JointMeasure
) -> None:
    from matplotlib.patches import Circle, Rectangle

    place = group.place
    across, up = _VIEWS[view]
    if place.plane != view:
        if place.plane == "face" and view == "side":
            for y in np.unique(place.points[:, 1]):
                d = place.bolt.diameter
                axes.add_patch(
                    Rectangle((-0.7 * d, y - d / 2), 2.2 * d, d, facecolor="white", edgecolor=INK,
                              linewidth=0.7, zorder=2)
                )  # fmt: skip
        return
    order = [AXES[place.plane][:2].index(axis) for axis in (across, up)]
    for n, point in enumerate(place.points):
        at = (float(point[across]), float(point[up]))
        mark = ACCENT if n == group.governing else INK
        axes.add_patch(
            Circle(at, place.hole / 2, facecolor="white", edgecolor=mark, linewidth=1.1, zorder=4)
        )
        axes.add_patch(
            Circle(at, place.bolt.diameter / 2, facecolor="#eeeeee", edgecolor="#888888",
                   linewidth=0.5, zorder=4)
        )  # fmt: skip
        right = True
        for forces, colour, width in (
            (group.centred, _CENTRED, 1.0), (group.elastic, ACCENT, 1.8),
        ):  # fmt: skip
            if largest > 0 and forces is not None and np.hypot(*forces[n]) > 1e-6 * largest:
                step = forces[n][order] / largest * _LONGEST * size
                _arrow(axes, at, step, colour, width)
                right = bool(step[0] <= 0)
        text = f"{n + 1}: {measure.value(float(group.shear[n]), 'force', 3)}"
        if group.tension[n] > 1e-3 * largest:
            text += f" ⊙{measure.value(float(group.tension[n]), 'force', 3)}"
        # Beside the bolt, on the side that its arrow leaves free.
        room = place.hole / 2 * points_per_length(axes) + 2
        axes.annotate(
            text, at, (room if right else -room, 0), textcoords="offset points", fontsize=7,
            ha="left" if right else "right", va="center",
            color=ACCENT if n == group.governing else INK, zorder=9,
            bbox={"facecolor": "white", "edgecolor": "none", "alpha": 0.7, "pad": 0.5},
        )  # fmt: skip


def _arrow(axes: Axes, at: tuple[float, float], step: Any, colour: str, width: float) -> None:
    tip = (at[0] + float(step[0]), at[1] + float(step[1]))
    style = {"arrowstyle": "-|>,head_width=0.18,head_length=0.4", "color": colour,
             "linewidth": width, "shrinkA": 0, "shrinkB": 0}  # fmt: skip
    axes.annotate("", tip, at, arrowprops=style, zorder=6, annotation_clip=False)


def _frame(
    axes: Axes, box: tuple[float, float, float, float], view: str, measure: JointMeasure
) -> None:
    from matplotlib.ticker import FuncFormatter

    axes.set_xlim(box[0], box[1])
    axes.set_ylim(box[2], box[3])
    axes.set_aspect("equal")
    factor, unit = measure.factor("length"), measure.unit("length")
    shown = FuncFormatter(lambda v, _: f"{v * factor:.4g}")
    axes.xaxis.set_major_formatter(shown)
    axes.yaxis.set_major_formatter(shown)
    names = "xyz"
    axes.set_xlabel(f"{names[_VIEWS[view][0]]} ({unit})", fontsize=8)
    axes.set_ylabel(f"y ({unit})", fontsize=8)
    axes.tick_params(labelsize=7, length=2.5, width=0.5, colors="#555555")
    axes.locator_params(nbins=6)
    axes.set_title(_TITLES[view], fontsize=8.5, loc="left")
    for side, spine in axes.spines.items():
        spine.set_visible(side in ("left", "bottom"))
        spine.set(linewidth=0.5, color="#999999")


def _bar(page: Figure, colours: Any, peak: float, measure: JointMeasure) -> None:
    from matplotlib.cm import ScalarMappable
    from matplotlib.colors import Normalize

    high = page.get_size_inches()[1]
    axes = page.add_axes((0.62, 0.95 / high, 0.33, 0.14 / high))
    scale = ScalarMappable(Normalize(0.0, peak * measure.factor("stress")), colours)
    bar = page.colorbar(scale, cax=axes, orientation="horizontal")
    bar.ax.tick_params(labelsize=7)
    bar.set_label(f"weld stress over the throat ({measure.unit('stress')})", fontsize=7.5)


def _words(page: Figure, found: JointShare, measure: JointMeasure) -> None:
    high = page.get_size_inches()[1]
    page.text(0.07, 1 - 0.32 / high, f"{found.detail.name}: {found.detail.kind}, under "
              f"“{found.actions.name}”", fontsize=11, weight="bold")  # fmt: skip
    # What is rounding beside the rest is not among the actions.
    size = _reach(found)
    acting = max(*map(abs, found.actions.force), *(abs(m) / size for m in found.actions.moment))
    said = [
        f"F_{axis} = {measure.text(v, 'force', 3)}"
        for axis, v in zip("xyz", found.actions.force, strict=True)
        if abs(v) > _FELT * acting
    ]
    said += [
        f"M_{axis} = {measure.text(v, 'moment', 3)}"
        for axis, v in zip("xyz", found.actions.moment, strict=True)
        if abs(v) > _FELT * acting * size
    ]
    page.text(0.07, 1 - 0.55 / high, "at the face: " + ", ".join(said), fontsize=8)
    lines = []
    if found.bolts:
        unit = measure.unit("force")
        lines.append((ACCENT, f"bolt force by the elastic vector method; number: shear ({unit})"))
        lines.append((_CENTRED, "bolt force by the instantaneous centre"))
        lines.append((INK, "⊙ tension, without prying; in red the bolt that carries most"))
    for k, (colour, words) in enumerate(lines):
        y = (1.05 - 0.22 * k) / high
        page.text(0.07, y, "→ " + words if k < 2 else words, fontsize=8, color=colour)
    page.text(0.07, 0.15 / high, "Elastic sharing; local codes and a licensed engineer decide.",
              fontsize=7, color="#555555")  # fmt: skip
