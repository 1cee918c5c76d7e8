"""By how much each load twists the member: its arm from the shear centre and its torque."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np

from ..beam.loading import loading_of
from ..beam.mesh import mesh_of
from ..model.load import LineLoad, SelfWeight
from ..model.member import Member

#: Torques below this share of force times the section's size are rounding of the shear centre.
ROUNDING = 1e-6


@dataclass(frozen=True, slots=True)
class LoadTorque:
    """Torque of one load about the shear centre.

    Attributes
    ----------
    title, case : str
    arm : (x, y)
        From the shear centre to the load's point (to the centroid for self-weight) where the load
        starts; of a force at the shear centre with a torque of its own, like wind, to the nearest
        point of its line of action.
    torque : float
        Summed over the load's length, applied torques included; positive from x toward y.
    """

    title: str
    case: str
    arm: tuple[float, float]
    torque: float


def _arm_of_moment(load: object) -> tuple[float, float]:
    """To the line of action of a line's force at the shear centre and its torque together."""
    if not isinstance(load, LineLoad):
        return (0.0, 0.0)
    x, y = load.force[:2]
    square = x * x + y * y
    return (load.torque * y / square, -load.torque * x / square) if square else (0.0, 0.0)


def load_torques(member: Member) -> tuple[LoadTorque, ...]:
    """One row per load."""
    mesh = mesh_of(member)
    at_nodes = np.array(
        [member.section_at(float(z)).shear_centre for z in mesh.nodes[: mesh.count]]
    )
    at_nodes = at_nodes - np.asarray(member.line)
    along = mesh.stiffness.shear_centre[mesh.kind]
    radius = max(math.sqrt(own.polar_radius_squared) for own in mesh.sections)
    rows = []
    bare = member.with_(imposed=(), tendons=(), combinations=())
    for load in member.loads:
        alone = replace(mesh, member=bare.with_(loads=(load,)))
        acting = loading_of(alone)
        mean = (acting.start + acting.end)[..., 0] / 2 * mesh.length[:, None]
        nodal = acting.nodal[..., 0]
        torque = sum(
            float(np.sum(f[:, 5] - s[:, 0] * f[:, 1] + s[:, 1] * f[:, 0]))
            for f, s in ((mean, along), (nodal, at_nodes))
        )
        force = sum(float(np.abs(f[:, :2]).sum()) for f in (mean, nodal))
        if abs(torque) <= ROUNDING * force * radius:
            torque = 0.0
        if isinstance(load, SelfWeight):
            section = member.section_at(0.0)
            point = section.weight_place
        else:
            section = member.section_at(getattr(load, "at", getattr(load, "start", 0.0)))
            point = member.locate(load.place, section)
        arm = (point[0] - section.shear_centre[0], point[1] - section.shear_centre[1])
        if arm == (0.0, 0.0):
            arm = _arm_of_moment(load)
        rows.append(LoadTorque(load.title, load.case, arm, torque))
    return tuple(rows)
