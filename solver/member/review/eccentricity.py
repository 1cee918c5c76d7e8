"""By how much each load twists the member: its arm from the shear centre and its torque."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np

from ..beam.loading import loading_of
from ..beam.mesh import mesh_of
from ..model.load import SelfWeight
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
        starts.
    torque : float
        Summed over the load's length, applied torques included; positive from x toward y.
    """

    title: str
    case: str
    arm: tuple[float, float]
    torque: float


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
            point = section.centroid
        else:
            section = member.section_at(getattr(load, "at", getattr(load, "start", 0.0)))
            point = member.locate(load.place, section)
        arm = (point[0] - section.shear_centre[0], point[1] - section.shear_centre[1])
        rows.append(LoadTorque(load.title, load.case, arm, torque))
    return tuple(rows)
