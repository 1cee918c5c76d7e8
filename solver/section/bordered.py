"""Solving a sparse system whose last unknowns each touch a large part of the others.

The stress function has one value on the whole border of a hole, so the row of a hole is as long as
its border. A few such rows are eliminated with the rest; beyond `MANY` the sparse factorisation
spends nearly all its time on them (80 cells: nine tenths), so the rest is factored alone and

    S u_h = f_h - K_hf K_ff^-1 f_f,    S = K_hh - K_hf K_ff^-1 K_fh,
    u_f = K_ff^-1 (f_f - K_fh u_h),

with S small, dense, symmetric and positive definite (Schur's complement).
"""

from __future__ import annotations

from typing import Any

import numpy as np

from ...geometry.errors import SolveError
from .mesh import Array

#: Last unknowns from which on this way is the faster one (measured: level at 20).
MANY = 20
#: Columns of K_fh solved for at once: bounds the memory and keeps them in the cache.
_BLOCK = 16


class Bordered:
    """A factored system with its last unknowns kept apart; `solve` as SuperLU has it.

    Parameters
    ----------
    matrix : (n, n) sparse array
        Symmetric, positive definite.
    last : int
        How many of the last unknowns are kept apart.
    factored : callable
        Factors a sparse matrix into an object with `solve`.

    Raises
    ------
    SolveError
        If what is left for the last unknowns is singular to working precision.
    """

    __slots__ = ("_chol", "_coupling", "_lu", "_split")

    def __init__(self, matrix: Any, last: int, factored: Any) -> None:
        from scipy.linalg import cho_factor

        self._split = matrix.shape[0] - last
        free, held = slice(None, self._split), slice(self._split, None)
        self._coupling = matrix[free][:, held].tocsc()
        self._lu = factored(matrix[free][:, free].tocsc())
        schur = matrix[held][:, held].toarray()
        for first in range(0, last, _BLOCK):
            some = slice(first, first + _BLOCK)
            columns = np.asfortranarray(self._coupling[:, some].toarray())
            schur[:, some] -= self._coupling.T @ self._lu.solve(columns)
        try:
            self._chol = cho_factor((schur + schur.T) / 2)
        except np.linalg.LinAlgError as error:
            raise SolveError(
                "the equations of the section's cells are singular; check for walls without "
                "thickness"
            ) from error

    def solve(self, load: Array) -> Array:
        """(n,) solution for one load."""
        from scipy.linalg import cho_solve

        free, held = load[: self._split], load[self._split :]
        there = cho_solve(self._chol, held - self._coupling.T @ self._lu.solve(free))
        return np.concatenate([self._lu.solve(free - self._coupling @ there), there])
