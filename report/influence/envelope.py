"""The envelope of all combinations: table and record."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

from ...solver.rules.american_combinations import SOURCE as AMERICAN
from ...solver.rules.european_combinations import SOURCE as EUROPEAN
from ..member.units import MemberUnits
from ..text.blocks import HeadedRows, Passage, Sentences
from ..text.number import near_zero, number
from .standing import standing_record, standing_words

if TYPE_CHECKING:
    from ...solver.member.influence.envelope import Envelope, EnvelopeExtreme
    from ...solver.member.influence.worst_place import WorstPlace

HEADING = "Envelope of all combinations"
ARRANGED = "Arrangements solved as combinations"
#: How forces of a half-joint's seats count.
SEATS = (
    "Forces of seats act up from the piece beyond on the piece before: below zero they press where "
    "the piece before carries, above zero where the piece beyond does."
)


def number_of(k: int) -> str:
    """Short for combination k, from 1."""
    return f"C{k}"


def envelope_passage(envelope: Envelope, units: MemberUnits) -> Passage:
    """Maximum and minimum of every result, the combination that governs, and what stands where."""
    rows = []
    for c, one in enumerate(envelope.influence.asked):
        scheduled = one.owner and one.kind in ("displacement", "rotation", "twist")
        if scheduled or not scale_of(envelope, c):
            continue
        for maximum in (True, False):
            extreme = envelope.governing(c, maximum)
            rows.append(
                (
                    one.title if maximum else "",
                    "max" if maximum else "min",
                    shown(envelope, extreme, c, units),
                    units.unit(one.quantity),
                    envelope.combinations[extreme.combination].name,
                    standing_words(extreme, envelope, units),
                )
            )
    along = units.unit("along")
    grid = HeadedRows(
        ("result", "", "value", "unit", "combination", f"stands at ({along})"), ("",) * 6, rows, 2
    )
    return [grid, Sentences(envelope_words(envelope))]


def envelope_words(envelope: Envelope) -> list[str]:
    """What the envelope takes for granted."""
    words = [
        "Each result is largest over all combinations: load cases that may be away act where they "
        "make it worse, moving loads stand at their true worst place between stations too. Signs "
        "are those of the member's results. JSON has all results at each of these places, and the "
        "extremes of every combination."
    ]
    if any(one.kind == "seat" for one in envelope.influence.asked):
        words.append(SEATS)
    lifted = [envelope.influence.asked[c].title for c in envelope.uplift]
    if lifted:
        words.append(
            f"Uplift: {', '.join(lifted)}. The envelope adds up results with all bearings shut; "
            "the arrangements that lift them are solved again below with bearings that come off."
        )
    sources = {one.source for one in envelope.combinations if one.source}
    words += [set_words(source) for source in sorted(sources)]
    return words


def set_words(source: str) -> str:
    """The caution beside a standard's set."""
    return (
        f"Combination factors: {source}; national annexes and later editions differ. Compare them "
        "with a copy of the standard before use."
    )


def arrangement_passage(
    envelope: Envelope, found: Sequence[WorstPlace], units: MemberUnits
) -> Passage:
    """The arrangements that stand among the member's combinations."""
    if not found:
        return []
    rows = [
        (one.name, "; ".join(one.worst_for), standing_words(one.extreme, envelope, units))
        for one in found
    ]
    along = units.unit("along")
    grid = HeadedRows(("combination", "worst for", f"stands at ({along})"), ("", "", ""), rows, 2)
    return [
        grid,
        Sentences(
            [
                "Limits, stresses and reactions are found under these as under any other "
                "combination. Ends of crowds are put on 24ths of a span, which changes a sum by "
                "about a thousandth. Elements are not refined beside wheels: how a wheel bends the "
                "plate under it is not told."
            ]
        ),
    ]


def scale_of(envelope: Envelope, c: int) -> float:
    """The size of a result beside which rounding is nothing; 0 where it is none at all."""
    asked = envelope.influence.asked
    largest = 0.0
    for k, one in enumerate(asked):
        if one.quantity == asked[c].quantity:
            largest = max(largest, *(abs(envelope.governing(k, m).value) for m in (True, False)))
    own = max(abs(envelope.governing(c, m).value) for m in (True, False))
    return own if own > 1e-9 * largest else 0.0


def shown(envelope: Envelope, extreme: EnvelopeExtreme, c: int, units: MemberUnits) -> str:
    """A value of an extreme."""
    quantity = envelope.influence.asked[c].quantity
    value = near_zero(float(extreme.together[c]), scale_of(envelope, c))
    return number(value * units.factor(quantity), 4)


def envelope_record(envelope: Envelope | None, units: MemberUnits) -> dict[str, Any] | None:
    """All extremes, the governing ones with all results then."""
    if envelope is None:
        return None
    asked = envelope.influence.asked
    factor = [units.factor(one.quantity) for one in asked]

    def governing(c: int, maximum: bool) -> dict[str, Any]:
        extreme = envelope.governing(c, maximum)
        return {
            "value": extreme.value * factor[c],
            "combination": envelope.combinations[extreme.combination].name,
            "cases": dict(extreme.factors),
            "standing": standing_record(extreme, units),
            "together": {
                one.title: float(v) * f
                for one, v, f in zip(asked, extreme.together, factor, strict=True)
            },
        }

    return {
        "sections_keep_shape": envelope.influence.alone or None,
        "length_unit": units.unit("along"),
        "combinations": [
            {
                "number": number_of(k),
                "name": one.name,
                "cases": {name: list(pair) for name, pair in one.cases.items()},
                "moving": dict(one.moving),
                "source": one.source or None,
            }
            for k, one in enumerate(envelope.combinations, 1)
        ],
        "results": [
            {
                "result": one.title,
                "unit": units.unit(one.quantity),
                "by_case": {
                    case: float(v) * factor[c]
                    for case, v in zip(envelope.cases, envelope.by_case[:, c], strict=True)
                },
                "maximum": governing(c, True),
                "minimum": governing(c, False),
                "maximum_of_each": [row[2 * c].value * factor[c] for row in envelope.table],
                "minimum_of_each": [row[2 * c + 1].value * factor[c] for row in envelope.table],
            }
            for c, one in enumerate(asked)
        ],
        "uplift": [asked[c].title for c in envelope.uplift],
        "cautions": [
            set_words(s)
            for s in (AMERICAN, EUROPEAN)
            if any(one.source == s for one in envelope.combinations)
        ],
    }


def arrangement_records(found: Sequence[WorstPlace], units: MemberUnits) -> list[dict[str, Any]]:
    """One row an arrangement."""
    return [
        {
            "combination": one.name,
            "worst_for": list(one.worst_for),
            "cases": dict(one.extreme.factors),
            "standing": standing_record(one.extreme, units),
        }
        for one in found
    ]
