"""Random members by how they run and stand: kinks and hinges, clothoids, bearings, decks, warmth,
supports that settle, and torsion of one span."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import numpy as np
from soapfilm.solver.member.model.axis import Kink
from soapfilm.solver.member.model.diaphragm import Diaphragm
from soapfilm.solver.member.model.hinge import Hinge
from soapfilm.solver.member.model.imposed import Settlement, Temperature
from soapfilm.solver.member.model.load import LineLoad, PointLoad
from soapfilm.solver.member.model.restraint import Deck, TwistSpring
from soapfilm.solver.member.model.support import Support, bearing_pair, fixed, fork

from .case import between
from .member_case import MemberCase, Torque
from .member_families import FAMILIES, Rng, member_at_random
from .member_sections import (
    STEEL,
    girder,
    random_cells,
    random_closed,
    random_open,
    random_section,
)


def kinked_and_hinged(rng: Rng) -> MemberCase:
    """Three spans on forks, a hinge in one of them, a kink in another."""
    case = member_at_random(rng, random_section(rng), slender=(12, 30))
    third = case.length / 3
    supports = (fork(0.0, z="held"), *(fork(k * third, z="free") for k in (1, 2, 3)))
    spans = rng.permutation(3)
    at = float(spans[0] + rng.uniform(0.25, 0.75)) * third
    size = case.sections[0].size()
    spring = 0.05 * STEEL.elastic_modulus * size**3
    bends = ("free", float(spring))[int(rng.integers(2))]
    hinge = Hinge(at, bend_x=bends, warping=("free", "held", "continuous")[int(rng.integers(3))])
    angle = float(np.radians(rng.uniform(2, 30))) * float(rng.choice([-1, 1]))
    kink = Kink(float(spans[1] + rng.uniform(0.25, 0.75)) * third, angle)
    chosen = int(rng.integers(3))
    # Beyond 15 degrees planes lean beside a bare kink, which sections that deform refuse.
    plates = (Diaphragm(kink.at),) if chosen != 0 and abs(angle) > np.radians(14) else ()
    return replace(
        case,
        supports=supports,
        diaphragms=plates,
        hinges=(hinge,) if chosen != 1 else (),
        kinks=(kink,) if chosen != 0 else (),
    )


def clothoid(rng: Rng) -> MemberCase:
    """A clothoid, alone or into an arc."""
    drawn = random_section(rng)
    case = member_at_random(rng, drawn)
    tight = float(rng.choice([-1, 1])) / max(drawn.size * between(rng, 10, 60), case.length / 2)
    if rng.random() < 0.5:
        return replace(case, pieces=((case.length, 0.0, tight),))
    part = 0.6 * case.length
    return replace(case, pieces=((part, 0.0, tight), (case.length - part, tight, tight)))


def on_bearings(rng: Rng) -> MemberCase:
    """One to three spans on pairs of bearings, some off the middle; straight or curved."""
    drawn = (random_closed, random_cells)[int(rng.integers(2))](rng)
    case = member_at_random(rng, drawn, slender=(8, 30))
    x0, y0, x1, _ = drawn.section.bounds()
    wide = x1 - x0
    count = int(rng.integers(1, 4))
    places = np.linspace(0.0, case.length, count + 1)
    supports = tuple(
        bearing_pair(
            float(at),
            float(0.5 * wide),
            centre=float(rng.choice([0.0, 0.1, -0.15])) * wide,
            level=y0,
            holds_down=True,
            z="free" if k else "held",
        )
        for k, at in enumerate(places)
    )
    if rng.random() < 0.5:
        return replace(case, supports=supports)
    curve = float(rng.choice([-1, 1])) / max(drawn.size * between(rng, 10, 60), case.length / 2)
    return replace(case, supports=supports, pieces=((case.length, curve, curve),))


def warmed_and_settled(rng: Rng) -> MemberCase:
    """Warmth over the length, the depth and the width, of a member held at both ends; a support
    that settles and turns."""
    drawn = (random_open, random_closed)[int(rng.integers(2))](rng)
    case = member_at_random(rng, drawn)
    _, y0, _, y1 = drawn.section.bounds()
    a, b = sorted(float(v) for v in rng.uniform(0.1, 0.9, 2) * case.length)
    part = (0.0, case.length) if rng.random() < 0.5 or b - a < 0.2 * case.length else (a, b)
    kind = int(rng.integers(3))
    warmth = (
        Temperature(*part, uniform=float(rng.uniform(-30, 30)), case="all"),
        Temperature(*part, heights=((y0, 0.0), (y1, float(rng.uniform(5, 20)))), case="all"),
        Temperature(*part, across=(-8.0, float(rng.uniform(0, 8))), case="all"),
    )[kind]
    ends = (fixed(0.0, name="left"), (fixed, fork)[int(rng.integers(2))](case.length, name="right"))
    size = drawn.size
    down, turn = float(rng.uniform(-1, 1)) * 1e-3 * size, float(rng.uniform(-1, 1)) * 1e-3
    settled = Settlement("right", (0.0, down, 0.0, 0.0, 0.0, turn), case="all")
    imposed = ((warmth, settled), (warmth,), (settled,))[int(rng.integers(3))]
    return replace(case, supports=ends, imposed=imposed)


def on_a_deck(rng: Rng) -> MemberCase:
    """A deck that holds a stretch across and against twist, and springs."""
    drawn = random_section(rng)
    case = member_at_random(rng, drawn)
    _, _, _, y1 = drawn.section.bounds()
    soft = 2e-4 * STEEL.elastic_modulus
    a, b = 0.15 * case.length, float(rng.uniform(0.5, 0.9)) * case.length
    deck = Deck(a, b, soft * drawn.size**2, float(rng.choice([0.0, soft])), level=y1)
    spring = TwistSpring(0.95 * case.length, 0.01 * STEEL.elastic_modulus * drawn.size**3)
    return replace(case, restraints=(deck, spring)[: int(rng.integers(1, 3))])


def torsion_of_one_span(rng: Rng) -> MemberCase:
    """A stocky girder between forks that leave it to warp, twisted by a torque at a point and by
    one all along."""
    size = between(rng, 100, 600)
    width = size * rng.uniform(0.6, 1.2)
    t, w = size * rng.uniform(0.06, 0.1), size * rng.uniform(0.05, 0.08)
    drawn = girder(size, width, width, t, w)
    case = member_at_random(rng, drawn, slender=(15, 35))
    length = case.length
    at = float(rng.uniform(0.25, 0.75)) * length
    torque = Torque(at, 1e3 * size * float(rng.uniform(-2, 2)), float(rng.uniform(-2, 2)) * size)
    loads = (
        PointLoad(at, place=(0.0, 0.0), moment=(0.0, 0.0, torque.single), case="all"),
        LineLoad(0.0, length, place=(0.0, 0.0), torque=torque.along, case="all"),
    )
    supports: tuple[Support, ...] = (fork(0.0, z="held"), fork(length))
    # The single torque comes by a diaphragm: by a line of the web alone, the web would turn more.
    plates = (Diaphragm(at),)
    return replace(case, supports=supports, loads=loads, torque=torque, diaphragms=plates)


ARRANGEMENTS: dict[str, Callable[[Rng], MemberCase]] = {
    "kinked and hinged": kinked_and_hinged,
    "clothoid": clothoid,
    "on bearings": on_bearings,
    "warmed and settled": warmed_and_settled,
    "on a deck": on_a_deck,
    "torsion of one span": torsion_of_one_span,
}

#: Families that a law of its own draws from; tapers take twenty times as long.
_DRAWN = {**FAMILIES, **ARRANGEMENTS}
DRAWN = tuple(family for family in _DRAWN if family != "tapered")


def any_member(rng: Rng, families: tuple[str, ...] = DRAWN) -> MemberCase:
    """A member of any of these families."""
    return _DRAWN[families[int(rng.integers(len(families)))]](rng)
