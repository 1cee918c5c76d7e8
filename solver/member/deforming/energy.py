"""The three matrices of a piece, constant or changing along it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Protocol

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]


class Matrices(Protocol):
    """What has C, L and M (n, n)."""

    @property
    def C(self) -> Array:
        """Of the functions."""
        ...

    @property
    def L(self) -> Array:
        """Of the functions with their rates."""
        ...

    @property
    def M(self) -> Array:
        """Of the rates."""
        ...


@dataclass(frozen=True, slots=True, eq=False)
class Energy:
    """Energy per length 1/2 a'^T M a' + a'^T L a + 1/2 a^T C a of n functions a(z).

    The arrays are (n, n), or (m, n, n) at m stations.
    """

    C: Array
    L: Array
    M: Array

    def stretched(self, ratio: float) -> Energy:
        """Per length of another line, along which lengths are 1 / ratio of those here."""
        return Energy(self.C * ratio, self.L, self.M / ratio)


Along = Callable[[Array], Energy]
"""The matrices (m, n, n) at stations z (m,) of a piece that changes along its length."""


@dataclass(frozen=True, slots=True, eq=False)
class Piece:
    """A part of the member from `start` to `end` whose matrices are constant, or a function of z.

    Attributes
    ----------
    start, end : float
    energy : Energy
        Constant matrices; those of the middle where `along` is given.
    along : function, optional
        The matrices at stations.
    planar : (n,) bool, optional
        Which functions move the section in its plane; the others move it along the member.
    """

    start: float
    end: float
    energy: Energy
    along: Along | None = None
    planar: NDArray[np.bool_] | None = None
