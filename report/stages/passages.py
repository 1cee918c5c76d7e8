"""The parts of a staged member's table: what stands when, what each stage leaves, limits,
reactions."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from ..member.joint_passage import HEADING as JOINTS
from ..member.limits import limit_value
from ..member.units import MemberUnits
from ..text import caution
from ..text.blocks import HeadedRows, Passage, Sentences
from ..text.number import near_zero, number
from ..text.rendering import folded, render_passage, titled
from .decks import stage_deck_passage
from .every_bolt import stage_joint_passage

if TYPE_CHECKING:
    from ...solver.member.beam.support_reaction import SupportReaction
    from ...solver.member.file.request import MemberRequest
    from ...solver.member.model.member import Member
    from ...solver.member.staged.assessment import StagedAssessment, StageResult

#: Combinations whose reactions are listed one by one; of more, the largest.
_MOST = 6


def staged_table(staged: StagedAssessment) -> str:
    """The table as text."""
    member = staged.request.member
    parts = ["\n".join(titled(f"{member.name}, built in {len(staged.stages)} stages")) + "\n"]
    for heading, passage in staged_passages(staged).items():
        body = render_passage(passage)
        if body:
            parts.append("\n".join([*titled(heading, "-"), body]))
    parts.append(folded(staged_notes(staged), "* "))
    return "\n".join(parts)


def staged_passages(staged: StagedAssessment) -> dict[str, Passage]:
    """All that the table says, by headings."""
    units = MemberUnits(staged.request.units)
    return {
        "Stages": _stages(staged),
        "What stands after each stage": _standing(staged, units),
        "Displacements of named points, in all": _points(staged, units),
        "Limits, stage by stage": _limits(staged, units),
        "Reactions, in all": _reactions(staged, units),
        "Decks, in all": stage_deck_passage(staged, units),
        JOINTS: stage_joint_passage(staged),
    }


def _stages(staged: StagedAssessment) -> Passage:
    rows = []
    for result in staged.stages:
        stage = result.stage
        stands = [s.section.name for s in result.member.segments]
        rows.append(
            [
                stage.name,
                ", ".join(stage.cases) or "no load",
                ", ".join(dict.fromkeys(stands)),
                ", ".join(stage.without) or "everything stands",
                ", ".join(result.released) or "-",
            ]
        )
    heads = ["stage", "load cases applied", "sections", "not there", "taken away before it"]
    return [HeadedRows(heads, [""] * len(heads), rows)]


def _standing(staged: StagedAssessment, units: MemberUnits) -> Passage:
    stressed = any(s.stress is not None for s in staged.stages)
    heads = ["stage", "combination", "twist added", "twist", "at", "deflection"]
    quantities = ["", "", "angle", "angle", "along", "displacement"]
    if stressed:
        heads += ["stress", "at"]
        quantities += ["stress", "along"]
    rows = []
    for result in staged.stages:
        for c, name in enumerate(staged.names):
            twist = np.abs(result.twist[:, c])
            row = [
                result.stage.name,
                name,
                units.value(float(np.abs(result.added[:, c]).max()), "angle"),
                units.value(float(twist.max()), "angle"),
                units.value(float(result.z[twist.argmax()]), "along"),
                units.value(
                    float(np.abs(result.moved["shear_centre"][1][:, c]).max()), "displacement"
                ),
            ]
            if stressed:
                row += ["-", "-"]
                if result.stress is not None:
                    mises = result.stress.mises[:, c]
                    where = float(result.stress.z[mises.argmax()])
                    row[-2:] = [
                        units.value(float(mises.max()), "stress"),
                        units.value(where, "along"),
                    ]
            rows.append(row)
    words = [
        "Twist and stress of all stages so far are added up at each station and point: what a "
        "stage locks in stays. The deflection is that of the shear centre."
    ]
    words += [
        f"After {s.stage.name!r} no stress is given: {s.no_stress}."
        for s in staged.stages
        if s.no_stress
    ]
    table = HeadedRows(heads, [units.unit(q) if q else "" for q in quantities], rows)
    return [table, Sentences(words)]


def _points(staged: StagedAssessment, units: MemberUnits) -> Passage:
    rows = []
    for point in staged.request.member.points:
        for result in staged.stages:
            across, up = result.moved[point]
            for word, values in (("across", across), ("up", up)):
                row, c = np.unravel_index(int(np.abs(values).argmax()), values.shape)
                rows.append(
                    [
                        point,
                        result.stage.name,
                        word,
                        units.value(float(values[row, c]), "displacement"),
                        units.value(float(result.z[row]), "along"),
                        staged.names[int(c)],
                    ]
                )
    if not rows:
        return []
    heads = ["point", "stage", "direction", "displacement", "at", "combination"]
    measured = ["", "", "", units.unit("displacement"), units.unit("along"), ""]
    return [HeadedRows(heads, measured, rows)]


def _limits(staged: StagedAssessment, units: MemberUnits) -> Passage:
    rows = [
        [
            stage.name,
            item.row.limit,
            limit_value(item, abs(item.row.value), units),
            limit_value(item, item.row.allowed, units),
            f"{100 * item.row.ratio:.0f} %",
            "OK" if item.row.passed else "EXCEEDED",
            units.value(item.row.station, "along"),
            item.row.combination,
        ]
        for stage, item in staged.limits
    ]
    heads = ["stage", "limit", "value", "allowed", "used", "", "at", "combination"]
    measured = ["", "", "", "", "", "", units.unit("along"), ""]
    return [HeadedRows(heads, measured, rows)] if rows else []


def _reactions(staged: StagedAssessment, units: MemberUnits) -> Passage:
    every = [r for s in staged.stages for row in s.reactions for r in row]
    scale = (
        max((max(map(abs, r.force)) for r in every), default=0.0),
        max((abs(r.torque) for r in every), default=0.0),
    )
    rows = []
    for result in staged.stages:
        numbers = range(len(staged.names))
        if len(staged.names) > _MOST:
            numbers = range(*_largest(result))
        for c in numbers:
            rows += [
                [result.stage.name, staged.names[c], *_reaction(r, units, scale)]
                for r in result.reactions[c]
            ]
    if not rows:
        return []
    heads = ["stage", "combination", "support", "R_x", "R_y", "T", "B", "couple"]
    quantities = ["force", "force", "moment", "bimoment", "force"]
    measured = ["", "", "", *(units.unit(q) for q in quantities)]
    return [HeadedRows(heads, measured, rows)]


def _largest(result: StageResult) -> tuple[int, int]:
    """The combination with the largest torque at a support."""
    sizes = [max((abs(r.torque) for r in rows), default=0.0) for rows in result.reactions]
    c = int(np.argmax(sizes))
    return c, c + 1


def _reaction(r: SupportReaction, units: MemberUnits, scale: tuple[float, float]) -> list[str]:
    force, torque = scale
    return [
        r.title,
        units.value(near_zero(r.force[0], force), "force"),
        units.value(near_zero(r.force[1], force), "force"),
        units.value(near_zero(r.torque, torque), "moment"),
        units.value(near_zero(r.bimoment, torque * 1e3), "bimoment"),
        "-" if r.couple is None else units.value(near_zero(r.couple, force), "force"),
    ]


def slips(member: Member) -> list[float]:
    """Angles by which joints turn before they hold."""
    found = [s.twist_slip for s in member.supports]
    return found + [float(getattr(r, "slip", 0.0)) for r in member.restraints]


def not_judged(request: MemberRequest) -> list[str]:
    """What the file asks for that stages cannot answer, and what to do."""
    asked = [
        *(["the rules of [[code]]"] if request.codes else []),
        *(["limits on first_frequency"] if request.frequencies else []),
        *(["limits on critical_factor"] if request.critical else []),
    ]
    notes = []
    if asked:
        notes.append(
            f"Not judged for members built in stages: {', '.join(asked)}. They belong to one "
            "structure: take the stages out, leave in what stands at the stage in question, and "
            "solve that."
        )
    moving = [load.name for load in request.vehicles] + [load.name for load in request.crowds]
    if moving:
        notes.append(f"Moving loads are not in these results: {', '.join(moving)}.")
    return notes


def staged_notes(staged: StagedAssessment) -> list[str]:
    """What must stand beside the results."""
    if staged.alone:
        theory = f"The classical theory stands alone: {staged.alone}."
    else:
        largest = float(np.abs(staged.stages[-1].twist).max())
        z = staged.stages[-1].z
        other = float(np.abs(staged.classical.until(len(staged.stages) - 1).twist(z)).max())
        factor = MemberUnits(staged.request.units).factor("angle")
        theory = (
            "Sections deform; the classical theory gives a largest twist of "
            f"{number(other * factor, 4)} in all, this one {number(largest * factor, 4)} "
            f"{MemberUnits(staged.request.units).unit('angle')}."
        )
    notes = [
        theory,
        "Stages are added up in first order. Where a section softens by creep, each load is "
        "carried with the modulus of its own stage (effective modulus); what creep shifts of "
        "earlier stress from concrete to steel is in it only as far as the stages say so.",
        "Stability is not looked at stage by stage: judge a slender stage on its own.",
    ]
    if any(slips(staged.request.member)):
        notes.append(
            "Limits are judged with joints centred in their clearances; in stages their worst "
            "state is not looked for: a joint may turn as far again, so solve the member loaded at "
            "once and read its Clearances."
        )
    notes += not_judged(staged.request)
    if not staged.request.limits:
        notes.append("The file sets no limit; the customary twist limit is shown.")
    return [*notes, caution.MEMBER]
