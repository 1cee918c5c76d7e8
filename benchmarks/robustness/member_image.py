"""Images of a member that must move as it does: mirrored, walked from its other end, in other
units; and an arc as a chain of straight pieces."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np
from soapfilm.geometry.outline.placement import Placement
from soapfilm.geometry.section import Section
from soapfilm.solver.member.model.axis import Kink
from soapfilm.solver.member.model.diaphragm import Bar, Diaphragm
from soapfilm.solver.member.model.hinge import PASSED, Hinge
from soapfilm.solver.member.model.imposed import Settlement, Temperature
from soapfilm.solver.member.model.load import LineLoad, PointLoad
from soapfilm.solver.member.model.member import Restraint
from soapfilm.solver.member.model.restraint import Deck, TwistSpring
from soapfilm.solver.member.model.support import Support

from .member_case import Bend, MemberCase, Point, Stretch

#: Largest angle of a kink of the chain, which is off by its square: one case moved otherwise by
#: 1.7 % at two degrees and by 0.5 % at one (0.3 % by the classical theory).
_KINK = np.radians(1.0)


@dataclass(frozen=True, slots=True)
class Image:
    """A case that stands for another: where its points are, and by what its movements (x, y, z)
    are multiplied to be those of the other."""

    words: str
    case: MemberCase
    place: Callable[[Point], Point]
    back: tuple[float, float, float]


def mirrored(case: MemberCase) -> Image:
    """In the plane x = 0."""
    image = replace(_turned(case, (-1, 1, 1), (1, -1, -1)), pieces=_bent(case, -1))
    return Image("mirrored", image, lambda p: (-p[0], p[1], p[2]), (-1.0, 1.0, 1.0))


def walked_back(case: MemberCase) -> Image:
    """From its end: what was left is right. A turn about the vertical, no mirroring."""
    total = case.length
    image = _turned(case, (-1, 1, -1), (-1, 1, -1))
    stretches = tuple(
        Stretch(total - s.end, total - s.start, s.section, None)
        if s.taper is None
        else Stretch(total - s.end, total - s.start, s.taper, s.section)
        for s in reversed(case.stretches)
    )
    loads = tuple(
        replace(
            load,
            start=total - load.end,
            end=total - load.start,
            force=load.force_end or load.force,
            force_end=load.force,
        )
        if isinstance(load, LineLoad)
        else replace(load, at=total - load.at)
        for load in image.loads
    )

    def place(p: Point) -> Point:
        return (-p[0], p[1], total - p[2])

    image = replace(
        image,
        pieces=tuple((a, last, first) for a, first, last in reversed(_bent(case, -1))),
        kinks=tuple(replace(k, at=total - k.at) for k in image.kinks),
        hinges=tuple(replace(h, at=total - h.at) for h in image.hinges),
        imposed=tuple(
            replace(one, start=total - one.end, end=total - one.start)
            if isinstance(one, Temperature)
            else one
            for one in image.imposed
        ),
        stretches=stretches,
        loads=loads,
        supports=tuple(s.with_(at=total - s.at) for s in image.supports),
        restraints=tuple(
            replace(r, start=total - r.end, end=total - r.start)
            if isinstance(r, Deck)
            else replace(r, at=total - r.at)
            for r in image.restraints
        ),
        diaphragms=tuple(replace(d, at=total - d.at) for d in image.diaphragms),
        points=tuple(map(place, case.points)),
        forces=tuple((place(p), way) for p, way in case.forces),
    )
    return Image("walked from its end", image, place, (-1.0, 1.0, -1.0))


def in_metres(case: MemberCase) -> Image:
    """Metres and kilonewtons for millimetres and newtons."""
    a, f = 1e-3, 1e-3
    grown = Placement.scale(a)

    def section(one: Section) -> Section:
        one = one.placed(grown)
        regions = []
        for region in one.regions:
            own = region.material
            stiffer = replace(
                own,
                elastic_modulus=own.elastic_modulus * f / a**2,
                density=None if own.density is None else own.density / a**3,
            )
            regions.append(replace(region, material=stiffer))
        return replace(one, regions=tuple(regions), unit="m")

    def force(v: tuple[float, ...], power: int) -> tuple[float, float, float]:
        x, y, z = (c * f * a**power for c in v)
        return (x, y, z)

    def load(one: PointLoad | LineLoad) -> PointLoad | LineLoad:
        place = tuple(c * a for c in one.place)
        if isinstance(one, PointLoad):
            return replace(
                one,
                at=one.at * a,
                force=force(one.force, 0),
                moment=force(one.moment, 1),
                place=place,
            )
        return replace(
            one,
            start=one.start * a,
            end=one.end * a,
            force=force(one.force, -1),
            force_end=one.force_end and force(one.force_end, -1),
            torque=one.torque * f,
            place=place,
        )

    def point(p: tuple[float, ...]) -> tuple[float, ...]:
        return tuple(c * a for c in p)

    def spring(one: Restraint) -> Restraint:
        if isinstance(one, Deck):
            return replace(
                one,
                start=one.start * a,
                end=one.end * a,
                twist_stiffness=one.twist_stiffness * f,
                lateral_stiffness=one.lateral_stiffness * f / a**2,
                level=None if one.level is None else one.level * a,
            )
        if isinstance(one, TwistSpring):
            return replace(one, at=one.at * a, stiffness=one.stiffness * f * a)
        return replace(one, at=one.at * a, stiffness=one.stiffness * f / a, level=one.level * a)

    def support(one: Support) -> Support:
        bearings = tuple(replace(b, x=b.x * a, y=None if b.y is None else b.y * a)
                         for b in one.bearings)  # fmt: skip
        place = None if one.point is None else point(one.point)
        return one.with_(at=one.at * a, point=place, bearings=bearings)

    def hinge(one: Hinge) -> Hinge:
        sizes = {"x": f / a, "y": f / a, "z": f / a, "bend_x": f * a, "bend_y": f * a,
                 "twist": f * a}  # fmt: skip
        springs = {w: v * sizes[w] for w in PASSED if not isinstance(v := getattr(one, w), str)}
        return replace(one, at=one.at * a, **springs)

    def strained(one: Temperature | Settlement) -> Temperature | Settlement:
        if isinstance(one, Settlement):
            return replace(one, motion=(*point(one.motion[:3]), *one.motion[3:]))
        heights = tuple((y * a, t) for y, t in one.heights)
        return replace(one, start=one.start * a, end=one.end * a, heights=heights)

    def diaphragm(one: Diaphragm) -> Diaphragm:
        bars = tuple(
            Bar(point(b.start), point(b.end), b.area * a**2, b.elastic_modulus * f / a**2)
            for b in one.bars
        )
        plate = one.plate and replace(
            one.plate,
            thickness=one.plate.thickness * a,
            elastic_modulus=one.plate.elastic_modulus * f / a**2,
        )
        return replace(one, at=one.at * a, bars=bars, plate=plate)

    image = replace(
        case,
        sections=tuple(map(section, case.sections)),
        pieces=tuple((length * a, first / a, last / a) for length, first, last in case.pieces),
        stretches=tuple(replace(s, start=s.start * a, end=s.end * a) for s in case.stretches),
        supports=tuple(map(support, case.supports)),
        kinks=tuple(replace(k, at=k.at * a) for k in case.kinks),
        hinges=tuple(map(hinge, case.hinges)),
        imposed=tuple(map(strained, case.imposed)),
        restraints=tuple(map(spring, case.restraints)),
        diaphragms=tuple(map(diaphragm, case.diaphragms)),
        loads=tuple(map(load, case.loads)),
        points=tuple(map(point, case.points)),
        forces=tuple((point(p), way) for p, way in case.forces),
    )
    return Image("in metres and kilonewtons", image, point, (1 / a,) * 3)


def chained(case: MemberCase) -> Image:
    """Every arc as straight pieces that turn by small angles where they meet, the first and the
    last of an arc half as long: their ends lie on a polygon around it."""
    kinks: list[Kink] = list(case.kinks)
    reach = 0.0
    for length, first, last in case.pieces:
        count = int(np.ceil(length * max(abs(first), abs(last)) / _KINK))
        for k in range(count):
            share = (k + 0.5) / count
            angle = length * (first + (last - first) * share) / count
            kinks.append(Kink(reach + length * share, angle))
        reach += length
    pieces = tuple((length, 0.0, 0.0) for length, _, _ in case.pieces)
    image = replace(case, pieces=pieces, kinks=tuple(kinks), forces=())
    return Image("as a chain of straight pieces", image, lambda p: p, (1.0, 1.0, 1.0))


def cut_up(case: MemberCase, rng: np.random.Generator) -> Image:
    """Pieces of the axis and stretches of one section cut at random: nothing is another."""
    pieces: list[Bend] = []
    for length, first, last in case.pieces:
        share = float(rng.uniform(0.2, 0.8))
        middle = first + (last - first) * share
        pieces += [(share * length, first, middle), ((1 - share) * length, middle, last)]
    stretches: list[Stretch] = []
    for one in case.stretches:
        cut = one.start + float(rng.uniform(0.2, 0.8)) * (one.end - one.start)
        whole = one.taper is not None
        stretches += [one] if whole else [replace(one, end=cut), replace(one, start=cut)]
    image = replace(case, pieces=tuple(pieces), stretches=tuple(stretches))
    return Image("cut in pieces", image, lambda p: p, (1.0, 1.0, 1.0))


def bent_slightly(case: MemberCase) -> Image:
    """A straight member as an arc of 10,000 times its length; of a million times where strains are
    imposed. What those lock in between held ends, N = E A alpha T, pushes an arc of radius R aside
    by N / R, however little the loads move the member: a real movement, in proportion to 1 / R."""
    slight = (1e-6 if case.imposed else 1e-4) / case.length
    pieces = tuple((length, slight, slight) for length, _, _ in case.pieces)
    image = replace(case, pieces=pieces)
    return Image("as an arc of a huge radius", image, lambda p: p, (1.0, 1.0, 1.0))


def _bent(case: MemberCase, way: int) -> tuple[Bend, ...]:
    return tuple((length, way * first, way * last) for length, first, last in case.pieces)


def _turned(case: MemberCase, of_force: tuple[int, ...], of_moment: tuple[int, ...]) -> MemberCase:
    """The case with x the other way: sections, places, forces and moments; stations as they are."""

    def across(p: tuple[float, float]) -> tuple[float, float]:
        return (-p[0], p[1])

    def signed(v: tuple[float, ...], signs: tuple[int, ...]) -> tuple[float, float, float]:
        x, y, z = (s * c for s, c in zip(signs, v, strict=True))
        return (x, y, z)

    def load(one: PointLoad | LineLoad) -> PointLoad | LineLoad:
        turned = replace(one, force=signed(one.force, of_force), place=across(one.place))
        if isinstance(turned, PointLoad):
            return replace(turned, moment=signed(one.moment, of_moment))
        return replace(
            turned,
            force_end=one.force_end and signed(one.force_end, of_force),
            torque=of_moment[2] * one.torque,
        )

    def diaphragm(one: Diaphragm) -> Diaphragm:
        bars = tuple(replace(b, start=across(b.start), end=across(b.end)) for b in one.bars)
        return replace(one, bars=bars)

    def support(one: Support) -> Support:
        bearings = tuple(replace(b, x=-b.x) for b in one.bearings)
        return one.with_(point=one.point and across(one.point), bearings=bearings)

    def strained(one: Temperature | Settlement) -> Temperature | Settlement:
        if isinstance(one, Settlement):
            shift, turn = signed(one.motion[:3], of_force), signed(one.motion[3:], of_moment)
            return replace(one, motion=(*shift, *turn))
        return replace(one, across=one.across and one.across[::-1])

    return replace(
        case,
        sections=tuple(s.placed(Placement.mirror()) for s in case.sections),
        supports=tuple(map(support, case.supports)),
        kinks=tuple(replace(k, angle=-k.angle) for k in case.kinks),
        imposed=tuple(map(strained, case.imposed)),
        loads=tuple(map(load, case.loads)),
        diaphragms=tuple(map(diaphragm, case.diaphragms)),
        points=tuple((-x, y, z) for x, y, z in case.points),
        forces=tuple(((-p[0], p[1], p[2]), way) for p, way in case.forces),
    )
