"""The curves of `accuracy_curves` as a figure of small multiples, and as ratios at a few widths."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import numpy as np

from .marked import rewrite
from .sections import SECTIONS

if TYPE_CHECKING:
    from matplotlib.axes import Axes

FIGURE = Path(__file__).with_name("accuracy_curves.svg")
#: Name, colour (Okabe and Ito's, safe for colour-blind readers), mark.
LOOK = {
    "ours": ("soapfilm", "#0072b2", "o"),
    "ngsolve": ("NGSolve hp, one recipe", "#d55e00", "s"),
    "tuned": ("NGSolve, tuned for 1e-6", "#d55e00", "*"),
    "quadratic": ("scikit-fem, quadratic", "#555555", "^"),
}
TITLES = {
    "L": "L, sharp corners",
    "I": "I with root fillets",
    "tube": "rounded tube",
    "two_cell_box": "two-cell box",
    "tapered_deck": "tapered deck",
}
#: Widths at which curves are compared in the table.
WIDTHS = (1e-3, 1e-4, 1e-5, 1e-6, 1e-7, 1e-8, 1e-9, 1e-10)
_STYLE = {"svg.hashsalt": "soapfilm", "svg.fonttype": "none", "font.family": ["DejaVu Sans"]}


def draw(data: dict, path: Path = FIGURE) -> None:
    """Write the figure: a panel a section, the key in the sixth place."""
    import matplotlib
    from matplotlib.figure import Figure

    with matplotlib.rc_context(_STYLE):
        figure = Figure(figsize=(9.6, 6.2), layout="constrained")
        grid = figure.subplots(2, 3, sharex=True, sharey=True)
        panels = list(grid.flat)
        for axes, (key, curves) in zip(panels, data["sections"].items(), strict=False):
            _panel(axes, key, curves)
        for axes in grid[:, 0]:
            axes.set_ylabel("relative width or error of J")
        for axes in panels[2:5]:
            axes.set_xlabel("processor seconds, mesh included")
            axes.tick_params(labelbottom=True)
        _key(panels[5])
        kind = {"metadata": {"Date": None}} if path.suffix == ".svg" else {"dpi": 110}
        figure.savefig(path, **kind)


def _panel(axes: Axes, key: str, curves: dict[str, list[dict]]) -> None:
    axes.set(xscale="log", yscale="log", ylim=(1e-13, 3), xlim=(3e-3, 6))
    axes.grid(color="0.9", linewidth=0.6)
    axes.set_axisbelow(True)
    axes.spines[["top", "right"]].set_visible(False)
    axes.set_title(TITLES[key], loc="left", fontsize=10)
    for name, points in curves.items():
        _, colour, mark = LOOK[name]
        found = [p for p in points if p["width"] > 0]
        x = [p["seconds"] for p in found]
        y = [p["width"] for p in found]
        size = 10 if mark == "*" else 4.5
        axes.plot(x, y, color=colour, marker=mark, markersize=size, linewidth=1.6, zorder=3)
        known = [p for p in points if "error" in p]
        if name != "tuned":
            axes.plot(
                [p["seconds"] for p in known],
                [p["error"] for p in known],
                color=colour,
                marker=mark,
                markersize=2.5,
                markerfacecolor="white",
                linestyle=(0, (1, 1.5)),
                linewidth=1,
                zorder=2,
            )
    _outline(axes.inset_axes((0.70, 0.72, 0.28, 0.26)), key)


def _outline(axes: Axes, key: str) -> None:
    """The section itself, small."""
    from matplotlib.patches import PathPatch
    from matplotlib.path import Path as Curve

    section = SECTIONS[key]()
    (region,) = section.regions
    lines = [c.polyline(section.size() / 2000) for c in region.contours]
    curve = Curve.make_compound_path(*(Curve(np.vstack([p, p[:1]])) for p in lines))
    axes.add_patch(PathPatch(curve, facecolor="0.8", edgecolor="0.35", linewidth=0.6))
    axes.autoscale_view()
    axes.set_aspect("equal", anchor="NE")
    axes.axis("off")


def _key(axes: Axes) -> None:
    from matplotlib.lines import Line2D

    axes.axis("off")
    handles = [
        Line2D([], [], color=c, marker=m, markersize=10 if m == "*" else 5, label=name,
               linestyle="none" if m == "*" else "-")
        for name, c, m in LOOK.values()
    ]  # fmt: skip
    handles += [
        Line2D([], [], color="0.3", label="width of J's interval"),
        Line2D([], [], color="0.3", linestyle=(0, (1, 1.5)), marker="o", markersize=3,
               markerfacecolor="white", label="true error of its middle"),
    ]  # fmt: skip
    axes.legend(handles=handles, loc="center left", frameon=False, fontsize=10, labelspacing=0.9,
                title="lower and further left is better", alignment="left")  # fmt: skip


def seconds_at(points: list[dict], width: float) -> float:
    """Seconds to a width: between points a straight line of the logarithms; nan outside of them."""
    best: list[tuple[float, float]] = []
    for p in sorted(points, key=lambda p: -p["width"]):
        if p["width"] > 0:
            # a later point that is quicker and narrower takes the place of slower, wider ones
            best = [b for b in best if b[1] < p["seconds"]] + [(p["width"], p["seconds"])]
    if not best or best[-1][0] > width:
        return float("nan")
    if best[0][0] <= width:
        return best[0][1]
    w, s = np.log(np.array(best)).T
    return float(np.exp(np.interp(np.log(width), w[::-1], s[::-1])))


def table(data: dict) -> str:
    """Seconds of the libraries by ours at several widths."""
    rows = [
        "Seconds of NGSolve's one recipe / of quadratic elements by ours (above 1: ours is faster;"
        " curves read between their points):\n",
        "| section | " + " | ".join(f"{w:.0e}" for w in WIDTHS) + " |",
        "| --- |" + " ---: |" * len(WIDTHS),
    ]
    for key, curves in data["sections"].items():
        cells = []
        for width in WIDTHS:
            own = seconds_at(curves["ours"], width)
            ratios = (seconds_at(curves[n], width) / own for n in ("ngsolve", "quadratic"))
            cells.append(" / ".join(f"{r:.2g}" if np.isfinite(r) else "–" for r in ratios))
        rows.append(f"| {key} | " + " | ".join(cells) + " |")
    return "\n".join(rows)


def publish(data: dict) -> None:
    """Rewrite the block of README.md."""
    where = data["machine"]
    text = f"{table(data)}\n\nMeasured on: {where['processor']}, one thread, {where['system']}."
    rewrite("accuracy curves", text)
