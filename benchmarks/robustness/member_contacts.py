"""Bearings that lift, joints with play, springs, reactions and settlements of random members, by
laws of mechanics alone."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import numpy as np
from scipy.optimize import linprog
from soapfilm.geometry.errors import InputError
from soapfilm.solver.member.beam.analysis import solve
from soapfilm.solver.member.deforming.reactions import reactions
from soapfilm.solver.member.model.imposed import Settlement
from soapfilm.solver.member.model.load import PointLoad
from soapfilm.solver.member.model.restraint import LateralSpring, TwistSpring
from soapfilm.solver.member.model.support import Support, fixed

from .member_arrangements import any_member
from .member_case import (
    ALL,
    ONE,
    Array,
    MemberCase,
    SolvedMember,
    axis_of,
    member_of,
    sections_of,
    solved,
)
from .member_families import Rng
from .trial import Trial

THEORIES = ("classical", "deforming")
#: Forces and gaps that are none, of the largest; movements by other supports, which other elements
#: and functions answer where sections deform, of the largest.
NONE, ALIKE, CLASSICAL = 1e-6, 2e-3, 1e-7
#: Work of a settlement against the reactions to a unit load, of the works' size.
BETTI = 1e-8


def lifting(trial: Trial, rng: Rng) -> None:
    """Bearings push or are open, and open ones have a gap; the member with those that push held
    both ways and the others gone moves alike. Both together are the only solution there is."""
    case = any_member(rng, ("on bearings",))
    case = replace(case, forces=(), supports=tuple(pushing(case, s) for s in case.supports))
    weight = PointLoad(case.length / 2, (0.0, -float(rng.uniform(1e3, 6e3)), 0.0), (0.0, 0.0))
    case = replace(case, loads=(*case.loads, replace(weight, case=ALL)))
    known = sections_of(case)
    try:
        found = solved(case, known)
    except InputError as error:
        trial.held.append("lifts off")
        if stands(case):
            trial.troubles.append(f"refused, though it could stand: {error}")
        return
    trial.held += ["complementarity", "the bearings that push alone"]
    for theory in THEORIES:
        rows = _rows(found, theory)
        forces = np.array([b.force for r in rows for b in r.bearings])
        lifted = np.array([b.lifted for r in rows for b in r.bearings])
        places = [(b.x, b.y, s.at) for s in case.supports for b in s.bearings]
        up = _moved(found, theory, places)[:, 1]
        moves, size = np.abs(_moved(found, theory, case.points)).max(), np.abs(forces).max()
        if forces.min() < -NONE * size:
            trial.troubles.append(f"{theory}: a bearing that only pushes pulls: {forces}")
        if up.min() < -NONE * moves:
            trial.troubles.append(f"{theory}: a bearing is pressed in: {up}, moved {moves:.3g}")
        if (np.abs(forces[lifted]) > NONE * size).any() or (
            np.abs(up[~lifted]) > NONE * moves
        ).any():
            trial.troubles.append(f"{theory}: a gap bears: {forces}, {up}, {lifted}")
        left = iter(lifted)
        supports = tuple(
            s.with_(
                bearings=tuple(replace(b, holds_down=True) for b in s.bearings if not next(left))
            )
            for s in case.supports
        )
        alone = solved(replace(case, supports=supports), known)
        _hold_alike(trial, theory, "as the bearings that push alone", found, alone)


def with_play(trial: Trial, rng: Rng) -> None:
    """A spring against twist that engages after a play, or a spring across: by the member without
    it, and the same under what the spring exerts."""
    case = replace(any_member(rng), forces=(), combinations=())
    known = sections_of(case)
    at = float(rng.uniform(0.15, 0.85)) * case.length
    size = case.sections[0].size()
    across = rng.random() < 0.3
    level = float(case.points[0][1])
    unit = (
        PointLoad(at, (1.0, 0.0, 0.0), (case.points[0][0], level), case="unit")
        if across
        else PointLoad(at, moment=(0.0, 0.0, size), place=(0.0, 0.0), case="unit")
    )
    without = solved(replace(case, loads=(*case.loads, unit)), known)
    trial.held.append("a spring by what it exerts")
    if across:  # only where its line is that of the load: of the classical theory
        stiffness = float(10 ** rng.uniform(-2, 1)) * 210.0 * size
        spring = LateralSpring(at, stiffness, level=level)
        slip, arm = 0.0, 1.0
    else:
        turned = abs(float(_twist(without, "classical", at, ALL)))
        slip = float(rng.choice([0.0, 0.3, 0.8, 1.5])) * turned
        unit_turn = float(_twist(without, "classical", at, "unit")) / size
        stiffness = float(10 ** rng.uniform(-1, 1.5)) / unit_turn
        spring = TwistSpring(at, stiffness, slip=slip)
        arm = size
    held = solved(replace(case, restraints=(*case.restraints, spring)), known)
    for theory in ("classical",) if across else THEORIES:
        if across:
            own, one = (
                float(without.shifted([(unit.place[0], level, at)], c)[0, 0]) for c in (ALL, "unit")
            )
        else:
            own, one = (float(_twist(without, theory, at, c)) for c in (ALL, "unit"))
        # own + f one = -+ (slip + f arm / k), f the spring's force in units.
        beyond = np.sign(own) * max(abs(own) - slip, 0.0)
        force = -beyond / (one + arm / stiffness)
        wanted = _moved(without, theory, case.points) + force * _moved(
            without, theory, case.points, "unit"
        )
        ours = _moved(held, theory, case.points)
        room = CLASSICAL if theory == "classical" else ALIKE
        largest = np.abs(_moved(without, theory, case.points)).max()
        off = float(np.abs(ours - wanted).max())
        if not off <= room * largest:
            trial.troubles.append(
                f"{theory}: a spring {'across' if across else 'against twist'} at {at:g}, play "
                f"{slip:.3g}, it moves otherwise by {off / largest:.1e}"
            )


def by_its_reactions(trial: Trial, rng: Rng) -> None:
    """A support that the member can miss, in place of it what it exerts (classical: sections that
    deform feel how a hold is spread)."""
    case = any_member(rng, ("kinked and hinged", "on bearings", "open", "curved", "on a deck"))
    first = fixed(case.supports[0].at, name="wall")  # which holds the member alone
    rest = case.supports[1:] or (_prop(case, rng),)
    gone, others = rest[int(rng.integers(len(rest)))], (first, *rest)
    case = replace(case, supports=others, forces=(), hinges=(), combinations=())
    member = member_of(case, sections_of(case))
    found = solve(member)
    others = tuple(s for s in others if s is not gone)
    row = next(r for r in found.reactions[0] if r.title == gone.title)
    push = PointLoad(row.at, row.force, row.point, row.moment, row.bimoment, case=ALL)
    free = solve(member.with_(supports=others, loads=(*member.loads, push)))
    trial.held.append("a support by its reactions")
    pairs = [
        np.array([one.movement(p[:2], p[2]) for p in case.points])[..., 0, 0]
        for one in (found, free)
    ]
    bare = solve(member.with_(supports=others))
    size = max(np.abs(np.array([bare.movement(p[:2], p[2]) for p in case.points])).max(),
               np.abs(pairs[0]).max())  # fmt: skip
    off = float(np.abs(pairs[0] - pairs[1]).max())
    if not off <= CLASSICAL * size:
        trial.troubles.append(
            f"without {gone.title} under its reactions it is off {off / size:.1e}"
        )


def settled(trial: Trial, rng: Rng) -> None:
    """Betti: the movement of a point where a support settles, against the reactions of that support
    to a unit force at the point; both theories, any arrangement."""
    case = any_member(rng)
    support = case.supports[int(rng.integers(len(case.supports)))]
    size = case.sections[0].size()
    motion = [float(v) for v in 1e-3 * rng.standard_normal(6) * (size, size, size, 1, 1, 1)]
    ground = Settlement(support.title, tuple(motion), case="ground")  # type: ignore[arg-type]
    known = sections_of(case)
    found = solved(replace(case, loads=(), imposed=(ground,), forces=case.forces[:1]), known)
    ((point, way),) = case.forces[:1]
    trial.held.append("settlement by reactions")
    for theory in THEORIES:
        row = next(r for r in _rows(found, theory, ONE) if r.title == support.title)
        works = np.array([*row.force, *row.moment]) * motion
        moved = float(_moved(found, theory, [point], "ground")[0, way])
        room = BETTI * max(np.abs(works).max(), abs(moved))
        if not abs(moved + works.sum()) <= room:
            trial.troubles.append(
                f"{theory}: {support.title} settles and moves the point by {moved:.9g}, by the "
                f"reactions {-works.sum():.9g} (works {works})"
            )


LAWS: dict[str, Callable[[Trial, Rng], None]] = {
    "bearings that lift": lifting,
    "springs with play": with_play,
    "support by its reactions": by_its_reactions,
    "settlement by reactions": settled,
}


def _hold_alike(
    trial: Trial, theory: str, words: str, one: SolvedMember, other: SolvedMember
) -> None:
    here, there = (_moved(found, theory, one.case.points) for found in (one, other))
    off, size = float(np.abs(here - there).max()), float(np.abs(here).max())
    if not off <= (CLASSICAL if theory == "classical" else ALIKE) * size:
        trial.troubles.append(f"{theory}: {words} it moves otherwise by {off / size:.1e}")


def pushing(case: MemberCase, support: Support) -> Support:
    """Its bearings only push, under the bottom of the section; the place it guides stays."""
    x0, y0, x1, _ = _bottom(case)
    bearings = tuple(
        replace(b, x=float(np.clip(b.x, 0.95 * x0, 0.95 * x1)), y=y0, holds_down=False)
        for b in support.bearings
    )
    return support.with_(bearings=bearings, point=(0.0, y0))


def stands(case: MemberCase) -> bool:
    """Whether any pushes of the bearings, with holds across and one along, balance the loads: by
    the six sums in space alone, as a linear program."""
    columns, least = [], []
    for s in case.supports:
        for b in s.bearings:
            columns.append(_in_space(case, s.at, (b.x, b.y), (0.0, 1.0, 0.0)))
            least.append(0.0)
        assert s.point is not None
        for way in ((1.0, 0.0, 0.0), (0.0, 0.0, 1.0)):
            if way[0] or s.z == "held":
                columns.append(_in_space(case, s.at, s.point, way))
                least.append(-np.inf)
    acting = np.zeros(6)
    for one in case.loads:
        if isinstance(one, PointLoad):
            acting += _in_space(case, one.at, one.place, one.force, one.moment)
            continue
        x, w = np.polynomial.legendre.leggauss(20)
        for z, part in zip(one.start + (one.end - one.start) * (x + 1) / 2, w / 2, strict=True):
            force = tuple(part * (one.end - one.start) * f for f in one.force)
            acting += _in_space(case, z, one.place, force)
    scale = np.array([1, 1, 1, *3 * [case.length]])
    found = linprog(
        np.zeros(len(columns)),
        A_eq=np.array(columns).T / scale[:, None],
        b_eq=-acting / scale,
        bounds=[(low, None) for low in least],
    )
    return bool(found.status == 0)


def _in_space(case, at, place, force, moment=(0.0, 0.0, 0.0)) -> Array:  # type: ignore[no-untyped-def]
    """(6,) force and moment about the start."""
    x, along, heading = (float(v[0]) for v in axis_of(case).plan([at]))
    cos, sin = np.cos(heading), np.sin(heading)
    turn = np.array([[cos, 0.0, sin], [0.0, 1.0, 0.0], [-sin, 0.0, cos]])
    point = np.array([x, 0.0, along]) + turn @ (*place, 0.0)
    pull = turn @ force
    return np.concatenate([pull, turn @ moment + np.cross(point, pull)])


def _bottom(case: MemberCase) -> tuple[float, float, float, float]:
    """Ends of the lowest side."""
    section = case.sections[0]
    _, y0, _, y1 = section.bounds()
    points = np.array([p for r in section.regions for p in r.outline.points])
    low = points[points[:, 1] <= y0 + 1e-9 * (y1 - y0), 0]
    return float(low.min()), float(y0), float(low.max()), float(y1)


def _prop(case: MemberCase, rng: Rng) -> Support:
    return Support(float(rng.uniform(0.6, 1.0)) * case.length, y="held", z="free", name="prop")


def _rows(found: SolvedMember, theory: str, column: str = ALL):  # type: ignore[no-untyped-def]
    if theory == "classical":
        return found.classical.reactions[found.classical.column(column)]
    return reactions(found.deforming, found.deforming.column(column))


def _moved(found: SolvedMember, theory: str, points, column: str = ALL) -> Array:  # type: ignore[no-untyped-def]
    """(k, 2) across and up."""
    if theory == "classical":
        return found.shifted(points, column)
    return found.moved(points, column)[:, :2]


def _twist(found: SolvedMember, theory: str, at: float, column: str) -> float:
    if theory == "classical":
        return float(found.classical.at([at]).phi[0, found.classical.column(column)])
    return float(found.deforming.twist([at])[0, found.deforming.column(column)])
