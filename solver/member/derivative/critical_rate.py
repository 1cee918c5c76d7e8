"""Derivatives of critical load factors by their modes.

Of (K + lambda K_g) v = 0, in the states of `beam.system`: A x = lambda N K_g v, with v the
movements in x and N by what nodal forces enter. With w the multipliers of the transposed equations
under lambda K_g v, which are the mode once more,

    lambda' = w . (A x - lambda N K_g v)' / (v . K_g v),

K_g differentiated with the first-order forces that it is made of. Where several modes have one
factor, the derivatives to a growing number are the eigenvalues of that product over all of them:
the least rules the lowest factor, and to a falling number the largest. (Seyranian, Lund & Olhoff,
Structural Optimization 8 (1994) 207.)
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from ....geometry.errors import SolveError
from ...section.derivative.difference import derivative, plain_difference
from ..beam.analysis import (
    CRITICAL_PARTS,
    SECOND_ORDER_PARTS,
    fine_length,
    solve,
)
from ..beam.stability import shares_of, tightened
from ..model.member import Member
from .moved_member import FactoredMember

Array = NDArray[np.float64]

#: Factors nearer than this are one, of as many modes; factors nearer than the other are told.
EQUAL, NEAR = 1e-6, 0.02
#: Share that may be left of how far two meshes put a relative change apart, of which a third, as of
#: errors in proportion to the square of elements' lengths, is taken out.
LEFT = 1.0


@dataclass(frozen=True, slots=True)
class FactorRate:
    """The derivative of a lowest factor or frequency.

    Attributes
    ----------
    value : float
    rises, falls : float
        To a growing number and to a falling one: they differ where several modes share the value.
    modes : int
        How many do, of all combinations.
    next : float
        The next value.
    doubt : float
        How far the derivatives may be off by the differences of the member's equations.
    """

    value: float
    rises: float
    falls: float
    modes: int
    next: float
    doubt: float


@dataclass(frozen=True, slots=True, eq=False)
class _Modes:
    """The lowest modes (n, m) of a combination, as unknowns of the equations, with the multipliers
    of the transposed ones, the mean factor, and V^T K_g V."""

    factor: float
    next: float
    unknowns: Array
    multipliers: Array
    work: Array


class CriticalMember:
    """A member's lowest critical factor, ready for derivatives to any number.

    Parameters
    ----------
    member : Member
    column : int
        Of the combination that is nearest to its critical load.
    value : float
        Its factor as reported.
    order : "first" or "second"
        Of the analysis, which tells how finely the member is cut.

    Raises
    ------
    SolveError
        No mode.
    """

    def __init__(self, member: Member, column: int, value: float, order: str) -> None:
        self._column, self._value = column, value
        parts = CRITICAL_PARTS if order == "first" else SECOND_ORDER_PARTS
        first = FactoredMember.of(solve(member, longest=fine_length(member, parts)))
        self._levels = [first]
        if order == "first":
            mesh = first.solution.mesh  # every element halved, as errors by their squares ask for
            halved = solve(member, like=replace(mesh, parts=2 * mesh.parts))
            self._levels.append(FactoredMember.of(halved))
        self._modes = [self._of(level) for level in self._levels]

    @property
    def finest(self) -> float:
        """The factor on the finest mesh."""
        return self._modes[-1].factor

    def _of(self, level: FactoredMember) -> _Modes:
        c = self._column
        state = tightened(level.engaged(c))
        factor, posed = level.factor(state), level.posed
        geometric = posed.geometric(c, posed.collected(c, level.first[c]))
        shares, vectors = shares_of(factor, geometric)
        order = np.argsort(-shares.real)
        least = 1e-12 * np.abs(shares).max()
        factors = np.array([1 / s if s > least else np.inf for s in shares.real[order]])
        if not 0 < factors[0] < math.inf:
            raise SolveError("the finer mesh finds no buckling mode")
        alike = np.abs(factors / factors[0] - 1) < EQUAL
        count = int(alike.sum())
        value = float(factors[:count].mean())
        movement = np.linalg.qr(vectors[:, order[:count]].real)[0]
        forces = value * (geometric @ movement)
        node = np.zeros((posed.system.on_node.shape[0] + len(posed.contacts), count))
        node[: posed.system.on_node.shape[0]] = posed.system.on_node @ forces
        unknowns = factor.unknowns(node)
        weights = np.zeros_like(unknowns)
        weights[: len(forces)] = forces
        beyond = factors[count] if len(factors) > count else math.inf
        return _Modes(
            value, float(beyond), unknowns, factor.multipliers(weights),
            movement.T @ (geometric @ movement),
        )  # fmt: skip

    def rate(self, members: Sequence[Member], step: float) -> FactorRate:
        """The derivative to a number, from members with it changed by `difference.STEPS` times the
        step.

        Raises
        ------
        SolveError
            The number makes or unmakes a node, a contact or a kind of element.
        """
        every = [
            self._rate(level, modes, members, step)
            for level, modes in zip(self._levels, self._modes, strict=True)
        ]
        if len(every) == 1:
            return every[0]
        coarse, fine = every
        value = self._value
        shares = [np.array([one.rises, one.falls, one.doubt]) / one.value for one in (coarse, fine)]
        rises, falls, _ = value * (4 * shares[1] - shares[0]) / 3
        apart = LEFT * float(np.abs(shares[1] - shares[0])[:2].max())
        doubt = value * (apart + float(shares[0][2] + shares[1][2]))
        return FactorRate(value, float(rises), float(falls), fine.modes, fine.next, doubt)

    def _rate(
        self, level: FactoredMember, modes: _Modes, members: Sequence[Member], step: float
    ) -> FactorRate:
        c, nodes = self._column, 7 * level.solution.mesh.count
        moved = level.moved(members, step)
        state = tightened(level.engaged(c))
        movement = modes.unknowns[:nodes]
        residuals = []
        for n, posed in enumerate(moved.posed):
            found = posed.matrix(state) @ modes.unknowns
            forces = modes.factor * (moved.geometric(c, n) @ movement)
            top = posed.system.on_node @ forces
            found[: len(top)] -= top
            residuals.append(found)
        slopes, plain = (
            _slopes(modes.work, modes.multipliers.T @ taken(residuals, step))
            for taken in (derivative, plain_difference)
        )
        doubt = float(np.abs(slopes - plain).max())
        return FactorRate(
            modes.factor, float(slopes[0]), float(slopes[-1]), len(slopes), modes.next, doubt
        )


class LowestFactor:
    """The lowest critical factor of all combinations, ready for derivatives to any number.

    Parameters
    ----------
    member : Member
    factors : sequence of float
        Of each combination.
    order : "first" or "second"
        Of the analysis.

    Attributes
    ----------
    finest : float
        The lowest factor on the finest mesh.

    Raises
    ------
    SolveError
        No mode.
    """

    def __init__(self, member: Member, factors: Sequence[float], order: str) -> None:
        ranked = sorted(range(len(factors)), key=lambda c: factors[c])
        least = factors[ranked[0]]
        lowest = [c for c in ranked if factors[c] <= least * (1 + EQUAL)]
        self._lowest = [CriticalMember(member, c, factors[c], order) for c in lowest]
        self.finest = min(one.finest for one in self._lowest)
        others = [factors[c] for c in ranked[len(lowest) :]]
        self._next = min(others, default=math.inf)

    def rate(self, members: Sequence[Member], step: float) -> FactorRate:
        """The derivative to a number, from members with it changed by `difference.STEPS` times the
        step: where several combinations have the lowest factor, the least rules where the number
        grows and the largest where it falls.

        Raises
        ------
        SolveError
            The number makes or unmakes a node, a contact or a kind of element.
        """
        each = [one.rate(members, step) for one in self._lowest]
        return FactorRate(
            each[0].value,
            min(one.rises for one in each),
            max(one.falls for one in each),
            sum(one.modes for one in each),
            min(self._next, *(one.next for one in each)),
            max(one.doubt for one in each),
        )


def _slopes(work: Array, change: Array) -> Array:
    """(m,) derivatives of the factors of m modes, the least first."""
    return np.sort(np.linalg.eigvals(np.linalg.solve(work, change)).real)
