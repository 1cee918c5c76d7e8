"""A sketch of the twisted member seen from the side and above, with its loads and supports.

Not to scale: sections, twist and deflection are enlarged by factors that the figure states.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import numpy as np
from numpy.typing import NDArray

from ..solver.member.load import LineLoad, PointLoad
from . import drafting, palette
from .member_solid import Carrier, Drawn, Shell, end_outlines, shells

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.colors import Colormap

    from ..solver.member.assessment import Assessment

Array = NDArray[np.float64]

LOAD = "#d55e00"
GHOST = "#8a8a8a"
#: The view: turned about the vertical, so that the end comes nearer, and tilted to look down.
_TURN, _TILT = np.radians(14.0), np.radians(34.0)
#: Stations along the member, and arrows along a line load from end to end.
_STATIONS, _ARROWS = 90, 30
#: Every so many arrows of a line one has its thread to the shear centre.
_THREADS = 3
#: Twist is drawn up to this angle, deflection up to this share of the section's height.
_TWIST, _MOVE = np.radians(16.0), 0.5
#: A section takes up to this share of the member's length.
_THICK = 0.16
_NICE = (1.0, 2.0, 3.0, 4.0, 5.0, 8.0)


@dataclass(frozen=True, slots=True)
class View:
    """Space to page, so that the chord of the member runs from left to right."""

    heading: float

    def page(self, space: Array) -> Array:
        """(..., 3) X, Y, Z to page coordinates and nearness (..., 3)."""
        cos, sin = np.cos(self.heading), np.sin(self.heading)
        along = space[..., 2] * cos + space[..., 0] * sin
        away = space[..., 0] * cos - space[..., 2] * sin
        right = along * np.cos(_TURN) + away * np.sin(_TURN)
        back = away * np.cos(_TURN) - along * np.sin(_TURN)
        up = space[..., 1] * np.cos(_TILT) + back * np.sin(_TILT)
        near = space[..., 1] * np.sin(_TILT) - back * np.cos(_TILT)
        return np.stack([right, up, near], axis=-1)


def sketch(axes: Axes, assessment: Assessment, combination: int) -> tuple[Drawn, float | None]:
    """Draw the member under a combination; returns how much is exaggerated and the stress at the
    dark end of the colours (None where there is no stress)."""
    member = assessment.solution.mesh.member
    table = assessment.table
    u, v, phi = (getattr(table, w)[:, combination] for w in ("u", "v", "phi"))
    drawn = exaggeration(assessment, combination)
    carrier = Carrier(member.axis, member.line, table.z, u, v, phi, drawn)
    x, z, _ = member.axis.plan([0.0, member.length])
    view = View(0.0 if member.axis.closed else float(np.arctan2(x[1] - x[0], z[1] - z[0])))
    found = shells(assessment, carrier, combination, _STATIONS)
    top = None
    if all(shell.stress is not None for shell in found):
        top = max(float(np.quantile(s.stress, 0.999)) for s in found if s.stress is not None)
    colours = palette.stress_colours()
    _ghost(axes, assessment, carrier, view)
    _faces(axes, found, view, colours, top)
    if not member.axis.closed:
        _cap(axes, assessment, carrier, view)
    _supports(axes, assessment, carrier, view)
    _loads(axes, assessment, carrier, view, combination)
    axes.set_aspect("equal")
    axes.set_axis_off()
    axes.margins(0.05, 0.06)
    return drawn, top


def exaggeration(assessment: Assessment, combination: int) -> Drawn:
    """Round factors that make section, twist and deflection visible."""
    member, table = assessment.solution.mesh.member, assessment.table
    boxes = [section_box(assessment, name) for name in assessment.request.sections]
    width = max(x1 - x0 for x0, _, x1, _ in boxes)
    height = max(y1 - y0 for _, y0, _, y1 in boxes)
    x, z, _ = member.axis.plan(np.linspace(0.0, member.length, 200))
    reach = float(np.hypot(np.ptp(x), np.ptp(z)))
    twist = float(np.abs(table.phi[:, combination]).max())
    moved = float(np.hypot(table.u[:, combination], table.v[:, combination]).max())
    return Drawn(
        _nice(_THICK * reach / max(width, height)),
        _nice(_TWIST / twist) if twist > 1e-12 else 1.0,
        _nice(_MOVE * height / moved) if moved > 1e-12 * height else 1.0,
    )


def _nice(value: float) -> float:
    """The largest round number up to the value, 1 at least."""
    if value <= 1:
        return 1.0
    power = 10.0 ** np.floor(np.log10(value))
    return float(max(n * power for n in _NICE if n * power <= value * (1 + 1e-9)))


def section_box(assessment: Assessment, name: str) -> tuple[float, float, float, float]:
    section = assessment.request.sections[name]
    if section.result is not None:
        return section.result.section.bounds()
    s = section.constants
    w, h = (np.sqrt(3 * i / s.area) for i in (s.second_moment_y, s.second_moment_x))
    x, y = s.centroid
    return (x - w, y - h, x + w, y + h)


def _faces(
    axes: Axes, found: list[Shell], view: View, colours: Colormap, top: float | None
) -> None:
    """Faces that look at the viewer, the farthest first."""
    from matplotlib.collections import PolyCollection
    from matplotlib.colors import to_rgb

    corners, shades, stresses = [], [], []
    for shell in found:
        page = view.page(shell.space)
        on = np.roll(page, -1, axis=1)
        quads = np.stack([page[:-1], on[:-1], on[1:], page[1:]], axis=2)
        quads = quads.reshape(-1, 4, 3)
        first, second = quads[:, 1] - quads[:, 0], quads[:, 3] - quads[:, 0]
        normal = np.cross(first, second)
        size = np.linalg.norm(normal, axis=1)
        size[size == 0] = 1.0
        normal /= size[:, None]
        corners.append(quads)
        shades.append(normal)
        if shell.stress is not None:
            s = shell.stress
            s = np.maximum(s, np.roll(s, -1, axis=1))
            stresses.append(((s[:-1] + s[1:]) / 2).ravel())
    quads, normal = np.concatenate(corners), np.concatenate(shades)
    seen = normal[:, 2] > 0
    order = np.flatnonzero(seen)[np.argsort(quads[seen, :, 2].mean(axis=1))]
    light = np.clip(normal @ np.array([-0.25, 0.75, 0.6]), 0.0, 1.0)
    if top:
        base = np.asarray(colours(np.clip(np.concatenate(stresses) / top, 0, 1)))[:, :3]
    else:
        base = np.broadcast_to(to_rgb("#b9cbdc"), (len(quads), 3))
    shade = base * (0.72 + 0.28 * light[:, None])
    axes.add_collection(
        PolyCollection(
            list(quads[order, :, :2]),
            facecolors=shade[order],
            edgecolors=shade[order],
            linewidths=0.3,
            zorder=3,
            rasterized=True,
        )
    )
    axes.update_datalim(quads[..., :2].reshape(-1, 2))


def _cap(axes: Axes, assessment: Assessment, carrier: Carrier, view: View) -> None:
    """The end that looks at the viewer, as a cut: hatched, with its holes."""
    from matplotlib.patches import PathPatch
    from matplotlib.path import Path

    member = assessment.solution.mesh.member
    stretch = member.stretches[-1]
    section = assessment.request.sections[(stretch.section_end or stretch.section).name]
    if section.result is None:
        return
    z = np.array([member.length])
    centre = np.array([section.constants.shear_centre])
    for contours in end_outlines(section.result.section):
        vertices, codes = [], []
        for contour in contours:
            page = view.page(carrier.carried(z, contour[None], centre))[0, :, :2]
            vertices += [*page, page[0]]
            codes += [Path.MOVETO, *[Path.LINETO] * (len(page) - 1), Path.CLOSEPOLY]
        axes.add_patch(
            PathPatch(
                Path(vertices, codes),
                facecolor="#3a3a3a",
                edgecolor=drafting.INK,
                linewidth=0.4,
                zorder=4,
            )
        )


def _ghost(axes: Axes, assessment: Assessment, carrier: Carrier, view: View) -> None:
    """Where the member would be without loads: the edges of its box, and its ends."""
    member = assessment.solution.mesh.member
    for stretch in member.stretches:
        z = np.linspace(stretch.start, stretch.end, _STATIONS)
        x0, y0, x1, y1 = section_box(assessment, stretch.section.name)
        end = section_box(assessment, (stretch.section_end or stretch.section).name)
        share = ((z - stretch.start) / (stretch.end - stretch.start))[:, None]
        first = np.array([[x0, y0], [x1, y0], [x1, y1], [x0, y1]])
        last = np.array([[end[k], end[j]] for k, j in ((0, 1), (2, 1), (2, 3), (0, 3))])
        points = first[None] * (1 - share[..., None]) + last[None] * share[..., None]
        page = view.page(carrier.carried(z, points, np.zeros((len(z), 2)), moved=False))
        style: dict[str, Any] = {
            "color": GHOST, "linewidth": 0.6, "linestyle": (0, (4, 2)), "zorder": 2,
        }  # fmt: skip
        for k in range(4):
            axes.plot(page[:, k, 0], page[:, k, 1], **style)
        for ring in (page[0], page[-1]):
            axes.plot(*np.vstack([ring, ring[:1]])[:, :2].T, **style)


def _supports(axes: Axes, assessment: Assessment, carrier: Carrier, view: View) -> None:
    """A triangle below the section at every support, and the support's name."""
    member = assessment.solution.mesh.member
    for support in member.supports:
        x0, y0, x1, y1 = section_box(assessment, member.stretch_at(support.at).section.name)
        corners = np.array([[[x0, y0], [x1, y0], [x1, y1], [x0, y1]]])
        centre = np.array([member.section_at(support.at).shear_centre])
        at = np.array([support.at])
        page = view.page(carrier.carried(at, corners, centre, moved=False))[0]
        low = page[int(np.argmin(page[:, 1])), :2]
        axes.plot(
            *low, linestyle="", marker=6, markersize=6, color=drafting.INK, zorder=5,
            clip_on=False,
        )  # fmt: skip
        axes.annotate(
            support.title, low, (0, -9), textcoords="offset points", ha="center", va="top",
            fontsize=6.5, color="#333333", annotation_clip=False, zorder=6,
        )  # fmt: skip


