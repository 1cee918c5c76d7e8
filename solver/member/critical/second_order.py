"""Second order with sections that deform: equilibrium on the moved member, linearised.

The first-order stress of each combination works on the second-order strains of the motion (see
`prestress`): (K + G) a = f - G a_0, with a_0 an imperfection in the shape of the member's mode (see
`bow`). G is that of the first-order stress, once. With the motion known, -G (a + a_0) are forces on
the functions, under which the member is solved as under loads, its contacts with it; they are
repeated until contacts stay as they are.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from ....geometry.errors import SolveError
from ..deforming.analysis import solved
from ..deforming.solution import DeformingSolution
from ..model.solved_section import SolvedSection
from .bow import bows
from .imperfection import Imperfection
from .member_buckling import MemberBuckling, member_buckling
from .operator import ElasticInverse, StressOperator

Array = NDArray[np.float64]

#: Load by critical load beyond which the linearised answer is refused: it grows tenfold there, and
#: what has been left out as well.
REFUSE = 0.9
#: Order of the elements: stresses and reactions ask for more than factors do.
ORDER = 7
#: Rounds in which contacts may change; relative residual of the equations; steps at most.
_ROUNDS, _CLOSE, _STEPS = 8, 1e-8, 400


def second_order(
    solution: DeformingSolution,
    sections: Mapping[str, SolvedSection],
    imperfection: Imperfection | None = None,
) -> tuple[DeformingSolution, MemberBuckling]:
    """The second-order solution of all combinations, and the factors that it rests on.

    Parameters
    ----------
    solution : DeformingSolution
        First order.
    sections : mapping
    imperfection : Imperfection, optional
        Toward the side to which the loads move the member.

    Raises
    ------
    SolveError
        A combination is at or near its critical load; no convergence.
    """
    buckling = member_buckling(solution, sections, order=ORDER)
    state = buckling.state
    assert state is not None
    for row in buckling.factors:
        if row.factor * REFUSE < 1:
            raise SolveError(
                f"combination {row.name!r} is at {100 / row.factor:.0f} % of its elastic critical "
                f"load (factor {row.factor:.3g}, sections that deform): "
                + (
                    "it buckles; brace it, stiffen its walls, or take a stiffer section"
                    if row.factor <= 1
                    else f"beyond {100 * REFUSE:.0f} % second order linearised about the first is "
                    "no answer; brace it, stiffen its walls, or take a stiffer section"
                )
            )
    first = state.solution
    shape = first.field.coefficients.shape
    still = np.zeros(shape)
    spans = solution.member.spans or ((0.0, solution.member.length),)
    bow = 0.0
    if imperfection is not None:
        bow = imperfection.amplitude(max(b - a for a, b in spans))
    if bow:
        still = bows(solution, sections, state, bow)
    found, extra = first, np.zeros(shape)
    pull = [state.operator(c) for c in range(len(first.names))]
    for _ in range(_ROUNDS):
        before = found.states
        for c, push in enumerate(pull):
            inverse = ElasticInverse(replace(state, solution=found).tight(c))
            a = found.field.coefficients[..., c] + still[..., c]
            missing = -push(a) - extra[..., c]
            extra[..., c] = -push(a + _added(inverse, push, missing, first.names[c]))
        forces = extra.reshape(shape[0], shape[1] * shape[2], shape[3])
        found = solved(state.frame, state.system, state.order, forces)
        if (found.states == before).all():
            return replace(found, order_change=solution.order_change), buckling
    raise SolveError(
        "second order: the contacts do not settle; solve in first order, or close a clearance"
    )


def _added(
    inverse: Callable[[Array], Array], push: StressOperator, force: Array, name: str
) -> Array:
    """d of (K + G) d = force by conjugate gradients with K^-1 before them; as in `lanczos`,
    products with K come from the forces that they answer."""
    d = np.zeros_like(force)
    left, z = force, inverse(force)
    direction, stiff = z, left
    size = start = float(np.vdot(left, z))
    for _ in range(_STEPS):
        if size <= _CLOSE**2 * start:
            return d
        turned = stiff + push(direction)
        work = float(np.vdot(direction, turned))
        if work <= 0:
            break
        step = size / work
        d = d + step * direction
        left = left - step * turned
        z = inverse(left)
        size, last = float(np.vdot(left, z)), size
        direction, stiff = z + size / last * direction, left + size / last * stiff
    raise SolveError(f"second order did not converge for combination {name!r}")
