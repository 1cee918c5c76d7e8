"""What hinges pass on, and by how much the pieces part there."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ..model.hinge import Hinge
from .solution import Solution

Array = NDArray[np.float64]

#: What passes through a hinge, in order; V and T at the shear centre, M about the centroid.
THROUGH = ("N", "V_x", "V_y", "M_x", "M_y", "T")


@dataclass(frozen=True, slots=True, eq=False)
class HingeForce:
    """One hinge under c combinations.

    Attributes
    ----------
    hinge : Hinge
    through : (c, 6)
        In the order of `THROUGH`, on the piece before.
    bimoment : (c, 2)
        Before and after.
    parted : (c, 6)
        Movement of the piece beyond against the piece before, in the order of `hinge.PASSED`.
    names : tuple of str
    """

    hinge: Hinge
    through: Array
    bimoment: Array
    parted: Array
    names: tuple[str, ...]


def hinge_forces(solution: Solution) -> tuple[HingeForce, ...]:
    """One row per hinge of the classical member."""
    mesh = solution.mesh
    found = []
    for e in np.flatnonzero(mesh.joint >= 0):
        junction = mesh.junctions[mesh.joint[e]]
        if junction.hinge is None:
            continue
        at = [junction.at]
        before, after = solution.at(at, side="left"), solution.at(at)
        jump = solution.states.end[e, :6] - solution.states.start[e, :6]
        parted = np.linalg.solve(junction.movements, jump)
        parted[np.isinf(junction.springs)] = 0.0
        found.append(
            HingeForce(
                junction.hinge,
                np.stack([getattr(before, word)[0] for word in THROUGH], axis=-1),
                np.stack([before.B[0], after.B[0]], axis=-1),
                parted.T,
                solution.names,
            )
        )
    return tuple(found)
