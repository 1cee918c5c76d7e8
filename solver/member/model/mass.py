"""Masses at points of the member, besides its own and those of loads."""

from __future__ import annotations

import math
from dataclasses import dataclass

from ....geometry.errors import InputError
from .load import Place, Where

#: Where a mass lies whose place is not said.
_SHEAR_CENTRE = Place()


@dataclass(frozen=True, slots=True)
class PointMass:
    """A mass at one station, fixed to a point of the section.

    Attributes
    ----------
    at : float
    mass : float
        In the mass unit of densities.
    place : Where
        Where its centre lies; its distance from the section's axis resists twist by itself.
    rotary_inertia : float
        Of the mass about its own centre, for rotation about the member's axis.
    name : str
    """

    at: float
    mass: float
    place: Where = _SHEAR_CENTRE
    rotary_inertia: float = 0.0
    name: str = ""

    def __post_init__(self) -> None:
        if not math.isfinite(self.at):
            raise InputError(f"{self.title}: its position must be a number, got {self.at}")
        if not 0 < self.mass < math.inf:
            raise InputError(f"{self.title}: mass must be positive, got {self.mass}")
        if not 0 <= self.rotary_inertia < math.inf:
            raise InputError(
                f"{self.title}: rotary_inertia must be zero or positive, got {self.rotary_inertia}"
            )

    @property
    def title(self) -> str:
        """Name for messages and tables."""
        return self.name or f"mass at {self.at:g}"
