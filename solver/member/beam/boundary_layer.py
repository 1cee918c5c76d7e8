"""Long elements: the boundary layers of restrained warping split off exactly.

Where an element is longer than a = sqrt(E C_w / (G J)), exp(s/a) and exp(-s/a) would drown every
other digit. A change of variables takes the pair (tau, B) out of the system: with M its own 2 by 2
matrix and lambda = -1/a or +1/a,

    z = tau + b B - p . f,   b = -lambda / (G J),   p = b lever (A_ff - lambda)^-1   gives   z' =
    lambda z + p . q, c = d + X (tau, B),      A_dd X - X M = C
      gives   c' = A_dd c + (A_df + X N) f,

so one z is followed forward, the other backward, each with a factor exp(-h/a) <= 1, and the rest is
slow. C is the column of d' that multiplies (tau, B), N that of (tau, B)' that multiplies f.
(Derived.)
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from .element import Blocks
from .stiffness import Stiffness

Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Layer:
    """The change of variables of n elements.

    `rate` (n,) is 1/a, `weight` (n,) is b of the decaying pair member (the other's is -b), `ahead`
    and `behind` (n, 6) are p for lambda = -1/a and +1/a, `mix` (n, 6, 2) is X, `slow` (n, 12, 12)
    the matrix of (c, f).
    """

    rate: Array
    weight: Array
    ahead: Array
    behind: Array
    mix: Array
    slow: Array

    def rows(self) -> Array:
        """(n, 14, 14) matrix W of z = W Y: rows 0-5 c, 6 the z that decays ahead, 7-12 f, 13 the
        other z."""
        w = np.zeros((len(self.rate), 14, 14))
        w[:, :6, :6] = np.eye(6)
        w[:, :6, 6], w[:, :6, 13] = self.mix[:, :, 0], self.mix[:, :, 1]
        w[:, 7:13, 7:13] = np.eye(6)
        for row, sign, p in ((6, 1.0, self.ahead), (13, -1.0, self.behind)):
            w[:, row, 6], w[:, row, 13] = 1.0, sign * self.weight
            w[:, row, 7:13] = -p
        return w

    def restore(self, c: Array, f: Array, ahead: Array, behind: Array) -> Array:
        """States Y (n, 14, ...) from c (n, 6, ...), f (n, 6, ...) and the two z (n, ...)."""
        plus = ahead + np.einsum("ni,ni...->n...", self.ahead, f)
        minus = behind + np.einsum("ni,ni...->n...", self.behind, f)
        weight = self.weight.reshape(-1, *(1,) * (plus.ndim - 1))
        tau, bimoment = (plus + minus) / 2, (plus - minus) / (2 * weight)
        pair = np.stack([tau, bimoment], axis=1)
        d = c - np.einsum("nij,nj...->ni...", self.mix, pair)
        return np.concatenate([d, tau[:, None], f, bimoment[:, None]], axis=1)

    def take(self, index: NDArray[np.intp]) -> Layer:
        """The rows named by `index`."""
        return Layer(*(getattr(self, name)[index] for name in self.__slots__))


def layer_of(stiffness: Stiffness, b: Blocks) -> Layer:
    """Split the layers off n elements without deck springs."""
    rate = stiffness.rate
    weight = rate / stiffness.torsion
    eye = np.eye(6)
    lever = (weight[:, None] * stiffness.lever)[:, :, None]
    transposed = np.swapaxes(b.balance, 1, 2)
    shift = rate[:, None, None] * eye
    ahead = np.linalg.solve(transposed + shift, lever)[:, :, 0]
    behind = np.linalg.solve(transposed - shift, -lever)[:, :, 0]

    # X M = A_dd X - C with M^2 = 1/a^2 gives (1/a^2 - A_dd^2) X = -(A_dd C + C M); here only C's
    # first column counts.
    known = np.zeros((len(rate), 6, 2))
    known[:, :, 0] = -np.einsum("nij,nj->ni", b.motion, stiffness.offset)
    known[:, :, 1] = stiffness.offset / stiffness.warping[:, None]
    mix = np.linalg.solve(shift**2 - b.motion @ b.motion, known)

    slow = np.zeros((len(rate), 12, 12))
    slow[:, :6, :6], slow[:, 6:, 6:] = b.motion, b.balance
    slow[:, :6, 6:] = b.strain + np.einsum("ni,nj->nij", mix[:, :, 1], stiffness.lever)
    return Layer(rate, weight, *(np.asarray(a, float) for a in (ahead, behind, mix, slow)))
