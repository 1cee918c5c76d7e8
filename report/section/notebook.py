"""Figures that a notebook shows by itself: the last line of a cell is enough.

Results show themselves as small tables, since their classes cannot know of figures.

    from soapfilm.report.section import notebook
    notebook.shear(result)
"""

from __future__ import annotations

import os
from dataclasses import dataclass
from typing import TYPE_CHECKING

from ..page.picture import svg
from . import figure

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

    from ...solver.member.review.assessment import Assessment
    from ...solver.section import SectionResult
    from ...solver.section.stress.load_cases import StressResult


@dataclass(frozen=True, slots=True, eq=False)
class Drawing:
    """A figure, drawn.

    Attributes
    ----------
    axes : matplotlib Axes or Figure
        To add to it before it is shown.
    """

    axes: Axes | Figure

    def _repr_svg_(self) -> str:
        return svg(self.axes).decode("utf-8")

    def save(self, path: str | os.PathLike[str]) -> None:
        """Write it as SVG, PNG or PDF by the path's extension."""
        figure.save(self.axes, path)


def shear(result: SectionResult) -> Drawing:
    """Shear stress of a torque with its flow lines."""
    return Drawing(figure.plot_shear(result))


def warping(result: SectionResult) -> Drawing:
    """Warping about the shear centre."""
    return Drawing(figure.plot_warping(result))


def stress(solved: StressResult, component: str = "von Mises", case: int = 0) -> Drawing:
    """A stress component of one load case."""
    from ..stress.figure import plot_stress

    return Drawing(plot_stress(solved, component, case))


def member(assessment: Assessment, combination: int | None = None) -> Drawing:
    """A member and its diagrams, on one page."""
    from ..member.figure import plot_member

    return Drawing(plot_member(assessment, combination))
