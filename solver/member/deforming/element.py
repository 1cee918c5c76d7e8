"""Elements along the member: energy of n functions at order p, inner functions condensed.

A piece that is its own mirror image, seen from either end, couples what moves the section in its
plane with what moves it along the member by rates alone. Motions that the mirror keeps and those
that it turns round then have nothing to do with each other: each half of the element is condensed
by itself, at a quarter of the work.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from ....geometry.errors import SolveError
from .energy import Energy, Piece
from .lobatto import sampled

Array = NDArray[np.float64]

#: Gauss points beyond p + 1 where the matrices change along an element.
EXTRA_POINTS = 3


@dataclass(frozen=True, slots=True, eq=False)
class Inner:
    """Inner functions that are coupled with each other: all of an element, or those of a half.

    Attributes
    ----------
    own : (m,) int
        Their places among the element's inner functions.
    sign : (n,) or None
        A half follows (right end + sign * left end) / 2 alone, one number a function; None where
        the functions follow both ends.
    factor : (m, m) or None
        Cholesky's, in its lower triangle; None where nothing loads the functions, and they follow
        the ends alone: of what an element holds it takes most.
    follow : (m, n) or (m, 2n)
        Coefficients that the ends alone produce.
    """

    own: NDArray[np.intp]
    sign: Array | None
    factor: Array | None
    follow: Array

    def seen(self, ends: Array) -> Array:
        """What the functions follow of the ends (2n, c)."""
        if self.sign is None:
            return ends
        n = len(self.sign)
        return (ends[n:] + self.sign[:, None] * ends[:n]) / 2

    def given(self, force: Array) -> Array:
        """Forces on what is followed, as forces on the ends (2n, ...)."""
        if self.sign is None:
            return force
        return np.concatenate([self.sign[:, None] * force, force]) / 2


@dataclass(frozen=True, slots=True, eq=False)
class Element:
    """One element, ready to be assembled.

    Attributes
    ----------
    stiffness : ((p + 1) n, (p + 1) n) or None
        Shape function by shape function: both ends, then the inner ones; where it was to be kept.
    condensed : (2n, 2n)
        Left of it at the ends.
    inner : tuple of Inner
        All inner functions, in one or two parts.
    """

    stiffness: Array | None
    condensed: Array
    inner: tuple[Inner, ...]

    def carried(self, load: Array) -> Array:
        """Load ((p + 1) n, c) of the element brought to its ends (2n, c)."""
        ends = self.condensed.shape[0]
        found = np.array(load[:ends])
        for part in self.inner:
            found += part.given(part.follow.T @ load[ends:][part.own])
        return found

    def whole(self, ends: Array, load: Array) -> Array:
        """All coefficients ((p + 1) n, c) from those of the ends (2n, c) and the element's load."""
        found = np.zeros_like(load)
        count = len(ends)
        found[:count] = ends
        inner, out = load[count:], found[count:]
        loaded = bool(inner.any())
        for part in self.inner:
            answer = part.follow @ part.seen(ends)
            if loaded:
                assert part.factor is not None  # kept where something loads the functions
                answer += _solved(part.factor, inner[part.own])
            out[part.own] = answer
        return found


def stiffness_of(order: int, length: float, energy: Energy) -> Array:
    """((p + 1) n, (p + 1) n) of matrices (n, n), or (g, n, n) at the Gauss points."""
    points = energy.M.shape[0] if energy.M.ndim == 3 else order + 1
    _, w, value, slope = sampled(order, points)
    weight, slope = w * length / 2, slope * (2 / length)
    n = energy.M.shape[-1]
    size = (order + 1) * n
    # What does not change needs no place of its own for each Gauss point.
    sums = "g,gi,gj->ij" if energy.M.ndim == 2 else "g,gi,gj->ijg"
    tables = [
        np.einsum(sums, weight, a, b).reshape((order + 1) ** 2, -1)
        for a, b in ((slope, slope), (slope, value), (value, slope), (value, value))
    ]
    parts = (energy.M, energy.L, energy.L.swapaxes(-1, -2), energy.C)
    matrices = np.concatenate([matrix.reshape(-1, n * n) for matrix in parts])
    blocks = (np.concatenate(tables, axis=1) @ matrices).reshape(order + 1, order + 1, n, n)
    return np.asarray(blocks.transpose(0, 2, 1, 3).reshape(size, size))


def element_of(order: int, stiffness: Array, *, keep: bool = False, loaded: bool = True) -> Element:
    """Condense the inner functions of an element; `keep` its stiffness, which takes megabytes;
    `loaded` says whether forces act on them."""
    n = len(stiffness) // (order + 1)
    end, own = slice(0, 2 * n), slice(2 * n, None)
    # Symmetric, and with columns first as LAPACK takes it.
    condensed, factor, follow = _condensed(
        stiffness[end, end], stiffness[end, own].T, stiffness[own, own].T
    )
    inner = Inner(np.arange((order - 1) * n), None, factor if loaded else None, follow)
    return Element(stiffness if keep else None, condensed, (inner,))


def mirrored(energy: Energy, planar: NDArray[np.bool_]) -> bool:
    """Whether only rates couple what functions do in the plane with what they do along the
    member."""
    p, a = np.flatnonzero(planar), np.flatnonzero(~planar)
    return not (
        energy.C[np.ix_(p, a)].any()
        or energy.M[np.ix_(p, a)].any()
        or energy.L[np.ix_(p, p)].any()
        or energy.L[np.ix_(a, a)].any()
    )


