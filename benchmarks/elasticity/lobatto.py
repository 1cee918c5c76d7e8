"""Gauss-Lobatto nodes, Lagrange polynomials through them, and the stiffness of a hexahedron."""

from __future__ import annotations

from functools import cache

import numpy as np
from numpy.polynomial import legendre
from numpy.typing import NDArray

Array = NDArray[np.float64]


@cache
def nodes(order: int) -> Array:
    """Ends of [-1, 1] and the roots of P'_order."""
    inner = legendre.Legendre.basis(order).deriv().roots().real
    return np.concatenate([[-1.0], np.sort(inner), [1.0]])


def lagrange(order: int, at: Array) -> tuple[Array, Array]:
    """Values and slopes, each (len(at), order + 1), of the polynomials through the nodes."""
    inverse = np.linalg.inv(legendre.legvander(nodes(order), order))
    slopes = legendre.legder(np.eye(order + 1), axis=0)
    values = legendre.legvander(at, order) @ inverse
    return values, legendre.legvander(at, order - 1) @ slopes @ inverse


@cache
def rule(order: int) -> tuple[Array, Array]:
    """Gauss's points and weights, exact for products of two polynomials of the order."""
    points, weights = legendre.leggauss(order + 1)
    return points, weights


def gradients(orders: tuple[int, int, int], at: tuple[Array, Array, Array]) -> Array:
    """d N / d (xi, eta, zeta) at the tensor grid of `at`, as (points, nodes, 3).

    Orders and places are given along x, y, z; nodes and points are numbered with z slowest, x
    fastest.
    """
    pairs = [lagrange(p, t) for p, t in zip(orders, at, strict=True)]
    parts = []
    for axis in range(3):
        fx, fy, fz = (pair[1] if k == axis else pair[0] for k, pair in enumerate(pairs))
        parts.append(np.einsum("cn,bm,al->cbanml", fz, fy, fx))
    shape = (np.prod([len(t) for t in at]), np.prod([p + 1 for p in orders]))
    return np.stack([part.reshape(shape) for part in parts], axis=-1)


@cache
def _gauss(orders: tuple[int, int, int]) -> tuple[Array, Array]:
    points, weights = zip(*(rule(p) for p in orders), strict=True)
    weight = np.einsum("c,b,a->cba", weights[2], weights[1], weights[0]).ravel()
    return gradients(orders, tuple(points)), weight  # type: ignore[arg-type]


def elasticity(modulus: float, poisson: float) -> Array:
    """Hooke's law of xx, yy, zz, yz, xz, xy (engineering shears)."""
    shear = modulus / (2 * (1 + poisson))
    lame = 2 * shear * poisson / (1 - 2 * poisson)
    law = np.zeros((6, 6))
    law[:3, :3] = lame
    law[np.arange(3), np.arange(3)] += 2 * shear
    law[np.arange(3, 6), np.arange(3, 6)] = shear
    return law


def strain(gradient: Array) -> Array:
    """Strains of each node's displacement: (points, nodes, 3) to (points, 6, 3 nodes)."""
    points, count, _ = gradient.shape
    out = np.zeros((points, 6, count, 3))
    for i in range(3):
        out[:, i, :, i] = gradient[:, :, i]
    for row, (i, j) in zip((3, 4, 5), ((1, 2), (0, 2), (0, 1)), strict=True):
        out[:, row, :, i] = gradient[:, :, j]
        out[:, row, :, j] = gradient[:, :, i]
    return out.reshape(points, 6, 3 * count)


def physical(reference: Array, places: Array) -> tuple[Array, Array]:
    """Gradients in space and det J of an element whose nodes stand at `places` (nodes, 3)."""
    jacobian = np.einsum("qni,nd->qid", reference, places)
    return reference @ np.linalg.inv(jacobian).transpose(0, 2, 1), np.linalg.det(jacobian)


def stiffness(orders: tuple[int, int, int], places: Array, frames: Array, law: Array) -> Array:
    """Stiffness (3 nodes, 3 nodes) of a hexahedron for displacements in each node's own frame.

    Parameters
    ----------
    places : (nodes, 3) positions.
    frames : (nodes, 3, 3), rows are the axes in which that node's displacement is expressed.
    law : (6, 6) Hooke's law.
    """
    reference, weight = _gauss(orders)
    gradient, volume = physical(reference, places)
    if np.any(volume <= 0):
        raise ValueError("an element is turned inside out")
    strains = strain(gradient)
    root = np.linalg.cholesky(law).T
    scaled = np.sqrt(weight * volume)[:, None, None] * (root @ strains)
    flat = scaled.reshape(-1, strains.shape[-1])
    return turn(flat.T @ flat, frames)


def turn(matrix: Array, frames: Array) -> Array:
    """The matrix for displacements along each node's own axes instead of the fixed ones."""
    count = len(frames)
    blocks = matrix.reshape(count, 3, count, 3)
    turned = np.einsum("nai,nimj->namj", frames, blocks)
    return np.einsum("namj,mbj->namb", turned, frames).reshape(3 * count, 3 * count)
