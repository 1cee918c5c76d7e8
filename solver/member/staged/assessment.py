"""A member built in stages: what stands after each, held against the limits of that stage."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ....geometry.errors import ArrangementError, InputError, SolveError
from ....geometry.notebook_table import notebook_table
from ..beam.support_reaction import SupportReaction
from ..deforming.envelope import DeformingStress
from ..file.request import MemberRequest
from ..model.member import Member
from ..review.deforming_limits import movement_rows, stress_row
from ..review.judgement import LimitRow, limit_rows
from ..review.movement_limits import MovementLimit, TwistLimit
from ..review.stress_limit import StressLimit
from .history import History, Totals, classical_history, deforming_history
from .stage import Stage
from .total_stress import total_stress

Array = NDArray[np.float64]

#: Stations at which twist and movement are sought.
STATIONS = 201


@dataclass(frozen=True, slots=True, eq=False)
class StageResult:
    """What stands after one stage.

    Attributes
    ----------
    stage : Stage
    member : Member
        As it stands, under the loads of this stage.
    added, twist : (m, c)
        Twist of this stage, and in all, at `z` (m,).
    z : (m,)
    moved : mapping of points to (2, m, c)
        Movement across and up of the named points, in all; "shear_centre" is one of them.
    stress : DeformingStress or None
        Of all stages together.
    no_stress : str
        Why there is none.
    reactions : tuple per combination of tuple of SupportReaction
        In all, of what still stands.
    limits : tuple of LimitRow
    released : tuple of str
        Titles of what was taken away before it.
    """

    stage: Stage
    member: Member
    z: Array
    added: Array
    twist: Array
    moved: dict[str, Array]
    stress: DeformingStress | None
    no_stress: str
    reactions: tuple[tuple[SupportReaction, ...], ...]
    limits: tuple[LimitRow, ...]
    released: tuple[str, ...]


@dataclass(frozen=True, slots=True, eq=False)
class StagedAssessment:
    """All stages.

    Attributes
    ----------
    request : MemberRequest
    history : History
        By the theory that leads.
    classical : History
    stages : tuple of StageResult
    names : tuple of str
        The combinations.
    alone : str
        Why the classical theory stands alone; empty where sections deform.
    """

    request: MemberRequest
    history: History
    classical: History
    stages: tuple[StageResult, ...]
    names: tuple[str, ...]
    alone: str

    @property
    def limits(self) -> list[tuple[Stage, LimitRow]]:
        """Every limit with its stage."""
        return [(s.stage, row) for s in self.stages for row in s.limits]

    def __repr__(self) -> str:
        rows = [f"  {words} {value} ({of})" for words, of, value in self._facts()]
        return "\n".join([f"StagedAssessment of {self.request.member.name!r}", *rows[:7]])

    def _repr_html_(self) -> str:
        return notebook_table(self.request.member.name, self._facts())

    def _facts(self) -> list[tuple[str, str, str]]:
        """Words, stage and value of every limit."""
        return [
            (i.row.limit, f"{stage.name}, {i.row.combination}", f"{i.row.ratio:.0%} used")
            for stage, i in self.limits
        ]


def assess_stages(request: MemberRequest) -> StagedAssessment:
    """Solve a member stage by stage.

    Raises
    ------
    InputError
        A stage whose supports do not hold the member (the mechanism is named), a limit that cannot
        be judged.
    SolveError
        A joint that turns back, a bearing that lifts from one stage to the next.
    """
    if request.order == "second":
        raise InputError(
            'stages are added up in first order; take order = "second" out, or judge the last '
            "stage alone"
        )
    member, stages, sections = request.member, request.stages, request.sections
    if not member.loads:
        raise InputError("the member carries no load; add one, or a self-weight")
    classical = classical_history(member, stages, sections)
    history, alone = classical, "the file asks for sections that keep their shape"
    if not request.keep_shape:
        try:
            history, alone = deforming_history(member, stages, sections), ""
        except ArrangementError:
            raise
        except (InputError, SolveError) as error:
            alone = str(error)
    results = tuple(_result(request, history, n) for n in range(len(stages)))
    return StagedAssessment(request, history, classical, results, history.names, alone)


def _result(request: MemberRequest, history: History, number: int) -> StageResult:
    totals = history.until(number)
    answer = totals.answers[-1]
    z = np.linspace(0.0, totals.member.length, STATIONS)
    places = ["shear_centre", *request.member.points]
    stress, no_stress = None, ""
    try:
        stress = total_stress(totals, request.sections)
    except InputError as error:
        no_stress = str(error)
    return StageResult(
        answer.stage,
        answer.member,
        z,
        answer.twist(z),
        totals.twist(z),
        {p: np.stack(totals.movement(p, z)) for p in places},
        stress,
        no_stress,
        totals.reactions,
        _limits(request, totals, stress, no_stress, answer.stage.name),
        answer.released,
    )


def _limits(
    request: MemberRequest,
    totals: Totals,
    stress: DeformingStress | None,
    no_stress: str,
    stage: str,
) -> tuple[LimitRow, ...]:
    limits: Sequence[TwistLimit | MovementLimit | StressLimit] = request.limits or (TwistLimit(),)
    rows: list[LimitRow] = []
    for number, limit in enumerate(limits, 1):
        if limit.stages and stage not in limit.stages:
            continue
        try:
            if isinstance(limit, StressLimit):
                if stress is None:
                    if not any(a.solutions for a in totals.answers):
                        continue  # nothing is loaded yet
                    raise InputError(f"no stress can be judged: {no_stress}")
                found = [stress_row(stress, limit, request.sections)]
            else:
                found = movement_rows(totals.last if limit.added else totals, limit)
        except InputError as error:
            raise InputError(f"stage {stage!r}, limit {number}: {error}") from error
        rows += limit_rows(limit, number, found, request.sections)
    return tuple(rows)
