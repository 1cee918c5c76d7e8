"""What is told of a member first: the largest of what a reader asks for, each with its place."""

from __future__ import annotations

from typing import TYPE_CHECKING

from ..member.extremes import largest, play_share
from ..member.governing import Governing, largest_stress, largest_twist
from ..member.limits import verdict
from ..member.rounding import rounding_scales
from ..member.units import MemberUnits
from ..text.number import near_zero
from .document import Fact

if TYPE_CHECKING:
    from ...solver.member.review.assessment import Assessment


def member_facts(assessment: Assessment) -> list[Fact]:
    """Twist, what of it is play of joints, deflection, torque, bimoment, stress, the most used
    limit."""
    units = MemberUnits(assessment.request.units)
    twist = largest_twist(assessment)
    facts = [_governing_fact("largest twist", "φ", twist, units, "angle")]
    play = abs(play_share(assessment, assessment.solution.column(twist.combination)))
    if play > 0:
        text, unit = units.value(play, "angle"), units.unit("angle")
        facts.append(Fact("play of bolts in that twist", "", text, unit, twist.combination))
    facts += _deflection(assessment, units)
    beside = rounding_scales(assessment)
    for words, symbol, word, quantity in (
        ("largest torque", "T", "T", "moment"),
        ("largest bimoment", "B", "B", "bimoment"),
    ):
        columns = range(len(assessment.solution.names))
        best = max(columns, key=lambda c: abs(largest(assessment, word, c).value))
        found = largest(assessment, word, best)
        value = near_zero(abs(found.value), beside[word])
        where = _where(assessment.solution.names[best], value, found.station, units)
        text = units.value(value, quantity)
        facts.append(Fact(words, symbol, text, units.unit(quantity), where))
    peak = largest_stress(assessment)
    if peak is not None:
        facts.append(_governing_fact("peak von Mises stress", "σ_v", peak, units, "stress"))
    worst = max(assessment.limits, key=lambda item: item.row.ratio, default=None)
    if worst is not None:
        used = f"{100 * worst.row.ratio:.0f} %"
        facts.append(Fact("most used limit", "", used, "", f"{worst.row.limit}: {verdict(worst)}"))
    return facts


def _deflection(assessment: Assessment, units: MemberUnits) -> list[Fact]:
    """The corner that moves most, where sections deform; both sides where they part."""
    found = assessment.deformed
    if found is None:
        return []
    row = max(found.rows, key=lambda r: r.deflection.deforming)
    pair = row.deflection
    most = Governing(pair.deforming, pair.at, row.name, pair.classical)
    fact = _governing_fact("largest deflection of a corner", "", most, units, "displacement")
    if found.parting.reason == "distortion":
        left, right = (units.value(side, "displacement", 3) for side in found.parting.sides)
        where = units.text(found.parting.distorts_at, "along")
        sides = f"at {where} the sides go down by {left} and {right} {fact.unit}"
        fact = Fact(fact.words, fact.symbol, fact.value, fact.unit, f"{fact.note}; {sides}")
    return [fact]


def classical_words(found: Governing, units: MemberUnits, quantity: str) -> str:
    """The classical value in brackets, where sections deform."""
    if found.classical is None:
        return ""
    return f" (classical theory: {units.text(found.classical, quantity)})"


def _governing_fact(
    words: str, symbol: str, found: Governing, units: MemberUnits, quantity: str
) -> Fact:
    where = _where(found.combination, found.value, found.station, units)
    where += classical_words(found, units, quantity)
    return Fact(words, symbol, units.value(found.value, quantity), units.unit(quantity), where)


def _where(combination: str, value: float, station: float, units: MemberUnits) -> str:
    """Combination and station; what is zero has none."""
    return f"{combination}, at {units.text(station, 'along')}" if value else combination
