"""The initial stress applied to a motion: against the sums over Gauss points that it stands for."""

from __future__ import annotations

from typing import cast

import numpy as np
import pytest
from soapfilm.solver.member.critical.operator import Nodal, StressOperator
from soapfilm.solver.member.critical.prestress import Terms
from soapfilm.solver.member.deforming.lobatto import sampled
from soapfilm.solver.member.deforming.system import DeformingSystem

N, E, ORDER, POINTS, STATES = 6, 37, 5, 8, 24
RNG = np.random.default_rng(3)
NODES = np.cumsum(np.append(0.0, RNG.uniform(1, 3, E)))
X = RNG.normal(size=(E, ORDER + 1, N))


def terms(elements: np.ndarray, factors: np.ndarray) -> Terms:
    c, cross, m = RNG.normal(size=(3, factors.shape[-1], N, N))
    return Terms(elements, factors, c + c.swapaxes(1, 2), cross, m + m.swapaxes(1, 2))


def operator(own: list[Terms], nodal: tuple[Nodal, ...] = ()) -> StressOperator:
    system = cast(DeformingSystem, None)  # asked for where nodes have energy alone
    return StressOperator(NODES, ORDER, POINTS, own, nodal, system, 1)


def summed(own: list[Terms]) -> np.ndarray:
    """Forces of 1/2 a'^T M a' + a'^T L a + 1/2 a^T C a, place by place."""
    _, w, value, slope = sampled(ORDER, POINTS)
    out = np.zeros_like(X)
    for t in own:
        for k, some in zip(t.elements, t.factors[1], strict=True):
            half = (NODES[k + 1] - NODES[k]) / 2
            for weight, v, s, f in zip(w * half, value, slope / half, some, strict=True):
                c, cross, m = (np.tensordot(f, matrix, 1) for matrix in (t.C, t.L, t.M))
                a, rate = v @ X[k], s @ X[k]
                out[k] += weight * np.outer(v, c @ a + cross.T @ rate)
                out[k] += weight * np.outer(s, cross @ a + m @ rate)
    return out


def test_states_without_order() -> None:
    """Nothing can be left out where every place has stresses of its own."""
    own = [
        terms(np.arange(E), RNG.normal(size=(2, E, POINTS, STATES))),
        terms(np.arange(4, 9), RNG.normal(size=(2, 5, POINTS, 1))),
    ]
    direct = summed(own)
    assert operator(own)(X) == pytest.approx(direct, abs=1e-13 * abs(direct).max())


def test_states_that_fade() -> None:
    """Two dozen states each three times smaller than the one before: what is left out of the
    stress is less than 2e-5 of it in every stretch."""
    fading = RNG.normal(size=(2, E, POINTS, STATES)) * 3.0 ** -np.arange(STATES)
    own = [terms(np.arange(E), fading)]
    direct = summed(own)
    assert operator(own)(X) == pytest.approx(direct, abs=5e-5 * abs(direct).max())


def test_no_stress_does_nothing() -> None:
    own = [terms(np.arange(E), np.zeros((2, E, POINTS, STATES)))]
    assert not operator(own)(X).any()
