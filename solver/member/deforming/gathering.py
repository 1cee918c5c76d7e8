"""The course of a member: its sections reduced to one common set of functions, part by part."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from itertools import pairwise

from ....geometry.errors import GeometryError, InputError
from ....geometry.section import Section
from ...section.deforming.reduced import ReducedSection
from ...section.deforming.reduction import MODES, reduced_sections
from ...section.deforming.taper import tapered_piece, tapered_sections
from ..model.member import SAME_STATION, Member, Stretch
from ..model.solved_section import SolvedSection
from .course import Course, Part, arc_ratio

Span = tuple[float, float, float]


def course_of(member: Member, sections: Mapping[str, SolvedSection], modes: int = MODES) -> Course:
    """Reduce the sections of a member.

    Parameters
    ----------
    member : Member
    sections : mapping
        Solved sections by the names their constants bear.
    modes : int
        Slow modes of each section.

    Raises
    ------
    InputError
        A section without an outline; sections that neither match nor share material.
    """
    stretches = whole_tapers(member.stretches, sections)
    names = list(
        dict.fromkeys(
            s.name for stretch in stretches for s in (stretch.section, stretch.section_end) if s
        )
    )
    outlines = [_outline(sections[name], name) for name in names]
    tapers = any(s.section_end is not None for s in stretches)
    try:
        reduce = tapered_sections if tapers else reduced_sections
        reduced = dict(zip(names, reduce(outlines, modes=modes), strict=True))
    except GeometryError as error:
        raise InputError(
            f"the member's sections do not go together as sections that deform: {error}"
        ) from error
    parts: list[Part] = []
    for stretch in stretches:
        parts += _parts(member, stretch, reduced)
    return Course(tuple(parts))


def whole_tapers(
    stretches: Sequence[Stretch], sections: Mapping[str, SolvedSection]
) -> list[Stretch]:
    """Tapers from end to end, without the sections made between for the classical theory."""
    found: list[Stretch] = []
    for stretch in stretches:
        before = found[-1].section_end if found else None
        if before is not None and sections[before.name].made and stretch.section_end is not None:
            found[-1] = replace(found[-1], end=stretch.end, section_end=stretch.section_end)
        else:
            found.append(stretch)
    return found


def _outline(section: SolvedSection, name: str) -> Section:
    if section.result is None:
        raise InputError(
            f"section {name!r} is given by its figures alone, which do not say how it deforms; "
            'give its outline, or set sections = "keep their shape" under [analysis]'
        )
    return section.result.section


def _parts(member: Member, stretch: Stretch, reduced: Mapping[str, ReducedSection]) -> list[Part]:
    """A stretch cut where the axis changes its curvature."""
    least = SAME_STATION * member.length
    inner = [z for z in member.axis.breaks if stretch.start + least < z < stretch.end - least]
    ends = [stretch.start, *map(float, inner), stretch.end]
    first = reduced[stretch.section.name]
    last = first if stretch.section_end is None else reduced[stretch.section_end.name]
    found = []
    for a, b in pairwise(ends):
        curvature = float(member.axis.curvature([(a + b) / 2])[0])
        ratio = arc_ratio(curvature, member.line[0])
        one, other = (_bent(s, curvature, member.line[0]) for s in (first, last))
        if stretch.section_end is None:
            found.append(Part(a, b, first, one, ratio))
            continue
        # The piece runs over the whole stretch, counted along the line through the origin.
        piece = tapered_piece(one, other, (stretch.end - stretch.start) * ratio)
        found.append(
            Part(
                a, b, first, piece.section(((a + b) / 2 - stretch.start) * ratio), ratio,
                lambda z, piece=piece, ratio=ratio: piece.section((z - stretch.start) * ratio),
                (last, stretch.start, stretch.end),
            )
        )  # fmt: skip
    return found


def _bent(section: ReducedSection, curvature: float, line_x: float) -> ReducedSection:
    """The section on an axis of given curvature; see `course.curved_parts`."""
    return section if not curvature else section.curved(-(1 / curvature + line_x))
