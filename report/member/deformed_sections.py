"""The deformed sections of a member at a few stations, side by side to one scale."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from ...solver.member.deforming.shapes import shape_at, without_mean
from ..drawing import drafting
from ..text.number import number
from .units import MemberUnits
from .view import nice

if TYPE_CHECKING:
    from matplotlib.axes import Axes

    from ...solver.member.review.assessment import Assessment

Array = NDArray[np.float64]

#: Stations shown, evenly spaced; the nearest moves to where the section distorts most, unless that
#: is an end.
COUNT = 5
#: What the largest own motion of a section comes to, as a share of the section's size.
SHOWN = 0.12
_STILL, _MOVED = "#b5b5b5", "#123f6b"


def shown_stations(assessment: Assessment, combination: int) -> Array:
    """Stations of the sections drawn."""
    found = assessment.deformed
    assert found is not None
    solution = found.solution
    length = solution.member.length
    z = np.linspace(0.0, length, COUNT)
    fine = np.linspace(0.0, length, 101)
    worst = float(fine[int(solution.distortion(fine)[:, combination].argmax())])
    if fine[1] < worst < fine[-2]:
        z[1 + int(abs(z[1:-1] - worst).argmin())] = worst
    return z


def draw_sections(
    axes: Axes, assessment: Assessment, combination: int, units: MemberUnits
) -> float | None:
    """Draw the sections; returns how much their own motion is exaggerated, None if it is nothing.

    Movement of the section as a whole is left out: what shows is turning and distortion.
    """
    from matplotlib.collections import LineCollection

    found = assessment.deformed
    assert found is not None
    solution = found.solution
    drawn = []
    for z in shown_stations(assessment, combination):
        side = "left" if z >= solution.member.length else "right"
        shape = shape_at(solution, float(z), side)
        _, a, _ = solution.functions([z], side)
        moved = shape.moved(a[0, :, combination])[..., :2]
        drawn.append((float(z), shape.edges, without_mean(shape.edges, moved)))
    low = np.min([e.min(axis=(0, 1)) for _, e, _ in drawn], axis=0)
    high = np.max([e.max(axis=(0, 1)) for _, e, _ in drawn], axis=0)
    width, depth = high - low
    largest = max(float(np.linalg.norm(m, axis=2).max()) for _, _, m in drawn)
    size = max(width, depth)
    factor = nice(SHOWN * size / largest) if largest > 1e-9 * size else 0.0
    step = width + max(0.35 * width, 0.5 * depth)
    for k, (z, edges, motion) in enumerate(drawn):
        offset = np.array([k * step, 0.0])
        axes.add_collection(LineCollection(list(edges + offset), colors=_STILL, linewidths=0.5))
        moved = edges + factor * motion + offset
        axes.add_collection(LineCollection(list(moved), colors=_MOVED, linewidths=0.9))
        axes.text(
            (low[0] + high[0]) / 2 + offset[0], low[1] - 0.14 * size,
            units.text(z, "along"), ha="center", va="top", fontsize=7.6, color=drafting.INK,
        )  # fmt: skip
    axes.set_xlim(low[0] - 0.3 * step, low[0] + (COUNT - 1) * step + width + 0.3 * step)
    axes.set_ylim(low[1] - 0.30 * depth - 0.12 * size, high[1] + 0.12 * size)
    axes.set_aspect("equal")
    axes.set_axis_off()
    return factor or None


def words_of(factor: float | None) -> str:
    """What the drawing shows, under its title."""
    if factor is None:
        return "the sections do not turn or distort"
    return f"grey: unloaded; blue: turning and distortion × {number(factor)}, deflection left out"
