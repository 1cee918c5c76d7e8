"""Smooth functions through what was solved, and where the least of one of them may lie.

Radial basis functions with a linear part: s(x) = sum_i w_i |x - x_i|^3 + c_0 + c.x, which goes
through every value and bends least among all functions that do [1]_. Where slopes are known too,
derivatives of the same cubes take them in [2]_: a function and its slopes are met together, so that
it is right to first order there. One solution of a member costs a third of a second, one value of s
a hundred thousandth, so s can be searched everywhere.

References
----------
.. [1] H.-M. Gutmann, A radial basis function method for global optimization, Journal of Global
   Optimization 19 (2001) 201-227.
.. [2] Z. Wu, Hermite-Birkhoff interpolation of scattered data by radial basis functions,
   Approximation Theory and its Applications 8 (1992) 1-10.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Protocol

import numpy as np
from numpy.typing import NDArray

from ..file.plan import unit_sample

Array = NDArray[np.float64]

#: Points at which all functions are looked at before the best of them are followed down.
_SAMPLED, _FOLLOWED = 1024, 5
_ROUNDS, _TOLERANCE = 60, 1e-7
#: Places nearer than this are one.
_SAME = 1e-3


class Functions(Protocol):
    """Several functions of a place: what is sought first, then what must not exceed 0."""

    def values(self, x: Array) -> Array:
        """(p, k) at places (p, n)."""

    def slopes(self, x: Array) -> Array:
        """(k, n) at one place (n,)."""


@dataclass(frozen=True, slots=True, eq=False)
class Surrogate:
    """Functions through values at places, and through slopes at some of them.

    Attributes
    ----------
    places : (m, n)
    weights : (m, k)
    linear : (n + 1, k)
        Constant first.
    sloped : (q, n)
        Places of slopes.
    bending : (q, n, k)
        Weights of the derivatives of their cubes.
    """

    places: Array
    weights: Array
    linear: Array
    sloped: Array = field(default_factory=lambda: np.zeros((0, 1)))
    bending: Array = field(default_factory=lambda: np.zeros((0, 1, 1)))

    @classmethod
    def through(
        cls, places: Array, values: Array, slopes: Mapping[int, Array] | None = None
    ) -> Surrogate:
        """The functions through values (m, k) at places (m, n), no two of which are one, and
        through slopes (n, k) by the numbers of places."""
        m, n = places.shape
        given = slopes or {}
        at = places[np.array(list(given), dtype=int)]
        q = len(at)
        plain = np.linalg.norm(places[:, None] - places[None], axis=2) ** 3
        across = _cube_slopes(at[:, None] - places[None]).transpose(0, 2, 1).reshape(q * n, m)
        twice = _cube_bends(at[:, None] - at[None]).transpose(0, 2, 1, 3).reshape(q * n, q * n)
        tail = np.vstack(
            [
                np.hstack([np.ones((m, 1)), places]),
                np.hstack([np.zeros((q * n, 1)), np.tile(np.eye(n), (q, 1))]),
            ]
        )
        inner = np.block([[plain, across.T], [across, -twice]])
        matrix = np.block([[inner, tail], [tail.T, np.zeros((n + 1, n + 1))]])
        rates = [np.asarray(given[k]) for k in given]
        right = np.vstack([values, *rates, np.zeros((n + 1, values.shape[1]))])
        # Least squares: few places may not span every direction; then the least coefficients that
        # meet all values are taken.
        found = np.linalg.lstsq(matrix, right, rcond=1e-13)[0]
        bending = found[m : m + q * n].reshape(q, n, values.shape[1])
        return cls(places, found[:m], found[m + q * n :], at, bending)

    def values(self, x: Array) -> Array:
        """(p, k) at places (p, n)."""
        distance = np.linalg.norm(x[:, None] - self.places[None], axis=2)
        plain = distance**3 @ self.weights + self.linear[0] + x @ self.linear[1:]
        if not len(self.sloped):
            return np.asarray(plain)
        rates = _cube_slopes(x[:, None] - self.sloped[None])
        return np.asarray(plain - np.einsum("pqn,qnk->pk", rates, self.bending))

    def slopes(self, x: Array) -> Array:
        """(k, n) at one place (n,)."""
        plain = np.einsum("ik,in->kn", self.weights, _cube_slopes(x - self.places))
        plain = plain + self.linear[1:].T
        if not len(self.sloped):
            return np.asarray(plain)
        bends = _cube_bends(x - self.sloped)
        return np.asarray(plain - np.einsum("qab,qbk->ka", bends, self.bending))


@dataclass(frozen=True, slots=True, eq=False)
class Stacked:
    """Functions of two kinds, one after the other."""

    first: Functions
    second: Functions

    def values(self, x: Array) -> Array:
        """(p, k) at places (p, n)."""
        return np.hstack([self.first.values(x), self.second.values(x)])

    def slopes(self, x: Array) -> Array:
        """(k, n) at one place (n,)."""
        return np.vstack([self.first.slopes(x), self.second.slopes(x)])


def _cube_slopes(apart: Array) -> Array:
    """(..., n) derivatives of |d|^3 to d, at (..., n)."""
    return np.asarray(3 * np.linalg.norm(apart, axis=-1)[..., None] * apart)


def _cube_bends(apart: Array) -> Array:
    """(..., n, n) second derivatives of |d|^3 to d, at (..., n)."""
    distance = np.linalg.norm(apart, axis=-1)[..., None, None]
    outer = apart[..., :, None] * apart[..., None, :]
    shares = np.divide(outer, distance, out=np.zeros_like(outer), where=distance > 0)
    return np.asarray(3 * (distance * np.eye(apart.shape[-1]) + shares))


def minima(
    surrogate: Functions, margin: float, starts: Array, seed: int, box: Array | None = None
) -> list[Array]:
    """Places in the unit cube where the first function is least while all others are below
    -margin, the least first; where no place keeps them, the one that exceeds them least.

    Parameters
    ----------
    surrogate : Functions
    margin : float
    starts : (p, n)
        Followed down beside the best of a sample.
    seed : int
        Of the sample.
    box : (2, n), optional
        Least and greatest coordinates, in place of those of the cube.
    """
    n = starts.shape[1]
    low, high = (np.zeros(n), np.ones(n)) if box is None else box
    sample = low + (high - low) * unit_sample("sobol", n, _SAMPLED, seed)
    values = surrogate.values(sample)
    over = (values[:, 1:] + margin).max(axis=1, initial=-1.0)
    apart = 0.1 * float((high - low).max())
    order = np.lexsort((values[:, 0], np.maximum(over, 0.0)))
    found = []
    for start in [*starts, *_apart(sample[order], apart, _FOLLOWED)]:
        place = _followed(surrogate, margin, np.asarray(start), low, high)
        value = surrogate.values(place[None])[0]
        excess = max(float((value[1:] + margin).max(initial=-1.0)), 0.0)
        found.append((excess if excess > margin / 2 else 0.0, float(value[0]), place))
    found.sort(key=lambda entry: entry[:2])
    return _apart(np.array([place for _, _, place in found]), _SAME, len(found))


def _followed(surrogate: Functions, margin: float, start: Array, low: Array, high: Array) -> Array:
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
        bounds=[*zip(low, high, strict=True), (0.0, None)],
        constraints=[{"type": "ineq", "fun": room, "jac": room_slope}],
        options={"maxiter": _ROUNDS, "ftol": _TOLERANCE},
    )
    place = np.clip(result.x[:n], low, high)
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
