"""The operator whose largest eigenvalues are the slow modes (see `slow`)."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from ..mesh.section_mesh import Array
from .chains import Chains
from .elasticity.condensed import CondensedSystem, condensed_system
from .elasticity.matrices import SectionMatrices


@dataclass(frozen=True, slots=True, eq=False)
class WaveOperator:
    """x -> (K + k^2 B)^-1 B x on the complement of the eigenvalue 0, vectors (3 count, c) of U and
    V = k W."""

    matrices: SectionMatrices
    k: float
    system: CondensedSystem
    right: Array
    left: Array
    corrections: int = 0

    @classmethod
    def at(cls, matrices: SectionMatrices, chains: Chains, k: float) -> WaveOperator:
        """The operator at wave number k, its system factored."""
        system = condensed_system(
            matrices.numbers, matrices.count, matrices.outer, matrices.wave(k)
        )
        right = chains.right_vectors()
        right[:, 2] *= k
        u, w = chains.left_vectors()
        # B^T y = (M_u u, A^T u + M_z w), against vectors whose last part is k W
        left = np.concatenate([matrices.soft(u), matrices.along(u, w)[:, None] / k], axis=1)
        size = 3 * matrices.count
        right, left = right.reshape(size, -1), left.reshape(size, -1)
        right = right / np.linalg.norm(right, axis=0)
        return cls(matrices, k, system, right, left @ np.linalg.inv(right.T @ left))

    def __call__(self, x: Array) -> Array:
        whole = x.reshape(self.matrices.count, 3, -1)
        load, last = self.matrices.pushed(whole[:, :2], whole[:, 2] / self.k)
        rhs = np.concatenate([load, self.k * last[:, None]], axis=1)
        found = self.system.solve(rhs)
        for _ in range(self.corrections):  # thin walls: digits that the factors lose
            found = found + self.system.solve(rhs - self._wave(found))
        return self.without_zero(found.reshape(x.shape))

    def _wave(self, x: Array) -> Array:
        """(K + k^2 B) x in the symmetric form of `SectionMatrices.wave`, with the C_u that is free
        of the rounding of rigid motion."""
        m, k = self.matrices, self.k
        u, v = x[:, :2], x[:, 2]
        pushed = m.pushed(np.zeros_like(u), v)[0]  # A V
        in_plane = m.stiff(u) + k * k * m.soft(u) + k * pushed
        local = m.C_z @ m.gathered(v[:, None])
        axial = m.summed(local)[:, 0] + k * m.along(u, k * v)
        return np.concatenate([in_plane, axial[:, None]], axis=1)

    def without_zero(self, x: Array) -> Array:
        """x without its part in the eigenvalue 0."""
        return np.asarray(x - self.right @ (self.left.T @ x))
