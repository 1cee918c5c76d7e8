"""Design codes in a member's report: each rule with its equation, its figures, its use and its
source."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Any

from ..text.blocks import HeadedRows, Passage, Sentences, as_sentence
from ..text.number import near_zero, number
from .units import MemberUnits

if TYPE_CHECKING:
    from ...solver.member.review.assessment import Assessment
    from ...solver.rules.applied_rule import AppliedRule, RuleFigure
    from ...solver.rules.code_review import CodeReview

CAUTION = (
    "These rules are aids, written from the sources named; edition, national choices and what is "
    "left out are for the code itself and a licensed engineer."
)
#: Units in which some figures are read.
_AS = {"torque": "moment", "ratio": ""}


def code_passage(assessment: Assessment, units: MemberUnits) -> Passage:
    """Every code: its rules in a grid, then their equations with figures, then what is left
    out."""
    passage: list[HeadedRows | Sentences] = []
    for review in assessment.codes:
        if review.rows:
            passage.append(_grid(review, units))
            passage.append(Sentences([_words(row, units) for row in review.rows]))
        else:
            passage.append(Sentences([f"{review.code.title}: no rule applies."]))
        stress = f"Rules on stress use that of {review.theory}; rules on actions the classical ones"
        notes = [f"{stress}, which codes are written for."]
        notes += [as_sentence(text) for text in review.left_out]
        passage.append(Sentences(notes))
    if passage:
        passage.append(Sentences([CAUTION]))
    return passage


def _grid(review: CodeReview, units: MemberUnits) -> HeadedRows:
    several = len({row.section for row in review.rows}) > 1
    heads = [review.code.title, *(["section"] if several else []), "used", "", "at", "combination"]
    measured = ["", *([""] if several else []), "", "", units.unit("along"), ""]
    rows = [
        [
            row.rule,
            *([row.section] if several else []),
            used(row.verdict.ratio),
            "OK" if row.verdict.passed else "EXCEEDED",
            units.value(row.station, "along"),
            row.combination,
        ]
        for row in review.rows
    ]
    return HeadedRows(heads, measured, rows)


def used(ratio: float) -> str:
    """A use in per cent, or in words where no capacity is left."""
    return f"{100 * ratio:.0f} %" if math.isfinite(ratio) else "no capacity"


def _words(row: AppliedRule, units: MemberUnits) -> str:
    figures = ", ".join(f"{f.symbol} = {_figure(f, units)}" for f in row.figures)
    reason = f" {as_sentence(row.reason)}" if row.reason else ""
    rule = row.rule[0].upper() + row.rule[1:]
    return f"{rule}: {row.equation}; {figures} [{row.source}, {row.provenance}].{reason}"


def _figure(figure: RuleFigure, units: MemberUnits) -> str:
    quantity = _AS.get(figure.quantity, figure.quantity)
    if not math.isfinite(figure.value):
        return "unbounded"
    if quantity:
        return units.text(figure.value, quantity)
    return number(near_zero(figure.value, 1.0), 3)


def code_record(assessment: Assessment) -> list[dict[str, Any]]:
    """The same for the JSON record, in the member's own units."""
    return [
        {
            "family": review.code.title,
            "passed": review.passed,
            "stress_by": review.theory,
            "rules": [
                {
                    "rule": row.rule,
                    "equation": row.equation,
                    "section": row.section,
                    "used": row.verdict.ratio,
                    "passed": row.verdict.passed,
                    "at": row.station,
                    "combination": row.combination,
                    "figures": {f.symbol: f.value for f in row.figures},
                    "reason": row.reason or None,
                    "source": row.source,
                    "provenance": row.provenance,
                    "stations": {
                        "z": row.z.tolist(),
                        "used": {
                            name: row.ratio[:, c].tolist() for c, name in enumerate(row.names)
                        },
                    },
                }
                for row in review.rows
            ],
            "not_judged": list(review.left_out),
            "caution": CAUTION,
        }
        for review in assessment.codes
    ]
