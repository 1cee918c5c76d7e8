"""What hinges of a deforming member pass on, from the forces on the nodes of either side."""

from __future__ import annotations

import numpy as np

from ..beam.hinge_force import HingeForce
from ..beam.junction import turning_points
from ..beam.loading import moment_of
from ..model.hinge import PASSED
from .solution import DeformingSolution
from .traction import torsional_warping


def deforming_hinge_forces(solution: DeformingSolution) -> tuple[HingeForce, ...]:
    """One row per hinge, in order along the member, as the classical theory has them."""
    member, found = solution.member, []
    for hinge in sorted(member.hinges, key=lambda h: h.at):
        e = int(np.argmin(abs(solution.field.nodes - hinge.at)))
        before, beyond = solution.passed[e]
        part = solution.course.part(hinge.at, "left")
        shape = part.shape(hinge.at)
        section = member.section_at(hinge.at)
        # On the face of the piece before: the opposite of what acts on the piece beyond.
        wrench = -(shape.rigid.T @ beyond).T
        force = wrench[:, :3]
        bending = wrench[:, 3:] - moment_of(np.asarray(section.centroid), force)
        torque = wrench[:, 3:] - moment_of(np.asarray(section.shear_centre), force)
        psi = torsional_warping(shape, shape.rigid)
        turns = turning_points(member, hinge, section, (0.0, 0.0))
        mean = np.linalg.solve(turns, solution.grips.tractions(hinge.at).T)
        (_, left, _), (_, right, _) = (
            solution.functions([hinge.at], side) for side in ("left", "right")
        )
        parted = mean @ (right[0] - left[0])
        parted[[f not in hinge.loose for f in PASSED]] = 0.0
        found.append(
            HingeForce(
                hinge,
                np.column_stack([force[:, [2, 0, 1]], bending[:, :2], torque[:, 2]]),
                np.column_stack([-psi @ before, psi @ beyond]),
                parted.T,
                solution.names,
            )
        )
    return tuple(found)
