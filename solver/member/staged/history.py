"""Stages solved one after the other by one theory: what each adds, and the sums so far."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Any

import numpy as np
from numpy.typing import ArrayLike, NDArray

from ....geometry.errors import InputError, SolveError
from ..beam.analysis import solve
from ..beam.loading import moment_of
from ..beam.support_reaction import SupportReaction, triple
from ..deforming.analysis import solve_deforming
from ..deforming.gathering import course_of
from ..deforming.node_places import nodes_of
from ..deforming.passing import in_arcs
from ..deforming.reactions import reactions as deforming_reactions
from ..model.load import Combination
from ..model.member import Member
from ..model.secondary_beam import SecondaryBeam
from ..model.solved_section import SolvedSection
from ..model.support import Support
from ..review.brought import brought_by, with_beams
from .play import JointState, added, continued, has_play
from .release import released, stage_combinations
from .stage import Stage
from .stage_answer import StageAnswer

Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True, eq=False)
class Totals:
    """Sums over the first stages, as limits of movement ask for them.

    `member` is that of the last of them, with all that stands then.
    """

    member: Member
    names: tuple[str, ...]
    answers: tuple[StageAnswer, ...]

    def twist(self, z: ArrayLike) -> Array:
        """(m, c)."""
        return np.asarray(sum(a.twist(z) for a in self.answers))

    def movement(self, point: Any, z: ArrayLike) -> tuple[Array, Array]:
        """Across and up, (m, c) each."""
        each = [a.movement(point, z) for a in self.answers]
        return np.asarray(sum(e[0] for e in each)), np.asarray(sum(e[1] for e in each))

    @property
    def last(self) -> Totals:
        """What the last of them adds alone."""
        return Totals(self.member, self.names, self.answers[-1:])

    @property
    def reactions(self) -> tuple[tuple[SupportReaction, ...], ...]:
        """What every support and spring that still stands holds in all, a combination a row."""
        return tuple(tuple(_held(self.answers, c).values()) for c in range(len(self.names)))


@dataclass(frozen=True, slots=True, eq=False)
class History:
    """All stages by one theory: "deforming" or "classical"."""

    theory: str
    names: tuple[str, ...]
    answers: tuple[StageAnswer, ...]

    def until(self, number: int) -> Totals:
        """Sums over the stages 0 to `number`."""
        answers = self.answers[: number + 1]
        return Totals(answers[-1].member, self.names, answers)


Solve = Callable[[Member], tuple[Any, tuple[tuple[SupportReaction, ...], ...]]]


def classical_history(
    member: Member, stages: Sequence[Stage], sections: Mapping[str, SolvedSection]
) -> History:
    """Sections keep their shape."""

    def answer(standing: Member) -> tuple[Any, Any]:
        found = solve(standing)
        return found, found.reactions

    return _history("classical", member, stages, sections, answer)


def deforming_history(
    member: Member, stages: Sequence[Stage], sections: Mapping[str, SolvedSection]
) -> History:
    """Sections deform.

    Raises
    ------
    InputError, SolveError
        Where that theory does not reach; the classical one may then stand alone.
    """

    def answer(standing: Member) -> tuple[Any, Any]:
        whole = _for_all_loads(standing, member)
        course = course_of(whole, sections)
        found = solve_deforming(standing, course, nodes=nodes_of(in_arcs(whole), course))
        return found, tuple(deforming_reactions(found, c) for c in range(len(found.names)))

    return _history("deforming", member, stages, sections, answer)


def _for_all_loads(standing: Member, member: Member) -> Member:
    """What stands, with the loads of the other stages: functions and nodes for them make one step
    of two stages without a change. Other sections than the finished ones may not reach them."""
    names = [
        [s.name for g in one.segments for s in (g.section, g.section_end) if s is not None]
        for one in (standing, member)
    ]
    if names[0] != names[1]:
        return standing
    others = tuple(load for load in member.loads if load not in standing.loads)
    return standing.with_(loads=(*standing.loads, *others), combinations=())


def _history(
    theory: str,
    member: Member,
    stages: Sequence[Stage],
    sections: Mapping[str, SolvedSection],
    answer: Solve,
) -> History:
    names = tuple(c.name for c in member.combined)
    run = _Run(member, names, sections, answer)
    for stage in stages:
        try:
            run.add(stage)
        except (InputError, SolveError) as error:
            kind = InputError if isinstance(error, InputError) else SolveError
            raise kind(f"stage {stage.name!r}: {error}") from error
    return History(theory, names, tuple(run.answers))


@dataclass(slots=True)
class _Run:
    """Stages so far."""

    member: Member
    names: tuple[str, ...]
    sections: Mapping[str, SolvedSection]
    answer: Solve
    answers: list[StageAnswer] = field(default_factory=list)

    def add(self, stage: Stage) -> None:
        before = self.answers[-1].stage.without if self.answers else stage.without
        gone = tuple(t for t in stage.without if t not in before)
        held = [tuple(_held(self.answers, c).values()) for c in range(len(self.names))]
        loads = released(held, gone, self.names)
        standing = stage.standing(self.member, self.sections, loads)
        combined = stage_combinations(
            self.member.combined, stage.cases, [load.case for load in loads]
        )
        if not standing.loads:
            none = tuple(() for _ in self.names)
            self.answers.append(StageAnswer(stage, standing, (), none, gone))
            return
        stood = [t for t in _titles(standing) if self._since(t) < len(self.answers)]
        follows = bool(stood) and has_play(standing)
        groups = [(c,) for c in combined] if follows else [combined]
        solutions: list[Any] = []
        reactions: list[tuple[SupportReaction, ...]] = []
        for k, group in enumerate(groups):
            if not follows:
                found, rows = self.answer(standing.with_(combinations=group))
            else:
                found, rows = self._further(standing, group[0], stood, k)
            solutions.append(found)
            # What connected beams bring down is part of what they exert, as without stages.
            brought = brought_by(standing.with_(combinations=group))
            reactions += [with_beams(r, brought, n) for n, r in enumerate(rows)]
        self.answers.append(StageAnswer(stage, standing, tuple(solutions), tuple(reactions), gone))

    def _further(
        self, standing: Member, combination: Combination, stood: Sequence[str], c: int
    ) -> tuple[Any, tuple[tuple[SupportReaction, ...], ...]]:
        """A further stage under one combination: joints with play go on from where they are."""
        held = _held(self.answers, c)
        states = {title: self._state(title, c, held.get(title)) for title in stood}
        case = f"held before under {combination.name}"
        factors = {**combination.factors, case: 1.0}
        own = continued(standing, states, case)
        if not any(load.case == case for load in own.loads):
            factors.pop(case)
        own = own.with_(combinations=(Combination(combination.name, factors),))
        found, rows = self.answer(own)
        return found, tuple(tuple(added(own, r, states) for r in row) for row in rows)

    def _since(self, title: str) -> int:
        """Number of the stage from which a joint has stood without a break."""
        first = len(self.answers)
        while first > 0 and title not in self.answers[first - 1].stage.without:
            first -= 1
        return first

    def _state(self, title: str, c: int, held: SupportReaction | None) -> JointState:
        """Where a joint is, and what it holds."""
        answers = self.answers[self._since(title) :]
        joint = next(
            x for x in (*self.member.supports, *self.member.restraints) if x.title == title
        )
        at = getattr(joint, "at", None)
        if at is None:  # a deck has no play
            return JointState(0.0, held)
        turn = float(sum(a.twist([at])[0, c] for a in answers))
        if isinstance(joint, SecondaryBeam):
            factors = self.member.combined[c].factors
            for a in answers:
                turn += joint.leverage * float(a.movement(joint.place, [at])[1][0, c])
                applied = {k: f for k, f in factors.items() if k in a.stage.cases}
                turn -= joint.free_turn(joint.load_of(applied))
        moved: tuple[float, ...] = ()
        if isinstance(joint, Support) and held is not None and held.bearings:
            moved = tuple(
                -now.force / bearing.stiffness
                if now.force and bearing.stiffness is not None
                else 0.0
                if now.force
                else sum(a.over_bearing(joint, n, c) for a in answers)
                for n, (bearing, now) in enumerate(
                    zip(joint.bearings, held.bearings, strict=True), 1
                )
            )
        places: tuple[tuple[float, float], ...] = ()
        if moved:
            assert isinstance(joint, Support)
            loaded = next(a for a in reversed(answers) if a.solutions)
            places = tuple(
                loaded.bearing_place(joint, n) for n in range(1, len(joint.bearings) + 1)
            )
        return JointState(turn, held, moved, places)


def _titles(standing: Member) -> list[str]:
    return [*(s.title for s in standing.supports), *(r.title for r in standing.restraints)]


def _held(answers: Sequence[StageAnswer], c: int) -> dict[str, SupportReaction]:
    """Totals of what stands after these stages, by titles."""
    found: dict[str, SupportReaction] = {}
    for answer in answers:
        for title in answer.released:
            found.pop(title, None)
        for r in answer.reactions[c]:
            centre = answer.member.section_at(r.at).shear_centre
            found[r.title] = _sum(found[r.title], r, centre) if r.title in found else r
    return found


def _sum(a: SupportReaction, b: SupportReaction, centre: tuple[float, float]) -> SupportReaction:
    """Both together, about the point of the second, whose section has this shear centre."""
    force = np.add(a.force, b.force)
    arm = np.subtract(a.point, b.point)
    moment = np.add(a.moment, b.moment) + moment_of(arm, np.array(a.force))
    torque = float(moment[2] + moment_of(np.subtract(b.point, centre), force)[2])
    lever = abs(b.torque) / b.couple if b.couple else None
    if lever is None and a.couple:
        lever = abs(a.torque) / a.couple
    bearings = tuple(
        replace(q, force=p.force + q.force, lifted=p.lifted or q.lifted)
        for p, q in zip(a.bearings, b.bearings, strict=True)
    )
    return replace(
        b,
        force=triple(force),
        moment=triple(moment),
        torque=torque,
        bimoment=a.bimoment + b.bimoment,
        couple=abs(torque) / lever if lever else b.couple,
        bearings=bearings,
        play=b.play or a.play,
    )
