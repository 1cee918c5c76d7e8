"""The whole member as one sparse system in states, not in displacements alone.

Unknowns are the movements d of every node, the forces f at the start of every element, and the
contact forces r. Every element gives its fourteen exact end relations; at a node the face forces
differ by what acts there. In tapers warping at a node is scaled, see `inclination`. Because forces
are unknowns of their own, their equilibrium is kept to rounding and thousands of short elements
cost no digits, where a stiffness matrix of n elements loses the fourth power of n. One sparse
factorisation serves all load combinations.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from .contact import ABOVE, BELOW, OPEN, TURNING, Contact
from .mesh import Mesh
from .twopoint import Elements

Array = NDArray[np.float64]
Index = NDArray[np.intp]


# Signs that turn forces at a node into jumps of f: what works on tau is -B, since the virtual work
# of the forces on a face is ... + T d(phi) - B d(tau) with B = -E C_w tau'.
DUAL = np.array([1.0, 1.0, 1.0, 1.0, 1.0, 1.0, -1.0])


@dataclass(frozen=True, slots=True)
class States:
    """Answer of a system for c right-hand sides.

    `motion` (k, 7, c) at nodes; `start`, `end` (n, 14, c) states at both ends of every element;
    `push` (m, c) contact forces.
    """

    motion: Array
    start: Array
    end: Array
    push: Array


@dataclass(frozen=True, slots=True)
class System:
    """Sparse parts of a member's equations; see `system_of`.

    `on_motion` (rows, 7k), `on_force` (rows, 7n), `on_node` (rows, 7k) multiply nodal movements,
    start forces, and what acts at nodes (duals of their movements); `holds` (7k, m) are the
    contacts' directions; `scale` (7k + 7n + m,) the size of each unknown.
    """

    mesh: Mesh
    elements: Elements
    contacts: tuple[Contact, ...]
    on_motion: Any
    on_force: Any
    on_node: Any
    holds: Any
    scale: Array

    @property
    def twist_per_torque(self) -> float:
        """Size of the twist of the whole member per unit torque."""
        return float(self.scale[5] / self.mesh.member.length)

    def matrix(self, engaged: Sequence[int], geometric: Any = None) -> Any:
        """The sparse matrix of the equations with the given state of each contact and, if given,
        the geometric matrix (7k, 7k)."""
        from scipy import sparse

        motion = self.on_motion
        if geometric is not None:
            motion = motion - self.on_node @ geometric
        shut = np.array([s != OPEN for s in engaged], float)
        soft = np.array([c.softness for c in self.contacts])
        # An open contact has r = 0 as its equation.
        own = sparse.diags_array(np.where(shut > 0, soft, 1.0), format="csr")
        follow = sparse.diags_array(shut, format="csr") @ self.holds.T
        top = sparse.hstack([motion, self.on_force, self.on_node @ self.holds])
        bottom = sparse.hstack([follow, sparse.csr_array((len(shut), self.on_force.shape[1])), own])
        return sparse.vstack([top, bottom], format="csr")

    def right(
        self,
        engaged: Sequence[int],
        start: Array,
        end: Array,
        nodal: Array,
        shift: Array | None = None,
        jump: Array | None = None,
    ) -> Array:
        """(rows + m, c) right-hand sides of the equations; see `Factor.solve`."""
        elements, count = self.elements, nodal.shape[-1]
        of = elements.of
        load = np.einsum("nab,nbc->nac", elements.load_start[of], start)
        load += np.einsum("nab,nbc->nac", elements.load_end[of], end)
        if jump is not None:
            load -= np.einsum("nab,nbc->nac", elements.start[of][:, :, :7], jump)
        right = load.reshape(-1, count)
        spare = self.on_node.shape[0] - len(right)
        right = np.concatenate([right, np.zeros((spare, count))])
        right = right - self.on_node @ nodal.reshape(-1, count)
        stops = np.zeros((len(self.contacts), count))
        for n, (contact, state) in enumerate(zip(self.contacts, engaged, strict=True)):
            if state == BELOW:
                stops[n] = -contact.below
            elif state == ABOVE:
                stops[n] = contact.above
            if shift is not None and state != OPEN:
                stops[n] += shift[n]
        return np.concatenate([right, stops])

    def collected(self, unknowns: Array, nodal: Array, geometric: Any = None) -> States:
        """States at both ends of every element from the unknowns (7k + 7n + m, c), under forces
        (k, 7, c) at nodes."""
        mesh, elements = self.mesh, self.elements
        n, k, count = len(mesh.length), mesh.count, nodal.shape[-1]
        flat = unknowns[: 7 * k]
        motion = flat.reshape(k, 7, count)
        force = unknowns[7 * k : 7 * (k + n)].reshape(n, 7, count)
        push = unknowns[7 * (k + n) :]
        acting = nodal.reshape(-1, count) + self.holds @ push
        if geometric is not None:
            acting = acting - geometric @ flat
        after = (np.arange(n) + 1) % k if mesh.closed else np.arange(n) + 1
        end_force = (acting.reshape(k, 7, count) * DUAL[:, None])[after]
        follows = after < n
        end_force[follows] += force[after[follows]]
        start = np.concatenate([motion[:n], force], axis=1)
        end = np.concatenate([motion[after], end_force], axis=1)
        for side, passed in zip((start, end), mesh.inclination, strict=True):
            side[:, 6] *= passed[:, None]
            side[:, 13] /= passed[:, None]
        _fill_plain(elements, start)
        _fill_plain(elements, end)
        return States(motion, start, end, push)


def _fill_plain(elements: Elements, state: Array) -> None:
    """Where a section does not warp, the rate of twist is T_s / (G J) and there is no bimoment."""
    plain = np.flatnonzero(~elements.warps)
    stiffness = elements.stiffness.take(elements.of[plain])
    torque = np.einsum("ni,nic->nc", stiffness.lever, state[plain, 7:13])
    state[plain, 6] = torque / stiffness.torsion[:, None]
    state[plain, 13] = 0.0


def system_of(mesh: Mesh, elements: Elements, contacts: Sequence[Contact]) -> System:
    """Assemble the parts that do not change with loads or contact states."""
    from scipy import sparse

    n, k = len(mesh.length), mesh.count
    after = (np.arange(n) + 1) % k if mesh.closed else np.arange(n) + 1
    start, end = elements.start[elements.of], elements.end[elements.of]
    for side, passed in zip((start, end), mesh.inclination, strict=True):
        side[:, :, 6] *= passed[:, None]
        side[:, :, 13] /= passed[:, None]
    _set_plain_rows(elements, mesh.closed, start, end)
    free = 0 if mesh.closed else 7
    rows = 14 * n + free
    own = np.arange(n)

    def place(parts: Sequence[tuple[Array, Index]], columns: int) -> Any:
        """Sparse (rows, columns) from blocks (n, 14, 7) whose columns start at 7 times the index
        given."""
        values, r, c = [], [], []
        for block, node in parts:
            e, a, b = np.nonzero(block)
            values.append(block[e, a, b])
            r.append(14 * e + a)
            c.append(7 * node[e] + b)
        data = np.concatenate(values), (np.concatenate(r), np.concatenate(c))
        return sparse.csr_array(data, shape=(rows, columns))

    on_motion = place([(start[:, :, :7], own), (end[:, :, :7], after)], 7 * k)
    on_face = place([(end[:, :, 7:], after)], 7 * k)
    # The first face of an open member: f + what acts there = 0.
    first = np.arange(free)
    on_face = on_face + sparse.csr_array((np.ones(free), (14 * n + first, first)), on_face.shape)
    on_force = place([(start[:, :, 7:], own)], 7 * n) + on_face[:, : 7 * n]
    on_node = on_face @ sparse.diags_array(np.tile(DUAL, k))

    holds = np.zeros((7 * k, len(contacts)))
    for m, contact in enumerate(contacts):
        holds[7 * contact.node : 7 * contact.node + 7, m] = contact.direction
    scale = _scale(mesh, contacts)
    return System(
        mesh,
        elements,
        tuple(contacts),
        on_motion,
        on_force,
        on_node,
        sparse.csr_array(holds),
        scale,
    )


def warping_nodes(mesh: Mesh, elements: Elements) -> NDArray[np.bool_]:
    """(k,) whether a node touches an element that warps."""
    touched = np.zeros(mesh.count, bool)
    n = len(mesh.length)
    touched[np.arange(n)[elements.warps]] = True
    touched[
        ((np.arange(n) + 1) % mesh.count if mesh.closed else np.arange(n) + 1)[elements.warps]
    ] = True
    return touched


def _set_plain_rows(elements: Elements, closed: bool, start: Array, end: Array) -> None:
    """Rows 6 and 13 of elements that do not warp: no bimoment where a warping neighbour or the next
    element can feel it, and tau = 0 once for every node that no warping element touches (it is not
    used there)."""
    warps = elements.warps
    n = len(warps)
    before = np.roll(warps, 1)
    for e in np.flatnonzero(~warps):
        opens, closes = not closed and e == 0, not closed and e == n - 1
        start[e, 6, 13 if before[e] and not opens else 6] = 1.0
        end[e, 13, 6 if closes else 13] = 1.0


def _scale(mesh: Mesh, contacts: Sequence[Contact]) -> Array:
    """Size of each unknown under a unit force: keeps the pivots of the factorisation comparable."""
    s = mesh.stiffness
    length = mesh.member.length
    bending = float(np.median(s.bending))
    torsion = float(np.median(s.torsion + 10 * s.warping / length**2))
    turn, twist = length**2 / bending, length**2 / torsion
    rate = s.rate[np.isfinite(s.rate)]
    layer = float(np.median(1 / (rate + 1 / length))) if len(rate) else length
    motion = [turn * length] * 3 + [turn, turn, twist, twist / length]
    force = [1.0] * 3 + [length] * 3 + [length * layer]
    push = [length if c.freedom in ("bend_x", "bend_y", *TURNING) else 1.0 for c in contacts]
    push = [
        length * layer if c.freedom == "warping" else p for c, p in zip(contacts, push, strict=True)
    ]
    return np.concatenate([np.tile(motion, mesh.count), np.tile(force, len(mesh.length)), push])
