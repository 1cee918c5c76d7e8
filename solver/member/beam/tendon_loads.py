"""Tendons as loads of the exact beam: linear along each element, jumps at nodes.

What the lines q leave of the change of the tendon's wrench from node to node (F, r x F) goes to the
node behind, so that all of a tendon is in equilibrium to rounding, whatever the elements' length.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from ..model.tendon import Tendon
from ..model.tendon_path import TendonRun, tendon_runs
from .element import blocks
from .mesh import Mesh
from .series import exponential

Array = NDArray[np.float64]


def tendon_loads(mesh: Mesh, tendon: Tendon) -> tuple[Array, Array, Array, Array, Array]:
    """(n, 6) loads at start and end of every element, (k, 7) at nodes, and (n, 6) the tendon's own
    force and moment at start and end; moments about O."""
    start, end, own_start, own_end = np.zeros((4, len(mesh.length), 6))
    nodal = np.zeros((mesh.count, 7))
    balance = blocks(mesh.stiffness.take(mesh.kind), mesh.curvature, mesh.foundation).balance
    middle = (mesh.nodes[:-1] + mesh.nodes[1:]) / 2
    for run in tendon_runs(tendon, mesh.member):
        on = np.flatnonzero((mesh.length > 0) & (middle > run.start) & (middle < run.end))
        a, b = mesh.nodes[on], mesh.nodes[on + 1]
        first, q_first = _wrench(run, a)
        last, q_last = _wrench(run, b)
        own_start[on] += first
        own_end[on] += last
        start[on] += q_first
        end[on] += q_last
        h = mesh.length[on]
        total, once, twice = exponential(balance[on], h, 1.0)
        # w' = A w + q for the tendon's own wrench w.
        slope = (q_last - q_first) / h[:, None]
        reached = np.einsum("nij,nj->ni", total, first) + np.einsum("nij,nj->ni", once, q_first)
        reached += np.einsum("nij,nj->ni", twice, slope)
        after = (on + 1) % mesh.count
        np.add.at(nodal[:, :6], after, last - reached)
        # Anchors, and where one run meets the next.
        nodal[on[0], :6] += first[0]
        nodal[after[-1], :6] -= last[-1]
    return start, end, nodal, own_start, own_end


def _wrench(run: TendonRun, z: Array) -> tuple[Array, Array]:
    """(m, 6) the tendon's force and its moment about O, and what it does per length."""
    place, force, q = run.acting(z)
    x, y = place.T

    def about(f: Array) -> Array:
        moment = np.stack([y * f[:, 2], -x * f[:, 2], x * f[:, 1] - y * f[:, 0]], axis=1)
        return np.concatenate([f, moment], axis=1)

    return about(force), about(q)
