"""Loads and reactions summed up in space: the check that every solution passes.

The sums are taken in the fixed frame of the member's start, from the loads as given and the contact
forces as found, without the element equations: three forces and three moments about the start must
vanish.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from ..model.axis import Axis
from .contact import Contact
from .junction import kink_matrix
from .loading import Loading
from .mesh import Mesh
from .system import States
from .twopoint import Elements, interior_states

Array = NDArray[np.float64]

# Gauss points per element: exact for loads linear along elements that turn through less than half a
# radian.
POINTS = 6


def residual(
    mesh: Mesh, elements: Elements, loading: Loading, contacts: Sequence[Contact], states: States
) -> Array:
    """Largest unbalanced force or moment (c,), relative to the sum of sizes of all that acts."""
    acting = [
        _spread(mesh, elements, loading, states),
        (mesh.nodes[: mesh.count], _faced(mesh, loading.nodal[:, :6])),
    ]
    if contacts:
        nodes = np.array([c.node for c in contacts])
        directions = np.array([c.direction for c in contacts])[:, :6, None]
        acting.append((mesh.nodes[nodes], directions * states.push[:, None]))
    axis = mesh.member.axis
    fixed = np.concatenate([about_start(axis, z, local) for z, local in acting])
    total, size = np.abs(fixed.sum(axis=0)), np.abs(fixed).sum(axis=0)
    # Moments and forces are compared through the member's length, so that a tiny moment cannot look
    # unbalanced.
    length = mesh.member.length
    scale = np.maximum(size[:3].sum(0), size[3:].sum(0) / length)
    with np.errstate(invalid="ignore", divide="ignore"):
        relative = np.maximum(total[:3].max(0), total[3:].max(0) / length) / scale
    # Loads so small that their digits are gone have no balance to speak of; nor has what is left
    # where supports of a member that nothing hinders move, rounding of what would hold it.
    eps = np.finfo(float).eps
    none = np.maximum(np.finfo(float).tiny / eps, eps * _felt(mesh, states))
    return np.where(scale > none, relative, 0.0)


def _felt(mesh: Mesh, states: States) -> Array:
    """(c,) force along the member that would stretch it by what it moves."""
    moved = np.abs(states.start[:, :6]).max(axis=0, initial=0.0)
    sections = [segment.section for segment in mesh.member.segments]
    rigidity = max(s.elastic_modulus * s.area for s in sections)
    length = mesh.member.length
    return np.asarray(rigidity * np.maximum(moved[:3].max(0) / length, moved[3:].max(0)))


def _spread(
    mesh: Mesh, elements: Elements, loading: Loading, states: States
) -> tuple[Array, Array]:
    """Gauss stations of all elements, and the force and moment (m, 6, c) each stands for: loads
    between the nodes, less what a continuous foundation takes."""
    element, s, step = gauss_stations(mesh)
    acting = _intensity(mesh, loading, element, s)
    decked = np.flatnonzero(mesh.foundation[element].any(axis=1))
    if len(decked):
        e = element[decked]
        y = interior_states(
            elements,
            e,
            s[decked],
            (states.start[e], states.end[e]),
            (loading.start[e], loading.end[e]),
        )
        across, coupling, twist = mesh.foundation[e].T[:, :, None]
        acting[decked, 0] -= across * y[:, 0] + coupling * y[:, 5]
        acting[decked, 5] -= coupling * y[:, 0] + twist * y[:, 5]
    return mesh.nodes[element] + s, acting * step[:, None, None]


def gauss_stations(mesh: Mesh) -> tuple[NDArray[np.intp], Array, Array]:
    """Element, distance from its start, and length stood for, of the Gauss stations of all
    elements."""
    x, weight = np.polynomial.legendre.leggauss(POINTS)
    long = np.flatnonzero(mesh.joint < 0)
    length = mesh.length[long, None]
    return np.repeat(long, POINTS), (length * (1 + x) / 2).ravel(), (length * weight / 2).ravel()


def _intensity(mesh: Mesh, loading: Loading, element: NDArray[np.intp], s: Array) -> Array:
    """Loads per length (m, 6, c) at stations of elements."""
    share = (s / mesh.length[element])[:, None, None]
    return np.asarray((1 - share) * loading.start[element] + share * loading.end[element])


def applied_sums(mesh: Mesh, loading: Loading) -> Array:
    """(6, c) force and moment of all loads about the start, in the fixed frame there."""
    element, s, step = gauss_stations(mesh)
    spread = _intensity(mesh, loading, element, s) * step[:, None, None]
    axis = mesh.member.axis
    own = about_start(axis, mesh.nodes[element] + s, spread).sum(axis=0)
    faced = _faced(mesh, loading.nodal[:, :6])
    nodal = about_start(axis, mesh.nodes[: mesh.count], faced).sum(axis=0)
    return np.asarray(own + nodal)


def _faced(mesh: Mesh, nodal: Array) -> Array:
    """Forces and moments at nodes (k, 6, c), of those beside the middle of a kink in its bisecting
    frame, in which `about_start` takes them."""
    found = nodal
    for e in np.flatnonzero(mesh.joint >= 0):
        turn = mesh.junctions[mesh.joint[e]].turn
        if turn and mesh.joint[e - 1] >= 0 and mesh.nodes[e - 1] == mesh.nodes[e]:
            found = nodal.copy() if found is nodal else found
            for node, angle in ((e - 1, turn), (e + 1, -turn)):
                both = np.kron(np.eye(2), kink_matrix(angle))
                found[node] = both @ nodal[node]
    return found


def about_start(axis: Axis, z: Array, local: Array) -> Array:
    """Forces and moments (m, 6, c) at stations z of the axis, in the fixed frame and about the
    start."""
    x, along, heading = (a[:, None] for a in axis.plan(z))
    cos, sin = np.cos(heading), np.sin(heading)

    def turned(a: Array) -> Array:
        return np.stack([cos * a[:, 0] + sin * a[:, 2], a[:, 1], cos * a[:, 2] - sin * a[:, 0]], 1)

    force, moment = turned(local[:, :3]), turned(local[:, 3:6])
    arm = [-along * force[:, 1], along * force[:, 0] - x * force[:, 2], x * force[:, 1]]
    return np.concatenate([force, moment + np.stack(arm, 1)], axis=1)
