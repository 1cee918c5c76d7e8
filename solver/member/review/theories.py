"""The largest results of a member by both theories, side by side."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ..beam.solution import Solution
from ..deforming.corners import corners_of, deflections
from ..deforming.envelope import DeformingStress
from ..deforming.solution import DeformingSolution
from .stress import MemberStress

Array = NDArray[np.float64]


#: A twist below this part of the deflection over the section's size is none: rounding, or the mesh
#: that is not as symmetric as the section.
_NO_TWIST = 1e-5


@dataclass(frozen=True, slots=True)
class Pair:
    """A largest magnitude by both theories: deforming sections first."""

    deforming: float
    classical: float
    at: float

    @property
    def ratio(self) -> float:
        """Deforming over classical; infinite where the classical value is zero."""
        if self.classical == 0:
            return 1.0 if self.deforming == 0 else np.inf
        return self.deforming / self.classical


@dataclass(frozen=True, slots=True)
class BothTheories:
    """One combination: twist (mean rotation of the section), deflection (of the corner that goes up
    or down most), von Mises stress (None without an outline)."""

    name: str
    twist: Pair
    deflection: Pair
    stress: Pair | None


def both_theories(
    solution: DeformingSolution,
    envelope: DeformingStress,
    classical: Solution,
    stress: MemberStress | None,
    z: Array,
) -> tuple[BothTheories, ...]:
    """A row a combination: twist, deflection and stress by both theories, at stations z (m,)."""
    twist = np.abs(solution.twist(z))
    before = np.abs(classical.at(z).phi)
    down = deflections(solution, z)
    plain = _classical_deflections(solution, classical, z)
    # What is no twist has no ratio.
    least = least_twist(solution, down)
    twist, before = (np.where(values < least, 0.0, values) for values in (twist, before))
    rows = []
    for c, name in enumerate(solution.names):
        peak = None
        if stress is not None:
            row = int(envelope.mises[:, c].argmax())
            peak = Pair(
                float(envelope.mises[row, c]), stress.largest_mises(c), float(envelope.z[row])
            )
        rows.append(
            BothTheories(
                name,
                _pair(twist[:, c], before[:, c], z),
                _pair(down[:, c], plain[:, c], z),
                peak,
            )
        )
    return tuple(rows)


def least_twist(solution: DeformingSolution, down: Array) -> float:
    """The twist below which there is none, beside deflections."""
    (corners,) = corners_of(solution, np.zeros(1))
    reach = float(np.ptp(corners.points[0], axis=0).max())
    return _NO_TWIST * float(down.max()) / max(reach, 1e-300)


def _pair(now: Array, before: Array, z: Array) -> Pair:
    row = int(now.argmax())
    return Pair(float(now[row]), float(before.max()), float(z[row]))


def _classical_deflections(solution: DeformingSolution, classical: Solution, z: Array) -> Array:
    table, member = classical.at(z), classical.mesh.member
    centre = np.array([member.section_at(float(s)).shear_centre[0] for s in z])
    found = np.zeros((len(z), len(solution.names)))
    for corners in corners_of(solution, z):
        own = corners.own
        arm = (corners.points[..., 0] - centre[own, None])[..., None]
        moved = table.v[own][:, None] + arm * table.phi[own][:, None]
        found[own] = np.abs(moved).max(axis=1)
    return found
