"""Second-order terms: what internal forces, and loads off the axis, add when the member moves.

With small rotation vector theta and strains gamma, chi of the first order, the work of the forces F
and moments M (about the axis point) through the second-order parts of the strains of a rod, the
stretching of fibres by twist (Wagner), and the second-order movement of the points where dead loads
act, is (e along z, r from the axis point)

    V = int [ -F . (theta x gamma) - 1/2 F . (theta x (theta x e)) - 1/2 M . (theta x chi)
              + 1/2 K tau^2 ] ds - 1/2 sum P . (theta x (theta x r)),
    K = int sigma rho^2 dA = N r_0^2 + beta_x M_x - beta_y M_y.

Derived from the rotation R = 1 + [theta] + [theta]^2/2 in Gamma = R^T x' - e and K = axial(R^T R');
its terms are vectors, so arcs, eccentric axes and load heights need no cases of their own. Limits:
the deformation before buckling is left out, and the bimoment's part of K is left out (zero for
sections with an axis of symmetry in the plane of bending). Applied bending moments are couples of
forces along z that keep their direction (so they never add to a torque about z); an applied torque
turns with half of the section's rotation, and adds nothing.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np
from numpy.typing import NDArray

from .contact import Contact
from .hinge_work import cross, hinge_work, load_height
from .loading import Loading
from .mesh import Mesh
from .system import States
from .twopoint import JUNCTION, PLAIN, Elements, interior_states

Array = NDArray[np.float64]

# Gauss points per element: products of cubics and linear moments are then exact.
POINTS = 5


def geometric_matrix(
    mesh: Mesh,
    elements: Elements,
    loading: Loading,
    contacts: Sequence[Contact],
    states: States,
) -> Any:
    """Sparse symmetric (7k, 7k) matrix of V for one combination (arrays of one column)."""
    from scipy import sparse

    x, weight = np.polynomial.legendre.leggauss(POINTS)
    share = (1 + x) / 2
    n, k = len(mesh.length), mesh.count
    of = elements.of
    # Strains and rotations inside each distinct element under unit movements of its ends.
    shapes = _shapes(elements, share)

    element = np.repeat(np.arange(n), POINTS)
    s = (mesh.length[:, None] * share).ravel()
    ends = (states.start[element], states.end[element])
    y = interior_states(elements, element, s, ends, (loading.start[element], loading.end[element]))[
        ..., 0
    ]
    y[:, 7:13] += loading.locked[element, :, 0]
    part = np.tile(share, n)[:, None, None]
    own = loading.tendon_start[element, :, 0], loading.tendon_end[element, :, 0]
    y[:, 7:13] += (1 - part[:, :, 0]) * own[0] + part[:, :, 0] * own[1]
    dyad = (1 - part) * loading.dyad_start[element, ..., 0] + part * loading.dyad_end[
        element, ..., 0
    ]
    hessian = _hessian(elements, of[element], y, dyad)
    factor = (mesh.length[:, None] * weight / 2)[:, :, None, None]
    hessian = hessian.reshape(n, POINTS, 9, 9) * factor
    shape = shapes[of]
    local = np.einsum("ngab,ngbc->nac", np.swapaxes(shape, 2, 3) @ hessian, shape, optimize=True)

    for column, passed in zip((6, 13), mesh.inclination, strict=True):
        local[:, column] *= passed[:, None]
        local[:, :, column] *= passed[:, None]
    after = (np.arange(n) + 1) % k if mesh.closed else np.arange(n) + 1
    index = np.concatenate(
        [7 * np.arange(n)[:, None] + np.arange(7), 7 * after[:, None] + np.arange(7)], axis=1
    )
    rows = np.repeat(index, 14, axis=1).ravel()
    columns = np.tile(index, (1, 14)).ravel()
    matrix = sparse.csr_array((local.ravel(), (rows, columns)), shape=(7 * k, 7 * k))
    return matrix + _nodal(mesh, loading, contacts, states) + _hinges(mesh, states)


def _shapes(elements: Elements, share: Array) -> Array:
    """(m, g, 9, 14): theta (3) and strains (6) at Gauss points of each distinct element per unit
    end movement."""
    start, end = elements.start.copy(), elements.end.copy()
    plain = elements.family == PLAIN
    # Junctions have no length to integrate over.
    junction = elements.family >= JUNCTION
    start[junction], end[junction] = 0.0, 0.0
    start[junction, :7, 7:], end[junction, 7:, 7:] = np.eye(7), np.eye(7)
    start[plain, 6, 13] = end[plain, 13, 13] = 1.0
    forces = np.concatenate([start[:, :, 7:], end[:, :, 7:]], axis=2)
    movements = np.concatenate([start[:, :, :7], end[:, :, :7]], axis=2)
    # Rows differ by many powers of length: equilibrate before solving.
    largest = np.abs(forces).max(axis=2, keepdims=True)
    found = -np.linalg.solve(forces / largest, movements / largest)
    m, g = len(found), len(share)
    eye = np.broadcast_to(np.eye(14), (m, 14, 14))
    first = np.concatenate([eye[:, :7], found[:, :7]], axis=1)
    last = np.concatenate([eye[:, 7:], found[:, 7:]], axis=1)
    _, example = np.unique(elements.of, return_index=True)
    element = np.repeat(example, g)
    which = np.repeat(np.arange(m), g)
    s = (elements.length[:, None] * share).ravel()
    none = np.zeros((m * g, 6, 14))
    y = interior_states(elements, element, s, (first[which], last[which]), (none, none))
    strain = _strains(elements, which, y)
    return np.concatenate([y[:, 3:6], strain], axis=1).reshape(m, g, 9, 14)


def _strains(elements: Elements, which: NDArray[np.intp], y: Array) -> Array:
    """(k, 6, ...) strains gamma_x, gamma_y, epsilon, chi_x, chi_y, tau from states (k, 14, ...)."""
    stiffness = elements.stiffness.take(which)
    strain = np.einsum("nij,nj...->ni...", stiffness.compliance, y[:, 7:13])
    return np.asarray(strain + np.einsum("ni,n...->ni...", stiffness.offset, y[:, 6]))


def _hessian(elements: Elements, which: NDArray[np.intp], y: Array, dyad: Array) -> Array:
    """(k, 9, 9) second derivatives of V's integrand by theta and strains, from states (k, 14)."""
    stiffness = elements.stiffness.take(which)
    force, moment = y[:, 7:10], y[:, 10:13]
    out = np.zeros((len(y), 9, 9))
    out[:, :3, 3:6] = cross(force)
    out[:, :3, 6:] = cross(moment) / 2
    out[:, 3:, :3] = np.swapaxes(out[:, :3, 3:], 1, 2)
    along = np.zeros((len(y), 3, 3))
    along[:, :, 2] = force
    out[:, :3, :3] = load_height(along + dyad)
    radius, beta_x, beta_y = stiffness.monosymmetry.T
    c_x, c_y = stiffness.centroid.T
    out[:, 8, 8] = (
        force[:, 2] * radius
        + beta_x * (moment[:, 0] - c_y * force[:, 2])
        - beta_y * (moment[:, 1] + c_x * force[:, 2])
    )
    return out


