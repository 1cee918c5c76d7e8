"""Where moving loads stand and which cases act, in words and as records."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, Any

from ..member.units import MemberUnits
from ..text.number import number

if TYPE_CHECKING:
    from ...solver.member.influence.envelope import Envelope, EnvelopeExtreme
    from ...solver.member.influence.moving_load import MovingExtreme
    from ...solver.member.influence.traffic import Standing

#: Covered parts or axles named in a table before "...".
_NAMED = 4
#: Cases named before "...".
_CASES = 6


def place_words(place: MovingExtreme, units: MemberUnits, length: float) -> str:
    """Axles from the first on with direction and line; the parts that a crowd covers."""
    if place.axles:
        axles = [_station(z, units, length) for z in place.axles]
        more = " ..." if len(axles) > _NAMED else ""
        way = "forward" if place.forward else "backward"
        return f"{', '.join(axles[:_NAMED])}{more} {way}, line {place.line + 1}"
    parts = [
        f"{_station(a, units, length)} to {_station(b, units, length)} (strip {k + 1})"
        for k, a, b in place.parts
    ]
    return ", ".join(parts[:_NAMED]) + (" ..." if len(parts) > _NAMED else "")


def standing_words(extreme: EnvelopeExtreme, envelope: Envelope, units: MemberUnits) -> str:
    """What of a combination that comes and goes acts, and where what travels stands."""
    length = envelope.influence.member.length
    said = [
        f"{name}: {'; '.join(place_words(s.place, units, length) for s in rows)}"
        for name, rows in _by_name(extreme.standing).items()
    ]
    cases = envelope.combinations[extreme.combination].cases
    acting = [n for n in extreme.factors if cases[n][0] != cases[n][1]]
    if acting:
        more = " ..." if len(acting) > _CASES else ""
        shown = [f"{n} x {number(extreme.factors[n], 4)}" for n in acting[:_CASES]]
        said.append(f"with {', '.join(shown)}{more}")
    return "; ".join(said)


def standing_record(extreme: EnvelopeExtreme, units: MemberUnits) -> list[dict[str, Any]]:
    """One row a moving load in its place."""
    along, force = units.factor("along"), units.factor("force")
    rows = []
    for one in extreme.standing:
        row: dict[str, Any] = {"load": one.name, "factor": one.factor}
        if one.place.axles:
            row |= {
                "axles_at": [z * along for z in one.place.axles],
                "axle_forces": [f * force for f in one.place.forces],
                "line": one.place.line + 1,
                "direction": "forward" if one.place.forward else "backward",
            }
        else:
            row["covers"] = [
                {"strip": k + 1, "from": a * along, "to": b * along} for k, a, b in one.place.parts
            ]
        rows.append(row)
    return rows


def _by_name(standing: Sequence[Standing]) -> Mapping[str, list[Standing]]:
    found: dict[str, list[Standing]] = {}
    for one in standing:
        found.setdefault(one.name, []).append(one)
    return found


def _station(z: float, units: MemberUnits, length: float) -> str:
    """A station; what was seen from just beside one is at it."""
    return units.value(round(z / length, 7) * length, "along")
