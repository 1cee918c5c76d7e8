"""Small sets of three matrices whose members have known exact solutions."""

from __future__ import annotations

import numpy as np
from soapfilm.solver.member.deforming.energy import Energy


def timoshenko(bending: float, shear: float) -> Energy:
    """Rigid cross-sections: a = (v, theta), energy 1/2 shear (v' - theta)^2 + 1/2 bending
    theta'^2."""
    return Energy(
        np.diag([0.0, shear]), np.array([[0.0, -shear], [0.0, 0.0]]), np.diag([shear, bending])
    )


def foundation(stiffness: float, tension: float) -> Energy:
    """A cable on springs: a = (v,), energy 1/2 tension v'^2 + 1/2 stiffness v^2."""
    return Energy(np.array([[stiffness]]), np.zeros((1, 1)), np.array([[tension]]))
