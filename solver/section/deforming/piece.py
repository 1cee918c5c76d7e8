"""The three matrices of a basis on any piece of a member: straight, curved in plan, tapered."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from ..elements.basis import sampled_basis
from ..elements.integrals import CURVED_EXTRA
from ..mesh.section_mesh import Array, Ints
from .elasticity.elastic import Elastic
from .elasticity.fields import Fields
from .elasticity.triangle import pair_integrals, triangle_matrices, without_motion

#: Numbers held at once while the triangles' matrices are made.
_CHUNK = 3_000_000


@dataclass(frozen=True, slots=True, eq=False)
class PieceMatrices:
    """Energy per length of the axis 1/2 a'^T M a' + a'^T L a + 1/2 a^T C a, and what goes with it.

    Attributes
    ----------
    C, L, M : (n, n)
    mass : (n, n)
        int density u . u; zero where a density is missing.
    body : (n, 3)
        int u: what a unit force per volume along x, y, z works.
    weight : (n, 3)
        int density u; zero where a density is missing.
    """

    C: Array
    L: Array
    M: Array
    mass: Array
    body: Array
    weight: Array


def piece_matrices(fields: Fields, elastic: Elastic, curvature: float = 0.0) -> PieceMatrices:
    """Integrate a basis over a piece; see `strain` for the curvature.

    What columns do in the section's plane and along the member meets in few of the blocks of the
    triangles' matrices; the others are left out.
    """
    n, functions = fields.coefficients.shape[2], fields.numbers.shape[1]
    moved = np.abs(fields.coefficients).max(axis=0) > 0
    across, ahead = np.flatnonzero(moved[:2].any(axis=0)), np.flatnonzero(moved[2])
    in_plane, axial = fields.coefficients[:, :2, across], fields.coefficients[:, 2, ahead]
    c, cross, m, mass = (_Sums.of(n, across, ahead) for _ in range(4))
    body, weight = np.zeros((2, n, 3))
    prismatic = fields.toward is None and not curvature
    # Of the triangles' components (see `triangle_matrices`): those of in-plane columns, where a
    # straight prism strains by the first two alone; the axial one; and those of the forces.
    four = slice(0, (2 if prismatic else 4) * functions)
    five = slice(4 * functions, 5 * functions)
    two, three = slice(0, 2 * functions), slice(2 * functions, 3 * functions)
    for rough in (False, True):
        own = np.flatnonzero(fields.curved == rough)
        extra = CURVED_EXTRA if rough else 1 if prismatic else 2
        places = sampled_basis(fields.order, fields.order + extra)
        held = 40 * functions**2 + 4 * len(places[0]) * functions + 8 * functions * n
        step = max(1, _CHUNK // held)
        for first in range(0, len(own), step):
            some = own[first : first + step]
            laws, numbers = elastic.of(some), fields.numbers[some]
            pairs, load = pair_integrals(fields, some, places, curvature)
            still, mixed, along = triangle_matrices(laws, pairs, curvature)
            u, w = in_plane[numbers].transpose(0, 2, 1, 3), axial[numbers]
            strained = without_motion(u, fields.lines[numbers])
            if not prismatic:
                strained = np.concatenate([strained, u], axis=1)
            strained = strained.reshape(len(some), -1, len(across))
            plane = u.reshape(len(some), -1, len(across))
            c.across[:] += _paired(strained, still[:, four, four] @ strained)
            c.ahead[:] += _paired(w, still[:, five, five] @ w)
            cross.both[:] += _paired(plane, mixed[:, two, five] @ w)
            cross.back[:] += _paired(w, mixed[:, three, four] @ strained)
            if fields.toward is not None:
                c.both[:] += _paired(strained, still[:, four, five] @ w)
                cross.across[:] += _paired(plane, mixed[:, two, four] @ strained)
                cross.ahead[:] += _paired(w, mixed[:, three, five] @ w)
            m.across[:] += _paired(plane, _twice(along[0], u))
            m.ahead[:] += _paired(w, along[2] @ w)
            _work(body, laws.solid.astype(float), load, u, w, across, ahead)
            if laws.density is not None:
                _work(weight, laws.density, load, u, w, across, ahead)
                heavy = laws.density[:, None, None] * pairs["NN"]
                mass.across[:] += _paired(plane, _twice(heavy, u))
                mass.ahead[:] += _paired(w, heavy @ w)
    c.back[:] += c.both.T
    stiff, soft, heavy = (one.whole() for one in (c, m, mass))
    return PieceMatrices(
        (stiff + stiff.T) / 2, cross.whole(), (soft + soft.T) / 2, (heavy + heavy.T) / 2,
        body, weight,
    )  # fmt: skip


@dataclass(frozen=True, slots=True, eq=False)
class _Sums:
    """A matrix of n columns by what they do: in the plane, along the member, or both (which then
    count in either)."""

    size: int
    rows: Ints
    columns: Ints
    across: Array
    both: Array
    back: Array
    ahead: Array

    @classmethod
    def of(cls, size: int, rows: Ints, columns: Ints) -> _Sums:
        a, b = len(rows), len(columns)
        blocks = (np.zeros(shape) for shape in ((a, a), (a, b), (b, a), (b, b)))
        return cls(size, rows, columns, *blocks)

    def whole(self) -> Array:
        out = np.zeros((self.size, self.size))
        out[np.ix_(self.rows, self.rows)] += self.across
        out[np.ix_(self.rows, self.columns)] += self.both
        out[np.ix_(self.columns, self.rows)] += self.back
        out[np.ix_(self.columns, self.columns)] += self.ahead
        return out


def _paired(a: Array, b: Array) -> Array:
    """(i, j) sum of fields (t, r, i) times forces (t, r, j)."""
    return np.asarray(a.reshape(-1, a.shape[2]).T @ b.reshape(-1, b.shape[2]))


def _twice(blocks: Array, u: Array) -> Array:
    """Blocks (t, f, f) on both in-plane components of (t, 2, f, k), as (t, 2 f, k)."""
    return np.asarray(blocks[:, None] @ u).reshape(len(u), -1, u.shape[3])


def _work(
    out: Array, heavy: Array, load: Array, u: Array, w: Array, across: Ints, ahead: Ints
) -> None:
    """Add the work (n, 3) of unit forces per volume, by the weights (t,) of the triangles."""
    load = heavy[:, None] * load
    out[across, :2] += np.tensordot(load, u, axes=([0, 1], [0, 2])).T
    out[ahead, 2] += np.tensordot(load, w, axes=([0, 1], [0, 1]))
