"""Wind as a pressure on what the member shows of itself: it follows the section."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from ....geometry.errors import InputError
from .faces import Height

if TYPE_CHECKING:
    from .constants import SectionConstants


@dataclass(frozen=True, slots=True)
class WindPressure:
    """A pressure toward +x on the depth that it sees.

    Attributes
    ----------
    pressure : float
    parapet : float
        Seen above the section's top besides.
    depth : float, optional
        In place of the depth of the outline.
    level : float or Height, optional
        Of its resultant; the middle of what it sees where it is left out.
    """

    pressure: float
    parapet: float = 0.0
    depth: float | None = None
    level: float | Height | None = None

    def acting_on(self, section: SectionConstants) -> tuple[float, float]:
        """Force across and torque about the shear centre, per length.

        Raises
        ------
        InputError
            A section without an outline, of which nothing else says what the wind sees.
        """
        depth, middle = self.depth, 0.0
        if depth is None:
            if section.faces is None:
                raise InputError(
                    f"section {section.name!r} is given by its figures; give the depth that the "
                    "wind sees and the level where it acts"
                )
            _, low, _, high = section.faces.box
            depth, middle = high - low, (low + high + self.parapet) / 2
        height = middle if self.level is None else section.height(self.level)
        force = self.pressure * (depth + self.parapet)
        return force, -force * (height - section.shear_centre[1])
