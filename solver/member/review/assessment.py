"""All that is asked of a member: solved, stressed, held against limits, explained, and remedied."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np

from ....geometry.errors import InputError, SolveError
from ....geometry.notebook_table import notebook_table
from ..beam.analysis import solve, with_critical_loads
from ..beam.hinge_force import HingeForce, hinge_forces
from ..beam.mismatch import mismatch_of, mismatched_steps
from ..beam.solution import Solution, Stations
from ..beam.stations import SegmentStations, whole
from ..deforming.hinge_force import deforming_hinge_forces
from ..file.request import MemberRequest
from ..model.member import Member
from .clearance import ClearanceEnvelope, clearance_envelope
from .cure_effect import CureEffect, cured
from .deformed import Deformed
from .diagnosis import RestraintEffect, TorqueShares, restraint_effects, torque_shares
from .diaphragm_spacing import DiaphragmSpacing, largest_spacing
from .eccentricity import LoadTorque, load_torques
from .greatest import greatest
from .judgement import LimitRow, judged
from .movement_limits import TwistLimit
from .reactions import Reactions, reactions_of
from .shear_lag import ShearLag, shear_lag
from .stability import MemberStability, stability
from .stress import MemberStress
from .weld_flow import FlowsAlong, flows_along

if TYPE_CHECKING:
    from ...rules.code_review import CodeReview
    from ..influence.envelope import Envelope
    from ..influence.worst_place import WorstPlace

_NO_RESTRAINTS = (
    "What each restraint does is not told where closed and open pieces meet: that is found by the "
    "classical theory; change the file and solve it again"
)


#: Stations at which the combination that twists a member most is sought.
_RESTRAINT_STATIONS = 100


@dataclass(frozen=True, slots=True, eq=False)
class Assessment:
    """A member's answers.

    Attributes
    ----------
    request : MemberRequest
    solution : Solution
    parts : tuple of SegmentStations
    table : Stations
        Of all segments.
    stress : MemberStress or None
        None where a section is known by its figures alone.
    torques : tuple of LoadTorque
    limits : tuple of LimitRow
    customary : bool
        True when the file sets no limit and the customary ones are shown instead.
    shares : tuple of TorqueShares
    restraints : tuple of RestraintEffect
        Under the combination that twists the member most.
    cures : tuple of CureEffect
        The first row is the member as it stands; empty when they were not asked for.
    deformed : Deformed or None
        The answers with deforming sections, by which limits are judged; None where the classical
        theory alone is asked for, or stands alone.
    alone : str
        Why the classical theory stands alone.
    spacing : DiaphragmSpacing or None
        Of diaphragms, where the section distorts and remedies were asked for.
    reactions : tuple of Reactions
        By each theory that runs, the one that leads first.
    clearance : ClearanceEnvelope or None
        By the theory that leads; None where no joint has clearance.
    flows : FlowsAlong or None
        Of welds and cells; None where no section has either.
    codes : tuple of CodeReview
        Of every design code that the file names.
    stability : MemberStability, str or None
        Critical factors with deforming sections, or why there are none; None where the classical
        theory alone is asked for or stands alone.
    shear_lag : tuple of ShearLag
        Of every level flange, where sections deform.
    hinges : tuple of HingeForce
        By the theory that leads.
    envelope : Envelope or None
        Of all combinations, where loads travel, come and go, or a bearing schedule is asked for.
    arrangements : tuple of WorstPlace
        Worst places that are among the member's combinations.
    given : MemberRequest or None
        The request as it was, where worst places were added to it.
    """

    request: MemberRequest
    solution: Solution
    parts: tuple[SegmentStations, ...]
    table: Stations
    stress: MemberStress | None
    torques: tuple[LoadTorque, ...]
    limits: tuple[LimitRow, ...]
    customary: bool
    shares: tuple[TorqueShares, ...]
    restraints: tuple[RestraintEffect, ...]
    cures: tuple[CureEffect, ...]
    deformed: Deformed | None = None
    alone: str = ""
    spacing: DiaphragmSpacing | None = None
    reactions: tuple[Reactions, ...] = ()
    clearance: ClearanceEnvelope | None = None
    flows: FlowsAlong | None = None
    codes: tuple[CodeReview, ...] = ()
    stability: MemberStability | str | None = None
    shear_lag: tuple[ShearLag, ...] = ()
    hinges: tuple[HingeForce, ...] = ()
    envelope: Envelope | None = None
    arrangements: tuple[WorstPlace, ...] = ()
    given: MemberRequest | None = None

    def __repr__(self) -> str:
        rows = [f"  {words} {value} ({of})" for words, of, value in self._facts()]
        return "\n".join([f"Assessment of {self.request.member.name!r}", *rows[:7]])

    def _repr_html_(self) -> str:
        return notebook_table(self.request.member.name, self._facts())

    def _facts(self) -> list[tuple[str, str, str]]:
        """Words, combination and value of every limit."""
        return [(i.row.limit, i.row.combination, f"{i.row.ratio:.0%} used") for i in self.limits]


def assess(
    request: MemberRequest, *, cures: bool = True, envelope: bool = False, critical: bool = True
) -> Assessment:
    """Solve a member and gather all that a report says of it; `envelope` asks for that of its
    combinations even where they hold still loads alone, and without `critical` the critical loads
    of deforming sections are left to `with_critical`.

    Raises
    ------
    InputError
        A mechanism, uplift, or a limit that cannot be judged, in words.
    SolveError
        No trustworthy answer, such as first order too near a critical load.
    """
    if request.stages:
        raise InputError(
            "this member is built in stages, which soapfilm member follows; take the [[stage]] "
            "tables out for this"
        )
    given = request
    found: Envelope | None = None
    arrangements: tuple[WorstPlace, ...] = ()
    if envelope or request.travels:
        from ..influence.envelope import envelope_of
        from ..influence.worst_place import arranged

        found = envelope_of(request)
        request, arrangements = arranged(request, found)
    solution = _solved(request)
    limits = request.limits or (() if request.frequencies or request.critical else (TwistLimit(),))
    judgement = judged(replace(request, limits=limits), solution)
    parts, stress, other = judgement.parts, judgement.stress, judgement.deformed
    leads = None if other is None else other.solution
    # The classical theory cannot tell where closed and open pieces meet.
    solvable = cures and not mismatched_steps(request.member)
    return Assessment(
        request,
        solution,
        parts,
        whole(parts),
        stress,
        load_torques(given.member),
        judgement.rows,
        not (request.limits or request.frequencies or request.critical),
        torque_shares(solution),
        restraint_effects(_telling(solution)) if solvable else (),
        cured(request, stress is not None, other) if solvable or (cures and other) else (),
        other,
        judgement.alone,
        _spacing(request, other) if cures else None,
        reactions_of(solution, leads),
        clearance_envelope(solution, leads),
        flows_along(parts, request.sections),
        _coded(request, solution, parts, stress, other),
        judgement.stability
        if other is None or judgement.stability is not None or not critical
        else stability(solution, other, request.sections),
        () if leads is None else shear_lag(leads, request.sections),
        hinge_forces(solution) if leads is None else deforming_hinge_forces(leads),
        found,
        arrangements,
        given,
    )


def with_critical(assessment: Assessment) -> Assessment:
    """The same with the critical loads of deforming sections, where they were left out."""
    other = assessment.deformed
    if other is None or assessment.stability is not None:
        return assessment
    sections = assessment.request.sections
    return replace(assessment, stability=stability(assessment.solution, other, sections))


def _spacing(request: MemberRequest, other: Deformed | None) -> DiaphragmSpacing | None:
    """The largest spacing of diaphragms, where sections with cells distort."""
    if other is None or other.parting.reason != "distortion":
        return None
    try:
        return largest_spacing(request.member, request.sections)
    except (InputError, SolveError):
        return None


def _coded(
    request: MemberRequest,
    solution: Solution,
    parts: Sequence[SegmentStations],
    stress: MemberStress | None,
    other: Deformed | None,
) -> tuple[CodeReview, ...]:
    """The rules of design codes that the file names."""
    if not request.codes:
        return ()
    from ...rules.code_review import code_reviews
    from ...rules.stretch import StressAlong

    leading = other.stress if other is not None else stress
    along = None
    if leading is not None:
        along = StressAlong(
            leading.z, leading.mises, leading.shear, leading.tension, leading.compression
        )
    return code_reviews(
        request.codes,
        solution,
        parts,
        along,
        request.sections,
        deforming=other is not None,
        megapascal=request.units.read("1 MPa", "stress"),
    )


def _solved(request: MemberRequest) -> Solution:
    """The solution with its critical loads; a refusal says what to write in the file."""
    mismatch = mismatch_of(request.member)
    if mismatch is not None and request.keep_shape:
        raise SolveError(mismatch.sentence())
    solution = solve(request.member, order=request.order)
    if mismatch is not None:
        solution = replace(solution, notes=(*solution.notes, mismatch.sentence(), _NO_RESTRAINTS))
    try:
        return with_critical_loads(solution)
    except SolveError as error:
        if request.order == "second" or "second order" not in str(error):
            raise
        raise SolveError(f'{error} (order = "second" under [analysis])') from error


def _telling(solution: Solution) -> Member:
    """The member under the combination that twists it most: what restraints do is asked there."""
    member = solution.mesh.member
    (worst,) = greatest(np.abs(solution.diagram(count=_RESTRAINT_STATIONS).phi).max(axis=0))
    return member.with_(combinations=(member.combined[worst],))
