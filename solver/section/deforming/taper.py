"""Pieces that taper: one basis for a whole family of sections, matrices that change along z."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from ....geometry.errors import SolveError
from ..mesh.section_mesh import Array
from .elasticity.fields import Fields
from .piece import PieceMatrices, piece_matrices
from .reduced import ReducedSection

#: Degrees of the polynomials in z that the matrices are interpolated by, tried in turn, and the
#: change between two that is good enough, by the largest entry of each matrix: the error falls by a
#: factor with every degree, so that of the doubled degree is about the square of the change.
_DEGREES = (2, 4, 8, 16, 32)
CLOSE = 1e-3


@dataclass(frozen=True, slots=True, eq=False)
class TaperedPiece:
    """A piece whose section changes in proportion to z from `start` (z = 0) to `end` (z = length).

    Attributes
    ----------
    start, end : ReducedSection
        Of prismatic pieces before and after it, in the same basis.
    length : float
    stations : (m,)
        Chebyshev's places in [0, 1] where the matrices were integrated.
    table : (m, 4 n n + 6 n)
        The matrices there, one row a station.
    """

    start: ReducedSection
    end: ReducedSection
    length: float
    stations: Array
    table: Array

    def section(self, z: float) -> ReducedSection:
        """The reduced section at a station, with the strains that the taper brings."""
        share = float(np.clip(z / self.length, 0.0, 1.0))
        n = self.start.size
        row = interpolation(self.stations, share) @ self.table
        c, cross, m, mass = row[: 4 * n * n].reshape(4, n, n)
        body, weight = row[4 * n * n :].reshape(2, n, 3)
        rigid = (1 - share) * self.start.rigid + share * self.end.rigid
        warping = self.start.warping
        if warping is not None and self.end.warping is not None:
            warping = (1 - share) * warping + share * self.end.warping
        return replace(
            self.start,
            C=c, L=cross, M=m, mass=mass, body=body, weight=weight, rigid=rigid, warping=warping,
            fields=_between(self.start, self.end, share, self.length),
        )  # fmt: skip

    def curved(self, radius: float) -> TaperedPiece:
        """The same piece curved in plan; see `ReducedSection.curved`."""
        return tapered_piece(self.start.curved(radius), self.end.curved(radius), self.length)

    def first(self, modes: int) -> TaperedPiece:
        """The same piece with the first slow modes alone."""
        return tapered_piece(self.start.first(modes), self.end.first(modes), self.length)


def tapered_piece(start: ReducedSection, end: ReducedSection, length: float) -> TaperedPiece:
    """The piece between two sections of one family.

    Parameters
    ----------
    start, end : ReducedSection
        Two of `reduction.reduced_sections`.
    length : float

    Raises
    ------
    SolveError
        If the matrices change too abruptly to be interpolated.
    """
    rows: dict[int, Array] = {}
    coarse = fine = _places(_DEGREES[0])
    for degree in _DEGREES:
        coarse, fine = fine, _places(degree)
        # places of one degree are among those of its double: numbered by the finest
        step = _DEGREES[-1] // degree
        for k, share in enumerate(fine):
            if k * step not in rows:
                fields = _between(start, end, float(share), length)
                rows[k * step] = _row(piece_matrices(fields, start.elastic, start.curvature))
        table = np.stack([rows[k * step] for k in range(degree + 1)])
        if degree > _DEGREES[0]:
            guess = np.stack([interpolation(coarse, float(s)) for s in fine]) @ table[::2]
            if _change(guess, table, start.size) < CLOSE:
                return TaperedPiece(start, end, length, fine, table)
    raise SolveError(
        f"a taper of length {length:g} changes its section too abruptly to be followed; "
        "give it more length, or step between the sections"
    )


def _places(degree: int) -> Array:
    """(degree + 1,) Chebyshev's extreme points in [0, 1]."""
    return np.asarray((1 - np.cos(np.pi * np.arange(degree + 1) / degree)) / 2)


def _change(guess: Array, table: Array, n: int) -> float:
    """Largest difference of C, L and M, each by its own largest entry."""
    parts = [slice(k * n * n, (k + 1) * n * n) for k in range(3)]
    return max(float(np.abs(guess - table)[:, p].max() / np.abs(table[:, p]).max()) for p in parts)


def _between(start: ReducedSection, end: ReducedSection, share: float, length: float) -> Fields:
    return replace(start.fields, toward=end.fields, share=share, rate=1 / length)


def _row(m: PieceMatrices) -> Array:
    return np.concatenate([a.ravel() for a in (m.C, m.L, m.M, m.mass, m.body, m.weight)])


def interpolation(stations: Array, share: float) -> Array:
    """(m,) weights of the values at Chebyshev's places in [0, 1], by the second barycentric formula
    (Berrut & Trefethen, SIAM Rev. 46 (2004) 501)."""
    apart = share - stations
    hit = np.flatnonzero(np.abs(apart) < 1e-14)
    if hit.size:
        return np.asarray(np.eye(len(stations))[hit[0]])
    weight = np.where(np.arange(len(stations)) % 2 == 0, 1.0, -1.0)
    weight[[0, -1]] /= 2
    terms = weight / apart
    return np.asarray(terms / terms.sum())
