"""The part of a member's report on shear lag: flanges that do not work over their whole width."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from ..text.blocks import HeadedRows, Passage, Sentences
from ..text.number import number
from .units import MemberUnits

if TYPE_CHECKING:
    from ...solver.member.review.assessment import Assessment

HEADING = "Shear lag: effective width of flanges"
#: A flange that works over less of its width is told of in the table.
TOLD = 0.95


def shear_lag_passage(assessment: Assessment, units: MemberUnits) -> Passage:
    """Flanges of which less than `TOLD` works; nothing where all do."""
    rows = [
        [
            one.flange.side,
            "inner support" if one.hogging else "middle of span",
            units.value(one.station, "along"),
            one.combination,
            units.value(one.flange.end - one.flange.start, "displacement"),
            f"{number(100 * one.ratio, 3)} %",
            f"{number(100 * one.code, 3)} %",
            "-" if one.code_at_support is None else f"{number(100 * one.code_at_support, 3)} %",
        ]
        for one in assessment.shear_lag
        if one.ratio < TOLD
    ]
    if not rows:
        return []
    heads = ["flange", "beside", "at", "combination", "width", "effective", "by code", "at support"]
    along, across = units.unit("along"), units.unit("displacement")
    measured = ["", "", along, "", across, "", "there", "by code"]
    return [
        HeadedRows(heads, measured, rows),
        Sentences(
            [
                "The effective share is the flange's force over the stress at its webs and its "
                "width, from the stress itself, which the limits above already count. By code: EN "
                "1993-1-5, 3.2, without stiffeners, elastic, from memory. Beside an inner support "
                "both are taken a section's size off it, where what is local has died out; the "
                "code's share there lies between that at the support, where less works, and that "
                "at the quarter of the span. In the middle of a span that ends at an end support "
                "the last column is the code's share over that support, where no moment measures "
                "it. JSON has the flanges that work over more than 95 % too."
            ]
        ),
    ]


def shear_lag_record(assessment: Assessment) -> list[dict[str, Any]] | None:
    """Every flange for JSON; None where sections do not deform."""
    if assessment.deformed is None:
        return None
    return [
        {
            "flange": one.flange.side,
            "from": [one.flange.start, one.flange.y],
            "to": [one.flange.end, one.flange.y],
            "webs_at": list(one.flange.webs),
            "at": one.station,
            "beside": "inner support" if one.hogging else "middle of span",
            "combination": one.combination,
            "effective_over_width": one.ratio,
            "by_EN_1993_1_5_from_memory": one.code,
            "by_EN_1993_1_5_at_the_support": one.code_at_support,
        }
        for one in assessment.shear_lag
    ]
