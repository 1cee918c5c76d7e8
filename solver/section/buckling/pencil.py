"""The eigenvalue problem of a wave: (K(k) + factor H(k)) x = 0, its smallest positive factors.

K is positive definite, H not: the largest eigenvalues 1/factor of K^-1 (-H) are sought by block
Krylov steps with one L D L^T of K, then Rayleigh and Ritz over all vectors of the run, their energy
taken free of the rounding that rigid motion of thin triangles brings (see `without_motion`). Errors
of the vectors count by their squares.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from ..deforming.elasticity.condensed import CondensedSystem, condensed_system
from ..deforming.elasticity.matrices import SectionMatrices
from ..deforming.elasticity.triangle import without_motion
from ..mesh.section_mesh import Array
from .prestress import Prestress

#: Real without shear, else complex.
Waves = NDArray[Any]

#: Vectors that are added to the first block at random, so that no mode stays unseen.
_RANDOM = 2
#: Largest number of steps; relative change of the factors from step to step that ends them.
_STEPS, _SETTLED = 24, 1e-6
#: Eigenvalues below this part of the largest are no buckling: rounding, or tension alone.
_NOTHING = 1e-12


@dataclass(frozen=True, slots=True, eq=False)
class Products:
    """What waves X (count, 3, m) give in pairs, each (m, m): C + k A + k^2 M is the elastic energy,
    k^2 G + i k S the second-order one, `area` int X . X."""

    C: Waves
    A: Waves
    M: Waves
    G: Waves
    S: Waves | None
    area: Waves

    def elastic(self, k: float) -> Waves:
        """K(k)."""
        return np.asarray(self.C + k * self.A + k * k * self.M)

    def second_order(self, k: float) -> Waves:
        """H(k)."""
        h = k * k * self.G
        return np.asarray(h if self.S is None else h + 1j * k * self.S)

    def lowest(self, k: float, wanted: int) -> tuple[Array, Waves]:
        """The smallest positive factors (m,), m up to `wanted`, and their coefficients (n, m)."""
        from scipy.linalg import eigh

        stiff, pull = self.elastic(k), -self.second_order(k)
        scale = 1 / np.sqrt(np.abs(np.diag(stiff).real))
        stiff = stiff * scale * scale[:, None]
        pull = pull * scale * scale[:, None]
        value, vectors = np.linalg.eigh(stiff)
        kept = value > 1e-13 * value[-1]  # directions that the basis holds twice
        turn = vectors[:, kept] / np.sqrt(value[kept])
        n = int(kept.sum())
        inner = turn.conj().T @ pull @ turn
        first = max(0, n - wanted)
        mu, y = eigh((inner + inner.conj().T) / 2, subset_by_index=[first, n - 1])
        mu, y = mu[::-1], y[:, ::-1]
        real = mu > _NOTHING * np.abs(mu).max(initial=0.0)
        return 1 / mu[real], scale[:, None] * (turn @ y[:, real])


@dataclass(frozen=True, slots=True, eq=False)
class WavePencil:
    """K and H of a section under a stress.

    Attributes
    ----------
    matrices : SectionMatrices
    stress : Prestress
    """

    matrices: SectionMatrices
    stress: Prestress

    @property
    def oblique(self) -> bool:
        """Whether shear makes the waves complex."""
        return self.stress.shear is not None

    def factored(self, k: float) -> CondensedSystem:
        """K(k), factored."""
        m = self.matrices
        return condensed_system(m.numbers, m.count, m.outer, m.wave(k))

    def pulled(self, k: float, x: Waves) -> Waves:
        """H x for x (count, 3, c)."""
        m, n = self.matrices, self.matrices.product.shape[1]
        local = _gathered(m, x)
        t, _, c = local.shape
        apart = local.reshape(t, 3, n, c)
        out = k * k * (self.stress.normal[:, None] @ apart)
        if self.stress.shear is not None:
            out = out + 1j * k * (self.stress.shear[:, None] @ apart)
        return _summed(m, out.reshape(t, 3 * n, c))

    def stiff(self, k: float, x: Waves) -> Waves:
        """K x for x (count, 3, c), rigid motion of triangles taken off where it strains nothing."""
        m = self.matrices
        parts = [x.real, x.imag] if np.iscomplexobj(x) else [x]
        done = []
        for part in parts:
            u, w = part[:, :2], part[:, 2]
            cross = m.pushed(np.zeros_like(u), w)[0]  # A W
            in_plane = m.stiff(u) + k * k * m.soft(u) + k * cross
            local = m.summed(m.C_z @ m.gathered(w[:, None]))[:, 0]
            axial = local + k * m.along(u, k * w)
            done.append(np.concatenate([in_plane, axial[:, None]], axis=1))
        return done[0] if len(done) == 1 else done[0] + 1j * done[1]

    def solved(self, system: CondensedSystem, load: Waves) -> Waves:
        """K^-1 of loads (count, 3, c)."""
        if not np.iscomplexobj(load):
            return system.solve(load)
        c = load.shape[2]
        both = system.solve(np.concatenate([load.real, load.imag], axis=2))
        return np.asarray(both[..., :c] + 1j * both[..., c:])

    def products(self, x: Waves, y: Waves | None = None) -> Products:
        """The matrices of waves x against waves y, x themselves unless given."""
        one = self._local(x)
        other = one if y is None else self._local(y)
        m, s = self.matrices, self.stress
        u, v, w, z = one.u, other.u, one.w, other.w
        c = _pair(one.strained, m.C_u @ other.strained) + _pair(w, m.C_z @ z)
        a = _pair(u, m.A @ z) + _pair(w, m.A.transpose(0, 2, 1) @ v)
        area_u, area_w = _twice(m.product, v), m.product @ z
        soft = _pair(u, m.shear[:, None, None] * area_u)
        wall = _pair(w, m.wall[:, None, None] * area_w)
        g = _pair(u, _twice(s.normal, v)) + _pair(w, s.normal @ z)
        skew = None
        if s.shear is not None:
            skew = _pair(u, _twice(s.shear, v)) + _pair(w, s.shear @ z)
        return Products(c, a, soft + wall, g, skew, _pair(u, area_u) + _pair(w, area_w))

    def lowest(
        self, k: float, wanted: int, start: Waves | None = None
    ) -> tuple[Array, Waves, CondensedSystem]:
        """The smallest positive factors at wave number k, their waves (count, 3, m) of unit elastic
        energy, and the factored K(k).

        Parameters
        ----------
        wanted : int
        start : (count, 3, c), optional
            Waves near the wanted ones.
        """
        m, system = self.matrices, self.factored(k)
        size = 3 * m.count
        random = np.random.default_rng(5).standard_normal((m.count, 3, _RANDOM + wanted // 2))
        block = random.astype(complex) if self.oblique else random
        if start is not None:
            block = np.concatenate([start / np.linalg.norm(start, axis=(0, 1)), block], axis=2)
        block = self.solved(system, block if start is None else self.pulled(k, block))
        basis = np.linalg.qr(block.reshape(size, -1))[0]
        last, products, factors = basis, None, np.zeros(0)
        for _ in range(_STEPS):
            fresh = last.reshape(m.count, 3, -1)
            products = _joined(self, products, basis.reshape(m.count, 3, -1), fresh)
            before, (factors, c) = factors, products.lowest(k, wanted)
            n = min(wanted, basis.shape[1] // 2)
            settled = len(factors) >= n and len(before) >= len(factors)
            if settled and (np.abs(before[: len(factors)] / factors - 1) < _SETTLED).all():
                break
            if basis.shape[1] + last.shape[1] > size:
                break
            new = self.solved(system, self.pulled(k, fresh)).reshape(size, -1)
            new = new / np.linalg.norm(new, axis=0)
            for _ in range(2):
                new = new - basis @ (basis.conj().T @ new)
            last = np.linalg.qr(new)[0]
            basis = np.concatenate([basis, last], axis=1)
        waves = (basis @ c).reshape(m.count, 3, -1)
        return factors, waves, system

    def _local(self, x: Waves) -> _Local:
        m, n = self.matrices, self.matrices.product.shape[1]
        local = _gathered(m, x)
        u, w = local[:, : 2 * n], local[:, 2 * n :]
        t, _, c = u.shape
        apart = u.reshape(t, 2, n, c)
        if np.iscomplexobj(u):
            strained = without_motion(apart.real.copy(), m.linear) + 1j * without_motion(
                apart.imag.copy(), m.linear
            )
        else:
            strained = without_motion(apart, m.linear)
        return _Local(u, strained.reshape(t, 2 * n, c), w)


@dataclass(frozen=True, slots=True, eq=False)
class _Local:
    """Waves triangle by triangle: in the plane, the same less rigid motion, along the member."""

    u: Waves
    strained: Waves
    w: Waves


def _gathered(m: SectionMatrices, x: Waves) -> Waves:
    return m.gathered(x)


def _summed(m: SectionMatrices, local: Waves) -> Waves:
    if not np.iscomplexobj(local):
        return m.summed(local)
    return m.summed(np.ascontiguousarray(local.real)) + 1j * m.summed(
        np.ascontiguousarray(local.imag)
    )


def _pair(one: Waves, other: Waves) -> Waves:
    """(c, d) of (t, n, c) and (t, n, d)."""
    c, d = one.shape[2], other.shape[2]
    return np.asarray(one.transpose(2, 0, 1).reshape(c, -1).conj() @ other.reshape(-1, d))


def _twice(elements: Array, u: Waves) -> Waves:
    """Element matrices (t, n, n) on both in-plane components of (t, 2n, c)."""
    n = elements.shape[1]
    return np.concatenate([elements @ u[:, :n], elements @ u[:, n:]], axis=1)


def _joined(pencil: WavePencil, known: Products | None, whole: Waves, fresh: Waves) -> Products:
    """Products of a basis whose last columns are fresh, those of the others known."""
    if known is None:
        return pencil.products(fresh)
    side = pencil.products(whole, fresh)
    old, n = known.C.shape[0], whole.shape[2]

    def grown(a: Waves, b: Waves, sign: float = 1.0) -> Waves:
        out = np.empty((n, n), dtype=b.dtype)
        out[:old, :old], out[:, old:] = a, b
        out[old:, :old] = sign * b[:old].conj().T
        return out

    skew = None
    if known.S is not None and side.S is not None:
        skew = grown(known.S, side.S, -1.0)
    return Products(
        grown(known.C, side.C), grown(known.A, side.A), grown(known.M, side.M),
        grown(known.G, side.G), skew, grown(known.area, side.area),
    )  # fmt: skip