def _loads(
    axes: Axes, assessment: Assessment, carrier: Carrier, view: View, combination: int
) -> None:
    """Arrows of the combination's forces, ending where they act; self-weight is left out.

    Their length tells point loads from point loads and line loads from line loads, not these from
    those.
    """
    member = assessment.solution.mesh.member
    factors = member.combined[combination].factors
    acting = [x for x in member.loads if factors.get(x.case)]
    lines: list[LineLoad | PointLoad] = [x for x in acting if isinstance(x, LineLoad)]
    points: list[LineLoad | PointLoad] = [x for x in acting if isinstance(x, PointLoad)]
    height = max(y1 - y0 for _, y0, _, y1 in (section_box(assessment, n) for n in _names(assessment)))
    x, z, _ = member.axis.plan(np.linspace(0.0, member.length, 100))
    length = max(0.9 * height * carrier.drawn.thick, 0.05 * float(np.hypot(np.ptp(x), np.ptp(z))))
    for group, full in ((points, length), (lines, 0.6 * length)):
        forces = [np.array(load.force[:2]) * factors[load.case] for load in group]
        most = max((float(np.hypot(*f)) for f in forces), default=0.0)
        for load, force in zip(group, forces, strict=True):
            if not np.hypot(*force):
                continue
            size = full * (0.4 + 0.6 * float(np.hypot(*force)) / most)
            at = np.array([getattr(load, "at", 0.0)])
            if isinstance(load, LineLoad):
                share = (load.end - load.start) / member.length
                at = np.linspace(load.start, load.end, max(2, round(_ARROWS * share) + 1))
            _arrows(axes, assessment, carrier, view, load.place, at, force, size)


