"""Waves between neighbouring half-wavelengths from a few functions: exact ones at anchors, their
span between.

Between two anchors the shapes change little, so the waves of both, in-plane and axial parts apart,
with rigid motion and Saint-Venant's fields beside them, hold those between: a dense problem of some
fifty unknowns. What is left of the equations there, measured in the elastic energy of the lower
anchor, bounds the relative error of a factor that is well apart from others; anchors are added
until it is below `TOLERANCE`.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from ..deforming.chains import Chains
from ..deforming.elasticity.condensed import CondensedSystem
from ..mesh.section_mesh import Array
from .pencil import Products, WavePencil, Waves

#: Waves solved at every anchor beyond the branches that are followed.
_MORE = 2
#: Relative error of the lowest factor between anchors, and how many times more higher ones may
#: have: their minima are solved exactly all the same.
TOLERANCE, HIGHER = 3e-4, 10.0
#: Largest ratio of neighbouring anchors at first, and the smallest to which they are halved.
_APART, _NEAR = 2.5, 1.02
#: Singular values of a basis below this part of the largest are left out.
_SAME = 1e-9


@dataclass(frozen=True, slots=True, eq=False)
class Anchor:
    """Exact waves at a wave number k: factors (m,), waves (count, 3, m), K(k) factored."""

    k: float
    factors: Array
    waves: Waves
    system: CondensedSystem


@dataclass(frozen=True, slots=True, eq=False)
class Interval:
    """Wave numbers from `low.k` to `high.k`, a basis (count, 3, n) for waves there, and its
    products."""

    pencil: WavePencil
    low: Anchor
    high: Anchor
    basis: Array
    products: Products

    def lowest(self, k: float) -> tuple[Array, Waves]:
        """Factors (m,) of the branches followed, and their coefficients (n, m)."""
        return self.products.lowest(k, self.pencil.followed)

    def waves(self, coefficients: Waves) -> Waves:
        """(count, 3, m)."""
        flat = self.basis.reshape(-1, self.basis.shape[2]) @ coefficients
        return np.asarray(flat.reshape(*self.basis.shape[:2], -1))

    def error(self, k: float, factors: Array, coefficients: Waves) -> Array:
        """(m,) relative error that the residuals leave each factor."""
        if not len(factors):
            return np.zeros(0)
        x = self.waves(coefficients)
        left = self.pencil.stiff(k, x) + factors * self.pencil.pulled(k, x)
        answer = self.pencil.solved(self.low.system, left)
        energy = np.einsum("idm,idm->m", left.conj(), answer).real
        own = np.einsum("nm,nr,rm->m", coefficients.conj(), self.products.elastic(k), coefficients)
        return np.asarray(energy / own.real)


def intervals_of(
    pencil: WavePencil, chains: Chains, shortest: float, longest: float
) -> list[Interval]:
    """Intervals from the longest half-wavelength to the shortest.

    Raises
    ------
    SolveError
        A system is singular.
    """
    still = motions(chains)
    if pencil.held is not None:
        still[: len(pencil.held)][pencil.held] = 0.0
    low, high = np.pi / longest, np.pi / shortest
    parts = max(1, int(np.ceil(np.log(high / low) / np.log(_APART))))
    start: Waves | None = None
    anchors = []
    for k in np.geomspace(low, high, parts + 1):
        anchors.append(anchor_at(pencil, float(k), start))
        start = anchors[-1].waves
    done: list[Interval] = []
    waiting = [
        _interval(pencil, still, one, other)
        for one, other in zip(anchors[-2::-1], anchors[:0:-1], strict=True)
    ]
    while waiting:
        interval = waiting.pop()
        a, b = interval.low.k, interval.high.k
        middle = float(np.sqrt(a * b))
        factors, c = interval.lowest(middle)
        error = interval.error(middle, factors, c)
        allowed = np.full(len(error), HIGHER * TOLERANCE)
        allowed[:1] = TOLERANCE
        if b / a < _NEAR or (error < allowed).all():
            done.append(interval)
            continue
        waiting += reversed(split(interval, still, middle, interval.waves(c)))
    return done


def split(
    interval: Interval, still: Array, k: float, start: Waves | None = None
) -> tuple[Interval, Interval]:
    """The two intervals on either side of a new anchor."""
    pencil = interval.pencil
    new = anchor_at(pencil, k, start)
    return (
        _interval(pencil, still, interval.low, new),
        _interval(pencil, still, new, interval.high),
    )


def anchor_at(pencil: WavePencil, k: float, start: Waves | None) -> Anchor:
    """Exact waves at a wave number."""
    return Anchor(k, *pencil.lowest(k, pencil.followed + _MORE, start))


def motions(chains: Chains) -> Array:
    """(count, 3, 12) rigid motion and Saint-Venant's fields, which long waves follow."""
    count = len(chains.one)
    out = np.zeros((count, 3, 12))
    out[:, 0, 0] = out[:, 1, 1] = out[:, 2, 2] = chains.one
    out[:, :2, 3] = chains.spin
    out[:, :2, 4:7] = chains.contraction
    out[:, 2, 7:9] = chains.position
    out[:, 2, 9], out[:, 2, 10:12] = chains.omega, chains.shear_warping
    return out


def _interval(pencil: WavePencil, still: Array, low: Anchor, high: Anchor) -> Interval:
    fields = [still, low.waves, high.waves]
    real = [part for f in fields for part in ([f.real, f.imag] if np.iscomplexobj(f) else [f])]
    whole = np.concatenate(real, axis=2)
    parts = []
    for own in (slice(0, 2), slice(2, 3)):
        some = np.ascontiguousarray(whole[:, own]).reshape(-1, whole.shape[2])
        size = np.linalg.norm(some, axis=0)
        some = some[:, size > 0] / size[size > 0]
        left, value, _ = np.linalg.svd(some, full_matrices=False)
        left = left[:, value > _SAME * value[0]]
        part = np.zeros((len(whole), 3, left.shape[1]))
        part[:, own] = left.reshape(len(whole), -1, left.shape[1])
        parts.append(part)
    basis = np.concatenate(parts, axis=2)
    return Interval(pencil, low, high, basis, pencil.products(basis))
