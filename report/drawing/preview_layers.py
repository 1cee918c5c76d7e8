"""What a drawing of a section holds: parts by material, loose lines, slits, throats, marks."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import numpy as np
from numpy.typing import NDArray

from . import drafting, labels, palette
from .labels import Board, Seat

if TYPE_CHECKING:
    from matplotlib.artist import Artist
    from matplotlib.axes import Axes

    from ...geometry.section import Section
    from ...geometry.section_file.preview import Preview

Array = NDArray[np.float64]

STEADY, BROKEN = "#0b6e4f", "#b35c00"
_DASHES: Any = (0, (2.5, 1.5))
_CUT: Any = (0, (4, 2))
_DEVIATION = 2e-5


def draw_parts(axes: Axes, section: Section) -> None:
    """Regions filled with their material's colour, and their outlines."""
    from matplotlib.collections import PatchCollection
    from matplotlib.patches import PathPatch
    from matplotlib.path import Path

    deviation = _DEVIATION * section.size()
    for rank, name in enumerate(material_names(section)):
        patches = []
        for region in section.regions:
            if region.material.name != name:
                continue
            rings = [c.polyline(deviation) for c in region.contours]
            paths = [Path(np.vstack([ring, ring[:1]]), closed=True) for ring in rings]
            patches.append(PathPatch(Path.make_compound_path(*paths)))
        fill = palette.material_fill(rank)
        axes.add_collection(
            PatchCollection(patches, facecolor=fill, edgecolor=drafting.INK, linewidth=0.8)
        )


def draw_loose(axes: Axes, seen: Preview) -> None:
    """Lines without a region: strokes that do not close, dashed where a part is cut out."""
    from matplotlib.collections import LineCollection

    if seen.loose:
        dashes = "-" if seen.section is None else _CUT
        axes.add_collection(
            LineCollection(list(seen.loose), colors=drafting.INK, linewidths=0.9, linestyles=dashes)
        )


