"""Elastic critical load factor, and how far a first-order answer may be trusted.

(K + lambda K_g) d = 0 for the internal forces of one combination. First-order motion in the shape
of the mode grows by 1 / (1 - 1/lambda); twist under moments by less, 1 / (1 - 1/lambda^2), where
they buckle it reversed too. It is flagged and refused above given shares of the critical load
(0.1 and 0.3 unless the user sets others; both are this project's choice, without a source).
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from ....geometry.errors import SolveError
from .contact import BOTH, OPEN
from .factor import Factor, factorised
from .system import System

Array = NDArray[np.float64]

FLAG_ABOVE, REFUSE_ABOVE = 0.1, 0.3

# Below this many unknowns a full eigenvalue solve is as quick as an iterative one, and never fails
# to converge.
DENSE = 160
#: Loads this many times the critical ones mean that a support has let go, not that walls are thin.
_UNHELD = 50.0
#: And this many, that a unit is wrong: a member 1e9 m long, a load of 1e30 kN.
_MEANT = 1e6


@dataclass(frozen=True, slots=True)
class CriticalLoad:
    """Critical load factor of one combination.

    Attributes
    ----------
    name : str
    factor : float
        Multiplier of all loads at which the member buckles; infinite if it cannot.
    mode : (k, 7) or None
        Movements of the nodes in the buckling mode, largest one 1.
    """

    name: str
    factor: float
    mode: Array | None

    @property
    def share(self) -> float:
        """Load over critical load, 1 / factor."""
        return 1.0 / self.factor

    @property
    def amplification(self) -> float:
        """1 / (1 - share), infinite from the critical load on: estimate of what the second order
        adds to twist."""
        return 1 / (1 - self.share) if self.share < 1 else math.inf

    @property
    def near(self) -> str:
        """Where the combination stands, in words."""
        percent = 100 * self.share
        return (
            f"combination {self.name!r} is at {percent:.0f} % of its elastic critical load "
            f"(factor {self.factor:.3g})"
        )

    @property
    def buckles(self) -> str:
        """What to say when the factor is 1 or less."""
        if self.share > _MEANT:
            return (
                f"combination {self.name!r} is {self.share:.0e} times the elastic critical load: a "
                "length, a load or a stiffness is of another size than meant; check their units, "
                "and whether the supports hold the member"
            )
        if self.share > _UNHELD:
            return (
                f"combination {self.name!r}: almost nothing holds the member (it would give way at "
                f"{self.factor:.1g} of these loads): bearings uplift or a freedom is left open; "
                "hold the bearings down, add a restraint, or check the loads and their places"
            )
        return (
            f"{self.near}: the member buckles; "
            "brace it, lower the load's height, or take a stiffer section"
        )

    def verdict(self, flag_above: float = FLAG_ABOVE, refuse_above: float = REFUSE_ABOVE) -> str:
        """ "fine", "flagged" or "refused" for a first-order answer."""
        if self.share > refuse_above:
            return "refused"
        return "flagged" if self.share > flag_above else "fine"


def critical_load(
    system: System,
    engaged: tuple[int, ...],
    geometric: Any,
    name: str,
    factor: Factor | None = None,
) -> CriticalLoad:
    """Smallest positive factor for the geometric matrix (7k, 7k) of a combination.

    Contacts keep their state; those at the end of their play are taken as tight (see `tightened`,
    of which `factor` is that of the system, where it is known).
    """
    mesh = system.mesh
    values, modes = shares_of(factor or factorised(system, tightened(engaged)), geometric)
    best = int(np.argmax(values.real))
    # What is left of zero by rounding is no buckling load.
    if values[best].real <= 1e-9 * max(float(np.abs(values).max()), 1e-300):
        return CriticalLoad(name, math.inf, None)
    mode = modes[:, best].real.reshape(mesh.count, 7)
    mode = (
        mode
        / mode.ravel()[
            int(np.abs(mode[:, :6]).argmax() // 6 * 7 + np.abs(mode[:, :6]).argmax() % 6)
        ]
    )
    return CriticalLoad(name, float(1 / values[best].real), mode)


def shares_of(factor: Factor, geometric: Any) -> tuple[Array, Array]:
    """Loads over critical loads (the largest of them, complex by rounding), and modes (7k, ...):
    eigenvalues of the movements under what the geometric matrix asks for."""
    count = factor.system.mesh.count
    n = 7 * count

    def answer(x: Array) -> Array:
        columns = np.atleast_2d(x.T).T
        loads = -(geometric @ columns)
        return factor.motion(loads.reshape(count, 7, -1)).reshape(n, -1)

    return _largest(answer, n)


def tightened(engaged: tuple[int, ...]) -> tuple[int, ...]:
    """The states of contacts, those at the end of their play without play."""
    return tuple(OPEN if s == OPEN else BOTH for s in engaged)


def _largest(answer: Any, n: int) -> tuple[Array, Array]:
    """Eigenvalues with the largest real part, and vectors, of the map x -> answer(x)."""
    if n <= DENSE:
        values, modes = np.linalg.eig(answer(np.eye(n)))
        return values, modes
    from scipy.sparse.linalg import ArpackNoConvergence, LinearOperator, eigs

    operator = LinearOperator(
        (n, n), matvec=lambda x: answer(np.asarray(x).reshape(n))[:, 0], dtype=float
    )
    begin = np.sin(1.0 + np.arange(n))
    if not answer(begin).any():  # a member without stress, as one that shrinks freely
        return np.zeros(1), begin[:, None]
    try:
        values, modes = eigs(operator, k=4, which="LR", v0=begin, tol=1e-10, maxiter=400)
    except ArpackNoConvergence as stop:
        if not len(stop.eigenvalues):
            raise SolveError(
                "the elastic critical load factor did not converge; solve without the stability "
                "check and judge buckling by hand"
            ) from stop
        values, modes = stop.eigenvalues, stop.eigenvectors
    return values, modes


def stability_notes(
    critical: Iterable[CriticalLoad], order: str, flag_above: float, refuse_above: float
) -> list[str]:
    """Flags for answers of the given order; raises `SolveError` where one is refused."""
    notes = []
    for load in critical:
        if load.factor <= 1:
            raise SolveError(load.buckles)
        verdict = load.verdict(flag_above, refuse_above)
        growth = f"up to about {load.amplification:.2f} times"
        if order == "first" and verdict == "refused":
            raise SolveError(
                f"{load.near}: second-order twist is {growth} the first-order one, too far to "
                "trust it; solve in second order"
            )
        if order == "first" and verdict == "flagged":
            notes.append(f"{load.near}: second-order twist is {growth} the value shown")
    return notes
