"""Derivatives of a section as one JSON object, and as rows."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING, Any

from ...solver.study.derivative.section_pay import SectionPay, weight_name
from ..data_table import DataTable
from ..files import write_text
from ..section.vocabulary import section_quantity
from ..stress.extreme_table import stress_unit
from .stress_pay import (
    stress_elasticity,
    stress_rate_records,
    stress_records,
)
from .table import other_torsion_peaks, pay_notes

if TYPE_CHECKING:
    from ...solver.study.derivative.section_pay import NumberPay

FORMAT = "soapfilm pays 1"


def pay_json(pay: SectionPay) -> str:
    """The record as indented JSON text; what has no number is null."""
    return json.dumps(pay_record(pay), indent=2, allow_nan=False, ensure_ascii=False)


def pay_record(pay: SectionPay) -> dict[str, Any]:
    """The record as a dictionary: properties in powers of `length_unit`, derivatives in those by
    each number's own unit."""
    border, properties = pay.border, pay.properties
    outline = {
        section_quantity(name).name: {
            "by_weight_of_even_layer": border.mean_by_weight(name, properties[name])
        }
        for name in border.rates
        if properties.get(name)
    }
    return {
        "format": FORMAT,
        "name": pay.result.section.name,
        "length_unit": pay.result.unit,
        "weight": weight_name(properties),
        "numbers": [_number(pay, one) for one in pay.numbers],
        "stresses": stress_records(pay) if pay.stress is not None else None,
        "stress_unit": stress_unit(pay.stress) if pay.stress is not None else None,
        "outline": outline,
        "notes": pay_notes(pay),
    }


def _number(pay: SectionPay, one: NumberPay) -> dict[str, Any]:
    own = one.number
    record: dict[str, Any] = {
        "name": own.name,
        "addresses": list(own.addresses),
        "value": own.value,
        "unit": own.unit or None,
        "reason": one.reason or None,
    }
    if one.rate is None:
        return record
    names = [n for n in pay.properties if n in one.rate.rates]
    return record | {
        "derivative": {n: one.rate.rates[n] for n in names},
        "elasticity": {n: one.elasticity(n, pay.properties) for n in names},
        "elasticity_by_weight": {n: one.by_weight(n, pay.properties) for n in names},
        "derivative_doubt": dict(one.rate.doubts),
        "refused": dict(one.rate.refused) or None,
        "largest_stress_elsewhere": [
            {"at": list(o.peak.at), "share": share, "derivative": -o.rate}
            for o, share in other_torsion_peaks(one.rate)
        ]
        or None,
        "stresses": stress_rate_records(pay, one) if pay.stress is not None else None,
    }


def pay_rows(pay: SectionPay) -> DataTable:
    """A row for each number and property, then for each largest stress: values, derivative and its
    doubt where it has one, elasticity, elasticity by weight."""
    rows: list[dict[str, Any]] = []
    for one in pay.numbers:
        for name, value in pay.properties.items():
            if one.rate is None or name not in one.rate.rates:
                continue
            rows.append(
                {
                    **_head(pay, one),
                    "case": None,
                    "property": name,
                    "property_value": value,
                    "derivative": one.rate.rates[name],
                    "derivative_doubt": one.rate.doubts.get(name),
                    "elasticity": one.elasticity(name, pay.properties),
                    "elasticity_by_weight": one.by_weight(name, pay.properties),
                }
            )
        weight = one.weight_elasticity(pay.properties)
        for stress, rates in zip(pay.stresses, one.stresses, strict=False):
            elastic = stress_elasticity(one, stress, rates)
            if rates is None or elastic is None:
                continue
            side = "max" if stress.side > 0 else "min"
            rows.append(
                {
                    **_head(pay, one),
                    "case": stress.actions.name,
                    "property": f"{stress.component.key} {side}",
                    "property_value": stress.value,
                    "derivative": stress.side * rates.rate,
                    "derivative_doubt": rates.doubt,
                    "elasticity": elastic[0],
                    "elasticity_by_weight": elastic[0] / weight if weight else None,
                }
            )
    return DataTable.of_rows(rows, title=f"{pay.result.section.name}: where material pays")


def _head(pay: SectionPay, one: NumberPay) -> dict[str, Any]:
    own = one.number
    return {"number": own.name, "value": own.value, "unit": own.unit or pay.result.unit}


def write_pay_csv(pay: SectionPay, path: str) -> None:
    """Write the rows, whole or not at all."""
    write_text(path, pay_rows(pay).csv())
