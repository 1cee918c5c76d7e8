"""The table of elasticities: what each number of a file does to the section, and by weight."""

from __future__ import annotations

from typing import TYPE_CHECKING

from ...solver.study.derivative.section_pay import NumberPay, SectionPay, weight_name
from ..section.vocabulary import section_quantity
from ..text.blocks import HeadedRows, Sentences
from ..text.number import number, unit_text
from ..text.rendering import folded, render_passage, titled
from .stress_pay import stress_passages, stress_pay_notes

if TYPE_CHECKING:
    from collections.abc import Sequence

    from ...solver.section.derivative.largest import PeakRate
    from ...solver.section.derivative.peak_rate import TorsionPeak
    from ...solver.section.derivative.section_rate import SectionRate

#: Properties with a column of their own, where they have a derivative.
SHOWN = (
    "second_moment_x", "second_moment_y", "torsion_constant", "torsion_modulus",
    "torsion_modulus_away", "warping_constant",
)  # fmt: skip
#: Places, whose movement stands beside.
_PLACES = ("centroid_x", "centroid_y", "shear_centre_x", "shear_centre_y")
_DIGITS = 4
#: Elasticities below this are none.
_NOTHING = 1e-7
#: A movement below this share of the section's size is the mesh's.
_STILL = 1e-6

MEANING = (
    "Elasticity: by how many percent the property grows when the number alone grows by one "
    "percent, d ln(property) / d ln(number), at the file's values. Per weight: by how many percent "
    "it grows for one percent more weight that the number brings; a negative one grows while "
    "weight falls, or falls while it grows."
)


def pay_table(pay: SectionPay) -> str:
    """The table as text."""
    section = pay.result.section
    text = "\n".join([*titled(f"{section.name}: where material pays"), "", ""])
    moving = [n for n in pay.numbers if _moves(n)]
    columns = _columns(pay, moving)
    if moving:
        text += render_passage([Sentences(["Elasticities"]), _elasticities(pay, moving, columns)])
        if weighed := _by_weight(pay, moving, columns):
            text += "\n" + render_passage(
                [Sentences(["Per weight, what pays most of J first"]), weighed]
            )
        text += "\n" + render_passage(
            [Sentences(["Centroid and shear centre, movement by each number"]),
             _movements(pay, moving)]
        )  # fmt: skip
        for passage in stress_passages(pay, moving):
            text += "\n" + render_passage(list(passage))
        text += "\n"
    return text + folded(pay_notes(pay), "* ")


def _moves(pay: NumberPay) -> bool:
    return pay.rate is not None and any(abs(rate) > 0 for rate in pay.rate.rates.values())


def _columns(pay: SectionPay, numbers: Sequence[NumberPay]) -> list[str]:
    return [
        name
        for name in SHOWN
        if name in pay.properties
        and any(n.rate is not None and name in n.rate.rates for n in numbers)
    ]


def _elasticities(
    pay: SectionPay, numbers: Sequence[NumberPay], columns: Sequence[str]
) -> HeadedRows:
    weight = weight_name(pay.properties)
    heads = ["number", "value", "", "weight", *(section_quantity(c).symbols[0] for c in columns)]
    unit = pay.result.unit
    rows = []
    for one in numbers:
        values = [one.elasticity(c, pay.properties) for c in (weight, *columns)]
        own = one.number
        rows.append(
            [own.name, number(own.value), own.unit or unit_text(unit), *(_shown(v) for v in values)]
        )
    return HeadedRows(heads, [], rows)


def _by_weight(
    pay: SectionPay, numbers: Sequence[NumberPay], columns: Sequence[str]
) -> HeadedRows | None:
    paid = [(n, n.by_weight("torsion_constant", pay.properties)) for n in numbers]
    ranked = sorted(
        ((-p, n.number.name, n) for n, p in paid if p is not None), key=lambda row: row[:2]
    )
    if not ranked:
        return None
    heads = ["number", *(section_quantity(c).symbols[0] for c in columns)]
    rows = [
        [n.number.name, *(_shown(n.by_weight(c, pay.properties)) for c in columns)]
        for _, _, n in ranked
    ]
    return HeadedRows(heads, [], rows)


def _movements(pay: SectionPay, numbers: Sequence[NumberPay]) -> HeadedRows:
    heads = ["number", *(section_quantity(c).symbols[0] for c in _PLACES)]
    unit = unit_text(pay.result.unit)
    rows = []
    for one in numbers:
        assert one.rate is not None
        values = [one.rate.rates[c] for c in _PLACES]
        # A number grown by itself that moves a point by less than this has not moved it.
        least = _STILL * pay.result.section.size() / max(abs(one.number.value), 1e-300)
        values = [0.0 if v is not None and abs(v) < least else v for v in values]
        per = f"{unit} per {one.number.unit or unit}" if unit else ""
        rows.append([one.number.name, *(_shown(v) for v in values), per])
    return HeadedRows([*heads, ""], [], rows)


