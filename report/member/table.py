"""The table of a member: loads, results, supports, limits, reasons and remedies."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from ...solver.member.deforming.passing import TRANSITION_ARCS, kink_note
from ...solver.member.review.leading_notes import leading_notes
from ...solver.member.review.off_material import off_material
from ...solver.member.review.plausibility import doubts
from ..influence.bearing_schedule import HEADING as SCHEDULE
from ..influence.bearing_schedule import schedule_passage
from ..influence.envelope import ARRANGED, arrangement_passage, envelope_passage
from ..influence.envelope import HEADING as ENVELOPE
from ..section.curve_words import curve_notes
from ..text import caution
from ..text.blocks import HeadedRows, Passage, Sentences, as_sentence
from ..text.number import number
from ..text.rendering import folded, render_passage, titled
from .carried_flow import weld_flows
from .code_rules import code_passage
from .combination_numbers import HEADING as NUMBERS
from .combination_numbers import number_list, numbering
from .connected_beams import secondary_beams
from .deforming import deforming_passage
from .extremes import named_sections
from .hinge_passage import HEADING as HINGES
from .hinge_passage import hinges
from .joint_passage import HEADING as HEADING_OF_JOINTS
from .joint_passage import found_joints, joint_passage
from .limits import limit_grid, limit_notes
from .plumb import HEADING as PLUMB
from .plumb import pitch_notes, pitch_words, plumb_reactions
from .reactions import reactions
from .reasons import cures, why
from .result_grids import loads, points, results
from .shear_lag import HEADING as LAG
from .shear_lag import shear_lag_passage
from .slip import clearances
from .stability import HEADING, stability_passage
from .units import MemberUnits

if TYPE_CHECKING:
    from ...solver.member.model.axis import Axis
    from ...solver.member.review.assessment import Assessment

#: Kinks that are told one by one, at most.
_KINKS = 3


def member_table(assessment: Assessment) -> str:
    """The table as text."""
    member = assessment.solution.mesh.member
    parts = [
        "\n".join(titled(member.name)) + "\n",
        "\n".join(render_passage([item]) for item in description(assessment)),
        *(
            _headed(heading, render_passage(passage))
            for heading, passage in passages(assessment).items()
        ),
        folded(member_notes(assessment), "* "),
    ]
    return "\n".join(part for part in parts if part)


def passages(assessment: Assessment) -> dict[str, Passage]:
    """All that the table says of a member's results, by headings."""
    units = MemberUnits(assessment.request.units)
    limits = "Limits" if not assessment.customary else "Limits (none set: the customary one)"
    largest = "Largest results of each combination"
    both = {
        largest: results(assessment, units),
        "Sections that deform": deforming_passage(assessment, units),
    }
    if assessment.deformed is not None:  # by which limits are judged: it comes first
        both = {
            "Sections that deform": both["Sections that deform"],
            f"{largest}, sections keeping their shape": both[largest],
        }
    found = {
        "Applied loads and torques": loads(assessment, units),
        **both,
        HEADING: stability_passage(assessment, units),
        LAG: shear_lag_passage(assessment, units),
        "Displacements of named points": points(assessment, units),
        "Support reactions": reactions(assessment, units),
        PLUMB: plumb_reactions(assessment, units),
        HINGES: hinges(assessment, units),
        **_envelope(assessment, units),
        "Secondary beams": secondary_beams(assessment, units),
        HEADING_OF_JOINTS: joint_passage(
            found_joints(assessment), assessment.request.joints, assessment.request.units
        ),
        "Clearances": clearances(assessment, units),
        "Welds and cells along the member": weld_flows(assessment, units),
        limits: limit_grid(assessment, units),
        "Rules of design codes": code_passage(assessment, units),
        "Why it twists": why(assessment),
        "Remedies, each solved again": cures(assessment, units),
    }
    short = numbering(assessment)
    return {
        NUMBERS: number_list(assessment),
        **{heading: short.passage(passage) for heading, passage in found.items()},
    }


def _envelope(assessment: Assessment, units: MemberUnits) -> dict[str, Passage]:
    """Of all combinations, where loads travel or come and go, and what bearings carry."""
    envelope = assessment.envelope
    if envelope is None:
        return {}
    return {
        ENVELOPE: envelope_passage(envelope, units),
        ARRANGED: arrangement_passage(envelope, assessment.arrangements, units),
        SCHEDULE: schedule_passage(envelope, units),
    }


def _headed(heading: str, body: str) -> str:
    return "\n".join([*titled(heading, "-"), body]) if body else ""


# -- what it is ----------------------------------------------------------------------------------
def description(assessment: Assessment) -> Passage:
    """The member's length, spans and plan, and its sections."""
    units = MemberUnits(assessment.request.units)
    member = assessment.solution.mesh.member
    spans = [units.value(b - a, "along") for a, b in member.spans]
    along = units.unit("along")
    lengths = f"{len(spans)} spans of {', '.join(spans)} {along}" if len(spans) > 1 else "one span"
    line = f"{units.text(member.length, 'along')} long, {lengths}; {plan_words(assessment, units)}"
    standing = pitch_words(member)
    line += f"; {standing}" if standing else ""
    rows = []
    for name, section in named_sections(assessment).items():
        s = section.constants
        rows.append(
            [
                name,
                units.value(s.area, "area", 5),
                units.value(s.second_moment_x, "second moment", 5),
                units.value(s.second_moment_y, "second moment", 5),
                units.value(s.torsion_constant, "second moment", 5),
                units.value(s.warping_constant, "warping constant", 5),
                units.value(s.characteristic_length, "along"),
            ]
        )
    names = ["section", "A", "I_x", "I_y", "J = I_T", "C_w = I_w", "a"]
    quantities = ("area", *["second moment"] * 3, "warping constant", "along")
    measured = ["", *(units.unit(q) for q in quantities)]
    return [Sentences([line]), HeadedRows(names, measured, rows)]


