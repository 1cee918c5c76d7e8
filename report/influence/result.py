"""Influence lines with the load that travels and the units they are read in."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from ...geometry.errors import InputError
from ...geometry.units import Units
from ...solver.member.file.request import MemberRequest
from ...solver.member.influence.analysis import Influence, influence_of
from ...solver.member.influence.case_results import case_results
from ...solver.member.influence.deck_lines import deck_lines
from ...solver.member.influence.envelope import Envelope, combined_envelope, places_across
from ...solver.member.influence.moving_load import MovingExtreme
from ...solver.member.influence.traffic import Traffic
from ...solver.member.influence.words import (
    asked_in_words,
    line_in_words,
    usual_lines,
    usual_results,
)
from ...solver.member.model.moving import Crowd, Vehicle
from ..member.units import MemberUnits


@dataclass(frozen=True, slots=True, eq=False)
class InfluenceResult:
    """Influence lines.

    Attributes
    ----------
    influence : Influence
    load : float
        The single load, in the force unit of the member.
    file_units : Units
    vehicles, crowds : tuples
        Moving loads of the file.
    moving : tuple of MovingExtreme
        Theirs.
    envelope : Envelope or None
        Of the combinations, where the file combines moving loads or patterns.
    """

    influence: Influence
    load: float
    file_units: Units
    vehicles: tuple[Vehicle, ...] = ()
    crowds: tuple[Crowd, ...] = ()
    moving: tuple[MovingExtreme, ...] = ()
    envelope: Envelope | None = None

    @property
    def units(self) -> MemberUnits:
        """As shown."""
        return MemberUnits(self.file_units)

    def factor(self, c: int) -> float:
        """From an ordinate of a result to its shown value under the load."""
        return self.load * self.units.factor(self.influence.asked[c].quantity)

    def unit(self, c: int) -> str:
        """Unit of a result."""
        return self.units.unit(self.influence.asked[c].quantity)


def influence_in_words(
    request: MemberRequest,
    results: Sequence[str],
    lines: Sequence[str],
    load: str,
    *,
    surface: bool = False,
) -> InfluenceResult:
    """Solve what is asked for in words; the usual results and lines where nothing is, or lines over
    all the deck for a surface. Where the file combines moving loads, the envelope of its
    combinations too.

    Raises
    ------
    InputError
        Words that are none; a member built in stages; second order.
    """
    if request.stages:
        raise InputError(
            "this member is built in stages, and on which of them the load travels is not said; "
            "take the [[stage]] tables out for this"
        )
    if request.order == "second":
        raise InputError(
            'influence lines add up in first order alone; take order = "second" out for this'
        )
    member, units = request.member, request.units
    size = units.read(load, "force", what="--load")
    if not 0 < size < float("inf"):
        raise InputError(f"--load must be a positive force, got {load}")
    asked = [asked_in_words(words, member, units) for words in results]
    travels = [line_in_words(words, member, units) for words in lines]
    also = places_across(request)
    over, seen = tuple(travels), None
    if surface and not travels:
        over, edges = deck_lines(request.sections)
        seen = [*edges, *also]
    found = influence_of(
        member, request.sections, asked or usual_results(member, units),
        over or usual_lines(member), also=also, seen=seen, keep_shape=request.keep_shape,
        loaded=request.travels,
    )  # fmt: skip
    traffic = Traffic(found, request.vehicles, request.crowds)
    moving, envelope = traffic.alone(), None
    if request.travels:
        envelope = combined_envelope(found, case_results(found), request.variable, traffic)
    return InfluenceResult(found, size, units, request.vehicles, request.crowds, moving, envelope)
