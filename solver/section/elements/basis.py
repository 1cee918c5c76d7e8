"""Hierarchical shape functions on the triangle, order p, and the rule that integrates their
products.

With barycentric coordinates L0, L1, L2 and vertices sorted by global number (so that an edge looks
the same from both sides and no sign logic is needed):

* vertex i: L_i;
* edge (a, b), a < b, degree k = 2..p: the integrated Legendre polynomial of degree k on that edge,
written
  L_a L_b kappa_k(L_b - L_a) so that it vanishes on the other two edges;
* bubbles: L0 L1 L2 P_i(L1 - L0) P_j(2 L2 - 1), i + j <= p - 3, combined so that their energy on the
unit
  triangle is the identity (the raw products reach a condition number of 6e8 at p = 12).

Local order: 3 vertices, p - 1 functions on each of the edges (0,1), (0,2), (1,2), then the bubbles.
After Szabo & Babuska, Finite Element Analysis (Wiley 1991), ch. 6.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.polynomial import legendre
from numpy.typing import NDArray

Array = NDArray[np.float64]

#: Local edges as pairs of local vertices.
EDGES = ((0, 1), (0, 2), (1, 2))


#: xi, eta, weights (q,), values (q, n) and derivatives (q, n, 2) of the shape functions at places
#: of the unit triangle.
Places = tuple[Array, Array, Array, Array, Array]


def local_size(order: int) -> int:
    """Number of shape functions of an element: (p + 1)(p + 2)/2."""
    return (order + 1) * (order + 2) // 2


def shape_functions(
    order: int, xi: Array, eta: Array, *, raw_bubbles: bool = False
) -> tuple[Array, Array]:
    """Values (q, n) and derivatives (q, n, 2) by (xi, eta) at q points; L1 = xi, L2 = eta."""
    q = len(xi)
    bary = np.stack([1 - xi - eta, xi, eta])
    slope = np.array([[-1.0, -1.0], [1.0, 0.0], [0.0, 1.0]])
    value = np.empty((q, local_size(order)))
    grad = np.empty((q, local_size(order), 2))
    value[:, :3] = bary.T
    grad[:, :3] = slope
    n = 3
    starts, ends = np.array(EDGES).T
    kernels, d_kernels = _edge_kernels(order, bary[ends] - bary[starts])
    for (a, b), kernel, d_kernel in zip(EDGES, kernels, d_kernels, strict=True):
        product = bary[a] * bary[b]
        d_product = bary[a][:, None] * slope[b] + bary[b][:, None] * slope[a]
        m = order - 1
        value[:, n : n + m] = product[:, None] * kernel
        grad[:, n : n + m] = kernel[..., None] * d_product[:, None] + (product[:, None] * d_kernel)[
            ..., None
        ] * (slope[b] - slope[a])
        n += m
    if order > 2:
        product = bary.prod(axis=0)
        d_product = (
            (bary[1] * bary[2])[:, None] * slope[0]
            + (bary[0] * bary[2])[:, None] * slope[1]
            + (bary[0] * bary[1])[:, None] * slope[2]
        )
        along = np.stack([bary[1] - bary[0], 2 * bary[2] - 1])
        (f, g), (df, dg) = _legendre(order - 3, along)
        i, j = _bubble_indices(order)
        fg = f[:, i] * g[:, j]
        bubble = product[:, None] * fg
        d_bubble = (
            fg[..., None] * d_product[:, None]
            + (product[:, None] * df[:, i] * g[:, j])[..., None] * (slope[1] - slope[0])
            + (product[:, None] * f[:, i] * dg[:, j])[..., None] * (2 * slope[2])
        )
        combine = np.eye(len(i)) if raw_bubbles else _bubble_combination(order)
        value[:, n:] = bubble @ combine
        grad[:, n:] = np.moveaxis(np.moveaxis(d_bubble, 1, 2) @ combine, 2, 1)
    return value, grad


@lru_cache(maxsize=16)
def _bubble_combination(order: int) -> Array:
    """Combination of the raw bubbles with int grad . grad = identity on the unit triangle.

    One Cholesky pass leaves a defect of the condition number times rounding; a second one removes
    it.
    """
    xi, eta, w = triangle_rule(order + 1)
    grad = shape_functions(order, xi, eta, raw_bubbles=True)[1][:, 3 * order :]
    combine = np.eye(grad.shape[1])
    for _ in range(2):
        combined = np.moveaxis(np.moveaxis(grad, 1, 2) @ combine, 2, 1)
        energy = np.einsum("q,qid,qjd->ij", w, combined, combined, optimize=True)
        combine = combine @ np.linalg.inv(np.linalg.cholesky(energy)).T
    return combine


@lru_cache(maxsize=16)
def _bubble_indices(order: int) -> tuple[NDArray[np.intp], NDArray[np.intp]]:
    pairs = [(i, j) for total in range(order - 2) for i in range(total + 1) for j in [total - i]]
    i, j = zip(*pairs, strict=True)
    return np.array(i), np.array(j)


def _legendre(degree: int, x: Array) -> tuple[Array, Array]:
    """Legendre polynomials 0..degree and derivatives at x (...), each (..., degree + 1)."""
    value: Array = np.asarray(legendre.legvander(x, degree), dtype=np.float64)
    slope = np.zeros_like(value)
    for k in range(1, degree + 1):  # P'_k = x P'_{k-1} + k P_{k-1}
        slope[..., k] = x * slope[..., k - 1] + k * value[..., k - 1]
    return value, slope


def _edge_kernels(order: int, x: Array) -> tuple[Array, Array]:
    """kappa_k(x) = c_k P'_{k-1}(x) for k = 2..p and its derivative; c_k makes the edge function's
    energy one on [-1, 1], since (1 - x^2) P'_{k-1} = -k (k - 1) int P_{k-1}."""
    _, slope = _legendre(order - 1, x)
    curve = np.zeros_like(slope)
    for k in range(1, order):  # P''_k = x P''_{k-1} + (k + 1) P'_{k-1}
        curve[..., k] = x * curve[..., k - 1] + (k + 1) * slope[..., k - 1]
    degree = np.arange(2, order + 1)
    scale = 4 * np.sqrt((2 * degree - 1) / 2) / (degree * (degree - 1))
    return slope[..., 1:] * scale, curve[..., 1:] * scale


