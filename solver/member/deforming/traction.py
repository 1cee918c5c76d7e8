"""Unit forces and moments on a section, spread as Saint-Venant's stresses.

A force whose place on the section nobody states, the torque of an arm, or what holds the rotation
of a section as a whole, acts through the stress field of Saint-Venant's solution for it: the one
that raises no disturbance. As a load on the n functions it is a column q with R^T q = unit vector,
R the rigid motions; the same column read as a row gives the mean motion that the force works on.

With the rates R_s of extension, both curvatures and twist, the section's own deformation psi obeys
C psi = M R'' + (L - L^T) R_s, where R'' is the second derivative that a curvature gives to the
translation; the traction is M R_s + L psi. For shear the moments grow linearly, and
C chi = M R_s g + (L - L^T) psi g with g the rates of growth.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from .energy import Matrices

Array = NDArray[np.float64]


def unit_tractions(energy: Matrices, rigid: Array) -> Array:
    """(n, 6): unit F_x, F_y, F_z, M_x, M_y and T about the section's origin.

    Parameters
    ----------
    energy : Matrices
        Of the straight section.
    rigid : (n, 6)
    """
    c, m = energy.C, energy.M
    turn = energy.L - energy.L.T
    rates = rigid[:, [2, 3, 4, 5]]
    # u_z = y grows with z where the section drops by z^2 / 2; u_z = -x where it moves across by it.
    second = np.column_stack([0 * rigid[:, 0], -rigid[:, 1], rigid[:, 0], 0 * rigid[:, 0]])
    free = rigid[:, [0, 1, 2, 5]]
    psi = _solved(c, free, m @ second + turn @ rates)
    traction = m @ rates + energy.L @ psi
    stiffness = rigid.T @ traction  # of N, M_x, M_y, T in all six resultants
    flexible = np.linalg.inv(stiffness[[2, 3, 4, 5]])
    # A unit V_y makes M_x grow by -1 per length on the face along +z, a unit V_x M_y by +1.
    growth = flexible @ np.array([[0.0, 0.0], [0.0, -1.0], [1.0, 0.0], [0.0, 0.0]])
    chi = _solved(c, free, m @ rates @ growth + turn @ psi @ growth)
    shear = m @ psi @ growth + energy.L @ chi
    raw = np.column_stack([shear, traction @ flexible])
    return np.asarray(raw @ np.linalg.inv(rigid.T @ raw))


def torsional_warping(energy: Matrices, rigid: Array) -> Array:
    """(n,): the section's own deformation per unit rate of twist, without rigid parts."""
    rates = rigid[:, 5]
    free = rigid[:, [0, 1, 2, 5]]
    turn = energy.L - energy.L.T
    return np.asarray(_solved(energy.C, free, (turn @ rates)[:, None])[:, 0])


def _solved(c: Array, free: Array, right: Array) -> Array:
    """Solution of C psi = right that is orthogonal to what C does not resist."""
    basis = np.linalg.qr(free)[0]
    size = float(np.trace(c)) / len(c)
    right = right - basis @ (basis.T @ right)
    return np.asarray(np.linalg.solve(c + size * basis @ basis.T, right))
