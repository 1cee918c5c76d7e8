"""What is known of a section's buckling: the curve, its minima, and what rules at its long end."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from ....geometry.section import Section
from ..mesh.section_mesh import Array
from ..stress.actions import Actions
from .movement import Movement
from .pencil import Waves
from .prepared import Prepared


@dataclass(frozen=True, slots=True, eq=False)
class BucklingMode:
    """A mode at one half-wavelength.

    Attributes
    ----------
    half_wavelength : float
    factor : float
        Critical load factor: all actions times it buckle the section in this mode.
    movement : Movement
        What moves.
    below : int
        How many modes of the same half-wavelength have lower factors.
    wave : (count, 3)
        u = (X sin kz, Y sin kz, Z cos kz), k = pi / half-wavelength; complex where shear makes the
        wave oblique.
    change : float
        What the last refinement changed of the factor, relative; 0 where it was solved at once.
    hidden : bool
        A minimum of a higher branch.
    """

    half_wavelength: float
    factor: float
    movement: Movement
    below: int
    wave: Waves
    change: float
    hidden: bool = False


@dataclass(frozen=True, slots=True, eq=False)
class SectionBuckling:
    """The elastic buckling of a section under actions that grow together.

    Attributes
    ----------
    prepared : Prepared
    actions : Actions
    vector : (8,)
        The actions, shear through the shear centre.
    compression : float
        Largest compressive normal stress of the actions.
    half_wavelengths : (n,)
        Falling.
    factors : (n, m)
        Lowest factors at each, rising; nan where there are fewer.
    lowest : tuple of str
        What moves in the lowest mode at each, see `movement`.
    branches : tuple of (lengths, factors)
        The same modes followed by shape.
    minima : tuple of BucklingMode
        Of the lowest curve, then the lowest of each kind that other modes hide; by half-wavelength.
    longest : tuple of BucklingMode
        The lowest at the longest half-wavelength.
    oblique : bool
        Shear acts: waves run obliquely.
    tolerance : float
        Relative error of the curve between minima.
    """

    prepared: Prepared
    actions: Actions
    vector: Array
    compression: float
    half_wavelengths: Array
    factors: Array
    lowest: tuple[str, ...]
    branches: tuple[tuple[Array, Array], ...]
    minima: tuple[BucklingMode, ...]
    longest: tuple[BucklingMode, ...]
    oblique: bool
    tolerance: float

    @property
    def section(self) -> Section:
        """The section."""
        return self.prepared.section

    @property
    def governing(self) -> BucklingMode:
        """The mode of the lowest factor that is known."""
        return min((*self.minima, *self.longest), key=lambda mode: mode.factor)

    @property
    def falls_at_shortest(self) -> bool:
        """Whether the curve still falls toward the shortest half-wavelength."""
        return bool(self.factors[-1, 0] < np.nanmin(self.factors[-3:-1, 0]))

    def stress(self, mode: BucklingMode) -> float:
        """Critical stress: the largest compressive normal stress under the critical actions."""
        return mode.factor * self.compression

    def __repr__(self) -> str:
        unit = self.section.unit
        lines = [f"SectionBuckling({self.section.name!r})"]
        for mode in self.minima[:5]:
            lines.append(
                f"  {mode.movement.words}: factor {mode.factor:.6g} "
                f"at {mode.half_wavelength:.4g} {unit}".rstrip()
            )
        ruling = self.governing
        lines.append(f"  lowest factor {ruling.factor:.6g}, {ruling.movement.words}")
        return "\n".join(lines)
