"""Rates at which a member's deformations die out: eigenvalues of its three matrices.

With the generalised force q = M a' + L a on a face, equilibrium is q' = L^T a' + C a. As one system
of first order in (a, q) its eigenvalues come in pairs or quadruples of opposite sign; |Re lambda|
tells over which length a disturbance dies out. Rigid motions and Saint-Venant's solutions make the
eigenvalue zero twelvefold.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from .energy import Matrices

Array = NDArray[np.float64]


def decay_rates(energy: Matrices) -> NDArray[np.complex128]:
    """All 2n eigenvalues lambda (1 / length) of a prismatic piece, by |Re lambda|."""
    c, l, m = energy.C, energy.L, energy.M  # noqa: E741 - the theory's own letters
    n = len(c)
    size = float(np.trace(m)) / n
    # q over the size of M: both halves of the state are then displacements per length.
    soft = np.linalg.solve(m / size, np.hstack([l / size, np.eye(n)]))
    minus, inverse = soft[:, :n], soft[:, n:]
    turn = l.T / size
    matrix = np.block([[-minus, inverse], [c / size - turn @ minus, turn @ inverse]])
    rates = np.linalg.eigvals(matrix)
    return np.asarray(rates[np.argsort(np.abs(rates.real), kind="stable")])