def mirrored_element(
    order: int, length: float, energy: Energy, planar: NDArray[np.bool_], *, loaded: bool = True
) -> Element:
    """An element of a piece that is its own mirror image (see `mirrored`), by halves: what is even
    in the plane and odd along the member, and the other way round."""
    n = len(planar)
    condensed = np.zeros((2, n, 2, n))
    inner = []
    for even in (True, False):
        sign = np.where(planar == even, 1.0, -1.0)
        *blocks, own = _half(order, length, energy, planar, even=even)
        ends, factor, follow = _condensed(*blocks)
        inner.append(Inner(own, sign, factor if loaded else None, follow))
        ends = ends / 4
        condensed[0, :, 0] += sign[:, None] * ends * sign
        condensed[0, :, 1] += sign[:, None] * ends
        condensed[1, :, 0] += ends * sign
        condensed[1, :, 1] += ends
    return Element(None, condensed.reshape(2 * n, 2 * n), tuple(inner))


def _half(
    order: int, length: float, energy: Energy, planar: NDArray[np.bool_], *, even: bool
) -> tuple[Array, Array, Array, NDArray[np.intp]]:
    """Stiffness of a half: of its n ends (n, n), of inner functions with them (m, n) and among
    themselves (m, m); and the places of these among all inner functions."""
    _, w, value, slope = sampled(order, order + 1)
    weight, n = w * length / 2, len(planar)
    kinds = []
    for own, is_even in ((np.flatnonzero(planar), even), (np.flatnonzero(~planar), not even)):
        mine = np.arange(2 if is_even else 3, order + 1, 2)
        side = 1.0 if is_even else -1.0
        v, s = (np.column_stack([f[:, 1] + side * f[:, 0], f[:, mine]]) for f in (value, slope))
        kinds.append((own, mine, v, s * (2 / length)))
    places = np.concatenate([((mine - 2)[:, None] * n + own).ravel() for own, mine, _, _ in kinds])
    m = len(places)
    ends, beside, inner = np.empty((n, n)), np.empty((m, n)), np.empty((m, m), order="F")
    first = 0
    for one, mine, v, s in kinds:
        start = 0
        height = len(mine) * len(one)
        row = slice(first, first + height)
        for other, theirs, v2, s2 in kinds:
            pair = np.ix_(one, other)
            width = len(theirs) * len(other)
            column = slice(start, start + width)
            if one is other:
                tables, matrices = ((s, s2), (v, v2)), (energy.M[pair], energy.C[pair])
            else:
                tables = ((s, v2), (v, s2))
                matrices = (energy.L[pair], energy.L[np.ix_(other, one)].T)
            # Functions along the member by those of the section, columns first as in `inner`.
            stiff, soft = (
                ((weight[:, None] * g).T @ f)[:, None, :, None] * matrix.T[None, :, None]
                for (f, g), matrix in zip(tables, matrices, strict=True)
            )
            blocks = stiff + soft
            ends[pair] = blocks[0, :, 0].T
            beside[row, other] = blocks[0, :, 1:].reshape(len(other), height).T
            inner[row, column] = blocks[1:, :, 1:].reshape(width, height).T
            start = column.stop
        first = row.stop
    return ends, beside, inner, places


def _condensed(ends: Array, beside: Array, inner: Array) -> tuple[Array, Array, Array]:
    """What is left at the ends, the factor of the inner functions, and how they follow."""
    from scipy.linalg.lapack import dpotrf

    factor, failed = dpotrf(inner, lower=1, clean=0)
    if failed:
        raise SolveError(
            "the energy of an element is not positive: the section's matrices are not those of a "
            "stable material"
        )
    follow = -_solved(factor, beside)
    left = ends + beside.T @ follow
    return (left + left.T) / 2, factor, follow


def _solved(factor: Array, right: Array) -> Array:
    """Answer of what Cholesky's factor stands for: LAPACK itself, see `block_chain`."""
    from scipy.linalg.lapack import dpotrs

    return np.asarray(dpotrs(factor, right, lower=1)[0])


def null_element(order: int, energy: Array, *, keep: bool = False) -> Element:
    """An element without length, whose ends have an energy (2n, 2n) of their own; inner functions
    stand still."""
    inner = (order - 1) * len(energy) // 2
    stiffness = None
    if keep:
        stiffness = np.eye(len(energy) + inner)
        stiffness[: len(energy), : len(energy)] = energy
    return Element(stiffness, energy, ())


def elements_of(
    order: int, nodes: Array, pieces: list[Piece], *, keep: bool = False, loaded: bool = True
) -> list[Element]:
    """One element between neighbouring nodes; those alike are one object. See `element_of`. Nodes
    at one station have an element without length and stiffness between them."""
    made: dict[tuple[int, float], Element] = {}
    found = []
    span = nodes[-1] - nodes[0]
    for a, b in pairwise(nodes):
        if a == b:
            n = pieces[0].energy.M.shape[-1]
            found.append(null_element(order, np.zeros((2 * n, 2 * n)), keep=keep))
            continue
        piece = next(p for p in pieces if p.end > (a + b) / 2)
        if piece.along is not None:
            x = sampled(order, order + 1 + EXTRA_POINTS)[0]
            energy = piece.along(a + (b - a) * (1 + x) / 2)
            stiffness = stiffness_of(order, b - a, energy)
            found.append(element_of(order, stiffness, keep=keep, loaded=loaded))
            continue
        key = (id(piece.energy), round((b - a) / span, 12))
        if key not in made:
            planar = piece.planar
            if keep or planar is None or not mirrored(piece.energy, planar):
                stiffness = stiffness_of(order, b - a, piece.energy)
                made[key] = element_of(order, stiffness, keep=keep, loaded=loaded)
            else:
                made[key] = mirrored_element(order, b - a, piece.energy, planar, loaded=loaded)
        found.append(made[key])
    return found
