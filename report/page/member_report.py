"""The report of a member: live diagrams with the section's stress, tables, limits, sources."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Any

from ..member.figure import plot_member
from ..member.given import given_passages
from ..member.governing import largest_stress, largest_twist
from ..member.joint_passage import HEADING as JOINTS
from ..member.joint_passage import found_joints
from ..member.mode_figure import drawable, plot_mode
from ..member.settling import near_words
from ..member.slip import slipping_limits
from ..member.table import description, member_notes, passages
from ..member.units import MemberUnits
from ..section.table import section_groups
from ..text.blocks import HeadedRows, Passage, Sentences
from ..text.number import number
from .document import (
    Block,
    Document,
    Facts,
    Formulas,
    Grid,
    Live,
    Prose,
    Quantities,
    Remarks,
    ReportPart,
)
from .envelope_pictures import envelope_pictures
from .inputs import section_inputs
from .joint_pictures import joint_pictures
from .live_member import largest_actions, live_sections, member_data
from .live_section import section_data, shaped
from .member_facts import classical_words, member_facts
from .origin import Origin, program, reproduction
from .picture import picture
from .section_report import unit_cases

if TYPE_CHECKING:
    from ...solver.member.file.request import MemberRequest
    from ...solver.member.review.assessment import Assessment

#: Live sections in one page: each adds about half a megabyte.
_MOST_SECTIONS = 3
_FORMULAS = (
    "mixed_torsion", "curved_member", "normal_stress", "bending_shear", "warping_shear", "mises",
    "lower_bound", "upper_bound", "shear_centre", "lever_arm",
)  # fmt: skip
#: Parts of the table that are the input's, not the results'.
_INPUT = "Applied loads and torques"


def member_report(assessment: Assessment, origin: Origin) -> Document:
    """The report of a member."""
    member = assessment.solution.mesh.member
    said = passages(assessment)
    sections = _sections(assessment)
    live = {"member": member_data(assessment), "sections": sections}
    blocks = [Live("member", live["member"]), *(Live("section", data) for data in sections)]
    results = [
        ReportPart(part_name(heading), heading, _result_blocks(assessment, heading, passage))
        for heading, passage in said.items()
        if passage and heading != _INPUT
    ]
    words = _words(assessment, said["Why it twists"])
    drawn = [_figure(assessment), *_mode(assessment), *envelope_pictures(assessment)]
    parts = [
        ReportPart("job", "The job", [Prose(words), Facts(member_facts(assessment))]),
        ReportPart("live", "Along the member", blocks),
        ReportPart("figures", "Figure", drawn),
        *([_film(sections[0])] if sections else []),
        ReportPart("inputs", "What was given", _given(assessment, said[_INPUT])),
        *results,
        *_properties(assessment),
        ReportPart("checks", "Checks made", [_checks(assessment)]),
        ReportPart("equations", "Equations and sources", [Formulas(_FORMULAS)]),
        ReportPart("cautions", "Assumptions and cautions", [Remarks(member_notes(assessment))]),
        reproduction(origin),
    ]
    subtitle = "A member with its loads and supports: twist, bimoment and stress along its length."
    return Document(member.name, subtitle, parts, live, program())


def _result_blocks(assessment: Assessment, heading: str, passage: Passage) -> list[Block]:
    blocks = passage_blocks(passage)
    if heading != JOINTS:
        return blocks
    return [*joint_pictures(found_joints(assessment), assessment.request), *blocks]


def _sections(assessment: Assessment) -> list[dict[str, Any]]:
    """Data of the live sections, in the order of `live_sections`."""
    found = []
    own = largest_actions(assessment)
    for k, name in enumerate(live_sections(assessment)[:_MOST_SECTIONS]):
        result = assessment.request.sections[name].result
        assert result is not None  # it has an outline
        data = shaped(section_data(None, unit_cases(result), None, own=own), result.section)
        data["suffix"] = "" if k == 0 else f"-{k + 1}"
        data["follows"], data["component"] = name, "von Mises"
        data["less"] = assessment.stress is not None and bool(assessment.stress.own)
        found.append(data)
    return found


def _film(data: dict[str, Any]) -> ReportPart:
    return ReportPart(
        "film", "The membrane (soap film)", [Live("film_words", data), Live("film", data)]
    )


def _words(assessment: Assessment, why: Passage) -> list[str]:
    units = MemberUnits(assessment.request.units)
    line = next(item for item in description(assessment) if isinstance(item, Sentences))
    member = assessment.solution.mesh.member
    twist = largest_twist(assessment)
    words = [
        f"The member \u201c{member.name}\u201d is {line.texts[0]}.",
        f"It twists by {units.text(twist.value, 'angle')} at most, under "
        f"\u201c{twist.combination}\u201d at {units.text(twist.station, 'along')}"
        f"{classical_words(twist, units, 'angle')}.",
    ]
    peak = largest_stress(assessment)
    if peak is not None and assessment.stress is not None:
        away = near_words(assessment.deformed, assessment.stress.peak.bounded)
        words.append(
            f"The von Mises stress reaches {units.text(peak.value, 'stress')} under "
            f"\u201c{peak.combination}\u201d at {units.text(peak.station, 'along')}"
            f"{classical_words(peak, units, 'stress')}{away}."
        )
    if assessment.deformed is not None and not assessment.deformed.settled:
        words.append("No peak stress is stated: it still changes with the modes (see below).")
    words += [text for item in why if isinstance(item, Sentences) for text in item.texts[:1]]
    exceeded = [item.row.limit for item in assessment.limits if not item.row.passed]
    count = len(assessment.limits)
    words.append(
        f"It exceeds {len(exceeded)} of {count} limits: {'; '.join(dict.fromkeys(exceeded))}."
        if exceeded
        else f"It keeps {'the one limit' if count == 1 else f'all {count} limits'} that it was "
        "held against."
    )
    return [*words, *slipping_limits(assessment)]


def _figure(assessment: Assessment) -> Block:
    member = assessment.solution.mesh.member
    return picture(
        plot_member(assessment),
        f"Member {member.name} with its loads and the diagrams along it",
        "The member as it moves, exaggerated, its load plan, and the diagrams of the combination "
        "that governs its twist before the range of all.",
    )


def _mode(assessment: Assessment) -> list[Block]:
    """The buckling mode of the lowest factor, where one is near enough."""
    row = drawable(assessment)
    if row is None or row.movement is None:
        return []
    return [
        picture(
            plot_mode(assessment),
            f"Buckling mode of the lowest factor: {row.movement.movement.words}",
            f"The mode in which the member buckles first, at {number(row.factor, 4)} times its "
            "loads: its motion along the member, and the section where it moves most. The size "
            "of a mode has no meaning.",
        )
    ]


def _given(assessment: Assessment, loads: Passage) -> list[Block]:
    blocks = passage_blocks(description(assessment))
    for name in live_sections(assessment):
        result = assessment.request.sections[name].result
        assert result is not None  # it has an outline
        blocks.append(Prose([f"Section \u201c{name}\u201d:"]))
        blocks += section_inputs(result.section)
    blocks += given_blocks(assessment.given or assessment.request)
    torques = [
        replace(b, caption="Torques of the loads about the shear centre")
        if isinstance(b, Grid)
        else b
        for b in passage_blocks(loads)
    ]
    return [*blocks, *torques]


def given_blocks(request: MemberRequest) -> list[Block]:
    """All that the member file states, each kind under its own words."""
    blocks: list[Block] = []
    for heading, passage in given_passages(request).items():
        for block in passage_blocks(passage):
            blocks.append(replace(block, caption=heading) if isinstance(block, Grid) else block)
    return blocks


def _properties(assessment: Assessment) -> list[ReportPart]:
    parts = []
    for k, name in enumerate(live_sections(assessment)[:_MOST_SECTIONS]):
        result = assessment.request.sections[name].result
        assert result is not None  # it has an outline
        heading = f"Properties of section \u201c{name}\u201d"
        parts.append(ReportPart(f"properties-{k}", heading, [Quantities(section_groups(result))]))
    return parts


def _checks(assessment: Assessment) -> Grid:
    solution = assessment.solution
    rows = [
        (
            "balance of loads and reactions",
            f"{float(solution.residual.max()):.1e}",
            "the largest of six sums, by the size of the loads; a solve above 1e-10 is refused",
        )
    ]
    for name in live_sections(assessment):
        result = assessment.request.sections[name].result
        assert result is not None  # it has an outline
        rows.append(
            (
                f"width of J's interval, section \u201c{name}\u201d",
                f"{result.solver.reached:.1e}",
                f"asked for {result.solver.accuracy:.0e}",
            )
        )
    if assessment.stress is not None:
        change = assessment.stress.peak.change
        rows.append(("peak stress, change from the order before", f"{change:.1e}", "at its place"))
    least = min((c.factor for c in solution.critical), default=float("inf"))
    if least < float("inf"):
        told = f"{solution.order} order; sections keep their shape, see Buckling for both theories"
        rows.append(("elastic critical load factor, classical", number(least, 4), told))
    return Grid(("check", "found", "what it tells"), rows)


def passage_blocks(passage: Passage) -> list[Block]:
    """A passage of the member's table as blocks."""
    blocks: list[Block] = []
    for item in passage:
        if isinstance(item, HeadedRows):
            heads = [
                f"{head} ({unit})" if unit else head
                for head, unit in zip(
                    item.headings, item.units or [""] * len(item.headings), strict=True
                )
            ]
            blocks.append(Grid(heads, item.rows))
        else:
            blocks.append(Prose(item.texts))
    return blocks


def part_name(heading: str) -> str:
    """A heading as the name of its part."""
    return "-".join(w for w in heading.lower().replace("(", "").split()[:4] if w.isalpha())