@lru_cache(maxsize=64)
def triangle_rule(points: int) -> tuple[Array, Array, Array]:
    """Collapsed Gauss rule with points^2 nodes on the unit triangle: xi, eta, weights (sum 1/2).

    Exact for polynomials of degree 2 points - 2.
    """
    x, w = legendre.leggauss(points)
    u, v = np.meshgrid((x + 1) / 2, (x + 1) / 2, indexing="ij")
    weight = np.outer(w, w) / 4 * (1 - u)
    return ((1 - u) * v).ravel(), u.ravel(), weight.ravel()


@dataclass(frozen=True, slots=True, eq=False)
class ReferenceElement:
    """What a straight element needs, integrated once over the unit triangle.

    Attributes
    ----------
    stiffness : (3, n, n)
        int of dN dN^T: by (xi xi), (xi eta) + (eta xi), (eta eta).
    mass_row : (n,)
        int N.
    first_moments : (3, n, 2)
        int L_i dN for each barycentric coordinate.
    """

    order: int
    stiffness: Array
    mass_row: Array
    first_moments: Array


@lru_cache(maxsize=16)
def reference_element(order: int) -> ReferenceElement:
    """The reference integrals of one order (cached)."""
    xi, eta, w = triangle_rule(order + 1)
    value, grad = shape_functions(order, xi, eta)
    gx, gy = grad[..., 0], grad[..., 1]
    mixed = gx.T @ (w[:, None] * gy)
    stiffness = np.stack([gx.T @ (w[:, None] * gx), mixed + mixed.T, gy.T @ (w[:, None] * gy)])
    bary = np.stack([1 - xi - eta, xi, eta])
    first = np.einsum("iq,q,qnd->ind", bary, w, grad)
    return ReferenceElement(order, stiffness, w @ value, first)


@lru_cache(maxsize=32)
def sampled_basis(order: int, points: int) -> Places:
    """xi, eta, weights, values and gradients at the nodes of `triangle_rule` (cached)."""
    xi, eta, w = triangle_rule(points)
    value, grad = shape_functions(order, xi, eta)
    return xi, eta, w, value, grad


def places_at(order: int, xi: Array, eta: Array) -> Places:
    """The same at given places, which have no weights."""
    return xi, eta, np.zeros(len(xi)), *shape_functions(order, xi, eta)
