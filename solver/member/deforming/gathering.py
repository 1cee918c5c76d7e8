"""The course of a member: its sections reduced to one common set of functions, part by part."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import replace
from itertools import pairwise

import numpy as np

from ....geometry.errors import ArrangementError, GeometryError, InputError
from ....geometry.section import Section
from ...section.deforming.reduced import ReducedSection
from ...section.deforming.reduction import reduced_sections
from ...section.deforming.response import Acting
from ...section.deforming.taper import TaperedPiece, tapered_piece, tapered_sections
from ..model.member import SAME_STATION, Member, Segment
from ..model.solved_section import SolvedSection
from .acting import acting_of
from .course import Course, MemberPart, SectionAt, Taper, arc_ratio
from .passing import check_passing, in_arcs

#: Slow modes of each section, besides its answers to what acts.
MODES = 6

#: Outlines that differ by less than this part of their extent make no step.
_ALIKE = 1e-9

Span = tuple[float, float, float]
Enrichment = Callable[[Sequence[ReducedSection]], Sequence[ReducedSection]]


#: Slow modes in the common basis of a member with several sections, and the least of each: the
#: fields of neighbours largely serve each other, and cost grows with the cube of their number.
MODES_IN_ALL, LEAST_MODES = 14, 3


def course_of(
    member: Member,
    sections: Mapping[str, SolvedSection],
    modes: int | None = None,
    *,
    answers: bool = True,
    enrich: Enrichment | None = None,
    order: int | None = None,
    coarse: bool = False,
) -> Course:
    """Reduce the sections of a member.

    Parameters
    ----------
    member : Member
    sections : mapping
        Solved sections by the names their constants bear.
    modes : int, optional
        Slow modes of each section.
    answers : bool
        Whether the sections' answers to what acts are among the functions.
    enrich : function, optional
        Gives the reduced sections more functions.
    order : int, optional
        Of the sections' shape functions.
    coarse : bool
        Whether the answers leave out their shortest waves.

    Raises
    ------
    InputError
        A section without an outline; sections that neither match nor share material.
    """
    check_passing(member)
    member = in_arcs(member)
    segments = whole_tapers(member.segments, sections)
    names = list(
        dict.fromkeys(
            s.name for segment in segments for s in (segment.section, segment.section_end) if s
        )
    )
    outlines = [_outline(sections[name], name) for name in names]
    tapers = any(s.section_end is not None for s in segments)
    if modes is None:
        # A taper is solved at its middle too.
        solves = len(outlines) + (len(outlines) - 1 if tapers else 0)
        modes = MODES if solves == 1 else max(LEAST_MODES, MODES_IN_ALL // solves)
    try:
        reduce = tapered_sections if tapers else reduced_sections
        acting = replace(acting_of(member), coarse=coarse) if answers else Acting()
        if tapers:
            # Waves under held warping of one section bend the walls of the next ones.
            acting = replace(acting, warping_held=False)
        found = reduce(outlines, modes=modes, order=order, acting=acting)
        reduced = dict(zip(names, found, strict=True))
    except ArrangementError:
        raise
    except GeometryError as error:
        both = tapers and any(_steps(segments))
        advice = "; a member that tapers must not step besides" if both else ""
        raise InputError(
            f"the member's sections do not go together as sections that deform: {error}{advice}"
        ) from error
    if tapers:
        _refuse_steps(segments, reduced)
    if enrich is not None:
        reduced = dict(zip(reduced, enrich(list(reduced.values())), strict=True))
    parts: list[MemberPart] = []
    bent: dict[tuple[int, float], ReducedSection] = {}
    for segment in segments:
        parts += _parts(member, segment, reduced, bent)
    return Course(tuple(parts))


def _steps(segments: Sequence[Segment]) -> Iterator[tuple[float, str, str]]:
    """Where a segment starts with another section than the one before it ends with."""
    for before, after in pairwise(segments):
        last = (before.section_end or before.section).name
        if last != after.section.name:
            yield after.start, last, after.section.name


def _refuse_steps(segments: Sequence[Segment], reduced: Mapping[str, ReducedSection]) -> None:
    """Refuse steps of a member that also tapers: its functions live on one moving mesh, and tie
    each corner before the step to its partner after it, wherever the two are."""
    for at, last, first in _steps(segments):
        one, other = (reduced[name].fields.placed().vertices for name in (last, first))
        if np.abs(one - other).max() > _ALIKE * np.ptp(one):
            raise InputError(
                f"the member steps from section {last!r} to {first!r} at {at:g} and tapers "
                "elsewhere, which sections that deform cannot do in one member; join the two by a "
                "short taper, or let all changes be steps"
            )


def whole_tapers(
    segments: Sequence[Segment], sections: Mapping[str, SolvedSection]
) -> list[Segment]:
    """Tapers from end to end, without the sections made between for the classical theory."""
    found: list[Segment] = []
    for segment in segments:
        before = found[-1].section_end if found else None
        if before is not None and sections[before.name].made and segment.section_end is not None:
            found[-1] = replace(found[-1], end=segment.end, section_end=segment.section_end)
        else:
            found.append(segment)
    return found


def _outline(section: SolvedSection, name: str) -> Section:
    if section.result is None:
        raise InputError(
            f"section {name!r} is given by its figures alone, which do not say how it deforms; "
            'give its outline, or set sections = "keep their shape" under [analysis]'
        )
    if section.torsion_factor != 1:
        raise InputError(
            f"the torsional stiffness of section {name!r} is lowered by a factor (cracked "
            "concrete), which the theory of deforming sections cannot take"
        )
    return section.result.section


def _parts(
    member: Member,
    segment: Segment,
    reduced: Mapping[str, ReducedSection],
    bent: dict[tuple[int, float], ReducedSection],
) -> list[MemberPart]:
    """A segment cut where the axis changes its curvature; sections bent alike are bent once."""
    least = SAME_STATION * member.length
    inner = [z for z in member.axis.breaks if segment.start + least < z < segment.end - least]
    ends = [segment.start, *map(float, inner), segment.end]
    first = reduced[segment.section.name]
    last = first if segment.section_end is None else reduced[segment.section_end.name]
    found = []
    for a, b in pairwise(ends):
        curvature = float(member.axis.curvature([(a + b) / 2])[0])
        ratio = arc_ratio(curvature, member.line[0])
        for section in (first, last):
            if (id(section), curvature) not in bent:
                bent[id(section), curvature] = _bent(section, curvature, member.line[0])
        one, other = (bent[id(section), curvature] for section in (first, last))
        if segment.section_end is None:
            found.append(MemberPart(a, b, first, one, ratio))
            continue
        # The piece runs over the whole segment, counted along the line through the origin.
        piece = tapered_piece(one, other, (segment.end - segment.start) * ratio)
        found.append(
            MemberPart(
                a, b, first, piece.section(((a + b) / 2 - segment.start) * ratio), ratio,
                _along(piece, segment.start, ratio),
                _taper(piece, last, segment),
            )
        )  # fmt: skip
    return found


def _along(piece: TaperedPiece, start: float, ratio: float) -> SectionAt:
    """The sections of a taper by stations of the axis."""
    return lambda z: piece.section((z - start) * ratio)


def _taper(piece: TaperedPiece, last: ReducedSection, segment: Segment) -> Taper:
    n = last.size
    c, cross, m = piece.table[:, : 3 * n * n].reshape(-1, 3, n, n).transpose(1, 0, 2, 3)
    return Taper(last, segment.start, segment.end, piece.stations, c, cross, m)


def _bent(section: ReducedSection, curvature: float, line_x: float) -> ReducedSection:
    """The section on an axis of given curvature; see `course.curved_parts`."""
    return section if not curvature else section.curved(-(1 / curvature + line_x))
