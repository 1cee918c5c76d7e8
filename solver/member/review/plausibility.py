"""Figures of a member that are possible but hardly meant: said beside the results."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from itertools import pairwise

from ..file.request import MemberRequest
from ..model.constants import SectionConstants
from ..model.held_point import held_point
from ..model.imposed import Temperature
from ..model.load import LineLoad, PointLoad
from ..model.member import Member
from ..model.moving import Crowd, Vehicle
from ..model.restraint import Deck, LateralSpring
from .tendon_course import off_course

#: A span shorter than this many section sizes is no beam; a load farther from the section than
#: this many, and bearings closer than this part of one, are hardly meant.
_SHORT, _FAR, _CLOSE = 1.0, 30.0, 1e-3
#: What travels may overhang the section by this share of its width.
_BESIDE = 0.01


def doubts(request: MemberRequest) -> tuple[str, ...]:
    """One sentence for each figure that is likely a slip of unit or decimal."""
    return tuple(dict.fromkeys(_doubts(request)))


def _doubts(request: MemberRequest) -> Iterator[str]:
    member, unit = request.member, request.units.length
    size = max(_size(request, s.section) for s in member.segments)
    for start, end in member.spans:
        if end - start < _SHORT * size:
            yield (
                f"the span from {start:g} to {end:g} {unit} is shorter than the section is large "
                f"({size:.4g} {unit}); check its unit"
            )
    for load in member.loads:
        if isinstance(load, PointLoad | LineLoad):
            x, y = member.locate(load.place, member.segments[0].section)
            away = math.hypot(x, y)
            if away > _FAR * size:
                yield (
                    f"{load.title} acts {away:.4g} {unit} from the section's origin, "
                    f"{away / size:.3g} times its size; check the point's unit"
                )
    yield from off_course(member, unit)
    yield from _through_joints(member)
    yield from recalled((*request.vehicles, *request.crowds), member)
    yield from far_axles(request.vehicles, member, unit)
    yield from off_deck((*request.vehicles, *request.crowds), member, unit)
    for support in member.supports:
        across = [bearing.x for bearing in support.bearings]
        if len(across) > 1 and max(across) - min(across) < _CLOSE * size:
            yield (
                f"the bearings of {support.title} are {max(across) - min(across):.3g} {unit} apart "
                "and hold hardly any torque; check their spacing"
            )
    yield from _far_levels(member, unit)


def _far_levels(member: Member, unit: str) -> Iterator[str]:
    """What holds the member farther above or below its section than that is deep."""
    for support in member.supports:
        section = member.section_at(support.at)
        stated = [section.height(b.y) for b in support.bearings if b.y is not None]
        levels = [held_point(member, support)[1], *stated]
        yield from _outside(support.title, section, levels, unit)
    for item in member.restraints:
        if isinstance(item, Deck | LateralSpring) and item.level is not None:
            section = member.section_at(item.start if isinstance(item, Deck) else item.at)
            yield from _outside(item.title, section, [section.height(item.level)], unit)


def _outside(
    title: str, section: SectionConstants, levels: Sequence[float], unit: str
) -> Iterator[str]:
    if section.outline is None:
        return
    _, low, _, high = section.outline.bounds()
    y = max(levels, key=lambda level: abs(level - (low + high) / 2))
    beyond = max(low - y, y - high)
    if beyond > high - low:
        yield (
            f"{title} holds the member at y = {y:.4g} {unit}, {beyond:.4g} {unit} "
            f"{'below' if y < low else 'above'} the section, which is {high - low:.4g} {unit} "
            "deep; check its level"
        )


def _through_joints(member: Member) -> Iterator[str]:
    """Tendons that run on where the pieces do not press on one another."""
    for tendon in member.tendons:
        ends = sorted((tendon.points[0].at, tendon.points[-1].at))
        for hinge in member.hinges:
            if "z" in hinge.free and ends[0] < hinge.at < ends[1]:
                yield (
                    f"{tendon.title} runs through {hinge.title}, which passes no force along: it "
                    "presses on the supports that hold along, not piece on piece; anchor a tendon "
                    "on each side, or let z pass"
                )


def far_axles(vehicles: Sequence[Vehicle], member: Member, unit: str) -> Iterator[str]:
    """Vehicles of which neighbouring axles never stand on the member together."""
    for vehicle in vehicles:
        places = sorted(axle.behind for axle in vehicle.axles)
        apart = max((b - a for a, b in pairwise(places)), default=0.0)
        if apart > member.length:
            yield (
                f"axles of {vehicle.name} are {apart:.4g} {unit} apart, farther than the member is "
                "long, and never stand on it together; check their unit"
            )


def off_deck(moving: Sequence[Vehicle | Crowd], member: Member, unit: str) -> Iterator[str]:
    """What travels beside the section: the first wheel or edge of a strip of each load."""
    outlines = [s.section.outline for s in member.segments]
    boxes = [outline.bounds() for outline in outlines if outline is not None]
    if len(boxes) < len(outlines):
        return
    low, high = max(box[0] for box in boxes), min(box[2] for box in boxes)
    slack = _BESIDE * (high - low)
    section = member.segments[0].section
    for load in moving:
        if isinstance(load, Vehicle):
            what, places = "a wheel of", [w for k in range(len(load.lines)) for w in load.wheels(k)]
            across = [member.locate(place, section)[0] for place in places]
        else:
            what, across = "an edge of", []
            for place, width in load.strips:
                x, _ = member.locate(place, section)
                across += [x - width / 2, x + width / 2]
        out = [x for x in across if not low - slack <= x <= high + slack]
        if out:
            yield (
                f"{what} {load.name} is at x = {out[0]:.4g} {unit}, beside the section, which "
                f"reaches from {low:.4g} to {high:.4g} {unit} all along; check its place and width"
            )


def recalled(moving: Sequence[Vehicle | Crowd], member: Member) -> Iterator[str]:
    """What the file takes from a standard that this program has from memory."""
    for load in moving:
        if load.source:
            yield _from_memory(load.name, load.source)
    for action in member.imposed:
        if isinstance(action, Temperature) and action.source:
            yield _from_memory(action.title, action.source)


def _from_memory(name: str, source: str) -> str:
    return (
        f"{name} follows {source}, from memory of it; compare its figures with a copy, and with "
        "the national annex"
    )


def _size(request: MemberRequest, section: SectionConstants) -> float:
    """Extent of a section: of its outline, or from its radius of gyration where it has none."""
    solved = request.sections.get(section.name)
    if solved is not None and solved.result is not None:
        return float(solved.result.section.size())
    return 4 * math.sqrt(max(section.second_moment_x, section.second_moment_y) / section.area)
