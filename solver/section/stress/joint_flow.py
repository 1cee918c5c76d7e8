"""What each joint of a section carries: the shear flow through its throat.

Under a torque alone the flow is a difference of the stress function and needs no further solve;
other actions bring bending shear and restrained warping, which `unit_stress` has solved.
"""

from __future__ import annotations

from dataclasses import dataclass

from ....geometry.joint import JointLine
from ..result import SectionResult
from ..solve import solve_near
from .cut import CutFlow, cut_flow, stretch_length, stretches, torsion_flow
from .unit_stress import UnitStress


@dataclass(frozen=True, slots=True)
class JointTorsion:
    """Shear flow through one joint under a unit torque.

    Attributes
    ----------
    line : JointLine
    throat : float
        Length of the line within the material.
    shear_flow_per_torque : float
        Force per length of member, positive from the line's left (the first part of a weld) to its
        right. It is along the member: the first part drags the second one toward +z.
    """

    line: JointLine
    throat: float
    shear_flow_per_torque: float

    @property
    def force_per_weld_per_torque(self) -> float | None:
        """Of an intermittent weld: flow times pitch (see `JointLine.force_per_weld`), else None."""
        if not self.line.intermittent:
            return None
        return self.line.force_per_weld(self.shear_flow_per_torque)


def joint_torsion(result: SectionResult) -> tuple[JointTorsion, ...]:
    """Flow of a unit torque through every joint of a solved section, in the section's order.

    Raises
    ------
    InputError
        When a joint's line misses the section, or ends inside the material.
    """
    out = []
    for line in result.section.joints:
        inside = stretches(result.field.mesh, line)
        throat = sum(stretch_length(piece) for piece, _ in inside)
        out.append(JointTorsion(line, throat, torsion_flow(result, inside)))
    return tuple(out)


def near_joints(result: SectionResult) -> SectionResult:
    """The section solved again, finer around the ends of its joints: where throats end at the tips
    of slits, integrated flows converge slowly. Unchanged without joints."""
    ends = {line.points[k] for line in result.section.joints for k in (0, -1)}
    return solve_near(result, sorted(ends)) if ends else result


def joint_flows(units: UnitStress) -> tuple[CutFlow, ...]:
    """Flow of every unit action through every joint of a section, in the section's order.

    Raises
    ------
    InputError
        As `joint_torsion`.
    """
    return tuple(cut_flow(units, line) for line in units.result.section.joints)