def draw_contacts(axes: Axes, section: Section, board: Board) -> None:
    """Slits and the throats of joints, each with its name."""
    from matplotlib.collections import LineCollection

    slits = [drafting.open_run(np.asarray(s.points), np.asarray(s.bulges)) for s in section.slits]
    joints = [drafting.open_run(np.asarray(j.points), np.asarray(j.bulges)) for j in section.joints]
    colours = [BROKEN if joint.intermittent else STEADY for joint in section.joints]
    axes.add_collection(
        LineCollection(
            slits, colors=drafting.ACCENT, linewidths=1.4, linestyles=[_DASHES], zorder=6
        )
    )
    axes.add_collection(LineCollection(joints, colors=colours, linewidths=2.4, zorder=7))
    for run, joint, colour in zip(joints, section.joints, colours, strict=True):
        seats = labels.around((16.0, 26.0, 38.0, 52.0), 45.0, 12)
        board.place(joint.name, run[len(run) // 2], seats, colour=colour, leader=True)
    for k, run in enumerate(slits, 1):
        seats = labels.around((14.0, 24.0, 36.0, 50.0), 60.0, 12)
        colour = drafting.ACCENT
        board.place(f"slit {k}", run[len(run) // 2], seats, size=5.5, colour=colour, leader=True)


def draw_error(axes: Axes, seen: Preview, board: Board) -> None:
    """A ring around the place of the error, dots at the others its message names."""
    if not seen.places:
        return
    colour: dict[str, Any] = {"color": drafting.ACCENT, "zorder": 10, "linestyle": ""}
    x, y = np.array(seen.places).T
    axes.plot(x[1:], y[1:], ".", markersize=5, **colour)
    axes.plot(x[:1], y[:1], "x", markersize=6, markeredgewidth=1.4, **colour)
    axes.plot(
        x[:1], y[:1], "o", markerfacecolor="none", markersize=15, markeredgewidth=1.8, **colour
    )
    text = f"({x[0]:.6g}, {y[0]:.6g})"
    seats = labels.around((24.0, 34.0), 45.0, 8)
    board.place(text, (x[0], y[0]), seats, size=7, colour=drafting.ACCENT, bold=True, leader=True)


def name_parts(section: Section, board: Board) -> None:
    """Numbers and names of regions, and of their holes."""
    several = len(section.regions) > 1
    welds = {joint.name for joint in section.joints}
    deviation = 1e-3 * section.size()
    for k, region in enumerate(section.regions):
        rings = [c.polyline(deviation) for c in region.contours]
        # a fillet bears the name of its joint, which is written there already
        name = "" if region.name in welds else region.name
        text = f"{k + 1} {name}".rstrip()
        if several:  # messages call a single region "the section"
            at = _inner_point(rings[0], rings[1:])
            near = board.place(text, at, [Seat((0.0, 0.0))], size=7.0, bold=True)
            if not near:
                seats = [*labels.around((14.0, 22.0, 32.0, 46.0), 20.0, 12), Seat((0.0, 0.0))]
                board.place(text, at, seats, size=7.0, over_lines=True, bold=True, leader=True)
        for n, ring in enumerate(rings[1:], 1):
            owner = f" of {k + 1}" if several else ""
            seats = [Seat((0.0, 0.0)), *labels.around((8.0, 14.0), 90.0, 8)]
            board.place(f"hole {n}{owner}", _inner_point(ring, []), seats, size=6.5)


def _inner_point(ring: Array, holes: list[Array]) -> tuple[float, float]:
    """A point inside a region, also of one that crosses itself."""
    from shapely import Polygon

    shape = Polygon(ring, holes)
    point = (shape if shape.is_valid else shape.buffer(0)).representative_point()
    if point.is_empty:
        return float(ring[0, 0]), float(ring[0, 1])
    return point.x, point.y


def material_names(section: Section) -> list[str]:
    """Names of the materials, in the order of the regions."""
    return list(dict.fromkeys(r.material.name for r in section.regions))


def key_entries(seen: Preview) -> dict[str, Artist]:
    """What the key explains: a mark for each kind of thing that is drawn."""
    from matplotlib.lines import Line2D
    from matplotlib.patches import Patch

    out: dict[str, Artist] = {}
    if seen.section is not None:
        for rank, name in enumerate(material_names(seen.section)):
            words = "no material named" if name == "unspecified" else name[:60]
            fill = palette.material_fill(rank)
            out[words] = Patch(facecolor=fill, edgecolor=drafting.INK, linewidth=0.6)
        if seen.section.slits:
            words = "slit: touching, not joined"
            out[words] = Line2D([], [], color=drafting.ACCENT, linewidth=1.4, linestyle=_DASHES)
        kinds = {joint.intermittent for joint in seen.section.joints}
        if False in kinds:
            out["throat of a joint"] = Line2D([], [], color=STEADY, linewidth=2.4)
        if True in kinds:
            words = "throat of an intermittent weld"
            out[words] = Line2D([], [], color=BROKEN, linewidth=2.4)
    if seen.loose:
        alone = seen.section is None
        words = "lines of the drawing" if alone else "cut out"
        dashes: Any = "-" if alone else _CUT
        out[words] = Line2D([], [], color=drafting.INK, linewidth=0.9, linestyle=dashes)
    if seen.places:
        ring = Line2D([], [], color=drafting.ACCENT, marker="o", linestyle="", markersize=8)
        ring.set(markerfacecolor="none", markeredgewidth=1.4)
        out["place of the error"] = ring
    return out


def line_points(seen: Preview, step: float) -> Array:
    """(n, 2) points along everything drawn, at most about `step` apart."""
    runs = list(seen.loose)
    if seen.section is not None:
        deviation = 1e-3 * seen.section.size()
        for contour in seen.section.contours():
            ring = contour.polyline(deviation)
            runs.append(np.vstack([ring, ring[:1]]))
    parts = [np.empty((0, 2))]
    for run in runs:
        gap = np.hypot(*np.diff(run, axis=0).T)
        reach = np.concatenate([[0.0], np.cumsum(gap)])
        at = np.linspace(0.0, reach[-1], 2 + int(min(reach[-1] / step, 5000)))
        parts.append(np.stack([np.interp(at, reach, run[:, k]) for k in (0, 1)], axis=1))
    return np.vstack(parts)