def _arrows(
    axes: Axes,
    assessment: Assessment,
    carrier: Carrier,
    view: View,
    place: Any,
    at: Array,
    force: Array,
    size: float,
) -> None:
    member = assessment.solution.mesh.member
    sections = [member.section_at(float(z)) for z in at]
    points = np.array([[member.locate(place, s)] for s in sections])
    centre = np.array([s.shear_centre for s in sections])
    space = carrier.carried(at, points, centre)[:, 0]
    _, _, heading = member.axis.plan(at)
    unit = force / np.hypot(*force)
    tail = space.copy()
    tail[:, 0] -= size * unit[0] * np.cos(heading)
    tail[:, 2] += size * unit[0] * np.sin(heading)
    tail[:, 1] -= size * unit[1]
    tip, end = view.page(space)[:, :2], view.page(tail)[:, :2]
    foot = view.page(carrier.carried(at, centre[:, None, :], centre)[:, 0])[:, :2]
    # The viewer stands on the -x side: what acts beyond the section is partly behind it, and shown
    # through it in broken lines.
    edge = section_box(assessment, member.stretch_at(float(at[0])).section.name)[2]
    if points[0, 0, 0] > edge:
        _shafts(axes, tip, end, foot, 2.5, "-")
        _shafts(axes, tip, end, foot, 7, (0, (3, 2)))
    else:
        _shafts(axes, tip, end, foot, 7, "-")
    axes.update_datalim(np.vstack([tip, end]))



def _shafts(axes: Axes, tip: Array, end: Array, foot: Array, order: float, line: Any) -> None:
    """Arrows from `end` to `tip`, joined along the member, and a thread from each tip to the shear
    centre."""
    style: dict[str, Any] = {"color": LOAD, "linewidth": 0.7, "zorder": order}
    thread = style | {"linewidth": 0.5, "linestyle": ":"}
    for k, (a, b, c) in enumerate(zip(tip, end, foot, strict=True)):
        if k % _THREADS == 0:
            axes.plot(*np.array([a, c]).T, **thread)
        axes.annotate(
            "", a, b, zorder=order, annotation_clip=False,
            arrowprops={
                "arrowstyle": "-|>,head_width=0.09,head_length=0.22", "color": LOAD,
                "linewidth": 0.7, "linestyle": line, "shrinkA": 0, "shrinkB": 0,
            },
        )  # fmt: skip
    if len(tip) > 1:
        axes.plot(end[:, 0], end[:, 1], linestyle=line, **style)


def _names(assessment: Assessment) -> list[str]:
    return list(assessment.request.sections)
