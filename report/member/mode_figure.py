"""The mode in which a member buckles: its motion along the length, and its sections."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from ...solver.member.deforming.shapes import shape_of
from ..drawing import drafting
from ..drawing.figure_style import style
from ..text.number import number
from .units import MemberUnits

if TYPE_CHECKING:
    from matplotlib.axes import Axes

    from ...solver.member.review.assessment import Assessment
    from ...solver.member.review.stability import MemberStability, StabilityRow

_WIDTH, _HEIGHT = 8.27, 4.1
_STILL, _MOVED = "#b5b5b5", "#123f6b"
#: Largest motion drawn, by the section's size.
SHOWN = 0.14
_LINES = (
    ("across", "across (shear centre)", "#123f6b", "-"),
    ("up", "up (shear centre)", "#c2571a", "-"),
    ("turn", "twist × half the section's size", "#3f7f3f", "--"),
    ("distortion", "distortion (root mean square)", "#8a3f8a", ":"),
)


def drawable(assessment: Assessment) -> StabilityRow | None:
    """The combination whose mode is drawn; None where there is none."""
    found = assessment.stability
    if found is None or isinstance(found, str) or found.beyond is not None:
        return None
    row = found.lowest
    return row if row.movement is not None else None


def plot_mode(assessment: Assessment) -> Axes:
    """Draw the mode of the lowest factor; returns the axes of its motion along the member."""
    from matplotlib.figure import Figure

    row = drawable(assessment)
    assert row is not None
    assert row.movement is not None
    units = MemberUnits(assessment.request.units)
    moved = row.movement
    with style():
        page = Figure(figsize=(_WIDTH, _HEIGHT), facecolor=drafting.PAPER)
        along = page.add_axes((0.075, 0.125, 0.55, 0.66))
        section = page.add_axes((0.67, 0.04, 0.31, 0.74))
        z = moved.z * units.factor("along")
        stability = assessment.stability
        assert stability is not None
        assert not isinstance(stability, str)
        size = _section(section, stability, row)
        curves = {
            "across": moved.across, "up": moved.up, "turn": moved.twist * size / 2,
            "distortion": moved.distortion,
        }  # fmt: skip
        largest = max(float(np.abs(c).max()) for c in curves.values())
        for key, label, colour, dash in _LINES:
            if np.abs(curves[key]).max() > 0.02 * largest:
                along.plot(z, curves[key] / largest, color=colour, ls=dash, lw=1.0, label=label)
        along.axhline(0.0, color="#999999", lw=0.5)
        for support in assessment.solution.mesh.member.supports:
            along.axvline(
                support.at * units.factor("along"), color="#777777", lw=0.5, ls=(0, (1, 2))
            )
        along.set_xlim(z[0], z[-1])
        low = min(float(c.min()) for c in curves.values()) / largest
        high = max(float(c.max()) for c in curves.values()) / largest
        along.set_ylim(low - 0.08, high + 0.08)
        along.set_xlabel(f"station along the member ({units.unit('along')})", fontsize=7.5)
        along.set_ylabel("motion, of the largest", fontsize=7.5)
        along.tick_params(labelsize=6.5)
        along.legend(
            fontsize=6.5, frameon=False, ncols=2, loc="lower left", bbox_to_anchor=(0.0, 1.0)
        )
        page.text(
            0.075, 0.965, f"{row.name}: {moved.movement.words} at {number(row.factor, 4)} times "
            "the loads", fontsize=10, weight="bold", va="top", color=drafting.INK,
        )  # fmt: skip
        section.set_title(
            f"section at {units.text(moved.at, 'along', 3)}, where it moves most", fontsize=7.5
        )
    return along


def _section(axes: Axes, stability: MemberStability, row: StabilityRow) -> float:
    """The section at its largest motion; returns its size."""
    from matplotlib.collections import LineCollection

    moved, state = row.movement, stability.buckling.state
    assert moved is not None
    assert state is not None
    shape = shape_of(state.frame.course.part(moved.at), moved.at)
    edges, motion = shape.edges, shape.moved(moved.functions)[..., :2]
    low, high = edges.min(axis=(0, 1)), edges.max(axis=(0, 1))
    size = float((high - low).max())
    motion = motion * (SHOWN * size / float(np.linalg.norm(motion, axis=2).max()))
    axes.add_collection(LineCollection(list(edges), colors=_STILL, linewidths=0.6))
    axes.add_collection(LineCollection(list(edges + motion), colors=_MOVED, linewidths=1.0))
    margin = 0.2 * size
    axes.set_xlim(low[0] - margin, high[0] + margin)
    axes.set_ylim(low[1] - margin, high[1] + margin)
    axes.set_aspect("equal")
    axes.set_axis_off()
    return size
