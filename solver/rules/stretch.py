"""What rules are applied to: a prismatic stretch of a member, its actions and its stresses."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ..member.model.solved_section import SolvedSection
from .plate_shape import PlateShape

Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True, eq=False)
class StressAlong:
    """Largest stresses of a section at k stations for c combinations: `z` (k,), the others (k, c).

    `compression` holds the smallest normal stress, negative in compression.
    """

    z: Array
    mises: Array
    shear: Array
    tension: Array
    compression: Array


@dataclass(frozen=True, slots=True, eq=False)
class Stretch:
    """A stretch of one section.

    Attributes
    ----------
    section : SolvedSection
        Of one material that states a strength.
    shape : PlateShape or None
    z : (m,)
    actions : (m, c, 8)
        N, M_x, M_y, V_x, V_y, T_t, T_w, B, sections keeping their shape.
    twist : (m, c)
        phi.
    stress : StressAlong
        By the leading theory.
    critical : (c,)
        Elastic critical load factors; infinite where nothing buckles.
    names : tuple of str
        The c combinations.
    megapascal : float
        1 MPa in the member's unit of stress.
    straight : bool
        Whether the member is straight in plan.
    length : float
    """

    section: SolvedSection
    shape: PlateShape | None
    z: Array
    actions: Array
    twist: Array
    stress: StressAlong
    critical: Array
    names: tuple[str, ...]
    megapascal: float
    straight: bool
    length: float

    @property
    def strength(self) -> float:
        """f_y."""
        (value,) = set(self.section.strengths)
        assert value is not None
        return value

    @property
    def modulus(self) -> float:
        """E."""
        return self.section.constants.elastic_modulus

    def action(self, symbol: str) -> Array:
        """Size (m, c) of one action."""
        from ..member.beam.solution import ACTIONS

        return np.abs(self.actions[..., ACTIONS.index(symbol)])

    @property
    def pressed(self) -> bool:
        """Whether a section is in compression to a hundredth of its strength or more."""
        least = float(self.actions[..., 0].min(initial=0.0))
        return -least > 0.01 * self.section.constants.area * self.strength

    def unit_shear(self, symbol: str) -> float:
        """Largest shear stress for 1 of "T_t" or "T_w", surroundings of sharp corners left out."""
        from ..member.beam.solution import ACTIONS

        found = self._units
        kept = found.outside.ravel()
        tau = found.arrays.tau.reshape(8, -1, 2)[ACTIONS.index(symbol)][kept]
        return float(np.hypot(tau[:, 0], tau[:, 1]).max())

    def unit_normal(self, symbol: str) -> float:
        """Largest normal stress for 1 of an action."""
        from ..member.beam.solution import ACTIONS

        sigma = self._units.arrays.sigma.reshape(8, -1)[ACTIONS.index(symbol)]
        return float(np.abs(sigma).max())

    @property
    def _units(self):  # type: ignore[no-untyped-def]
        assert self.section.search is not None
        return self.section.search
