"""The equations along the member, by matrices whose solutions are known in closed form."""

from __future__ import annotations

import numpy as np
import pytest
from soapfilm.solver.member.deforming.amplitude import Amplitudes
from soapfilm.solver.member.deforming.decay import decay_rates
from soapfilm.solver.member.deforming.element import elements_of
from soapfilm.solver.member.deforming.energy import Energy, Piece
from soapfilm.solver.member.deforming.grading import graded
from soapfilm.solver.member.deforming.lobatto import gauss, shapes
from soapfilm.solver.member.deforming.system import Links, system_of

from .models import foundation, timoshenko


def solved(pieces, breaks, order, links, force, *, closed=False, size=1):
    """Field under nodal forces given by {position: vector}."""
    nodes = graded(pieces, breaks, 3.0)
    elements = elements_of(order, nodes, pieces)
    named = {int(np.argmin(abs(nodes - z))): v for z, v in links.items()}
    system = system_of(elements, size, Links(named, {}), closed=closed)
    nodal = np.zeros((system.count, size, 1))
    for z, v in force.items():
        nodal[int(np.argmin(abs(nodes - z))), :, 0] += v
    loads = np.zeros((len(elements), (order + 1) * size, 1))
    values = system.solve(nodal, loads)
    return Amplitudes(nodes, system.whole(values, loads)), system.missing(values, nodal, loads)


def test_derivatives_of_inner_shape_functions_are_orthonormal() -> None:
    x, w = gauss(12)
    _, slope = shapes(9, x)
    inner = slope[:, 2:]
    assert np.allclose(inner.T @ (w[:, None] * inner), np.eye(8), atol=1e-13)


def test_tip_load_on_a_beam_that_shears() -> None:
    """P L^3 / 3 E I + P L / G A, exact in any element of order 3 or more."""
    length, bending, shear = 4.0, 7.0, 30.0
    piece = Piece(0.0, length, timoshenko(bending, shear))
    held = {0.0: np.eye(2)}
    field, missing = solved([piece], [0.0], 4, held, {length: [1.0, 0.0]}, size=2)
    _, a, _ = field.at(np.array([length]))
    assert a[0, 0, 0] == pytest.approx(length**3 / (3 * bending) + length / shear, rel=1e-12)
    assert missing[0, :, 0] == pytest.approx([-1.0, -length], rel=1e-11)
    assert np.abs(missing[1:]).max() < 1e-11


def test_point_load_on_a_cable_on_springs_decays_as_it_must() -> None:
    """v = P exp(-lambda |z|) / (2 T lambda) far from the ends; Winkler's springs, derived."""
    tension, spring = 2.0, 50.0
    rate = (spring / tension) ** 0.5
    length = 20.0
    piece = Piece(0.0, length, foundation(spring, tension))
    field, _ = solved([piece], [10.0], 10, {}, {10.0: [1.0]})
    z = np.linspace(8.0, 12.0, 41)
    exact = np.exp(-rate * abs(z - 10.0)) / (2 * tension * rate)
    assert field.at(z)[1][:, 0, 0] == pytest.approx(exact, rel=1e-6, abs=1e-8)


def test_number_of_elements_does_not_grow_with_the_length() -> None:
    energy = foundation(50.0, 2.0)
    short = graded([Piece(0.0, 200.0, energy)], [100.0])
    long = graded([Piece(0.0, 200_000.0, energy)], [100_000.0])
    assert len(long) - len(short) < 3 * np.log(1000) / np.log(1.1)


def test_decay_rates_of_coupled_functions() -> None:
    """Two functions: lambda^2 M - C has the eigenvalues of the pair."""
    c = np.array([[4.0, 1.0], [1.0, 9.0]])
    m = np.array([[1.0, 0.2], [0.2, 2.0]])
    rates = decay_rates(Energy(c, np.zeros((2, 2)), m))
    exact = np.sqrt(np.linalg.eigvals(np.linalg.solve(m, c)))
    assert np.sort(rates.real)[2:] == pytest.approx(np.sort(exact), rel=1e-12)


def test_ring_of_springs_answers_like_a_long_cable() -> None:
    """A closed member has no ends: the load's decay meets itself on the other side."""
    tension, spring, length = 2.0, 50.0, 3.0
    rate = (spring / tension) ** 0.5
    piece = Piece(0.0, length, foundation(spring, tension))
    field, _ = solved([piece], [1.0], 8, {}, {1.0: [1.0]}, closed=True)
    exact = 1 / (2 * tension * rate) / np.tanh(rate * length / 2)
    assert field.at(np.array([1.0]))[1][0, 0, 0] == pytest.approx(exact, rel=1e-8)


def test_matrices_that_change_along_the_member() -> None:
    """A cable whose tension grows as 1 + z: v = P ln(1 + z), in elements of any length."""

    def along(z):
        m = (1 + z)[:, None, None]
        return Energy(0 * m, 0 * m, m)

    piece = Piece(0.0, 1.0, foundation(0.0, 1.5), along)
    field, _ = solved([piece], [0.25, 0.5], 10, {0.0: np.eye(1)}, {1.0: [3.0]})
    z = np.linspace(0, 1, 7)
    assert field.at(z)[1][:, 0, 0] == pytest.approx(3 * np.log(1 + z), abs=1e-8)
