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

from ....geometry.errors import SolveError
from ..deforming.elasticity.condensed import CondensedSystem, condensed_system
from ..deforming.elasticity.matrices import SectionMatrices
from ..deforming.elasticity.triangle import without_motion
from ..mesh.section_mesh import Array
from .prestress import Prestress

#: Real without shear, else complex.
Waves = NDArray[Any]

#: Branches followed, without shear and with it.
FOLLOWED = (6, 4)
#: Vectors that are added to the first block at random, so that no mode stays unseen.
_RANDOM = 2
#: Largest number of steps; relative change of the factors from step to step that ends them.
_STEPS, _SETTLED = 24, 1e-6
#: Such a change that is left after all steps, from which nothing is known; modes that need not have
#: settled.
_POOR, _UNSURE = 1e-3, 2
#: Eigenvalues below this part of the largest are no buckling: rounding, or tension alone.
_NOTHING = 1e-12
#: Directions of less energy, by the largest, that a basis holds twice.
_TWICE = 1e-13


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
        return _lowest(self.elastic(k), -self.second_order(k), wanted)


@dataclass(frozen=True, slots=True, eq=False)
class WavePencil:
    """K and H of a section under a stress.

    Attributes
    ----------
    matrices : SectionMatrices
    stress : Prestress
    held : (border, 3) bool, optional
        Components of vertex and edge functions that supports along the whole member hold.
    """

    matrices: SectionMatrices
    stress: Prestress
    held: NDArray[np.bool_] | None = None

    @property
    def oblique(self) -> bool:
        """Whether shear makes the waves complex."""
        return self.stress.shear is not None

    @property
    def followed(self) -> int:
        """Branches followed along a curve; complex waves cost four times as much."""
        return FOLLOWED[self.oblique]

    def factored(self, k: float) -> CondensedSystem:
        """K(k), factored."""
        m = self.matrices
        return condensed_system(m.numbers, m.count, m.outer, m.wave(k), self.held)

    def pulled(self, k: float, x: Waves) -> Waves:
        """H x for x (count, 3, c)."""
        m, n = self.matrices, self.matrices.product.shape[1]
        local = m.gathered(x)
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

    def alike(self, x: Waves, y: Waves) -> Waves:
        """int x . y of waves (count, 3, a) and (count, 3, b)."""
        m = self.matrices
        local = m.gathered(y)
        t, _, c = local.shape
        weighted = _summed(m, (m.product[:, None] @ local.reshape(t, 3, -1, c)).reshape(t, -1, c))
        return np.asarray(x.reshape(-1, x.shape[2]).conj().T @ weighted.reshape(-1, y.shape[2]))

    def products(self, x: Waves) -> Products:
        """The matrices of waves."""
        one = self._local(x)
        m, s = self.matrices, self.stress
        u, v, w, z = one.u, one.u, one.w, one.w
        c = _pair(one.strained, m.C_u @ one.strained) + _pair(w, m.C_z @ z)
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
            The last `_UNSURE` of them may not have settled.
        start : (count, 3, c), optional
            Waves near the wanted ones.

        Raises
        ------
        SolveError
            The iteration does not settle.
        """
        m, system = self.matrices, self.factored(k)
        size = 3 * m.count
        random = np.random.default_rng(5).standard_normal((m.count, 3, _RANDOM + wanted // 2))
        block = random.astype(complex) if self.oblique else random
        if start is not None:
            block = np.concatenate([start / np.linalg.norm(start, axis=(0, 1)), block], axis=2)
        block = self.solved(system, block if start is None else self.pulled(k, block))
        basis = np.linalg.qr(block.reshape(size, -1))[0]
        last, factors, c = basis, np.zeros(0), np.zeros((0, 0))
        stiff = pull = np.zeros((0, 0))
        sure, change = max(wanted - _UNSURE, 1), np.inf
        for step in range(_STEPS):
            fresh = last.reshape(m.count, 3, -1)
            pulled = self.pulled(k, fresh)
            stiff = _grown(stiff, basis.conj().T @ self.stiff(k, fresh).reshape(size, -1))
            pull = _grown(pull, -basis.conj().T @ pulled.reshape(size, -1))
            before = factors
            factors, c = _lowest(stiff, pull, wanted)
            if step and len(before) == len(factors):
                change = float(np.abs(before[:sure] / factors[:sure] - 1).max(initial=0.0))
                if change < _SETTLED:
                    break
            if basis.shape[1] + last.shape[1] > size or step == _STEPS - 1:
                break
            new = self.solved(system, pulled).reshape(size, -1)
            new = new / np.linalg.norm(new, axis=0)
            for _ in range(2):
                new = new - basis @ (basis.conj().T @ new)
            last = np.linalg.qr(new)[0]
            basis = np.concatenate([basis, last], axis=1)
        if change > _POOR and basis.shape[1] + last.shape[1] <= size:
            raise SolveError(
                f"the buckling modes at a half-wavelength of {np.pi / k:.4g} lie too close "
                "together to be told apart; leave such half-wavelengths out of the range"
            )
        waves = (basis @ c).reshape(m.count, 3, -1)
        return factors, waves, system

    def _local(self, x: Waves) -> _Local:
        m, n = self.matrices, self.matrices.product.shape[1]
        local = m.gathered(x)
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


def _grown(known: Waves, side: Waves) -> Waves:
    """A Hermitian matrix and the columns that make it larger."""
    old, n = len(known), len(side)
    out = np.empty((n, n), dtype=side.dtype)
    out[:old, :old], out[:, old:] = known, side
    out[old:, :old] = side[:old].conj().T
    return out


def _lowest(stiff: Waves, pull: Waves, wanted: int) -> tuple[Array, Waves]:
    """The largest mu of pull x = mu stiff x as factors 1 / mu, and x with x stiff x = 1."""
    from scipy.linalg import eigh

    scale = 1 / np.sqrt(np.abs(np.diag(stiff).real))
    stiff = stiff * scale * scale[:, None]
    pull = pull * scale * scale[:, None]
    value, vectors = np.linalg.eigh((stiff + stiff.conj().T) / 2)
    kept = value > _TWICE * value[-1]
    turn = vectors[:, kept] / np.sqrt(value[kept])
    n = int(kept.sum())
    inner = turn.conj().T @ pull @ turn
    first = max(0, n - wanted)
    mu, y = eigh((inner + inner.conj().T) / 2, subset_by_index=[first, n - 1])
    mu, y = mu[::-1], y[:, ::-1]
    real = mu > _NOTHING * np.abs(mu).max(initial=0.0)
    return 1 / mu[real], scale[:, None] * (turn @ y[:, real])
