"""Elastic critical load factors of a member whose sections deform."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ....geometry.errors import SolveError
from ..deforming.amplitude import Amplitudes
from ..deforming.analysis import Frame, assembled, solved
from ..deforming.lobatto import sampled
from ..deforming.solution import DeformingSolution
from ..deforming.system import DeformingSystem
from .height import Heights
from .lanczos import Extremes, extremes
from .operator import ElasticInverse, Nodal, StressOperator
from .prestress import Terms, gauss_points, stress_terms

Array = NDArray[np.float64]

#: Order of the elements: with elements of a half-wave and a quarter, the factor is good to 1e-3
#: (see tests).
ORDER = 5


#: Residual of an eigenvalue beyond which it is no answer; its error is about the square.
UNSETTLED = 3e-2
#: Residual of the factor with all loads reversed that is good enough.
LOW = 2e-2

#: Share of a vector with a part of every mode in the first vector of a combination, beside the mode
#: of one before, both in the norm of energy.
ALL = 0.3


@dataclass(frozen=True, slots=True, eq=False)
class MemberMode:
    """A factor of all loads at which the member buckles, and how.

    Attributes
    ----------
    factor : float
    field : Amplitudes
        The mode's functions along the member, of arbitrary size, one column.
    """

    factor: float
    field: Amplitudes


@dataclass(frozen=True, slots=True, eq=False)
class CriticalFactors:
    """What one combination buckles at.

    Attributes
    ----------
    name : str
    modes : tuple of MemberMode
        By their factor, the smallest first; empty where nothing buckles.
    reversed : float
        Least factor with all loads reversed; infinite where they buckle nothing.
    """

    name: str
    modes: tuple[MemberMode, ...]
    reversed: float

    @property
    def factor(self) -> float:
        """The smallest; infinite where the member does not buckle under these loads."""
        return self.modes[0].factor if self.modes else math.inf


@dataclass(frozen=True, slots=True, eq=False)
class Prestressed:
    """A solved member and what its stress does to its stiffness.

    Attributes
    ----------
    frame : Frame
    order : int
    solution : DeformingSolution
    system : DeformingSystem
        All contacts pressed.
    terms : tuple of Terms
    heights : Heights
    """

    frame: Frame
    order: int
    solution: DeformingSolution
    system: DeformingSystem
    terms: tuple[Terms, ...]
    heights: Heights

    def tight(self, c: int) -> DeformingSystem:
        """The member as combination c leaves its contacts: those shut hold it."""
        if not self.frame.holds.rows:
            return self.system
        states = self.solution.states[c].tolist()
        return assembled(self.frame, self.order, states, self.system.elements)

    def operator(self, c: int) -> StressOperator:
        """The second-order energy of combination c."""
        held = self.heights.reactions(self.solution, c) + self.heights.held(self.solution, c)
        nodal = [Nodal((node,), matrix) for node, matrix in held]
        nodal += [Nodal(nodes, matrix) for nodes, matrix in self.heights.hinges(self.solution, c)]
        member = self.frame.member
        factors = member.combined[c].factors
        for node, case, matrix in self.heights.point_loads():
            share = factors.get(member.cases[case], 0.0)
            if share:
                nodal.append(Nodal((node,), share * matrix))
        return StressOperator(
            self.frame.nodes, self.order, gauss_points(self.order), self.terms, nodal,
            self.system, c,
        )  # fmt: skip


def prestressed(frame: Frame, order: int = ORDER) -> Prestressed:
    """Solve a member in first order and gather its initial stress."""
    system = assembled(frame, order)
    solution = solved(frame, system, order)
    points = gauss_points(order)
    heights = Heights(frame)
    terms = [*stress_terms(frame, solution, points), *_height_terms(frame, heights, order, points)]
    return Prestressed(frame, order, solution, system, tuple(terms), heights)


def critical_factors(
    state: Prestressed, wanted: int = 1, combinations: Sequence[int] | None = None
) -> tuple[CriticalFactors, ...]:
    """The smallest factors of every combination, or of some."""
    numbers = range(len(state.solution.names)) if combinations is None else combinations
    # One factor at a time is held: of the member as some combinations leave its contacts.
    alike: dict[tuple[int, ...], list[int]] = {}
    for c in numbers:
        key = tuple(state.solution.states[c].tolist()) if state.frame.holds.rows else ()
        alike.setdefault(key, []).append(c)
    found = {}
    e, n = len(state.frame.nodes) - 1, state.frame.course.size
    start = np.sin(1.0 + np.arange(e * (state.order + 1) * n)).reshape(e, -1, n)
    for own in alike.values():
        inverse = ElasticInverse(state.tight(own[0]))
        size = float(np.sqrt((inverse(start) * start).sum()))
        known: list[tuple[Array, Array]] = []
        for c in own:
            pattern = np.concatenate([t.factors[c].ravel() for t in state.terms])
            pattern /= max(float(np.linalg.norm(pattern)), 1e-300)
            first = start / size
            if known:
                # The mode of the stress most like it, and a share of everything.
                nearest = max(known, key=lambda one: abs(float(one[0] @ pattern)))
                first = nearest[1] + ALL * first
            result = extremes(state.operator(c).released, inverse, first, wanted, low=LOW)
            if result.values[0] > 0:
                known.append((pattern, result.forces[:, 0].reshape(start.shape)))
            found[c] = _factors(state, c, result)
    return tuple(found[c] for c in numbers)


def _factors(state: Prestressed, c: int, found: Extremes) -> CriticalFactors:
    reach = float(np.abs(found.values).max(initial=0.0))
    if len(found.values) and found.values[0] > 1e-9 * reach and found.residual[0] > UNSETTLED:
        raise SolveError(
            f"combination {state.solution.names[c]!r}: the critical load factor did not converge "
            f"(below {1 / found.values[0]:.3g}); judge buckling by hand"
        )
    e, n = len(state.frame.nodes) - 1, state.frame.course.size
    modes = []
    for k in range(found.vectors.shape[1]):
        if found.values[k] <= 1e-9 * reach:
            break
        shape = found.vectors[:, k].reshape(e, -1, n, 1)
        field = Amplitudes(state.frame.nodes, shape)
        modes.append(MemberMode(float(1 / found.values[k]), field))
    least = -1 / found.lowest if found.lowest < -1e-9 * reach else math.inf
    return CriticalFactors(state.solution.names[c], tuple(modes), least)


def _height_terms(frame: Frame, heights: Heights, order: int, points: int) -> list[Terms]:
    """Line loads whose height the functions do not place."""
    member = frame.member
    x = sampled(order, points)[0]
    cases = member.cases
    factors = np.array([[c.factors.get(case, 0.0) for case in cases] for c in member.combined])
    found = []
    for row in heights.line_loads():
        a, b = frame.nodes[row.elements], frame.nodes[row.elements + 1]
        z = a[:, None] + (b - a)[:, None] * (1 + x) / 2
        q = row.first + (row.last - row.first) * (z - row.start) / (row.end - row.start)
        some = factors[:, row.case][:, None, None, None] * q[None, :, :, None]
        none = np.zeros((1, *row.matrix.shape))
        found.append(Terms(row.elements, some, row.matrix[None], none, none))
    return found
