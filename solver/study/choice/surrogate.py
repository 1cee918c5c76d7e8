"""Smooth functions through what was solved, and where the least of one of them may lie.

Radial basis functions with a linear part: s(x) = sum_i w_i |x - x_i|^3 + c_0 + c.x, which goes
through every value and bends least among all functions that do [1]_. One solution of a member costs
a third of a second, one value of s a hundred thousandth, so s can be searched everywhere.

References
----------
.. [1] H.-M. Gutmann, A radial basis function method for global optimization, Journal of Global
   Optimization 19 (2001) 201-227.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ..file.plan import unit_sample

Array = NDArray[np.float64]

#: Points at which all functions are looked at before the best of them are followed down.
_SAMPLED, _FOLLOWED = 1024, 5
_ROUNDS, _TOLERANCE = 60, 1e-7
#: Places nearer than this are one.
_SAME = 1e-3


@dataclass(frozen=True, slots=True, eq=False)
class Surrogate:
    """Functions through values at places.

    Attributes
    ----------
    places : (m, n)
    weights : (m, k)
    linear : (n + 1, k)
        Constant first.
    """

    places: Array
    weights: Array
    linear: Array

    @classmethod
    def through(cls, places: Array, values: Array) -> Surrogate:
        """The functions through values (m, k) at places (m, n), no two of which are one."""
        m, n = places.shape
        distance = np.linalg.norm(places[:, None] - places[None], axis=2)
        tail = np.hstack([np.ones((m, 1)), places])
        matrix = np.block([[distance**3, tail], [tail.T, np.zeros((n + 1, n + 1))]])
        right = np.vstack([values, np.zeros((n + 1, values.shape[1]))])
        # Least squares: few places may not span every direction, and then the least slope is taken.
        found = np.linalg.lstsq(matrix, right, rcond=1e-13)[0]
        return cls(places, found[:m], found[m:])

    def values(self, x: Array) -> Array:
        """(p, k) at places (p, n)."""
        distance = np.linalg.norm(x[:, None] - self.places[None], axis=2)
        return np.asarray(distance**3 @ self.weights + self.linear[0] + x @ self.linear[1:])

    def slopes(self, x: Array) -> Array:
        """(k, n) at one place (n,)."""
        apart = x - self.places
        distance = np.linalg.norm(apart, axis=1)
        return np.asarray(
            3 * np.einsum("ik,i,in->kn", self.weights, distance, apart) + self.linear[1:].T
        )


def minima(surrogate: Surrogate, margin: float, starts: Array, seed: int) -> list[Array]:
    """Places in the unit cube where the first function is least while all others are below
    -margin, the least first; where no place keeps them, the one that exceeds them least.

    Parameters
    ----------
    surrogate : Surrogate
    margin : float
    starts : (p, n)
        Followed down beside the best of a sample.
    seed : int
        Of the sample.
    """
    sample = unit_sample("sobol", surrogate.places.shape[1], _SAMPLED, seed)
    values = surrogate.values(sample)
    over = (values[:, 1:] + margin).max(axis=1, initial=-1.0)
    chosen = _apart(sample[np.lexsort((values[:, 0], np.maximum(over, 0.0)))], 0.1, _FOLLOWED)
    found = []
    for start in [*starts, *chosen]:
        place = _followed(surrogate, margin, np.asarray(start))
        value = surrogate.values(place[None])[0]
        excess = max(float((value[1:] + margin).max(initial=-1.0)), 0.0)
        found.append((excess if excess > margin / 2 else 0.0, float(value[0]), place))
    found.sort(key=lambda entry: entry[:2])
    return _apart(np.array([place for _, _, place in found]), _SAME, len(found))


def _followed(surrogate: Surrogate, margin: float, start: Array) -> Array:
    """The place that SLSQP reaches from a start, with one slack for the limits: where they cannot
    be kept, it ends where they are exceeded least."""
    from scipy.optimize import minimize

    n = len(start)
    dear = 30.0  # a logarithm of the first function for one of a limit

    def target(x: Array) -> float:
        return float(surrogate.values(x[None, :n])[0, 0] + dear * x[n])

    def target_slope(x: Array) -> Array:
        return np.append(surrogate.slopes(x[:n])[0], dear)

    def room(x: Array) -> Array:
        return np.asarray(x[n] - margin - surrogate.values(x[None, :n])[0, 1:])

    def room_slope(x: Array) -> Array:
        slopes = -surrogate.slopes(x[:n])[1:]
        return np.hstack([slopes, np.ones((len(slopes), 1))])

    over = max(float((surrogate.values(start[None])[0, 1:] + margin).max(initial=0.0)), 0.0)
    result = minimize(
        target,
        np.append(start, over),
        jac=target_slope,
        method="SLSQP",
        bounds=[(0.0, 1.0)] * n + [(0.0, None)],
        constraints=[{"type": "ineq", "fun": room, "jac": room_slope}],
        options={"maxiter": _ROUNDS, "ftol": _TOLERANCE},
    )
    place = np.clip(result.x[:n], 0.0, 1.0)
    return place if np.isfinite(place).all() else start


def _apart(places: Array, least: float, most: int) -> list[Array]:
    """The first places that are no nearer to each other than a distance."""
    chosen: list[Array] = []
    for place in places:
        if all(float(np.linalg.norm(place - other)) >= least for other in chosen):
            chosen.append(place)
        if len(chosen) == most:
            break
    return chosen
