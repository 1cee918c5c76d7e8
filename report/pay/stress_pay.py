"""What numbers of a file do to a section's largest stresses: blocks of the table, notes, record,
rows."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from ...geometry.units import Units
from ...solver.section.derivative.largest import SOON
from ..stress.table import stress_assumptions
from ..text.blocks import HeadedRows, Sentences
from ..text.number import near_zero, number, supported, unit_text

if TYPE_CHECKING:
    from collections.abc import Sequence

    from ...solver.section.derivative.largest import PeakRate, Rates
    from ...solver.section.derivative.largest_stress import LargestStress
    from ...solver.section.stress.extremes import Spot
    from ...solver.study.derivative.section_pay import NumberPay, SectionPay

#: Components with a column of their own; the others are in the record and the rows.
SHOWN = ("von Mises", "normal", "shear", "principal-max", "principal-min")
#: Components whose peaks that tie are told in words.
_TOLD = SHOWN[:3]
_DIGITS = 4


def stress_symbol(stress: LargestStress) -> str:
    """Its symbol, with "max" or "min" where the component has both."""
    word = "max" if stress.side > 0 else "min"
    several = len(stress.component.sides) > 1
    return f"{stress.component.symbol} {word}" if several else stress.component.symbol


def stress_elasticity(
    pay: NumberPay, stress: LargestStress, rates: Rates[Spot] | None
) -> tuple[float, float] | None:
    """d ln(stress) / d ln(number) and its doubt; None where it has no derivative."""
    if rates is None:
        return None
    scale = pay.number.value / stress.value
    return stress.side * rates.rate * scale, abs(rates.doubt * scale)


def stress_passages(
    pay: SectionPay, numbers: Sequence[NumberPay]
) -> list[tuple[Sentences, HeadedRows]]:
    """For each load case, where its largest stresses lie, and their elasticities."""
    found = []
    names = dict.fromkeys(one.actions.name for one in pay.stresses)
    for name in names:
        own = [
            k
            for k, one in enumerate(pay.stresses)
            if one.actions.name == name and one.component.key in SHOWN
        ]
        found.append((Sentences([f"Largest stresses: {name}"]), _places(pay, own)))
        found.append(
            (Sentences([f"Elasticities of the largest stresses: {name}"]),
             _elasticities(pay, numbers, own))
        )  # fmt: skip
    return found


def _places(pay: SectionPay, own: Sequence[int]) -> HeadedRows:
    unit, factor = _stress_unit(pay)
    length, size = unit_text(pay.result.unit), pay.result.section.size()
    rows = []
    for k in own:
        one = pay.stresses[k]
        x, y = (number(near_zero(c, size), 5) for c in one.extreme.at)
        value = one.value * factor
        rows.append(
            [stress_symbol(one), one.component.words, supported(value, one.extreme.change * value),
             unit, x, y, length]
        )  # fmt: skip
    return HeadedRows(["", "", "value", "", "x", "y", ""], [], rows, words=2)


def _elasticities(pay: SectionPay, numbers: Sequence[NumberPay], own: Sequence[int]) -> HeadedRows:
    heads = ["number", "value", "", *(stress_symbol(pay.stresses[k]) for k in own)]
    unit, rows = unit_text(pay.result.unit), []
    for one in numbers:
        each = [stress_elasticity(one, pay.stresses[k], one.stresses[k]) for k in own]
        shown = ["-" if e is None else supported(*e, _DIGITS) for e in each]
        rows.append([one.number.name, number(one.number.value), one.number.unit or unit, *shown])
    return HeadedRows(heads, [], rows)


def stress_pay_notes(pay: SectionPay, numbers: Sequence[NumberPay]) -> list[str]:
    """What must stand beside the stresses' derivatives."""
    if pay.stress is None:
        return []
    notes = []
    doubts = [
        abs(rates.each_doubt * one.number.value / stress.value)
        for one in numbers
        for stress, rates in zip(pay.stresses, one.stresses, strict=True)
        if rates is not None
    ]
    if doubts:
        notes.append(
            "The derivative of a largest stress is that at its place, which moves along with the "
            f"outline. The elasticities are in doubt by {number(max(doubts), 2)} at "
            "most, by what two orders make of them; a measure, no bound. --json has the doubt of "
            "each, all places nearly as high and the shear stresses along x and y."
        )
    refused: dict[str, list[str]] = {}
    for one in pay.stresses:
        if one.refused:
            refused.setdefault(one.refused, []).append(f"{stress_symbol(one)} ({one.actions.name})")
    notes += [f"No derivative of {', '.join(n)}: {why}." for why, n in refused.items()]
    for k, one in enumerate(pay.stresses):
        if one.component.key in _TOLD:
            rates = [(n, r) for n in numbers if (r := n.stresses[k]) is not None]
            whole = f"{stress_symbol(one)} ({one.actions.name})"
            notes += _near_peak_notes(whole, pay.result.unit, rates)
    return notes + stress_assumptions(pay.stress)