def plan_words(assessment: Assessment, units: MemberUnits) -> str:
    """How the member runs in plan."""
    axis = assessment.solution.mesh.member.axis
    if not axis.curved:
        return "straight"
    kinks = _kink_words(axis, units)
    if not any(p.tightest for p in axis.pieces):
        return f"{'a ring of straight pieces' if axis.closed else 'straight pieces'} with {kinks}"
    radii = sorted({1 / p.tightest for p in axis.pieces if p.tightest})
    arcs = sum(p.length for p in axis.pieces if p.tightest)
    if any(p.ends[0] != p.ends[1] for p in axis.pieces):
        kinks = f"transitions{' and ' + kinks if kinks else ''}"
    shown = " and ".join(number(r * units.factor("along"), 4) for r in radii[:3])
    unit = units.unit("along")
    if axis.closed:
        return f"a ring, radius {shown} {unit}" + (f", with {kinks}" if kinks else "")
    words = f"curved in plan over {units.value(arcs, 'along')} {unit}, radius {shown} {unit}"
    return words + (f", with {kinks}" if kinks else "")


def _kink_words(axis: Axis, units: MemberUnits) -> str:
    """Kinks with their angles; of many their number and the sharpest."""
    if len(axis.kinks) > _KINKS:
        sharpest = max(axis.kinks, key=lambda k: abs(k.angle))
        return (
            f"{len(axis.kinks)} kinks, the sharpest of {units.text(sharpest.angle, 'angle')} at "
            f"{units.text(sharpest.at, 'along')}"
        )
    each = [units.value(k.angle, "angle") for k in axis.kinks]
    if len(each) > 1:
        return f"kinks of {', '.join(each[:-1])} and {each[-1]} {units.unit('angle')}"
    at = f" at {units.text(axis.kinks[0].at, 'along')}" if each else ""
    return f"a kink of {each[0]} {units.unit('angle')}{at}" if each else ""


# -- notes ---------------------------------------------------------------------------------------
def member_notes(assessment: Assessment) -> list[str]:
    """What must stand beside the results: assumptions, sources, the balance, cautions."""
    solution = assessment.solution
    notes = [as_sentence(note) for note in leading_notes(assessment)]
    notes += pitch_notes(solution.mesh.member)
    kinks = kink_note(solution.mesh.member)
    notes += [as_sentence(kinks)] if kinks else []
    axis = solution.mesh.member.axis
    if assessment.deformed is not None and axis.in_arcs(2) is not axis:
        notes.append(
            f"Transitions in plan: the classical theory follows their curvature exactly, sections "
            f"that deform take {TRANSITION_ARCS} arcs for each."
        )
    notes += [f"Check: {doubt}." for doubt in doubts(assessment.request)]
    if assessment.deformed is not None:
        deforming = assessment.deformed.solution
        off = off_material(deforming, assessment.request.units.length)
        notes += [as_sentence(said) for said in (*deforming.course.notes, *off)]
    critical = [c for c in solution.critical if math.isfinite(c.factor)]
    if critical and assessment.stability is None:
        least = min(critical, key=lambda c: c.factor)
        notes.append(
            f"Elastic critical load: {number(least.factor, 4)} times {least.name!r}, the lowest "
            f"of all combinations ({solution.order} order)."
        )
    if assessment.stress is not None and not assessment.stress.bounded:
        notes.append(
            "A section has sharp corners where the elastic shear stress is unbounded; their "
            "surroundings are left out of the stresses. Enter the real fillet radius."
        )
    if any(s.section_end is not None for s in solution.mesh.member.segments):
        notes.append(
            "In tapered segments the largest stress is interpolated between solved sections under "
            "the actions found there, which errs on the safe side."
        )
    for name, section in named_sections(assessment).items():
        if section.result is not None:
            own = [*section.result.section.notes, *curve_notes([section.result])]
            notes += [f"Section {name!r}: {note}" for note in own]
    envelope = assessment.envelope
    used = set() if envelope is None else {n for c in envelope.combinations for n in c.moving}
    moving = [load.name for load in assessment.request.vehicles]
    moving += [load.name for load in assessment.request.crowds]
    left = [name for name in moving if name not in used]
    if left:
        notes.append(
            f"Moving loads are not in these results: {', '.join(left)}; no combination names "
            "them, and soapfilm influence puts each where it does most."
        )
    if envelope is not None:
        own = [as_sentence(note) for note in envelope.notes]
        notes += [note for note in own if note not in notes]
    notes += limit_notes(assessment)
    notes.append(
        f"Loads and reactions are in balance within {float(solution.residual.max()):.0e} of their "
        "size."
    )
    notes.append(caution.MEMBER)
    short = numbering(assessment)
    return [short.text(note) for note in notes]
