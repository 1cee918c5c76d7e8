"""Solving a sparse system with a few more unknowns that each touch a large part of the others.

The stress function has one value on the whole border of a hole, so the row of a hole is as long as
its border, and eliminated with the rest it fills the factors (two cells: a third of the time; 80
cells: nine tenths). So the rest is factored alone and

    S u_h = f_h - K_hf K_ff^-1 f_f,    S = K_hh - K_hf K_ff^-1 K_fh,
    u_f = K_ff^-1 (f_f - K_fh u_h),

with S small, dense, symmetric and positive definite (Schur's complement).
"""

from __future__ import annotations

from typing import Any

import numpy as np

from ...geometry.errors import SolveError
from .mesh import Array

#: Columns held at once as dense ones: bounds the memory and keeps them in the cache.
BLOCK = 16


class Bordered:
    """A factored system with a border of long rows.

    Parameters
    ----------
    inner : object
        The factors of K_ff, with `solve`.
    coupling : (n, h) sparse array
        K_fh.
    held : (h, h)
        K_hh.

    Raises
    ------
    SolveError
        If what is left for the last unknowns is singular to working precision.
    """

    __slots__ = ("_chol", "_coupling", "_inner")

    def __init__(self, inner: Any, coupling: Any, held: Array) -> None:
        from scipy.linalg import cho_factor

        self._coupling, self._inner = coupling, inner
        schur = held.copy()
        for first in range(0, len(held), BLOCK):
            some = slice(first, first + BLOCK)
            schur[:, some] -= coupling.T @ inner.solve(coupling[:, some].toarray())
        try:
            self._chol = cho_factor((schur + schur.T) / 2)
        except np.linalg.LinAlgError as error:
            raise SolveError(
                "the equations of the section's cells are singular; check for walls without "
                "thickness"
            ) from error

    def solve(self, free: Array, held: Array) -> tuple[Array, Array]:
        """Solutions (n,) and (h,) for the loads on both."""
        from scipy.linalg import cho_solve

        there = cho_solve(self._chol, held - self._coupling.T @ self._inner.solve(free))
        return self._inner.solve(free - self._coupling @ there), there
