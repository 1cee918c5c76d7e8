"""The course of a member: its sections reduced to one common set of functions, part by part."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from itertools import pairwise

from ....geometry.errors import ArrangementError, GeometryError, InputError
from ....geometry.section import Section
from ...section.deforming.acting import Acting
from ...section.deforming.common_mesh import Pairs
from ...section.deforming.reduced import ReducedSection
from ...section.deforming.reduction import reduced_sections
from ...section.deforming.taper import TaperedPiece, tapered_piece
from ..model.member import SAME_STATION, Member, Segment
from ..model.solved_section import SolvedSection
from .acting import acting_of
from .course import Course, MemberPart, SectionAt, Taper, arc_ratio
from .passing import check_passing, in_arcs
from .strained import with_strained_shapes

#: Slow modes of each section, besides its answers to what acts.
MODES = 6

#: Length, by a section's size, over which what acts beyond its end disturbs it.
_REACH = 0.5

Span = tuple[float, float]
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
    number = {name: k for k, name in enumerate(names)}
    tapers, steps = _tapers(segments, number), _steps(segments, number)
    if modes is None:
        # A taper is solved at its middle too.
        solves = len(outlines) + len(tapers)
        modes = MODES if solves == 1 else max(LEAST_MODES, MODES_IN_ALL // solves)
    acting: Sequence[Acting] = [Acting()] * (len(outlines) + len(tapers))
    if answers:
        acting = _acting(member, segments, outlines, number, tapers, steps)
    try:
        found = reduced_sections(
            outlines, tapers=tapers, steps=steps, modes=modes, order=order,
            acting=[replace(one, coarse=coarse) for one in acting],
        )  # fmt: skip
    except ArrangementError:
        raise
    except GeometryError as error:
        raise InputError(
            f"the member's sections do not go together as sections that deform: {error}"
        ) from error
    reduced = dict(zip(names, found, strict=True))
    reduced = with_strained_shapes(member, segments, reduced)
    if enrich is not None:
        reduced = dict(zip(reduced, enrich(list(reduced.values())), strict=True))
    parts: list[MemberPart] = []
    bent: dict[tuple[int, float], ReducedSection] = {}
    for segment in segments:
        parts += _parts(member, segment, reduced, bent)
    return Course(tuple(parts))


def _tapers(segments: Sequence[Segment], number: Mapping[str, int]) -> Pairs:
    """Sections that taper into each other, each pair once."""
    ends = [(s.section.name, s.section_end.name) for s in segments if s.section_end is not None]
    pairs = (sorted((number[a], number[b])) for a, b in ends if a != b)
    return list(dict.fromkeys((a, b) for a, b in pairs))


def _steps(segments: Sequence[Segment], number: Mapping[str, int]) -> Pairs:
    """Sections between which the member changes at once."""
    ends = [
        (number[(before.section_end or before.section).name], number[after.section.name])
        for before, after in pairwise(segments)
    ]
    return list(dict.fromkeys((min(pair), max(pair)) for pair in ends if pair[0] != pair[1]))


def _acting(
    member: Member,
    segments: Sequence[Segment],
    outlines: Sequence[Section],
    number: Mapping[str, int],
    tapers: Pairs,
    steps: Pairs,
) -> list[Acting]:
    """What acts on each section and halfway along each taper. Only there its answers are among the
    functions: those of neighbours would serve each other anew at the cost of their cube. A step
    holds the shape of both its sections."""
    if not tapers:
        return [acting_of(member)] * len(outlines)
    spans: list[list[Span]] = [[] for _ in (*outlines, *tapers)]
    for s in segments:
        first = number[s.section.name]
        last = first if s.section_end is None else number[s.section_end.name]
        near, far = (outlines[k].size() * _REACH for k in (first, last))
        if first == last:
            spans[first].append((s.start - near, s.end + near))
            continue
        middle = (s.start + s.end) / 2
        spans[first].append((s.start - near, middle))
        spans[last].append((middle, s.end + far))
        own = len(outlines) + tapers.index((min(first, last), max(first, last)))
        if s.start + near < s.end - far:
            spans[own].append((s.start + near, s.end - far))
    # Waves under held warping of one section bend the walls of the next ones.
    found = [replace(acting_of(member, own), warping_held=False) for own in spans]
    stepped = {k for pair in steps for k in pair}
    return [replace(a, held=True) if k in stepped else a for k, a in enumerate(found)]


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
    weight = piece.table[:, -3 * n :].reshape(-1, n, 3)
    return Taper(last, segment.start, segment.end, piece.stations, c, cross, m, weight)


def _bent(section: ReducedSection, curvature: float, line_x: float) -> ReducedSection:
    """The section on an axis of given curvature. The section counts its radius to its own origin,
    positive with the centre on the side of -x; the axis through `line_x` counts it positive on the
    side of +x."""
    return section if not curvature else section.curved(-(1 / curvature + line_x))