def _near_peak_notes(
    name: str,
    unit: str,
    rates: Sequence[tuple[NumberPay, Rates[Spot]]],
) -> list[str]:
    """Of a largest stress: to which numbers it has two derivatives because several places are
    equally high, and which places take over after a small change."""
    notes, apart = [], []
    for pay, own in rates:
        share = pay.number.value / own.each[0].peak.value
        if not own.smooth:
            apart.append(
                f"{number(own.rises * share, _DIGITS)} where {pay.number.name} grows and "
                f"{number(own.falls * share, _DIGITS)} where it falls"
            )
    if apart:
        count = max(len(own.highest) for _, own in rates)
        notes.append(
            f"{name}: {count} places are equally high; its elasticity is {', '.join(apart)}."
        )
    told: dict[str, list[str]] = {}
    for peak in dict.fromkeys(one.peak for _, own in rates for one in own.each[1:]):
        said = "; ".join(filter(None, (_takes_over(pay, own, peak) for pay, own in rates)))
        if said:
            told.setdefault(said, []).append(f"({', '.join(number(c, 5) for c in peak.at)})")
    notes += [
        f"{name}: at {' and '.join(places)} {unit_text(unit)}".rstrip() + f" the stress has {said}."
        for said, places in told.items()
    ]
    return notes


def _takes_over(pay: NumberPay, own: Rates[Spot], peak: Spot) -> str:
    one = next(found for found in own.each if found.peak == peak)
    change, value = own.change_to(one), pay.number.value
    if change is None or not abs(change) < SOON * abs(value) or not _told_apart(own, one):
        return ""
    elastic = one.rate * value / peak.value
    return (
        f"{100 * peak.value / own.each[0].peak.value:.2f} % of the largest and takes over where "
        f"{pay.number.name} changes by {100 * change / value:+.2g} % (elasticity there "
        f"{supported(elastic, abs(one.doubt * value / peak.value), _DIGITS)})"
    )


def _told_apart(own: Rates[Spot], one: PeakRate[Spot]) -> bool:
    top = own.each[0]
    return abs(one.rate - top.rate) > one.doubt + top.doubt


def _stress_unit(pay: SectionPay) -> tuple[str, float]:
    if not pay.result.unit:
        return "", 1.0
    unit, factor = Units(pay.result.unit).display("stress")
    return unit_text(unit), factor


def stress_records(pay: SectionPay) -> list[dict[str, Any]]:
    """The extremes, in the section's consistent units."""
    return [
        {
            "case": one.actions.name,
            "component": one.component.key,
            "side": "maximum" if one.side > 0 else "minimum",
            "value": one.value,
            "at": list(one.extreme.at),
            "region": one.extreme.region + 1,
            "relative_change": one.extreme.change,
            "holds_near_sharp_corners": one.extreme.bounded,
            "refused": one.refused or None,
        }
        for one in pay.stresses
    ]


def stress_rate_records(pay: SectionPay, one: NumberPay) -> list[dict[str, Any]]:
    """What a number does to each of them: null where a stress has no derivative."""
    weight = one.weight_elasticity(pay.properties)
    found = []
    for stress, rates in zip(pay.stresses, one.stresses, strict=True):
        record: dict[str, Any] = {
            "case": stress.actions.name,
            "component": stress.component.key,
            "side": "maximum" if stress.side > 0 else "minimum",
        }
        elastic = stress_elasticity(one, stress, rates)
        if rates is not None and elastic is not None:
            record |= {
                "derivative": stress.side * rates.rate,
                "derivative_doubt": rates.doubt,
                "elasticity": elastic[0],
                "elasticity_by_weight": elastic[0] / weight if weight else None,
                **_peak_records(one, rates, stress.side),
            }
        found.append(record)
    return found


def _peak_records(pay: NumberPay, rates: Rates[Spot], side: int) -> dict[str, Any]:
    """Both derivatives where several places are equally high, and the other places nearly as high:
    their derivatives, and the change of the number after which each takes over."""
    value = pay.number.value
    apart = None if rates.smooth else [side * rates.rises, side * rates.falls]
    return {
        "derivative_growing_and_falling": apart,
        "other_peaks": [
            {
                "value": side * one.peak.value,
                "at": list(one.peak.at),
                "derivative": side * one.rate,
                "derivative_doubt": one.doubt,
                "elasticity": one.rate * value / one.peak.value,
                "takes_over_at_change": rates.change_to(one),
            }
            for one in rates.each[1:]
        ],
    }
