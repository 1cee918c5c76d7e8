"""The slow modes of a section: deformations that travel along the member before they die out.

psi exp(lambda z) is a solution when (lambda^2 M + lambda (L - L^T) - C) psi = 0. With
u_z = lambda W this is linear in mu = lambda^2,

    [C_u, 0; A^T, C_z] (U, W) = mu [M_u, A; 0, M_z] (U, W),        K x = mu B x,

so that the pair +-lambda is one eigenvalue and the size is not doubled. At mu = -k^2 the matrix
K - mu B is, with V = k W and its second rows times k, the energy of a wave of length 2 pi / k:
symmetric and positive definite. One L D L^T of it serves a block Arnoldi iteration of
(K + k^2 B)^-1 B, whose largest eigenvalues theta = 1 / (mu + k^2) are the slow modes. The
eigenvalue 0 (six times in mu: rigid motions and Saint-Venant's solutions) is removed by its own
right and left vectors.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from ....geometry.errors import SolveError
from ..mesh.section_mesh import Array, Ints
from .chains import Chains
from .elasticity.matrices import SectionMatrices
from .wave_operator import WaveOperator

Complex = NDArray[np.complex128]

#: Vectors a block: a section whose symmetry makes pairs of equal rates shows both.
BLOCK = 3
#: Residual of a converged pair, relative to its eigenvalue.
CONVERGED = 1e-9
#: Corrections of every solution by its residual, tried in turn.
_CORRECTIONS = (0, 1, 3)
#: Change of an eigenvalue by its Rayleigh quotient, relative, from which solutions are
#: corrected once more.
_SETTLED = 1e-6
#: Such a change, after the last, from which nothing is left to trust.
_LOST = 3e-2
#: Least real part of a rate, by its size: slower decay with waves there is in no elastic bar.
_DECAYING = 1e-3
_TOO_THIN = (
    "the slow modes of the section cannot be told from rounding; its walls are too thin beside its "
    "size for a section that deforms"
)
#: Unknowns up to which all eigenvalues are found at once.
_FEW = 400
#: Imaginary part below which a number is real, by its size.
_REAL = 1e-7
#: Largest basis of the iteration, in vectors for each mode asked.
_MOST = 12


@dataclass(frozen=True, slots=True, eq=False)
class SlowModes:
    """Modes by decay, the slowest first.

    Attributes
    ----------
    rate : (m,) complex
        lambda with positive real part, one for each mu; of conjugates the one with positive
        imaginary part.
    in_plane : (count, 2, m) complex
    axial : (count, m) complex
        u_z = lambda W.
    complete : float
        Every mode with |lambda| below this is among them.
    residual : float
        Largest relative residual of the iteration.
    """

    rate: Complex
    in_plane: Complex
    axial: Complex
    complete: float
    residual: float


def slow_modes(matrices: SectionMatrices, chains: Chains, size: float, wanted: int) -> SlowModes:
    """The modes of smallest |lambda|.

    Parameters
    ----------
    size : float
        A length of the section: the iteration works best for rates about its inverse.
    wanted : int
        Least number of modes (conjugate pairs count once).

    Raises
    ------
    SolveError
        If the iteration does not converge.
    """
    k = 1.0 / size
    operator = WaveOperator.at(matrices, chains, k)
    for corrections in _CORRECTIONS:
        operator = replace(operator, corrections=corrections)
        if 3 * matrices.count <= _FEW:
            theta, x, residual = _all_of(operator, wanted)
        else:
            theta, x, residual = _iterated(operator, wanted)
        modes = _accepted(theta, residual, k, wanted)
        if modes is None:
            continue
        chosen, complete = modes
        x = x[:, chosen]
        first = 1 / theta[chosen] - k * k
        mu = _quotients(matrices, x, first, k)
        if (np.abs(mu - first) < _SETTLED * np.abs(mu)).all():
            break
    if modes is None or (np.abs(mu - first) > _LOST * np.abs(mu)).any():
        raise SolveError(_TOO_THIN)
    return _collected(x, mu, k, matrices.count, complete, residual[chosen].max())


def _all_of(operator: WaveOperator, wanted: int) -> tuple[Complex, Complex, Array]:
    """The eigenvalues of a small problem by a dense one, their vectors, and residuals: none, but
    for those beyond what is wanted."""
    theta, vectors = np.linalg.eig(operator(np.eye(3 * operator.matrices.count)))
    rank = np.argsort(np.argsort(-np.abs(theta)))
    return theta, vectors, np.where(rank < 2 * wanted + BLOCK, 0.0, np.inf)


def _iterated(operator: WaveOperator, wanted: int) -> tuple[Complex, Complex, Array]:
    """The same by block Arnoldi, stopped when enough of the largest have converged."""
    generator = np.random.default_rng(7)
    size = 3 * operator.matrices.count
    block = operator.without_zero(generator.standard_normal((size, BLOCK)))
    basis, _ = np.linalg.qr(block)
    table = np.zeros((0, 0))
    most = max(150, _MOST * wanted)
    check = max(4 * BLOCK, 2 * wanted)
    while True:
        new = operator(basis[:, -BLOCK:])
        first = basis.T @ new
        new -= basis @ first
        second = basis.T @ new
        new -= basis @ second
        fresh, tail = np.linalg.qr(new)
        m = basis.shape[1]
        bigger = np.zeros((m, m))
        bigger[: len(table), : table.shape[1]] = table[:m]
        bigger[:, -BLOCK:] = first + second
        if m >= check or m > most:
            theta, vectors = np.linalg.eig(bigger)
            residual = np.linalg.norm(tail @ vectors[-BLOCK:], axis=0) / np.abs(theta)
            if m > most or _accepted(theta, residual, operator.k, wanted) is not None:
                return theta, basis @ vectors, residual
            check = m + max(BLOCK, m // 5)
        table = np.vstack([bigger, np.zeros((BLOCK, m))])
        table[m:, -BLOCK:] = tail
        basis = np.concatenate([basis, fresh], axis=1)


def _accepted(theta: Complex, residual: Array, k: float, wanted: int) -> tuple[Ints, float] | None:
    """The converged eigenvalues up to the first that is not, if enough; and how far they are
    complete."""
    order = np.argsort(-np.abs(theta))
    good = residual[order] < CONVERGED
    first_bad = int(np.argmin(good)) if not good.all() else len(order)
    some = order[:first_bad]
    # one of each conjugate pair; both of a pair of equal real ones, which rounding splits
    some = some[theta[some].imag <= _REAL * np.abs(theta[some])]
    if len(some) < wanted or first_bad == len(order):
        return None
    radius = 1 / np.abs(theta[order[first_bad]])
    if radius <= k * k:
        return None
    # mu = -k^2 + 1/theta: all within that radius of -k^2 are known
    return some, float(np.sqrt(radius - k * k))


def _quotients(matrices: SectionMatrices, x: Complex, mu: Complex, k: float) -> Complex:
    """mu by two-sided Rayleigh quotients y K x / y B x: the left vector is (U, -mu W), so both
    errors multiply, and C_u enters without the rounding of rigid motion.

    y K x - mu y B x = U C_u U - 2 mu U A W - mu W C_z W - mu U M_u U + mu^2 W M_z W: its root near
    mu by one step of Newton's method.
    """
    whole = x.reshape(matrices.count, 3, -1)
    parts = np.concatenate([whole.real, whole.imag], axis=2)
    half = whole.shape[2]

    def joined(a: Array) -> Complex:
        return np.asarray(a[..., :half] + 1j * a[..., half:])

    u, w = parts[:, :2], parts[:, 2] / k
    both_u, both_w = joined(u), joined(w)
    stiff = (both_u * joined(matrices.stiff(u))).sum(axis=(0, 1))
    soft = (both_u * joined(matrices.soft(u))).sum(axis=(0, 1))
    wall = (both_w * joined(matrices.along(np.zeros_like(u), w))).sum(axis=0)
    mixed = (both_w * joined(matrices.along(u, np.zeros_like(w)))).sum(axis=0)
    local = matrices.summed(matrices.C_z @ matrices.gathered(w[:, None]))[:, 0]
    shear = (both_w * joined(local)).sum(axis=0)
    linear = 2 * mixed + shear + soft
    value = stiff - mu * linear + mu**2 * wall
    return np.asarray(mu - value / (2 * mu * wall - linear))


def _collected(
    x: Complex, mu: Complex, k: float, count: int, complete: float, residual: float
) -> SlowModes:
    rate = np.sqrt(mu.astype(complex))
    rate = np.where(rate.real < 0, -rate, rate)
    if (rate.real < _DECAYING * np.abs(rate)).any():
        # a wave that never dies out would carry energy without a force: rounding has won
        raise SolveError(_TOO_THIN)
    order = np.argsort(np.abs(rate))
    x, rate = x[:, order], rate[order]
    # V = k W and u_z = lambda W
    whole = x.reshape(count, 3, -1)
    in_plane, axial = whole[:, :2], whole[:, 2] * rate / k
    scale = np.sqrt((np.abs(in_plane) ** 2).sum(axis=(0, 1)) + (np.abs(axial) ** 2).sum(axis=0))
    return SlowModes(rate, in_plane / scale, axial / scale, complete, float(residual))
