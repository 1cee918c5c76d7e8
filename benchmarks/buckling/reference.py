"""A half-wave in 3D by a general finite-element library: quadratic hexahedra of scikit-fem.

Mesh, shape functions, quadrature and assembly are the library's, the eigenvalues ARPACK's. The
member is half a half-wave long: held in the plane at z = 0, free along the member there; at the
other end the plane of symmetry holds u_z. Of the eigenvalues the lowest whose mode is one half-wave
counts, told by its part in sin(pi z / 2 L).
"""

from __future__ import annotations

from itertools import pairwise

import numpy as np
from scipy.sparse.linalg import LinearOperator, eigsh, splu
from skfem import Basis, BilinearForm, ElementHex2, ElementVector, MeshHex
from skfem.helpers import ddot, eye, sym_grad, trace

from .cases import STEEL, Case

#: Eigenvalues sought, and least part of a half-wave's shape in its mode.
_SOUGHT, _OWN = 12, 0.9


def reference(
    case: Case, half_wavelength: float, across: int, along: int, through: int = 1
) -> tuple[float, int]:
    """Critical factor on the case's strains, and the number of unknowns.

    Parameters
    ----------
    across : int
        Elements along the longest plate; shorter ones in proportion.
    along : int
        Elements along half a half-wave.
    through : int
        Elements through a wall, and so across where walls meet.
    """
    length = half_wavelength / 2
    basis = Basis(
        _mesh(case, across, length, along, through), ElementVector(ElementHex2()), intorder=5
    )
    modulus, nu = STEEL.elastic_modulus, STEEL.poisson_ratio
    mu, lam = modulus / (2 * (1 + nu)), modulus * nu / ((1 + nu) * (1 - 2 * nu))
    mean, by_x, by_y = case.strain

    @BilinearForm
    def stiffness(u, v, _):
        e = sym_grad(u)
        return ddot(2 * mu * e + lam * eye(trace(e), 3), sym_grad(v))

    @BilinearForm
    def pulled(u, v, w):
        stress = modulus * (mean + by_x * w.x[0] + by_y * w.x[1])
        return -stress * sum(u.grad[i][2] * v.grad[i][2] for i in range(3))

    places = basis.doflocs
    component = _components(places)
    start, end = np.abs(places[2]) < 1e-9, np.abs(places[2] - length) < 1e-9
    free = np.flatnonzero(~((start & (component < 2)) | (end & (component == 2))))
    k = stiffness.assemble(basis).tocsc()[free][:, free]
    g = pulled.assemble(basis).tocsc()[free][:, free]
    factor = splu(
        k, permc_spec="MMD_AT_PLUS_A", diag_pivot_thresh=0.0, options={"SymmetricMode": True}
    )
    inverse = LinearOperator(k.shape, factor.solve, dtype=float)
    mu_of, modes = eigsh(g, _SOUGHT, M=k, Minv=inverse, which="LA", tol=1e-8)
    order = np.argsort(-mu_of)
    plane = component[free] < 2
    z = places[2, free][plane]
    wave = np.sin(np.pi * z / half_wavelength)
    groups = _lines(places[:, free][:, plane], component[free][plane])
    for n in order:
        if _part(modes[plane, n], wave, groups) > _OWN:
            return float(1 / mu_of[n]), len(free)
    raise ValueError(f"{case.name}: no mode of one half-wave at {half_wavelength}")


def _part(mode: np.ndarray, wave: np.ndarray, groups: np.ndarray) -> float:
    """How much of a mode follows the wave, line of nodes by line of nodes."""
    count = groups.max() + 1
    along = np.bincount(groups, mode * wave, count) / np.bincount(groups, wave**2, count)
    fitted = along[groups] * wave
    return float((fitted @ fitted) / (mode @ mode))


def _lines(places: np.ndarray, component: np.ndarray) -> np.ndarray:
    """Number of the line along z that each freedom lies on."""
    keys = np.round(np.vstack([places[:2], component]), 6)
    return np.unique(keys, axis=1, return_inverse=True)[1].ravel()


def _mesh(case: Case, across: int, length: float, along: int, through: int) -> MeshHex:
    plates = np.array(case.plates)
    thin = min(np.min(plates[:, 2] - plates[:, 0]), np.min(plates[:, 3] - plates[:, 1]))
    longest = max(np.max(plates[:, 2] - plates[:, 0]), np.max(plates[:, 3] - plates[:, 1]))
    lines = []
    for axis in (0, 1):
        sides = sorted({float(s) for p in case.plates for s in (p[axis], p[axis + 2])})
        parts = [
            np.linspace(a, b, 1 + max(1, round(across * (b - a) / longest)))[:-1]
            if b - a > 4 * thin
            else np.linspace(a, b, through + 1)[:-1]
            for a, b in pairwise(sides)
        ]
        lines.append(np.concatenate([*parts, sides[-1:]]))
    mesh = MeshHex.init_tensor(*lines, np.linspace(0, length, along + 1))
    x, y, _ = mesh.p[:, mesh.t].mean(axis=1)
    full = np.zeros(mesh.nelements, bool)
    for x0, y0, x1, y1 in case.plates:
        full |= (x0 < x) & (x < x1) & (y0 < y) & (y < y1)
    return mesh.remove_elements(np.flatnonzero(~full))


def _components(places: np.ndarray) -> np.ndarray:
    """0, 1 or 2 of each freedom: the library numbers a node's three one after the other."""
    order = np.lexsort((np.arange(places.shape[1]), *np.round(places, 6)))
    component = np.empty(places.shape[1], int)
    component[order] = np.tile(np.arange(3), places.shape[1] // 3)
    return component
