"""A profile: what a parametric shape is made into, an outline with holes, and what to say of it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from ..material import Material
from ..outline.contour import Contour
from ..section import Region, Section


@dataclass(frozen=True, slots=True)
class Profile:
    """An outline, its holes, notes for the reader of results, and how far the outline is from the
    curves that it stands for (0: it is exact).

    Unpacks as (outline, holes), so that ``Region(*rectangle(x_dim=200, y_dim=100))`` is a region.
    """

    outline: Contour
    holes: tuple[Contour, ...] = ()
    notes: tuple[str, ...] = ()
    deviation: float = 0.0

    def __iter__(self) -> Iterator[Any]:
        return iter((self.outline, self.holes))

    def region(self, material: Material | None = None, name: str = "") -> Region:
        """The profile filled with one material."""
        return Region(self.outline, self.holes, material or Material(), name)

    def section(
        self, *, material: Material | None = None, name: str = "section", unit: str = ""
    ) -> Section:
        """A section of this profile alone."""
        return Section(
            (self.region(material),), name, unit, notes=self.notes, deviation=self.deviation
        )
