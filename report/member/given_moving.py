"""What a member file states of moving loads and of combinations in which something varies."""

from __future__ import annotations

from typing import TYPE_CHECKING

from ..text.blocks import HeadedRows, Passage
from ..text.number import number
from .given_holds import place_words
from .units import MemberUnits

if TYPE_CHECKING:
    from ...solver.member.file.request import MemberRequest
    from ...solver.member.model.variable import VariableCombination


def moving_given(request: MemberRequest, units: MemberUnits) -> Passage:
    """Vehicles and crowds."""
    rows = []
    for v in request.vehicles:
        axles = ", ".join(
            f"{units.text(a.force, 'force')} at {units.text(a.behind, 'along')}" for a in v.axles
        )
        more = [f"dynamic factor {number(v.factor, 4)}"] if v.factor != 1 else []
        more += [f"track {units.text(v.track, 'along')}"] if v.track else []
        more += ["forward alone"] if not v.both_ways else []
        more += [f"{v.at_once} at once"] if v.at_once else []
        more += [f"keeps {units.text(v.clear, 'along')} clear"] if v.clear is not None else []
        where = ", ".join(v.lanes) or "; ".join(place_words(p, units) for p in v.lines)
        kind = "in lanes" if v.lanes else "on one of the lines"
        rows.append((v.name, f"axles: {axles}", f"{kind} {where}", ", ".join(more) or "-"))
    for c in request.crowds:
        strips = "; ".join(
            f"{lane or place_words(place, units)}, {units.text(width, 'along')} wide"
            for (place, width), lane in zip(c.strips, c.lanes, strict=True)
        )
        rows.append((c.name, _pressure(c.pressure, units), f"strips {strips}", "-"))
    heads = ("moving load", "of", "travels", "with")
    return [HeadedRows(heads, ("",) * 4, rows)] if rows else []


def _pressure(size: float, units: MemberUnits) -> str:
    """In force per area of the deck: 5 kN/m^2 rather than 0.005 MPa."""
    factor = units.factor("line load") / units.factor("along")
    return f"{number(size * factor, 4)} {units.unit('force')}/{units.unit('along')}²"


def variable_given(request: MemberRequest) -> Passage:
    """Combinations with the least and largest factor of each case."""
    rows = [(one.name, factor_words(one)) for one in request.variable]
    return [HeadedRows(("combination", "factors"), ("", ""), rows)] if rows else []


def factor_words(one: VariableCombination) -> str:
    """The factors of a combination, least and largest where they vary."""
    said = [
        f"{case} {number(high, 4)}" if low == high
        else f"{case} {number(low, 4)} or {number(high, 4)}"
        for case, (low, high) in one.cases.items()
    ]  # fmt: skip
    said += [f"{name} {number(f, 4)} where it is worst" for name, f in one.moving.items()]
    return ", ".join(said)
