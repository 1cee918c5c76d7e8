"""What one order of the shape functions more would change."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from ....geometry.section import Section
from ..mesh.section_mesh import Array
from .reduced import ReducedSection
from .reduction import MODES, reduced_section


@dataclass(frozen=True, slots=True)
class OrderChange:
    """Relative changes from one order to the next.

    Attributes
    ----------
    order : int
        The lower one.
    rigidity : float
        Largest change of the rigidities of extension, bending and torsion.
    rate : float
        Largest change of the rates of slow modes, those that both orders have.
    """

    order: int
    rigidity: float
    rate: float


def change_of_order(section: Section, *, modes: int = MODES) -> OrderChange:
    """Solve a section at its order and at the next."""
    lower = reduced_section(section, modes=modes)
    upper = reduced_section(section, modes=modes, order=lower.fields.order + 1)
    one, two = rigidities(lower), rigidities(upper)
    apart = np.abs(lower.rates[:, None] - upper.rates)
    # each by the nearest of the other: equal rates change places
    rate = (apart.min(axis=1) / np.abs(lower.rates)).max() if modes else 0.0
    return OrderChange(lower.fields.order, float(np.abs(one / two - 1).max()), float(rate))


def rigidities(section: ReducedSection) -> Array:
    """(4,) E A, the two principal E I and G J: the energy of a unit rate of each, all else free."""
    rate = section.rigid[:, [2, 3, 4, 5]]
    pull = section.L.T @ rate
    answer = np.linalg.lstsq(section.C, pull, rcond=1e-12)[0]
    energy = rate.T @ section.M @ rate - pull.T @ answer
    stretch = energy[0, 0]
    # bending about the centroid: without the part of extension
    about = energy[1:3, 1:3] - np.outer(energy[1:3, 0], energy[0, 1:3]) / stretch
    bending = np.linalg.eigvalsh((about + about.T) / 2)
    return np.array([stretch, *bending, energy[3, 3]])
