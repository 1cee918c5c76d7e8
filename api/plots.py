"""Figures of results: drawn by `report`, shown by a notebook, saved by `save`."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from .report.section.notebook import Drawing

if TYPE_CHECKING:
    from .solver.section import SectionResult


@dataclass(frozen=True, slots=True, eq=False)
class SectionPlots:
    """Figures of a section.

    Examples
    --------
    >>> import soapfilm as sf
    >>> plot = sf.solve("W10X49").plot
    >>> plot.shear().axes.get_aspect() == plot.warping().axes.get_aspect() == 1
    True
    """

    result: SectionResult

    def shear(self, *, ax: Any = None) -> Drawing:
        """Shear stress of a torque with its flow lines; `ax`: matplotlib axes to draw in."""
        from .report.section.figure import plot_shear

        return Drawing(plot_shear(self.result, ax=ax))

    def warping(self, *, ax: Any = None) -> Drawing:
        """Warping about the shear centre; `ax`: matplotlib axes to draw in."""
        from .report.section.figure import plot_warping

        return Drawing(plot_warping(self.result, ax=ax))

    def __repr__(self) -> str:
        return f"figures of {self.result.section.name}: shear(), warping()"
