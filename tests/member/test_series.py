"""Exponentials of many lengths of few matrices beside those made one by one, and beside scipy's
(Al-Mohy and Higham, SIAM J. Matrix Anal. Appl. 31 (2009) 970)."""

import numpy as np
import pytest
from scipy.linalg import expm
from soapfilm.solver.member.beam.series import exponential, exponential_along, fundamental


def matrices() -> np.ndarray:
    """A chain of nilpotent couplings of very different sizes, and a full matrix."""
    chain = np.diag(10.0 ** np.arange(-3.0, 4.0), 1)
    full = np.random.default_rng(3).standard_normal((8, 8)) / 8
    return np.stack([chain, full])


def test_many_lengths_of_few_matrices() -> None:
    given = matrices()
    of = np.repeat([0, 1], 9)
    length = np.tile(np.linspace(0.0, 1.0, 9), 2)
    along = exponential_along(given, of, length, 1.0)
    single = exponential(given[of], length, 1.0)
    for one, other in zip(along, single, strict=True):
        # every entry by itself: chains hold sizes far apart
        assert one == pytest.approx(other, rel=1e-12, abs=1e-300)
    for k in range(len(of)):
        assert along[0][k] == pytest.approx(expm(given[of[k]] * length[k]), rel=1e-11, abs=1e-14)


def test_growing_matrices_keep_their_own_lengths() -> None:
    given, of = matrices()[1:], np.zeros(6, np.intp)
    length = np.linspace(0.1, 1.0, 6)
    growth = np.full((1, 8, 8), 1e-3)
    shared = fundamental(given, growth, length, 1.0, of)
    single = fundamental(given[of], growth[of], length, 1.0)
    for one, other in zip(shared, single, strict=True):
        assert one == pytest.approx(other, rel=1e-13)
