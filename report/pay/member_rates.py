"""The derivatives of a member's results: table, rows, record."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING, Any

from ...solver.study.derivative.member_pay import STEP
from ..data_table import DataTable
from ..text.blocks import HeadedRows, Sentences
from ..text.number import number, supported, unit_text
from ..text.rendering import folded, render_passage, titled

if TYPE_CHECKING:
    from collections.abc import Callable

    from ...solver.study.derivative.member_pay import MemberPay, MemberRate

FORMAT = "soapfilm pays of a member 1"
_HEADS = {
    "mass": "mass", "twist_deg": "twist", "displacement": "displacement",
    "deflection": "deflection", "stress": "stress", "critical_factor": "critical factor",
    "frequency": "first frequency",
}  # fmt: skip
_DIGITS = 4
_THEORY = {
    "deforming": "of sections that deform, as soapfilm member judges",
    "classical": "by the classical theory: sections keep their shape",
}


def member_pay_table(pay: MemberPay) -> str:
    """The table as text."""
    text = "\n".join([*titled(f"{pay.name}: where material pays"), "", ""])
    rates = [rate for rate in pay.numbers if rate.rates]
    columns = [name for name in pay.results if any(name in rate.rates for rate in rates)]
    if rates:
        rows = _rows(pay, rates, columns, lambda rate, name: _elastic(pay, rate, name))
        text += render_passage([Sentences(["Elasticities"]), rows]) + "\n"
        paid = [r for r in rates if pay.by_weight(r, "mass") is not None]
        if paid and columns[1:]:
            rows = _rows(
                pay, paid, columns[1:], lambda rate, name: _plain(pay.by_weight(rate, name))
            )
            text += render_passage([Sentences(["Per mass"]), rows]) + "\n"
    return text + folded(member_pay_notes(pay), "* ")


def _rows(
    pay: MemberPay,
    rates: list[MemberRate],
    columns: list[str],
    shown: Callable[[MemberRate, str], str],
) -> HeadedRows:
    rows = [
        [r.number.name, number(r.number.value), r.number.unit or unit_text(pay.unit),
         *(shown(r, c) for c in columns)]
        for r in rates
    ]  # fmt: skip
    return HeadedRows(["number", "value", "", *(_HEADS.get(c, c) for c in columns)], [], rows)


def _elastic(pay: MemberPay, rate: MemberRate, name: str) -> str:
    value, falling = pay.elasticity(rate, name), pay.elasticity_falling(rate, name)
    if value is None:
        return "-"
    if falling is not None:
        return f"{number(value, _DIGITS)} or {number(falling, _DIGITS)}"
    return supported(value, pay.doubt(rate, name), _DIGITS)


def _plain(value: float | None) -> str:
    return "-" if value is None else number(value, _DIGITS)


def member_pay_notes(pay: MemberPay) -> list[str]:
    """What must stand beside the derivatives."""
    worst = [
        pay.doubt(rate, name)
        for rate in pay.numbers
        for name in rate.rates
        if pay.elasticity(rate, name) is not None and name not in rate.falling
    ]
    exact = any(rate.exact for rate in pay.numbers)
    notes = [
        f"Results {_THEORY[pay.theory]}.",
        "Elasticity: by how many percent a result's largest value grows when the number alone "
        "grows by one percent. Per mass: by how many percent for one percent more mass that the "
        "number brings; a negative one of twist or deflection is material that pays.",
        *_how(pay),
        f"The elasticities are in doubt by {number(max(worst), 2)} at most." if worst else "",
        "A largest value is differentiated at its place: another peak may take over after a larger "
        "change."
        if exact
        else "Where the largest value changes its place or combination beside the file's values, "
        "it has two derivatives or none; the output tells which.",
        "The critical factor is the classical one unless a limit of the file asks for it.",
        "Two elasticities: where the number grows, or where it falls; per mass: where it grows."
        if any(rate.falling for rate in pay.numbers)
        else "",
        *pay.notes,
    ]
    for rate in pay.numbers:
        notes += [f"{rate.number.name}: {remark}." for remark in rate.remarks]
    for reason in dict.fromkeys(rate.reason for rate in pay.numbers if rate.reason):
        names = ", ".join(rate.number.name for rate in pay.numbers if rate.reason == reason)
        notes.append(f"No derivative to {names}: {reason}.")
    return [note for note in notes if note]


def _how(pay: MemberPay) -> list[str]:
    """How the derivatives were found."""
    found = []
    if any(rate.exact for rate in pay.numbers):
        found.append(
            "The derivatives are those of the solution itself: the member is solved once, and its "
            "equations, modes and sections are differentiated."
        )
    if any(rate.rates and not rate.exact for rate in pay.numbers):
        found.append(
            "By differences of the whole solution: the member solved at four values of a number, "
            f"{100 * STEP[pay.theory]:g} and {200 * STEP[pay.theory]:g} % to either side (or less "
            "where a mesh cannot follow so far), its "
            "sections on meshes that follow their outlines. Their doubt is that of differences: "
            "soapfilm member tells how far the solution itself has settled."
        )
    return found


def member_pay_rows(pay: MemberPay) -> DataTable:
    """A row for each number and result: values, derivative and its doubt, elasticity, by mass."""
    rows = [
        {
            "number": rate.number.name,
            "value": rate.number.value,
            "unit": rate.number.unit or pay.unit,
            "result": name,
            "result_value": pay.results[name],
            "derivative": rate.rates[name],
            "derivative_doubt": rate.doubts[name],
            "exact": rate.exact,
            "elasticity": pay.elasticity(rate, name),
            "elasticity_by_mass": pay.by_weight(rate, name),
        }
        for rate in pay.numbers
        for name in rate.rates
    ]
    return DataTable.of_rows(rows, title=f"{pay.name}: where material pays")


def member_pay_record(pay: MemberPay) -> dict[str, Any]:
    """The record as a dictionary, in the consistent units of `length_unit`, twist in degrees."""
    return {
        "format": FORMAT,
        "name": pay.name,
        "length_unit": pay.unit,
        "theory": pay.theory,
        "results": dict(pay.results),
        "numbers": [
            {
                "name": rate.number.name,
                "addresses": list(rate.number.addresses),
                "value": rate.number.value,
                "unit": rate.number.unit or None,
                "reason": rate.reason or None,
                "method": "derivative of the solution"
                if rate.exact
                else "differences of the whole solution, of fourth order",
                "remarks": list(rate.remarks),
                "derivative": dict(rate.rates),
                "derivative_doubt": dict(rate.doubts),
                "derivative_falling": dict(rate.falling) or None,
                "elasticity": {n: pay.elasticity(rate, n) for n in rate.rates},
                "elasticity_by_mass": {n: pay.by_weight(rate, n) for n in rate.rates},
            }
            for rate in pay.numbers
        ],
        "notes": member_pay_notes(pay),
    }


def member_pay_json(pay: MemberPay) -> str:
    """The record as indented JSON text."""
    return json.dumps(member_pay_record(pay), indent=2, allow_nan=False, ensure_ascii=False)
