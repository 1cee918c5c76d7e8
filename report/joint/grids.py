"""What is said of a joint, as rows and sentences: springs, slip, bolts, welds, plates, details."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import TYPE_CHECKING

from ..text.blocks import HeadedRows, Passage, Sentences
from ..text.number import number
from .measure import JointMeasure

if TYPE_CHECKING:
    from ...solver.joint.detail import JointDetail
    from ...solver.joint.given_turn import TurnEffect
    from ...solver.joint.plain_stress import PlainStress
    from ...solver.joint.sharing import BoltShare, JointShare

_TURNS = {"rotation": "about z", "torsion": "about x"}


def springs(detail: JointDetail, measure: JointMeasure) -> Passage:
    """Every component that gives way, and both stiffnesses of the whole."""
    unit = measure.unit("rotational spring")
    rows = [
        [
            c.name,
            _TURNS[c.turn],
            measure.value(c.stiffness, "rotational spring"),
            c.form,
            c.source,
        ]
        for c in detail.components
    ]
    words = []
    for turn, stiffness, slip in (
        ("rotation", detail.rotational_stiffness, detail.rotation_slip),
        ("torsion", detail.torsional_stiffness, detail.torsion_slip),
    ):
        name = "Rotational stiffness about z" if turn == "rotation" else "Torsional about x"
        words.append(f"{name}: {_stiffness(stiffness, measure)}{_slip(slip, measure)}.")
    grid = HeadedRows(["component", "turn", "stiffness", "form", "from"], ["", "", unit, "", ""],
                      rows)  # fmt: skip
    slips = [b for b in detail.bolts if b.slip > 0]
    if slips:
        words.append(
            "Slip counts from bolts in the middle of their holes; bolts that bear already slip up "
            "to twice as far back. Preloaded bolts do not slip below their slip load."
        )
    return [*([grid] if rows else []), Sentences([*words, *detail.notes])]


def _stiffness(value: float, measure: JointMeasure) -> str:
    if value == 0:
        return "none is counted"
    if math.isinf(value):
        return "rigid (no part of it is a spring)"
    return measure.text(value, "rotational spring")


def _slip(slip: float, measure: JointMeasure) -> str:
    if slip == 0:
        return ", no slip"
    if math.isinf(slip):
        return ", free to turn"
    return f", after a slip of {measure.text(slip, 'angle', 3)} either way"


def bolts(found: JointShare, measure: JointMeasure) -> Passage:
    """The force of every bolt by both methods."""
    passage: list[HeadedRows | Sentences] = []
    for group in found.bolts:
        passage += [_bolt_rows(group, measure), Sentences([_bolt_words(group, measure)])]
    return passage


def _bolt_rows(group: BoltShare, measure: JointMeasure) -> HeadedRows:
    first, second = {"side": ("x", "y"), "face": ("y", "z"), "flat": ("z", "x")}[group.place.plane]
    force, scale = measure.unit("force"), 1e3 * group.largest
    centred = group.centred_shear
    rows = []
    for n, point in enumerate(group.place.flat_points):
        rows.append(
            [
                f"{n + 1}" + " *" * (n == group.governing),
                *(measure.value(float(c), "length", 4, 1e9) for c in point),
                *(measure.value(float(c), "force", 4, scale) for c in group.elastic[n]),
                measure.value(float(group.shear[n]), "force", 4, scale),
                "-" if centred is None else measure.value(float(centred[n]), "force", 4, scale),
                measure.value(float(group.tension[n]), "force", 4, scale),
            ]
        )
    length = measure.unit("length")
    return HeadedRows(
        [group.place.name, first, second, f"F_{first}", f"F_{second}", "shear, elastic",
         "shear, inst. centre", "tension"],
        ["", length, length, force, force, force, force, force],
        rows,
    )  # fmt: skip


def _bolt_words(group: BoltShare, measure: JointMeasure) -> str:
    place = group.place
    planes = "one shear plane" if place.planes == 1 else f"{place.planes} shear planes"
    words = (
        f"{place.name[0].upper() + place.name[1:]}: {len(place.points)} {place.bolt.size} "
        f"{place.bolt.grade} in holes of {measure.text(place.hole, 'length')}, {place.fit}, "
        f"{planes} (shear is that of all planes). * carries the most: "
        f"{measure.text(group.largest, 'force')}."
    )
    if group.centre is not None:
        x, y = (measure.value(float(c), "length", 3, 1e6) for c in group.centre)
        words += f" Instantaneous centre at ({x}, {y}) {measure.unit('length')}."
    if group.centred is None:
        words += " No instantaneous centre was found; the elastic method stands alone."
    if len(group.pressure) and group.pressure.max() > 0:
        words += (
            f" The plate presses on its support with "
            f"{measure.text(float(group.pressure.sum()), 'force')}; prying is not in the tensions."
        )
    return words


def welds(found: JointShare, measure: JointMeasure) -> Passage:
    """The stress along every weld."""
    rows = []
    for group in found.welds:
        for k, name in enumerate(group.place.names):
            stress, n = group.stress[k], int(group.stress[k].argmax())
            x, y, z = (measure.value(float(c), "length", 4, 1e9) for c in group.points[k, n])
            line = stress * group.place.throat
            rows.append(
                [
                    name,
                    measure.value(group.place.leg, "length"),
                    measure.value(float(line[0]), "line load"),
                    measure.value(float(line[-1]), "line load"),
                    measure.value(float(line.max()), "line load"),
                    measure.value(float(stress.max()), "stress"),
                    f"({x}, {y}, {z})",
                    "-" if group.centred is None else measure.value(group.centred, "line load"),
                ]
            )
    if not rows:
        return []
    line = measure.unit("line load")
    grid = HeadedRows(
        ["weld", "leg", "at its start", "at its end", "peak", "stress", "at (x, y, z)",
         "peak, inst. centre"],
        ["", measure.unit("length"), line, line, line, measure.unit("stress"),
         measure.unit("length"), line],
        rows,
    )  # fmt: skip
    words = (
        "Resultant per length by the elastic line method; the stress is over the throat. The "
        "instantaneous centre is told where all that acts lies in one plane."
    )
    return [grid, Sentences([words])]


def stresses(rows: Sequence[PlainStress], measure: JointMeasure) -> Passage:
    """Stresses by statics beside the forms of codes."""
    if not rows:
        return []
    table = []
    for row in rows:
        if row.unit:
            value = measure.value(row.stress, "stress", 3)
            share = "-" if row.strength is None else number(row.stress / row.strength, 2)
        else:
            value, share = f"{number(row.stress, 2)}", "-"
        table.append([row.what, row.where, value, share, row.form])
    grid = HeadedRows(
        ["stress", "in", "value", "of f_u", "judged by (form from memory)"],
        ["", "", measure.unit("stress"), "", ""],
        table,
    )
    words = (
        "Stresses by statics and elastic sharing, beside the ultimate strength as given. The forms "
        "tell where codes judge them; their values are not resistances."
    )
    return [grid, Sentences([words])]


def turn_effects(rows: Sequence[TurnEffect], turn: float, measure: JointMeasure) -> Passage:
    """What each detail makes of one turn."""
    table = []
    for row in rows:
        table.append(
            [
                row.words,
                _short(row.stiffness, measure, "rotational spring"),
                _short(row.slip, measure, "angle"),
                _couple(row, measure),
                "-" if row.bolt is None else measure.value(row.bolt, "force", 3),
                "-" if row.weld is None else measure.value(row.weld, "stress", 3),
            ]
        )
    grid = HeadedRows(
        ["detail", "stiffness", "slip, either way", "couple", "bolt", "weld"],
        ["", *(measure.unit(q) for q in
               ("rotational spring", "angle", "moment", "force", "stress"))],
        table,
    )  # fmt: skip
    words = (
        f"A turn of {measure.text(turn, 'angle', 3)} about z between the two members, held as it "
        "is: the couple, and what it alone puts on the worst bolt and weld. A stiffer joint also "
        'lessens the turn; solve the member again with it. "fails first": a stress would pass '
        "f_u, so the joint yields or breaks before it turns so far."
    )
    return [grid, Sentences([words])]


def _couple(row: TurnEffect, measure: JointMeasure) -> str:
    if row.beyond:
        return row.beyond
    return "rigid" if row.moment is None else measure.value(row.moment, "moment", 3)


def _short(value: float, measure: JointMeasure, quantity: str) -> str:
    return "unbounded" if math.isinf(value) else measure.value(value, quantity, 3)
