"""Loads of every case as arrays on a mesh: intensities about the axis point O, and forces at
nodes."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ..model.load import LineLoad, PointLoad, SelfWeight
from ..model.mitre import mitre_loads
from .locked import equivalent_loads, locked_forces
from .mesh import Mesh
from .tendon_loads import tendon_loads

Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Loading:
    """Loads of c cases or combinations on n elements and k nodes.

    Attributes
    ----------
    start, end : (n, 6, c)
        Force and moment per length about O at the ends of each element, linear between.
    nodal : (k, 7, c)
        Forces, moments about O, and the dual of tau (bimoment with its sign turned) at nodes.
    dyad_start, dyad_end : (n, 3, 3, c)
        sum of q_a r_b over the forces per length with r from O: what their height adds in second
        order.
    dyad_nodal : (k, 3, 3, c)
        The same of point forces.
    locked : (n, 6, c)
        What elements carry under imposed strains when they are held still; the loads hold what
        brings it about, see `locked`.
    tendon_start, tendon_end : (n, 6, c)
        Force and moment about O of the tendons themselves, which add to what the section carries
        where the member's moving is asked about: a tendon moves with it.
    names : tuple of str
        Of the c columns.
    """

    start: Array
    end: Array
    nodal: Array
    dyad_start: Array
    dyad_end: Array
    dyad_nodal: Array
    locked: Array
    tendon_start: Array
    tendon_end: Array
    names: tuple[str, ...]

    def combined(self, names: tuple[str, ...], factors: Array) -> Loading:
        """Columns added up by factors (c, m)."""
        return self._each(lambda array: array @ factors, names)

    def columns(self, chosen: list[int]) -> Loading:
        """Some of the columns."""
        names = tuple(self.names[c] for c in chosen)
        return self._each(lambda array: array[..., chosen], names)

    def _each(self, change: Callable[[Array], Array], names: tuple[str, ...]) -> Loading:
        return Loading(
            change(self.start),
            change(self.end),
            change(self.nodal),
            change(self.dyad_start),
            change(self.dyad_end),
            change(self.dyad_nodal),
            change(self.locked),
            change(self.tendon_start),
            change(self.tendon_end),
            names,
        )


def moment_of(place: Array, force: Array) -> Array:
    """r x F (..., 3) of forces (..., 3) at points (..., 2) of the section plane."""
    x, y = place[..., 0], place[..., 1]
    f_x, f_y, f_z = force[..., 0], force[..., 1], force[..., 2]
    return np.stack([y * f_z, -x * f_z, x * f_y - y * f_x], axis=-1)


def loading_of(mesh: Mesh) -> Loading:
    """Loads of each case of the mesh's member."""
    member = mesh.member
    n, k, c = len(mesh.length), mesh.count, len(member.cases)
    start, end = np.zeros((2, n, 6, c))
    dyad_start, dyad_end = np.zeros((2, n, 3, 3, c))
    nodal, dyad_nodal = np.zeros((k, 7, c)), np.zeros((k, 3, 3, c))
    for load in (*member.loads, *mitre_loads(member)):
        case = member.cases.index(load.case)
        if isinstance(load, PointLoad):
            node = mesh.node_of(load.at)
            place = member.locate(load.place, member.section_at(load.at))
            r = np.subtract(place, member.line)
            force = np.asarray(load.force, float)
            nodal[node, :3, case] += force
            nodal[node, 3:6, case] += moment_of(r, force) + load.moment
            # The dual of tau is -B; an applied bimoment is the B that it leaves at a free far end.
            nodal[node, 6, case] -= load.bimoment
            dyad_nodal[node, :, :2, case] += np.outer(force, r)
            # Bending moments are couples of forces along z that keep their direction.
            dyad_nodal[node, 2, :2, case] += -load.moment[1], load.moment[0]
            continue
        on, forces, torques, r = (
            _line(mesh, load) if isinstance(load, LineLoad) else _weight(mesh, load)
        )
        for target, dyad, force, torque in (
            (start, dyad_start, forces[0], torques[0]),
            (end, dyad_end, forces[1], torques[1]),
        ):
            target[on, :3, case] += force
            target[on, 3:6, case] += moment_of(r, force)
            target[on, 5, case] += torque
            dyad[on, :, :2, case] += force[:, :, None] * r[:, None, :]
    own_start, own_end = np.zeros((2, n, 6, c))
    targets = (start, end, nodal, own_start, own_end)
    for tendon in member.tendons:
        case = member.cases.index(tendon.case)
        for target, more in zip(targets, tendon_loads(mesh, tendon), strict=True):
            target[..., case] += more
    locked = locked_forces(mesh)
    if locked.any():
        along, at_nodes = equivalent_loads(mesh, locked)
        start, end, nodal = start + along[0], end + along[1], nodal + at_nodes
    return Loading(
        start, end, nodal, dyad_start, dyad_end, dyad_nodal, locked, own_start, own_end,
        member.cases,
    )  # fmt: skip


Piece = tuple[NDArray[np.intp], tuple[Array, Array], tuple[Array, Array], Array]


def _line(mesh: Mesh, load: LineLoad) -> Piece:
    """Elements under a line load, forces and torques per length at their ends, and the places seen
    from O."""
    ends = mesh.nodes[:-1], mesh.nodes[1:]
    middle = (ends[0] + ends[1]) / 2
    on = np.flatnonzero((middle > load.start) & (middle < load.end))
    r = _places(mesh, load)[mesh.kind[on]]
    force_end = load.force if load.force_end is None else load.force_end
    torque_end = load.torque if load.torque_end is None else load.torque_end
    per_lengths = np.ones((2, len(on)))
    if load.measured_along == "line":
        per_lengths = 1 - mesh.curvatures[:, on] * r[:, 0]
    forces, torques = [], []
    for z, per_length in zip(ends, per_lengths, strict=True):
        share = np.clip((z[on] - load.start) / (load.end - load.start), 0.0, 1.0)
        force = np.outer(1 - share, load.force) + np.outer(share, force_end)
        forces.append(force * per_length[:, None])
        torques.append(((1 - share) * load.torque + share * torque_end) * per_length)
    return on, (forces[0], forces[1]), (torques[0], torques[1]), r


def _weight(mesh: Mesh, load: SelfWeight) -> Piece:
    on = np.arange(len(mesh.length))
    mass = np.array([s.mass_per_length for s in mesh.sections], float)[mesh.kind]
    places = np.array([s.weight_place for s in mesh.sections])
    r = (places - mesh.member.line)[mesh.kind]
    weight = mass * load.gravity
    down = mesh.member.pitch.down
    first, last = (
        np.outer(weight * (1 - curvature * r[:, 0]), down) for curvature in mesh.curvatures
    )
    torque = np.zeros((2, len(on)))
    if load.wedge:
        spread = np.array([s.spread_of_weight for s in mesh.sections])[mesh.kind]
        torque = -down[1] * weight * mesh.curvatures * spread
    return on, (first, last), (torque[0], torque[1]), r


def _places(mesh: Mesh, load: LineLoad) -> Array:
    """The load's point in each distinct section, seen from O."""
    member = mesh.member
    points = [member.locate(load.place, section) for section in mesh.sections]
    return np.asarray(np.subtract(points, member.line), dtype=np.float64)
