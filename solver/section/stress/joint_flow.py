"""What each joint of a section carries: the shear flow through its throat.

Under a torque alone the flow is a difference of the stress function and needs no further solve;
other actions bring bending shear and restrained warping, which `unit_stress` has solved.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from ....geometry.joint import JointLine
from ..result import SectionResult
from ..solve import solve_near
from .cut import CutFlow, cut_flow, stretches, torsion_flow
from .cut_part import part_cut_off, stretch_length
from .unit_stress import UnitStress

#: Part of what statics adds to a joint's integral that stays in doubt: the tips of joints of one
#: kind miss nearly alike.
UNEVEN = 0.1


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
    flows = [cut_flow(units, line) for line in units.result.section.joints]
    by_parts: dict[frozenset[str], list[int]] = {}
    for k, flow in enumerate(flows):
        if flow.part is None and flow.line.between:
            by_parts.setdefault(frozenset(flow.line.between), []).append(k)
    for group in by_parts.values():
        if len(group) > 1:
            for k, flow in zip(group, _balanced(units, [flows[k] for k in group]), strict=True):
                flows[k] = flow
    return tuple(flows)


def _balanced(units: UnitStress, flows: list[CutFlow]) -> list[CutFlow]:
    """Joints that together hold one part on: what bending shear sends through all of them is known
    by statics, and what their integrals miss of it is shared out as they carry it.

    What is then left open is how much more one of them misses than another.
    """
    part = part_cut_off(units, [stretches(units.field.mesh, f.line) for f in flows])
    if part is None:
        return flows
    # lines that run the other way have the part on their right
    first = flows[0].line.between
    sides = np.array([1.0 if f.line.between == first else -1.0 for f in flows])
    carried = np.array([f.unit_flow[3:5] for f in flows]) * sides[:, None]
    lack = part.flow_of_shear(units.result) - carried.sum(axis=0)
    size = np.abs(carried)
    share = size / np.where(size.sum(axis=0) > 0, size.sum(axis=0), 1.0)
    spread = 3 * float(np.ptp([f.miss for f in flows]))
    out = []
    for k, flow in enumerate(flows):
        unit_flow, doubt = flow.unit_flow.copy(), flow.unit_doubt.copy()
        more = sides[k] * lack * share[k]
        unit_flow[3:5] += more
        doubt[3:5] = spread * np.abs(unit_flow[3:5]) + UNEVEN * np.abs(more)
        out.append(replace(flow, unit_flow=unit_flow, unit_doubt=doubt))
    return out
