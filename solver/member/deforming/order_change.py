"""How much one order more along the member changes, measured by the work of the loads."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from .solution import DeformingSolution

Array = NDArray[np.float64]


def change_between(before: Array, now: Array) -> float:
    """Change in the norm of energy, relative: the root of what the work of the loads (c,) has
    gained.

    Stresses change by about as much, displacements by its square. Rates of single functions may
    change far more where short waves cancel, and say nothing of either.
    """
    size = np.abs(now)
    gained = np.divide(np.abs(now - before), size, out=np.zeros_like(size), where=size > 0)
    return float(np.sqrt(gained.max(initial=0.0)))


def work_of(solution: DeformingSolution) -> Array:
    """(c,) work of the loads of every combination, and of the supports that move."""
    forces, coefficients = solution.forces, solution.field.coefficients
    e, p, n, c = coefficients.shape
    values = np.concatenate([coefficients[:, 0], coefficients[-1:, 1]])[: len(forces.nodal)]
    inner = forces.inner.reshape(e, p, n, c)
    found = np.einsum("knc,knc->c", forces.nodal, values)
    found += np.einsum("knc,knc->c", solution.held.values, forces.given)
    return np.asarray(found + np.einsum("epnc,epnc->c", inner, coefficients))
