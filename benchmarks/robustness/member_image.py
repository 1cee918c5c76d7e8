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
from soapfilm.solver.member.model.load import LineLoad, PointLoad
from soapfilm.solver.member.model.restraint import LateralSpring, TwistSpring

from .member_case import MemberCase, Point, Stretch

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
        pieces=tuple(reversed(_bent(case, -1))),
        stretches=stretches,
        loads=loads,
        supports=tuple(s.with_(at=total - s.at) for s in image.supports),
        restraints=tuple(replace(r, at=total - r.at) for r in image.restraints),
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
            stiffer = replace(own, elastic_modulus=own.elastic_modulus * f / a**2)
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
            place=place,
        )

    def point(p: tuple[float, ...]) -> tuple[float, ...]:
        return tuple(c * a for c in p)

    def spring(one: TwistSpring | LateralSpring) -> TwistSpring | LateralSpring:
        if isinstance(one, TwistSpring):
            return replace(one, at=one.at * a, stiffness=one.stiffness * f * a)
        return replace(one, at=one.at * a, stiffness=one.stiffness * f / a, level=one.level * a)

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
        pieces=tuple((length * a, curvature / a) for length, curvature in case.pieces),
        stretches=tuple(replace(s, start=s.start * a, end=s.end * a) for s in case.stretches),
        supports=tuple(s.with_(at=s.at * a) for s in case.supports),
        restraints=tuple(map(spring, case.restraints)),
        diaphragms=tuple(map(diaphragm, case.diaphragms)),
        loads=tuple(map(load, case.loads)),
        points=tuple(map(point, case.points)),
        forces=(),
    )
    return Image("in metres and kilonewtons", image, point, (1 / a,) * 3)


def chained(case: MemberCase) -> Image:
    """Every arc as straight pieces that turn by small angles where they meet, the first and the
    last of an arc half as long: their ends lie on a polygon around it."""
    pieces: list[tuple[float, float]] = []
    kinks: list[Kink] = []
    reach = 0.0
    for length, curvature in case.pieces:
        if not curvature:
            pieces.append((length, 0.0))
            reach += length
            continue
        count = int(np.ceil(abs(length * curvature) / _KINK))
        for k in range(count):
            kinks.append(Kink(reach + length * (k + 0.5) / count, length * curvature / count))
        pieces.append((length, 0.0))
        reach += length
    image = replace(case, pieces=tuple(pieces), kinks=tuple(kinks), forces=())
    return Image("as a chain of straight pieces", image, lambda p: p, (1.0, 1.0, 1.0))


def _bent(case: MemberCase, way: int) -> tuple[tuple[float, float], ...]:
    return tuple((length, way * curvature) for length, curvature in case.pieces)


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
        return replace(turned, force_end=one.force_end and signed(one.force_end, of_force))

    def diaphragm(one: Diaphragm) -> Diaphragm:
        bars = tuple(replace(b, start=across(b.start), end=across(b.end)) for b in one.bars)
        return replace(one, bars=bars)

    return replace(
        case,
        sections=tuple(s.placed(Placement.mirror()) for s in case.sections),
        loads=tuple(map(load, case.loads)),
        diaphragms=tuple(map(diaphragm, case.diaphragms)),
        points=tuple((-x, y, z) for x, y, z in case.points),
        forces=tuple(((-p[0], p[1], p[2]), way) for p, way in case.forces),
    )
