"""Elements condensed by mirror halves, beside the same elements in one piece; what is alike answers
together as it would alone."""

from __future__ import annotations

import numpy as np
import pytest
from soapfilm.solver.member.deforming.assembly import Assembled
from soapfilm.solver.member.deforming.element import (
    element_of,
    mirrored,
    mirrored_element,
    stiffness_of,
)
from soapfilm.solver.member.deforming.energy import Energy

PLANAR = np.array([True, True, False, True, False])


def some_energy() -> Energy:
    """Positive definite, rates alone couple the two kinds."""
    draw = np.random.default_rng(4)
    n = len(PLANAR)
    alike = PLANAR[:, None] == PLANAR

    def positive() -> np.ndarray:
        half = draw.standard_normal((n, n)) * alike
        return half @ half.T + np.eye(n)

    return Energy(positive(), 0.3 * draw.standard_normal((n, n)) * ~alike, positive())


@pytest.mark.parametrize("order", [2, 3, 5, 8])
def test_halves_answer_as_the_whole(order: int) -> None:
    energy, n = some_energy(), len(PLANAR)
    assert mirrored(energy, PLANAR)
    whole = element_of(order, stiffness_of(order, 1.7, energy))
    halves = mirrored_element(order, 1.7, energy, PLANAR)
    assert halves.condensed == pytest.approx(whole.condensed, abs=1e-12)
    draw = np.random.default_rng(5)
    load, ends = draw.standard_normal(((order + 1) * n, 3)), draw.standard_normal((2 * n, 3))
    assert halves.carried(load) == pytest.approx(whole.carried(load), abs=1e-12)
    assert halves.whole(ends, load) == pytest.approx(whole.whole(ends, load), abs=1e-12)


def test_a_piece_that_is_not_its_own_mirror_image_is_not_taken_for_one() -> None:
    energy = some_energy()
    for name, place in (("C", (0, 2)), ("M", (1, 4)), ("L", (0, 1)), ("L", (2, 4))):
        parts = {key: getattr(energy, key).copy() for key in "CLM"}
        parts[name][place] += 1e-14
        assert not mirrored(Energy(**parts), PLANAR)


@pytest.mark.parametrize("closed", [False, True])
def test_the_product_of_all_elements_is_that_of_their_blocks(closed: bool) -> None:
    energy, n = some_energy(), len(PLANAR)
    one, other = (mirrored_element(4, length, energy, PLANAR) for length in (1.0, 2.5))
    elements = (one, other, other, one)
    count = 4 if closed else 5
    ends = np.column_stack([np.arange(4), (np.arange(4) + 1) % count])
    whole = Assembled(elements, ends, count, n, {2: 3.0 * np.eye(n)})
    values = np.random.default_rng(6).standard_normal((count, n, 2))
    expected = np.array([whole.diagonal(k) @ values[k] for k in range(count)])
    for k, (a, b) in enumerate(ends):
        expected[a] += whole.beside(k) @ values[b]
        expected[b] += whole.beside(k).T @ values[a]
    assert whole.applied(values) == pytest.approx(expected, abs=1e-12)
