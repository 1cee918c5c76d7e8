"""The report of a member built in stages."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from ..member.joint_passage import HEADING as JOINTS
from ..member.units import MemberUnits
from ..section.table import section_groups
from ..stages.every_bolt import found_stage_joints
from ..stages.figure import plot_stages
from ..stages.passages import staged_notes, staged_passages
from ..text.blocks import Passage
from .document import (
    Block,
    Document,
    Fact,
    Facts,
    Formulas,
    Prose,
    Quantities,
    Remarks,
    ReportPart,
)
from .inputs import section_inputs
from .joint_pictures import joint_pictures
from .member_report import given_blocks, part_name, passage_blocks
from .origin import Origin, program, reproduction
from .picture import picture

if TYPE_CHECKING:
    from ...solver.member.staged.assessment import StagedAssessment

_FORMULAS = ("mixed_torsion", "normal_stress", "bending_shear", "warping_shear", "mises")


def stages_report(staged: StagedAssessment, origin: Origin) -> Document:
    """Tables, figure and inputs of all stages."""
    member = staged.request.member
    said = [
        ReportPart(part_name(heading), heading, _result_blocks(staged, heading, passage))
        for heading, passage in staged_passages(staged).items()
        if passage
    ]
    figure = picture(
        plot_stages(staged),
        f"Member {member.name} after each stage",
        "Twist, deflection and stress along the member after each stage, all stages so far "
        "together.",
    )
    parts = [
        ReportPart("job", "The job", [Prose(_words(staged)), Facts(stage_facts(staged))]),
        ReportPart("figures", "Figure", [figure]),
        *said,
        ReportPart("inputs", "What was given", _given(staged)),
        *_properties(staged),
        ReportPart("equations", "Equations and sources", [Formulas(_FORMULAS)]),
        ReportPart("cautions", "Assumptions and cautions", [Remarks(staged_notes(staged))]),
        reproduction(origin),
    ]
    return Document(
        member.name,
        "A member built in stages: what each locks in, and what stands in the end.",
        parts,
        {},
        program(),
    )


def _result_blocks(staged: StagedAssessment, heading: str, passage: Passage) -> list[Block]:
    blocks = passage_blocks(passage)
    if heading != JOINTS:
        return blocks
    return [*joint_pictures(found_stage_joints(staged), staged.request), *blocks]


def _words(staged: StagedAssessment) -> list[str]:
    exceeded = [(s, r) for s, r in staged.limits if not r.row.passed]
    verdict = (
        "It exceeds "
        + "; ".join(f"{r.row.limit} after \u201c{s.name}\u201d" for s, r in exceeded)
        + "."
        if exceeded
        else f"It keeps all {len(staged.limits)} limits, after every stage that they are set for."
    )
    names = ", ".join(f"\u201c{s.stage.name}\u201d" for s in staged.stages)
    return [
        f"The member \u201c{staged.request.member.name}\u201d is built in stages: {names}.",
        verdict,
    ]


def stage_facts(staged: StagedAssessment) -> list[Fact]:
    """The twist after each stage, and the limit that is used most."""
    units = MemberUnits(staged.request.units)
    facts = []
    for result in staged.stages:
        size = np.abs(result.twist)
        row, c = np.unravel_index(int(size.argmax()), size.shape)
        where = f"{staged.names[int(c)]}, at {units.text(float(result.z[row]), 'along')}"
        facts.append(
            Fact(
                f"twist after {result.stage.name}",
                "\u03c6",
                units.value(float(size[row, c]), "angle"),
                units.unit("angle"),
                where,
            )
        )
    worst = max(staged.limits, key=lambda item: item[1].row.ratio, default=None)
    if worst is not None:
        stage, item = worst
        used = f"{100 * item.row.ratio:.0f} %"
        facts.append(Fact("most used limit", "", used, "", f"{item.row.limit}, {stage.name}"))
    return facts


def _given(staged: StagedAssessment) -> list[Block]:
    blocks: list[Block] = []
    for name, section in staged.request.sections.items():
        if section.result is not None:
            blocks.append(Prose([f"Section \u201c{name}\u201d:"]))
            blocks += section_inputs(section.result.section)
    return [*blocks, *given_blocks(staged.request)]


def _properties(staged: StagedAssessment) -> list[ReportPart]:
    return [
        ReportPart(
            f"properties-{k}",
            f"Properties of section \u201c{name}\u201d",
            [Quantities(section_groups(section.result))],
        )
        for k, (name, section) in enumerate(staged.request.sections.items())
        if section.result is not None
    ]