def _shown(value: float | None) -> str:
    if value is None:
        return "-"
    return number(value, _DIGITS) if abs(value) > _NOTHING else "0"


def pay_notes(pay: SectionPay) -> list[str]:
    """What must stand beside the derivatives."""
    notes = [*pay.result.section.notes]
    moving = [n for n in pay.numbers if _moves(n)]
    if moving:
        notes.append(MEANING)
        notes.append(_doubts(pay, moving))
    if not pay.numbers:
        notes.append(
            "There are no dimensions to differentiate by: they are the lengths in a section file; "
            'coordinates are named by their addresses, like "outline.1.points.2.y".'
        )
    if still := [n.number.name for n in pay.numbers if n.rate is not None and not _moves(n)]:
        notes.append(f"These change nothing of the outline: {', '.join(still)}.")
    for reason in dict.fromkeys(n.reason for n in pay.numbers if n.rate is None):
        names = ", ".join(n.number.name for n in pay.numbers if n.reason == reason)
        notes.append(f"No derivative to {names}: {reason}.")
    refused = {
        (name, why) for n in moving if n.rate is not None for name, why in n.rate.refused.items()
    }
    for name, why in sorted(refused):
        notes.append(f"No derivative of {section_quantity(name).symbols[0]}: {why}.")
    notes += [told for n in moving if (told := _other_places(pay, n))]
    notes += stress_pay_notes(pay, moving)
    notes.append(_border_note(pay))
    return notes


def other_torsion_peaks(rate: SectionRate) -> list[tuple[PeakRate[TorsionPeak], float]]:
    """Places that may come to have the largest torsional stress, with their share of it."""
    if rate.modulus is None:
        return []
    own, *others = rate.modulus.each
    return [(one, own.peak.modulus / one.peak.modulus) for one in others]


def _other_places(pay: SectionPay, one: NumberPay) -> str:
    """Which places may come to have the largest stress, and what W_T does then."""
    others = other_torsion_peaks(one.rate) if one.rate is not None else []
    if one.rate is None or not others:
        return ""
    name = "torsion_modulus_away" if pay.result.corners else "torsion_modulus"
    share = one.number.value / pay.properties[name]
    own = one.rate.rates[name] * share
    words = [
        f"{number(-o.rate * share, _DIGITS)} where ({number(o.peak.at[0], 4)}, "
        f"{number(o.peak.at[1], 4)}) rules, {100 * high:.4g} % as high"
        for o, high in others
    ]
    return (
        f"{one.number.name}: the largest stress of torsion may change its place: the elasticity of "
        f"{section_quantity(name).symbols[0]} is {number(own, _DIGITS)}, {', '.join(words)}; of "
        "places as high the least counts where the number grows, the largest where it falls."
    )


def _doubts(pay: SectionPay, numbers: Sequence[NumberPay]) -> str:
    told = []
    for name in ("torsion_constant", "torsion_modulus", "torsion_modulus_away", "warping_constant"):
        worst = [
            n.rate.doubts[name] * abs(n.number.value) / pay.properties[name]
            for n in numbers
            if n.rate is not None and name in n.rate.doubts and name in pay.properties
        ]
        if worst:
            symbol = section_quantity(name).symbols[0]
            told.append(f"by {number(max(worst), 2)} at most those of {symbol}")
    return (
        "The derivatives of J and W_T are means of what stress function and warping make of them, "
        "those of C_w and the shear centre come from the warping. The elasticities are in doubt "
        f"{', '.join(told)}; a measure, no bound. Those of the outline's own numbers are exact for "
        "the outline as it is drawn, but for rounding."
    )


def _border_note(pay: SectionPay) -> str:
    border, j = pay.border, pay.properties["torsion_constant"]
    mean = border.mean_by_weight("torsion_constant", j)
    paid = border.by_weight("torsion_constant", j)[~border.left_out]
    corners = " (away from sharp corners, where it has no bound)" if border.left_out.any() else ""
    left_out = ""
    if pay.result.is_composite:
        left_out += (
            " Interfaces between materials are no part of it: moving one trades one material for "
            "the other; numbers that move one have their derivatives above."
        )
    if pay.result.section.slits:
        left_out += " Faces of slits are no part of it: there is material behind them."
    least, most = (number(round(float(x), 3), 3) for x in (paid.min(), paid.max()))
    return (
        f"Along the outline, 1 % of weight put on as a thin layer raises J by {least} to {most} %"
        f"{corners}, evenly spread by {number(mean, 3)} %; --figure shows where.{left_out}"
    )
