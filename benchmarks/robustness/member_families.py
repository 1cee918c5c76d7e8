"""Random members of every kind."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from itertools import pairwise

import numpy as np
from soapfilm.solver.member.model.diaphragm import Bar, Diaphragm, DiaphragmPlate
from soapfilm.solver.member.model.load import LineLoad, PointLoad
from soapfilm.solver.member.model.member import Restraint
from soapfilm.solver.member.model.restraint import LateralSpring, TwistSpring
from soapfilm.solver.member.model.support import Support, fixed, fork

from .case import between
from .closed_form import rectangle as rectangle_constant
from .member_case import Known, MemberCase, Stretch
from .member_sections import (
    STEEL,
    Corner,
    Drawn,
    box,
    girder,
    random_cells,
    random_closed,
    random_composite,
    random_open,
    random_section,
    rectangle,
    round_tube,
)

Rng = np.random.Generator


def straight_open(rng: Rng) -> MemberCase:
    """Open sections."""
    return member_at_random(rng, random_open(rng))


def straight_closed(rng: Rng) -> MemberCase:
    """Boxes."""
    return member_at_random(rng, random_closed(rng))


def many_cells(rng: Rng) -> MemberCase:
    """Several cells."""
    return member_at_random(rng, random_cells(rng))


def two_materials(rng: Rng) -> MemberCase:
    """A slab of concrete on steel."""
    return member_at_random(rng, random_composite(rng))


def curved(rng: Rng) -> MemberCase:
    """Any of these in plan: an arc, or an arc beside a straight or the other way round."""
    drawn = random_section(rng)
    case = member_at_random(rng, drawn)
    radius = max(drawn.size * between(rng, 8, 60), case.length / 2) * float(rng.choice([-1, 1]))
    share = float(rng.choice([1.0, 0.6]))
    pieces = [(share * case.length, 1 / radius, 1 / radius)]
    if share < 1:
        other = float(rng.choice([0.0, -1 / radius]))
        pieces.append(((1 - share) * case.length, other, other))
    return replace(case, pieces=tuple(pieces))


def tapered(rng: Rng) -> MemberCase:
    """A girder or box whose depth and width change all along or after a straight part; loads on its
    axis, which is material everywhere."""
    depth, thin = between(rng, 200, 1200), between(rng, 0.02, 0.06)
    share, narrow = rng.uniform(0.5, 0.9), rng.uniform(0.6, 1.0)
    width = depth * rng.uniform(0.3, 0.8)
    t, w = depth * thin * rng.uniform(1, 1.5), depth * thin
    first = girder(depth, width, width, t, w)
    last = girder(depth * share, width * narrow, width * narrow, t, w)
    on_axis: tuple[Corner, ...] = ((0.0, 0.0), (w / 2, 0.0), (0.0, depth * share / 5))
    case = member_at_random(rng, replace(first, corners=on_axis))
    cut = float(rng.choice([0.0, 0.35])) * case.length
    stretches = [Stretch(cut, case.length, 0, 1)]
    if cut:
        stretches.insert(0, Stretch(0.0, cut, 0))
    return replace(case, sections=(first.section, last.section), stretches=tuple(stretches))


def stepped(rng: Rng) -> MemberCase:
    """A girder, box or channel whose flanges or depth change at once, once or twice."""
    depth, thin = between(rng, 200, 1200), between(rng, 0.02, 0.06)
    width, t, w = depth * rng.uniform(0.3, 0.8), depth * thin * 1.3, depth * thin
    wide = width * rng.uniform(1.15, 1.5)
    if rng.random() < 0.6:
        one = girder(depth, width, width, t, w)
        other = girder(depth, wide, width if rng.random() < 0.5 else wide, t, w)
    else:
        one = box(depth, width, t, w)
        other = box(depth, width, t * rng.uniform(1.3, 2), w)
    # Corners of the first section are material of the second too, but for those within walls.
    case = member_at_random(rng, one)
    cuts = sorted(rng.uniform(0.2, 0.8, int(rng.integers(1, 3))) * case.length)
    ends = [0.0, *cuts, case.length]
    stretches = tuple(Stretch(a, b, k % 2) for k, (a, b) in enumerate(pairwise(ends)))
    return replace(case, sections=(one.section, other.section), stretches=stretches)


def held_in_shape(rng: Rng) -> MemberCase:
    """Boxes with rigid diaphragms, plates or crossed bars, springs against twist and sideways."""
    drawn = random_closed(rng)
    case = member_at_random(rng, drawn)
    x0, y0, x1, y1 = drawn.section.bounds()
    diaphragms = []
    for z in rng.uniform(0.1, 0.9, int(rng.integers(1, 4))) * case.length:
        kind = rng.random()
        if kind < 0.4:
            diaphragms.append(Diaphragm(float(z)))
        elif kind < 0.7:
            thickness = 0.01 * (y1 - y0)
            plate = DiaphragmPlate(thickness, STEEL.elastic_modulus, STEEL.poisson_ratio)
            diaphragms.append(Diaphragm(float(z), plate))
        else:
            area = 1e-3 * (y1 - y0) ** 2
            bars = tuple(
                Bar(a, b, area, STEEL.elastic_modulus)
                for a, b in (((x0, y0), (x1, y1)), ((x0, y1), (x1, y0)))
            )
            diaphragms.append(Diaphragm(float(z), bars=bars))
    soft = 0.02 * STEEL.elastic_modulus * drawn.size
    restraints: tuple[Restraint, ...] = (
        TwistSpring(float(rng.uniform(0.3, 0.7)) * case.length, soft * drawn.size**2),
        LateralSpring(float(rng.uniform(0.3, 0.7)) * case.length, soft, level=y1),
    )
    chosen = restraints[: int(rng.integers(0, 3))]
    return replace(case, diaphragms=tuple(diaphragms), restraints=chosen)


def plain_bar(rng: Rng) -> MemberCase:
    """A slender rectangle or round tube on forks, one force or torque: beam formulas."""
    size = between(rng, 40, 300)
    length = size * between(rng, 25, 60)
    if rng.random() < 0.5:
        width = size * rng.uniform(0.3, 1)
        drawn = rectangle(size, width)
        torsion, second = rectangle_constant(size, width), width * size**3 / 12
        area = width * size / 1.2
    else:
        inner = size / 2 * rng.uniform(0.0, 0.7)
        drawn = round_tube(size / 2, inner)
        second = np.pi * ((size / 2) ** 4 - inner**4) / 4
        torsion, area = 2 * second, np.pi * ((size / 2) ** 2 - inner**2) / 1.5
    e, g = STEEL.elastic_modulus, STEEL.elastic_modulus / (2 * (1 + STEEL.poisson_ratio))
    a = float(rng.uniform(0.25, 0.75)) * length
    b = length - a
    force, torque = 1e3 * rng.uniform(0.5, 2), 1e4 * size / 100 * rng.uniform(0.5, 2)
    down = force * a * b / length * (a * b / (3 * e * second) + 1 / (g * area))
    # Under a force at a, the shear of a beam by energy; a torque parts as the ends are near.
    known = (
        Known("y", (0.0, 0.0, a), -down, 0.01),
        Known("twist", (0.0, 0.0, a), torque * a * b / (length * g * torsion), 0.01),
    )
    loads = (
        PointLoad(a, (0.0, -force, 0.0), (0.0, 0.0), case="all"),
        PointLoad(a, moment=(0.0, 0.0, torque), place=(0.0, 0.0), case="all"),
    )
    case = member_at_random(rng, drawn)
    return replace(
        case,
        pieces=((length, 0.0, 0.0),),
        stretches=(Stretch(0.0, length, 0),),
        supports=(fork(0.0, z="held"), fork(length)),
        loads=loads,
        points=tuple((x, y, z) for x, y in drawn.corners[:2] for z in (0.4 * length, 0.7 * length)),
        forces=(((*drawn.corners[0], 0.3 * length), 1), ((*drawn.corners[1], 0.6 * length), 0)),
        known=known,
        alike=0.01,
    )


def keeps_its_shape(rng: Rng) -> MemberCase:
    """Slender members of stocky I-sections and tubes, loaded along their axis: both theories."""
    size = between(rng, 100, 400)
    if rng.random() < 0.5:
        drawn = girder(size, size, size, size / 10, size / 12)
    else:
        drawn = box(size, size * rng.uniform(0.6, 1), size / 8, size / 8)
    # Loads where the web or the wall is thick and in the middle, for what is local is not compared.
    axis = replace(drawn, corners=((0.0, size / 2), (0.0, -size / 2)))
    case = member_at_random(rng, axis, slender=(20, 40))
    return replace(case, alike=0.03)


FAMILIES: dict[str, Callable[[Rng], MemberCase]] = {
    "plain bar": plain_bar,
    "keeps its shape": keeps_its_shape,
    "open": straight_open,
    "box": straight_closed,
    "several cells": many_cells,
    "two materials": two_materials,
    "curved": curved,
    "tapered": tapered,
    "stepped": stepped,
    "diaphragms and springs": held_in_shape,
}


def member_at_random(rng: Rng, drawn: Drawn, slender: tuple[float, float] = (5, 20)) -> MemberCase:
    """A straight member of one section: supports, loads and points at random."""
    length = drawn.size * between(rng, *slender)
    corners = drawn.corners

    def corner() -> Corner:
        return corners[int(rng.integers(len(corners)))]

    def station() -> float:
        return float(rng.uniform(0.12, 0.88)) * length

    loads: list[PointLoad | LineLoad] = []
    for _ in range(int(rng.integers(1, 3))):
        force = tuple(float(f) for f in 1e3 * rng.standard_normal(3) * (1, 2, 1))
        moment = (0.0, 0.0, float(1e3 * drawn.size * rng.standard_normal()))
        loads.append(PointLoad(station(), force, corner(), moment, case="all"))
    if rng.random() < 0.7:
        a, b = sorted((station(), station()))
        if b - a > 0.05 * length:
            pressure = 2e3 / length
            loads.append(LineLoad(a, b, (0.0, -pressure, 0.0), place=corner(), case="all"))
    points = tuple((*corner(), station()) for _ in range(6))
    forces = (((*corner(), station()), int(rng.integers(2))), ((*corner(), station()), 1))
    return MemberCase(
        (drawn.section,),
        ((length, 0.0, 0.0),),
        (Stretch(0.0, length, 0),),
        _supports(rng, length),
        tuple(loads),
        points,
        forces,
    )


def _supports(rng: Rng, length: float) -> tuple[Support, ...]:
    kind = int(rng.integers(4))
    if kind == 0:
        return (fixed(0.0),)
    if kind == 1:
        return (fork(0.0, z="held"), fork(length))
    if kind == 2:
        return (fixed(0.0), fork(length, z="free"))
    middle = Support(float(rng.uniform(0.4, 0.6)) * length, y="held", z="free", name="pier")
    return (fork(0.0, z="held"), middle, fork(length, z="free"))
