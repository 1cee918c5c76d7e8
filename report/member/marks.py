"""What a sketch of a member shows beside it: loads, supports, the cut end, and the unloaded
member."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import numpy as np
from numpy.typing import NDArray

from ...solver.member.model.load import LineLoad, PointLoad
from ...solver.member.model.tendon_path import tendon_runs
from ..drawing import drafting
from ..drawing.palette import SERIES
from .plan_imposed import TENDON
from .solid import Carrier, end_outlines
from .view import View, section_box

if TYPE_CHECKING:
    from matplotlib.axes import Axes

    from ...solver.member.review.assessment import Assessment

Array = NDArray[np.float64]

LOAD = SERIES[5]
GHOST = "#8a8a8a"
#: Arrows along a line load from end to end; every so many of them one has its thread to the shear
#: centre.
_ARROWS, _THREADS = 30, 3
#: Arrows of point loads at most.
_ROW = 40
#: Stations of the unloaded member's edges.
_STATIONS = 90


def cut_end(axes: Axes, assessment: Assessment, carrier: Carrier, view: View) -> None:
    """The end that looks at the viewer, as a cut: hatched, with its holes."""
    from matplotlib.patches import PathPatch
    from matplotlib.path import Path

    member = assessment.solution.mesh.member
    segment = member.segments[-1]
    section = assessment.request.sections[(segment.section_end or segment.section).name]
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


def unloaded(axes: Axes, assessment: Assessment, carrier: Carrier, view: View) -> None:
    """Where the member would be without loads: the edges of its box, and its ends."""
    member = assessment.solution.mesh.member
    for segment in member.segments:
        inner = [k.at for k in member.axis.kinks if segment.start < k.at < segment.end]
        z = np.union1d(np.linspace(segment.start, segment.end, _STATIONS), inner)
        x0, y0, x1, y1 = section_box(assessment, segment.section.name)
        end = section_box(assessment, (segment.section_end or segment.section).name)
        share = ((z - segment.start) / (segment.end - segment.start))[:, None]
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


def supports(axes: Axes, assessment: Assessment, carrier: Carrier, view: View) -> None:
    """A triangle below the section at every support, and the support's name."""
    member = assessment.solution.mesh.member
    for support in member.supports:
        x0, y0, x1, y1 = section_box(assessment, member.segment_at(support.at).section.name)
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
            fontsize=7.6, color="#333333", annotation_clip=False, zorder=6,
        )  # fmt: skip


def loads(
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
    boxes = [section_box(assessment, name) for name in assessment.request.sections]
    height = max(y1 - y0 for _, y0, _, y1 in boxes)
    x, z, _ = member.axis.plan(np.linspace(0.0, member.length, 100))
    length = max(0.9 * height * carrier.drawn.thick, 0.05 * float(np.hypot(np.ptp(x), np.ptp(z))))
    for group, full in ((_thinned(points), length), (lines, 0.6 * length)):
        ends = [_ends(load, factors[load.case]) for load in group]
        most = max((float(np.hypot(*f.T).max()) for f in ends), default=0.0)
        for load, force in zip(group, ends, strict=True):
            if not force.any():
                continue
            at = np.array([getattr(load, "at", 0.0)])
            if isinstance(load, LineLoad):
                share = (load.end - load.start) / member.length
                at = np.linspace(load.start, load.end, max(2, round(_ARROWS * share) + 1))
            way = np.linspace(0, 1, len(at))[:, None]
            here = (1 - way) * force[0] + way * force[1]
            size = np.hypot(*here.T)
            # Small ones stay visible; what is nothing has no length.
            drawn = full * np.where(size > 0, 0.4 + 0.6 * size / most, 0.0)
            here *= (drawn / np.maximum(size, 1e-300))[:, None]
            _arrows(axes, assessment, carrier, view, load.place, at, here)
    for load in points:
        if isinstance(load, PointLoad) and load.moment[2]:
            section = member.section_at(load.at)
            centre = np.array([section.shear_centre])
            at = np.array([load.at])
            x, y, _ = view.page(carrier.carried(at, centre[:, None], centre))[0, 0]
            turn = turn_of(load.moment[2] * factors[load.case])
            axes.plot(x, y, marker=turn, color=LOAD, markersize=13, linestyle="", zorder=8)


def tendons(axes: Axes, assessment: Assessment, carrier: Carrier, view: View) -> None:
    """The line of every tendon, seen through the member."""
    member = assessment.solution.mesh.member
    for tendon in member.tendons:
        for run in tendon_runs(tendon, member):
            z = np.linspace(run.start, run.end, _STATIONS)
            points = run.line(z)[0] + np.asarray(member.line)
            centre = np.array([member.section_at(float(s)).shear_centre for s in z])
            page = view.page(carrier.carried(z, points[:, None], centre)[:, 0])
            axes.plot(*page[:, :2].T, color=TENDON, linewidth=1.1, linestyle=(0, (5, 2)), zorder=8)


def turn_of(torque: float) -> str:
    """A marker that turns as a torque does for one who looks along -z, at the section as drawn."""
    return r"$\circlearrowleft$" if torque >= 0 else r"$\circlearrowright$"


def _ends(load: LineLoad | PointLoad, factor: float) -> Array:
    """(2, 2) force across and up at the start and the end of a load, factored."""
    end = getattr(load, "force_end", None) or load.force
    return factor * np.array([load.force[:2], end[:2]])


def _thinned(loads: list[LineLoad | PointLoad]) -> list[LineLoad | PointLoad]:
    """So many of a row of loads that their arrows can be told apart."""
    return loads[:: -(-len(loads) // _ROW)] if len(loads) > _ROW else loads


def _arrows(
    axes: Axes,
    assessment: Assessment,
    carrier: Carrier,
    view: View,
    place: Any,
    at: Array,
    arrows: Array,
) -> None:
    """Arrows (k, 2), across and up as long as drawn, that end at a place at stations (k,)."""
    member = assessment.solution.mesh.member
    sections = [member.section_at(float(z)) for z in at]
    points = np.array([[member.locate(place, s)] for s in sections])
    centre = np.array([s.shear_centre for s in sections])
    space = carrier.carried(at, points, centre)[:, 0]
    _, _, heading = member.axis.plan(at)
    tail = space.copy()
    tail[:, 0] -= arrows[:, 0] * np.cos(heading)
    tail[:, 2] += arrows[:, 0] * np.sin(heading)
    tail[:, 1] -= arrows[:, 1]
    tip, end = view.page(space)[:, :2], view.page(tail)[:, :2]
    foot = view.page(carrier.carried(at, centre[:, None, :], centre)[:, 0])[:, :2]
    # The viewer stands on the -x side: what acts beyond the section is partly behind it, and shown
    # through it in broken lines.
    edge = section_box(assessment, member.segment_at(float(at[0])).section.name)[2]
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
        if np.allclose(a, b):
            continue
        axes.annotate(
            "", a, b, zorder=order, annotation_clip=False,
            arrowprops={
                "arrowstyle": "-|>,head_width=0.09,head_length=0.22", "color": LOAD,
                "linewidth": 0.7, "linestyle": line, "shrinkA": 0, "shrinkB": 0,
            },
        )  # fmt: skip
    if len(tip) > 1:
        axes.plot(end[:, 0], end[:, 1], linestyle=line, **style)