def _nodal(mesh: Mesh, loading: Loading, contacts: Sequence[Contact], states: States) -> Any:
    """Point loads and reactions off the axis."""
    from scipy import sparse

    dyad = loading.dyad_nodal[..., 0].copy()
    for contact, push in zip(contacts, states.push[:, 0], strict=True):
        dyad[contact.node] += np.outer(contact.force * push, (*contact.point, 0.0))
    blocks = np.zeros((mesh.count, 7, 7))
    blocks[:, 3:6, 3:6] = load_height(dyad)
    return sparse.block_diag(list(blocks), format="csr")


def _hinges(mesh: Mesh, states: States) -> Any:
    """What hinges pass on works on sides that turn apart."""
    from scipy import sparse

    matrix = sparse.lil_array((7 * mesh.count, 7 * mesh.count))
    for element in np.flatnonzero(mesh.joint >= 0):
        hinge = mesh.junctions[mesh.joint[element]].hinge
        if hinge is not None:
            wrench = states.start[element, 7:13, 0]
            work = hinge_work(mesh.member, hinge, wrench, mesh.member.line, np.zeros((2, 3, 3)))
            of = 7 * np.array([element, (element + 1) % mesh.count])[:, None] + np.arange(6)
            matrix[np.ix_(of.ravel(), of.ravel())] += work
    return matrix.tocsr()
