"""The first of values alike, whatever their last digits."""

from __future__ import annotations

import numpy as np
from soapfilm.solver.member.review.greatest import falling, greatest


def test_the_first_of_a_symmetric_pair_is_taken_whichever_rounding_favours() -> None:
    for nudge in (-1e-15, 0.0, 1e-15):
        values = np.array([[0.0, 1.0], [5.0, 2.0], [5.0 * (1 + nudge), 3.0]])
        assert greatest(values) == (1, 0)
        assert greatest(-values) == (0, 0)


def test_a_truly_greater_value_wins() -> None:
    assert greatest(np.array([1.0, 1.0 + 1e-6, 1.0])) == (1,)
    assert greatest(np.array([-2.0, -1.0, -1.0])) == (1,)
    assert greatest(np.zeros(3)) == (0,)


def test_values_alike_stay_in_their_order() -> None:
    values = np.array([1.0, 3.0, 2.0, 3.0 * (1 + 1e-12), 2.0 * (1 - 1e-12)])
    assert falling(values) == [1, 3, 2, 4, 0]
    assert falling(np.zeros(3)) == [0, 1, 2]
