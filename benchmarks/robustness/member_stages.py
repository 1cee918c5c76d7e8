"""Members built in stages and members in second order, at random."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import numpy as np
from soapfilm.solver.member.beam.analysis import critical_loads, solve
from soapfilm.solver.member.critical.member_buckling import member_buckling
from soapfilm.solver.member.critical.second_order import second_order
from soapfilm.solver.member.model.load import Combination, PointLoad
from soapfilm.solver.member.model.restraint import LateralSpring, TwistSpring
from soapfilm.solver.member.model.support import Support
from soapfilm.solver.member.staged.history import classical_history, deforming_history
from soapfilm.solver.member.staged.stage import Stage

from .member_arrangements import any_member
from .member_case import ALL, Array, MemberCase, SolvedMember, member_of, sections_of, solved
from .member_contacts import ALIKE, CLASSICAL, THEORIES, pushing
from .member_families import Rng
from .member_image import mirrored
from .member_torsion import twist
from .trial import Trial

#: Twist under compression: exact but for its 64 elements a span, and sections that deform, whose
#: 3 % of G J (see `member_trial`) count as G J does by what compression leaves of it.
TWISTED, TWISTED_DEFORMING = 1e-3, 0.03
#: Deflection of a beam-column: shear takes < 0.5 % of Euler's load, P / (P_E - P) times, and adds
#: what the formula has; section and mesh the rest.
BENT = 0.012
#: Stages where sections deform: functions and nodes are those of one step, orders along the member
#: may be others, which change movements by the square of an energy norm good to 1e-3.
STAGED = 1e-5


def staged(trial: Trial, rng: Rng) -> None:
    """Where nothing changes between two stages they add up to one step; what comes later takes
    only what comes later; and what is taken away leaves nothing behind."""
    families = (
        "open",
        "box",
        "curved",
        "on a deck",
        "on bearings",
        "torsion of one span",
        "stepped",
    )
    case = replace(any_member(rng, families), forces=(), combinations=())
    lifts = bool(case.supports[0].bearings) and rng.random() < 0.5
    if lifts:
        weight = PointLoad(case.length / 2, (0.0, -8e3, 0.0), (0.0, 0.0), case=ALL)
        case = replace(
            case,
            loads=(*case.loads, weight),
            supports=tuple(pushing(case, s) for s in case.supports),
        )
    loads = tuple(replace(one, case=("first", "second")[k % 2]) for k, one in enumerate(case.loads))
    if len(loads) < 2:
        x, y, z = case.points[0]
        loads = (*loads, PointLoad(z, (0.0, -1e3, 0.0), (x, y), case="second"))
    later = _later(case, rng)
    both = {"first": 1.0, "second": float(rng.choice([1.0, 0.7]))}
    case = replace(case, loads=loads, combinations=(Combination(ALL, both),))
    whole = case if lifts else _with(case, later)
    known = sections_of(whole)
    named = {one.name: one for one in known}
    member = member_of(whole, known)
    trial.held.append("stages without a change")
    plain = (Stage("one", ("first",)), Stage("two", ("second",)))
    step = solved(whole, known)
    histories = {"classical": classical_history, "deforming": deforming_history}
    for theory in THEORIES:
        total = histories[theory](member, plain, named).until(1)
        _hold(trial, theory, "in two stages", whole, total.movement, _at_once(step, theory))
    if lifts:
        return
    title = later.title
    trial.held += ["what comes later", "what is taken away"]
    shares = [
        replace(
            case,
            combinations=(Combination(ALL, {name: factor}),),
        )
        for name, factor in both.items()
    ]
    before = solved(shares[0], known)
    after = solved(_with(shares[1], later), known)
    stages = (Stage("one", ("first",), without=(title,)), Stage("two", ("second",)))
    for theory in THEORIES:
        total = histories[theory](member, stages, named).until(1)
        sums = _at_once(before, theory) + _at_once(after, theory)
        _hold(trial, theory, f"with {title} in the second stage", whole, total.movement, sums)
    # Sections that deform get back what a hold held as its resultant: the classical theory alone.
    stages = (Stage("one", ("first",)), Stage("two", ("second",), without=(title,)))
    total = classical_history(member, stages, named).until(1)
    bare = solved(case, known)
    _hold(
        trial,
        "classical",
        f"{title} taken away",
        whole,
        total.movement,
        _at_once(bare, "classical"),
    )


def bent_column(trial: Trial, rng: Rng) -> None:
    """Second order of a slender bar between forks, pressed along its axis with a force across."""
    case = any_member(rng, ("plain bar",))
    known = sections_of(case)
    c = known[0].constants
    a, length = case.loads[0].at, case.length  # type: ignore[union-attr]
    b = length - a
    bending = c.elastic_modulus * c.second_moment_x
    least = min(c.second_moment_x, c.second_moment_y) * c.elastic_modulus
    push = float(rng.uniform(0.1, 0.5)) * np.pi**2 * least / length**2
    force = -float(case.loads[0].force[1])  # type: ignore[index]
    k = np.sqrt(push / bending)
    bent = np.sin(k * a) * np.sin(k * b) / (push * k * np.sin(k * length)) - a * b / (push * length)
    first = a**2 * b**2 / (3 * bending * length)
    # What shear adds to the closed form of the first order (see `plain_bar`).
    sheared = -case.known[0].value / force - first
    exact = -force * (bent + sheared)
    loads = (*case.loads[:1], PointLoad(length, (0.0, 0.0, -push), (0.0, 0.0), case=ALL))
    _second(trial, case, loads, known, a, ("beam-column", 1, exact, BENT, BENT))


def twisted_column(trial: Trial, rng: Rng) -> None:
    """Second order of torsion between forks under compression, which takes P (I_x + I_y) / A from
    G J (doubly symmetric sections; Timoshenko & Gere, Theory of Elastic Stability, 5.3)."""
    case = any_member(rng, ("torsion of one span",))
    known = sections_of(case)
    c, torque = known[0].constants, case.torque
    assert torque is not None
    polar = (c.second_moment_x + c.second_moment_y) / c.area
    least = min(c.second_moment_x, c.second_moment_y) * c.elastic_modulus
    stiff = c.shear_modulus * c.torsion_constant
    push = min(
        0.5 * np.pi**2 * least / case.length**2, float(rng.uniform(0.1, 0.6)) * stiff / polar
    )
    left = 1 - push * polar / stiff
    pressed = replace(c, torsion_constant=left * c.torsion_constant)
    exact = twist(pressed, case.length, torque, torque.at)
    loads = (*case.loads, PointLoad(case.length, (0.0, 0.0, -push), (0.0, 0.0), case=ALL))
    rule = ("torsion under compression", 2, exact, TWISTED, TWISTED_DEFORMING / left)
    _second(trial, case, loads, known, torque.at, rule)


def moved_image(trial: Trial, rng: Rng) -> None:
    """Second order of any member under a share of its critical load: the mirror image moves alike,
    by either theory."""
    families = (
        "open",
        "box",
        "curved",
        "stepped",
        "on a deck",
        "two materials",
        "warmed and settled",
    )
    case = replace(any_member(rng, families), forces=(), combinations=(), imposed=())
    known = sections_of(case)
    found = solved(case, known)
    trial.held.append("second order, mirrored")
    classical = critical_loads(found.classical.mesh.member)[0].factor
    solid = member_buckling(found.deforming, found.sections).factors[0].factor
    share = float(rng.uniform(0.2, 0.6)) * min(abs(classical), abs(solid), 1e6)
    case = replace(case, combinations=(Combination(ALL, {ALL: share}),))
    pairs = []
    image = mirrored(case)
    for one, own in ((case, known), (image.case, sections_of(image.case))):
        first = solved(one, own)
        beam = solve(first.classical.mesh.member, order="second")
        moved, _ = second_order(first.deforming, first.sections)
        points = one.points
        pairs.append(
            {
                "classical": np.array([beam.movement(p[:2], p[2]) for p in points])[..., 0, 0],
                "deforming": replace(first, deforming=moved).moved(points)[:, :2],
            }
        )
    for theory in THEORIES:
        here, there = pairs[0][theory], pairs[1][theory] * image.back[:2]
        # What meshes change of the first order counts by 1 / (1 - share) in the second.
        off, size = float(np.abs(here - there).max()), float(np.abs(here).max())
        if not off <= ALIKE / 0.4 * size:
            trial.troubles.append(f"{theory}: mirrored it moves otherwise by {off / size:.1e}")


LAWS: dict[str, Callable[[Trial, Rng], None]] = {
    "in stages": staged,
    "beam-columns": bent_column,
    "twisted and pressed": twisted_column,
    "second order, mirrored": moved_image,
}


def _second(
    trial: Trial,
    case: MemberCase,
    loads: tuple,  # type: ignore[type-arg]
    known,  # type: ignore[no-untyped-def]
    at: float,
    rule: tuple[str, int, float, float, float],
) -> None:
    words, way, exact, within, within_deforming = rule
    trial.held.append(words)
    first = solved(replace(case, loads=loads, forces=(), known=(), torque=None), known)
    beam = solve(first.classical.mesh.member, order="second")
    solid, _ = second_order(first.deforming, first.sections)
    if way == 2:
        values = (beam.at([at]).phi[0, 0], solid.twist([at])[0, 0])
    else:
        values = (
            beam.movement((0.0, 0.0), at)[1][0, 0],
            solid.movement((0.0, 0.0), [at])[1][0, 0],
        )
    for theory, value, room in zip(THEORIES, values, (within, within_deforming), strict=True):
        if not abs(value - exact) <= room * abs(exact):
            trial.troubles.append(f"{theory}, {words}: {value:.8g}, by the formula {exact:.8g}")


Later = Support | TwistSpring | LateralSpring


def _later(case: MemberCase, rng: Rng) -> Later:
    """A support or spring that the member can miss."""
    at = float(rng.uniform(0.3, 0.7)) * case.length
    size = case.sections[0].size()
    kind = int(rng.integers(3))
    if kind == 0:
        return Support(at, y="held", z="free", name="prop")
    if kind == 1:
        return TwistSpring(at, 0.02 * 210_000.0 * size**3, name="brace")
    return LateralSpring(at, 0.02 * 210_000.0 * size, level=float(case.points[0][1]), name="stay")


def _with(case: MemberCase, later: Later) -> MemberCase:
    if isinstance(later, Support):
        return replace(case, supports=(*case.supports, later))
    return replace(case, restraints=(*case.restraints, later))


def _at_once(found: SolvedMember, theory: str) -> Array:
    """(k, 2) across and up."""
    if theory == "classical":
        return found.shifted(found.case.points)
    return found.moved(found.case.points)[:, :2]


def _hold(
    trial: Trial,
    theory: str,
    words: str,
    case: MemberCase,
    movement: Callable,  # type: ignore[type-arg]
    wanted: Array,
) -> None:
    ours = np.array([movement(p[:2], [p[2]]) for p in case.points])[..., 0, 0]
    off, size = float(np.abs(ours - wanted).max()), float(np.abs(wanted).max())
    if not off <= (CLASSICAL if theory == "classical" else STAGED) * size:
        trial.troubles.append(f"{theory}: {words} it moves otherwise by {off / size:.1e}")
