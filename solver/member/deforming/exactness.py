"""Rigid motions without energy, to the last digit.

A rigid motion of the whole member has the functions a = R c with c' = Gamma c, so that its stress,
D (S0 a + S1 a'), is zero everywhere: L R + M R Gamma = 0 and C R + L^T R Gamma = 0. Rounding of the
section's integrals leaves traces of either, and equilibrium of the whole member would be met no
better; they are taken out here.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from .energy import Energy, Matrices

Array = NDArray[np.float64]


def rigid_rates(curvature: float) -> Array:
    """Gamma (6, 6): rates of the translations and rotations x, y, z of a rigid motion along the
    line through the section's origin.

    A rotation about y moves what lies ahead across, one about x moves it down; in a curve the frame
    turns: e_x' = -kappa e_z, e_z' = kappa e_x, kappa positive with the centre on the side of +x.

    Parameters
    ----------
    curvature : float
        kappa.
    """
    gamma = np.zeros((6, 6))
    gamma[0, 4], gamma[1, 3] = 1.0, -1.0
    for first in (0, 3):
        gamma[first, first + 2] -= curvature
        gamma[first + 2, first] += curvature
    return gamma


def without_rigid_energy(
    energy: Matrices, rigid: Array, curvature: float, change: Array | None = None
) -> Energy:
    """The matrices with the traces taken out.

    Parameters
    ----------
    energy : Matrices
        (n, n), or (m, n, n) at m stations.
    rigid : (n, 6) or (m, n, 6)
    curvature : float
        Positive with the centre on the side of +x.
    change : (n, 6), optional
        R', where a taper changes R.
    """
    rates = rigid @ rigid_rates(curvature)
    if change is not None:
        rates = rates + change
    take = _inverse(rigid)
    back = take.swapaxes(-1, -2)
    cross = energy.L - (energy.L @ rigid + energy.M @ rates) @ take
    left = energy.C @ rigid + cross.swapaxes(-1, -2) @ rates
    # Both sides of a symmetric matrix, what they share counted once.
    shared = rigid.swapaxes(-1, -2) @ left
    c = energy.C - left @ take - back @ left.swapaxes(-1, -2) + back @ shared @ take
    return Energy((c + c.swapaxes(-1, -2)) / 2, cross, energy.M)


def _inverse(rigid: Array) -> Array:
    """(6, n) or (m, 6, n) pseudo-inverse; what is zero in either kind of motion stays so, to the
    last digit."""
    out = np.zeros(np.swapaxes(rigid, -1, -2).shape)
    kinds = ([0, 1, 5], [2, 3, 4])
    moved = [np.abs(rigid[..., kind]).max(axis=-1) > 0 for kind in kinds]
    rows = [np.flatnonzero(one.reshape(-1, rigid.shape[-2]).any(axis=0)) for one in moved]
    if np.intersect1d(rows[0], rows[1]).size:
        return np.asarray(np.linalg.pinv(rigid))
    for kind, own in zip(kinds, rows, strict=True):
        block = np.linalg.pinv(rigid[..., own, :][..., kind])
        out[..., np.array(kind)[:, None], own] = block
    return out
