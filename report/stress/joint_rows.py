"""Joints in tables: what each weld carries under a torque, and under load cases."""

from __future__ import annotations

from typing import TYPE_CHECKING

from ...solver.section.stress.joint_flow import joint_torsion
from ..text.blocks import Group, Row
from ..text.number import displayed, near_zero, number, supported, unit_power

if TYPE_CHECKING:
    from ...geometry.joint import JointLine
    from ...solver.section.result import SectionResult
    from ...solver.section.stress.cut import CutFlow
    from ...solver.section.stress.load_cases import CaseStress, StressResult

EVEN = (
    "the flow is taken as even over a pitch, and the unwelded stretches between as carrying nothing"
)
#: A flow around a cell is known about as well as J; this many widths of its interval.
_SURE = 4.0


def torsion_joints(result: SectionResult) -> Group:
    """Shear flow through every joint per unit torque."""
    unit, rows = result.unit, []
    scale = result.section.size() ** -2
    for joint in joint_torsion(result):
        flow = near_zero(joint.shear_flow_per_torque, scale)
        note = f"{joint_words(joint.line)}, throat {number(joint.throat, 4)} {unit}".rstrip()
        if flow == 0:
            note += "; it closes no cell, so a torque alone sends nothing through it"
        value = supported(flow, _SURE * result.solver.reached * abs(flow))
        rows.append(Row(f"joint {joint.line.name!r}", "q / T", value, unit_power(unit, -2), note))
        if joint.line.pitch is not None and flow:
            force = number(joint.line.force_per_weld(flow), 5)
            note = f"{pitch_words(joint.line, unit)}; {EVEN}"
            rows.append(Row("    force per weld", "F / T", force, unit_power(unit, -1), note))
    return Group("Joints: shear flow by torque", rows)


def case_joints(stress: StressResult, case: CaseStress) -> Group:
    """Force per length of every joint under a load case, and force per weld of intermittent
    ones."""
    rows = []
    for joint in stress.joints:
        rows += _rows(stress, joint, case)
    return Group(f"Joints: {case.actions.name}", rows)


def envelope_joints(stress: StressResult) -> list[Row]:
    """The peak flow of every joint, whichever its direction, and its load case."""
    rows = []
    for joint in stress.joints:
        case = max(stress.cases, key=lambda c: abs(joint.flow(c.vector)))
        first, *_ = _rows(stress, joint, case)
        rows.append(
            Row(first.quantity, first.symbol, first.value, first.unit, f"in {case.actions.name!r}")
        )
    return rows


def _rows(stress: StressResult, joint: CutFlow, case: CaseStress) -> list[Row]:
    unit, line = stress.result.unit, joint.line
    flow = joint.flow(case.vector)
    # beside the flows that the actions could bring, what cancels is rounding
    scale = float(abs(joint.unit_flow * case.vector).max(initial=0.0))
    flow = near_zero(flow, scale)
    doubt = joint.uncertainty(case.vector)
    flow_unit, factor = displayed(unit, "line load")
    stress_unit, to_stress = displayed(unit, "stress")
    mean = supported(abs(flow) / joint.length * to_stress, doubt / joint.length * to_stress, 4)
    note = (
        f"{joint_words(line)}; {mean} {stress_unit}".rstrip()
        + f" on average over the throat of {number(joint.length, 4)} {unit}".rstrip()
    )
    rows = [
        Row(
            f"joint {line.name!r}",
            "q",
            supported(flow * factor, doubt * factor, 5),
            flow_unit,
            note,
        )
    ]
    if line.pitch is not None:
        force_unit, to_force = displayed(unit, "force")
        force = supported(
            line.force_per_weld(flow) * to_force, line.force_per_weld(doubt) * to_force, 5
        )
        rows.append(
            Row("    force per weld", "F", force, force_unit, f"{pitch_words(line, unit)}; {EVEN}")
        )
    return rows


def joint_words(line: JointLine) -> str:
    """What a joint is: "fillet weld from 'flange' to 'web'"."""
    kind = {"fillet": "fillet weld", "full": "full penetration", "partial": "partial penetration"}
    word = " + ".join(kind.get(part, part) for part in line.kind.split(" + ")) or "line"
    if len(line.between) != 2:
        return word
    first, second = line.between
    return f"{word} from {first!r} to {second!r}"


def pitch_words(line: JointLine, unit: str) -> str:
    """ "flow times pitch: welds of 40 mm, starting every 120 mm"."""
    length, pitch = (f"{number(v or 0.0)} {unit}".rstrip() for v in (line.weld_length, line.pitch))
    return f"flow times pitch: welds of {length}, starting every {pitch}"
