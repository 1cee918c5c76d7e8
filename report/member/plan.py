"""The load plan of a member seen from above and laid out straight: places of loads and holds.

Stations run to the right, the section's x axis upward. What is curved in plan is named in a strip
above it.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING, Any

import numpy as np

from ...solver.member.model.restraint import Deck
from ..drawing import drafting
from ..drawing.palette import SERIES
from .places import draw_loads
from .plan_imposed import draw_imposed, draw_tendons, imposed_lines
from .units import MemberUnits
from .view import section_box

if TYPE_CHECKING:
    from matplotlib.axes import Axes

    from ...solver.member.model.axis import Axis
    from ...solver.member.model.axis_piece import Piece
    from ...solver.member.review.assessment import Assessment

HOLD = SERIES[0]
_BAND = "#e8e6e1"


def load_plan(axes: Axes, assessment: Assessment, units: MemberUnits) -> None:
    """Draw the plan; the axes' x is the station in the unit along the member."""
    member = assessment.solution.mesh.member
    along = units.factor("along")
    low, high = _band(axes, assessment, along)
    places = [*draw_loads(axes, assessment, units), *draw_tendons(axes, member, units)]
    lines = imposed_lines(member, units)
    low, high = min([low, *places]), max([high, *places])
    pad = 0.14 * (high - low)
    axes.set_ylim(low - pad * (1 + 1.1 * len(lines)), high + 3.0 * pad)
    draw_imposed(axes, lines)
    _holds(axes, assessment, along)
    _curvature(axes, assessment, units)
    axes.set_ylabel(f"x ({units.unit('place')})", fontsize=7.6)
    axes.locator_params(axis="y", nbins=4)
    axes.set_xlim(0.0, member.length * along)


def _band(axes: Axes, assessment: Assessment, along: float) -> tuple[float, float]:
    """The section's width, and its shear centre."""
    member = assessment.solution.mesh.member
    reach: list[float] = []
    for segment in member.segments:
        ends = [segment.section, segment.section_end or segment.section]
        boxes = [section_box(assessment, s.name) for s in ends]
        z = np.array([segment.start, segment.end]) * along
        axes.fill_between(
            z, [b[0] for b in boxes], [b[2] for b in boxes], color=_BAND, linewidth=0, zorder=1
        )
        centre = [s.shear_centre[0] for s in ends]
        (line,) = axes.plot(
            z, centre, color=drafting.ACCENT, linewidth=0.8, linestyle="-.", zorder=3
        )
        reach += [b[0] for b in boxes] + [b[2] for b in boxes] + centre
    line.set_label("shear centre")
    return min(reach), max(reach)


def _holds(axes: Axes, assessment: Assessment, along: float) -> None:
    """Supports as bars or bearings, restraints as diamonds, decks as a hatched line, hinges as
    rings on a gap across the section."""
    member = assessment.solution.mesh.member
    for support in member.supports:
        x0, _, x1, _ = section_box(assessment, member.segment_at(support.at).section.name)
        z = support.at * along
        if support.bearings:
            seats = [b.x for b in support.bearings]
            axes.plot([z] * len(seats), seats, "s", color=drafting.INK, markersize=5, zorder=6,
                      clip_on=False)  # fmt: skip
        else:
            axes.plot([z, z], [x0, x1], color=drafting.INK, linewidth=2.4, zorder=6,
                      clip_on=False, solid_capstyle="butt")  # fmt: skip
    for hinge in member.hinges:
        x0, _, x1, _ = section_box(assessment, member.segment_at(hinge.at).section.name)
        z = hinge.at * along
        axes.plot([z, z], [x0, x1], color="#ffffff", linewidth=2.4, zorder=2)
        axes.plot(z, member.section_at(hinge.at).centroid[0], "o", color=drafting.INK,
                  markersize=5.5, markerfacecolor="#ffffff", zorder=6)  # fmt: skip
    for item in member.restraints:
        if isinstance(item, Deck):
            axes.plot([item.start * along, item.end * along],
                      [member.section_at(item.start).shear_centre[0]] * 2,
                      color=HOLD, linewidth=2.4, linestyle=":", zorder=3)  # fmt: skip
        else:
            x = member.section_at(item.at).shear_centre[0]
            style: dict[str, Any] = {"markersize": 5, "markerfacecolor": "#ffffff", "zorder": 6}
            axes.plot(item.at * along, x, "D", color=HOLD, **style)


def _alike(axis: Axis) -> Iterator[tuple[Piece, float, float]]:
    """Pieces with their ends, those that run on as one."""
    starts = axis.breaks
    kinks = [k.at for k in axis.kinks]
    first = 0
    for n, piece in enumerate(axis.pieces):
        end = starts[n + 1]
        last = n + 1 == len(axis.pieces)
        steady = piece.ends[0] == piece.ends[1]
        alike = not last and steady and axis.pieces[n + 1].ends == piece.ends
        if not alike or np.isclose(end, kinks).any():
            yield piece, float(starts[first]), float(end)
            first = n + 1


def _curvature(axes: Axes, assessment: Assessment, units: MemberUnits) -> None:
    """Above the plan: where it is straight and where it curves, and to which side."""
    axis = assessment.solution.mesh.member.axis
    along = units.factor("along")
    transform = axes.get_xaxis_transform()
    for kink in axis.kinks:
        axes.annotate(
            f"∠ {units.text(kink.angle, 'angle', 3)}", (kink.at * along, 0.875), xycoords=transform,
            ha="center", va="top", fontsize=7.6, color="#333333", annotation_clip=False,
            bbox={"boxstyle": "square,pad=0.1", "facecolor": "#ffffff", "edgecolor": "none"},
        )  # fmt: skip
    for piece, a, b in _alike(axis):
        words = "straight in plan"
        if piece.ends[0] != piece.ends[1]:
            ends = (
                f"{units.value(abs(1 / kappa), 'along', 3)}" if kappa else "∞"
                for kappa in piece.ends
            )
            words = f"R = {' to '.join(ends)} {units.unit('along')}, transition"
        elif piece.curvature:
            side = "+x" if piece.curvature > 0 else "−x"
            radius = units.value(abs(1 / piece.curvature), "along")
            words = f"R = {radius} {units.unit('along')}, centre on the {side} side"
        share = (b - a) / axis.length
        if share < 0.22:
            words = words.replace(" in plan", "").split(",")[0]
        axes.annotate(
            "", (a * along, 0.93), (b * along, 0.93), xycoords=transform, textcoords=transform,
            arrowprops={"arrowstyle": "|-|,widthA=0.18,widthB=0.18", "linewidth": 0.6,
                        "color": "#555555", "shrinkA": 1, "shrinkB": 1},
        )  # fmt: skip
        if share > 0.05:
            axes.text(
                (a + b) / 2 * along, 0.93, words, transform=transform, ha="center", va="center",
                fontsize=7.6, color="#333333", zorder=7,
                bbox={"boxstyle": "square,pad=0.15", "facecolor": "#ffffff", "edgecolor": "none"},
            )  # fmt: skip
