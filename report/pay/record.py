"""Derivatives of a section as one JSON object, and as rows."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING, Any

from ...solver.study.derivative.section_pay import SectionPay, weight_name
from ..data_table import DataTable
from ..files import write_text
from ..section.vocabulary import section_quantity
from .table import pay_notes

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
            {"at": list(o.at), "share": o.share, "derivative": o.rate} for o in one.rate.others
        ]
        or None,
    }


def pay_rows(pay: SectionPay) -> DataTable:
    """A row for each number and property: values, derivative, elasticity, elasticity by weight."""
    rows = []
    for one in pay.numbers:
        for name, value in pay.properties.items():
            if one.rate is None or name not in one.rate.rates:
                continue
            rows.append(
                {
                    "number": one.number.name,
                    "value": one.number.value,
                    "unit": one.number.unit or pay.result.unit,
                    "property": name,
                    "property_value": value,
                    "derivative": one.rate.rates[name],
                    "elasticity": one.elasticity(name, pay.properties),
                    "elasticity_by_weight": one.by_weight(name, pay.properties),
                }
            )
    return DataTable.of_rows(rows, title=f"{pay.result.section.name}: where material pays")


def write_pay_csv(pay: SectionPay, path: str) -> None:
    """Write the rows, whole or not at all."""
    write_text(path, pay_rows(pay).csv())
