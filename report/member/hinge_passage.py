"""What hinges pass on and by how much they open, as a table and as records."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import numpy as np

from ...solver.member.beam.hinge_force import THROUGH, HingeForce
from ...solver.member.model.hinge import PASSED
from ..text.blocks import HeadedRows, Passage, Sentences
from ..text.number import near_zero
from .units import MemberUnits

if TYPE_CHECKING:
    from ...solver.member.model.hinge import Hinge
    from ...solver.member.review.assessment import Assessment

HEADING = "Hinges"
_QUANTITIES = ("force", "force", "force", "moment", "moment", "moment", "bimoment", "bimoment")
_HEADS = (*THROUGH, "B before", "B after")
_WORDS = {
    "x": "across (x)", "y": "up (y)", "z": "along (z)", "bend_x": "bending about x",
    "bend_y": "bending about y", "twist": "twist",
}  # fmt: skip
_SPRING = {
    "x": "spring", "y": "spring", "z": "spring",
    "bend_x": "rotational spring", "bend_y": "rotational spring", "twist": "rotational spring",
}  # fmt: skip
_WARPING = {
    "free": "warping free on both sides",
    "held": "warping held by an end plate on either side",
    "continuous": "warping passes on",
}


def hinges(assessment: Assessment, units: MemberUnits) -> Passage:
    """Hinges of a member by the theory that leads."""
    found = assessment.hinges
    if not found:
        return []
    passage: list[HeadedRows | Sentences] = [_through(found, units)]
    opened = _parted(found, units)
    if opened.rows:
        passage.append(opened)
    seats = _seats(assessment, units)
    if seats.rows:
        passage += [
            seats,
            Sentences(
                [
                    "Forces of seats act up from the piece beyond on the piece before: below zero "
                    "they press where the piece before carries, above zero where the piece beyond "
                    "does; a seat whose force changes its sign lifts. They are those of the "
                    "combinations that are solved; under what travels the envelope has them where "
                    "they are largest."
                ]
            ),
        ]
    sentences = [f"{f.hinge.title}: {'; '.join(hinge_words(f.hinge, units))}." for f in found]
    sentences.append(
        "N, V, M and T act from the piece beyond on the piece before, M about the centroid, V and "
        "T at the shear centre; a seat of two bearings shares V_y and T between them."
    )
    return [*passage, Sentences(sentences)]


def hinge_words(hinge: Hinge, units: MemberUnits) -> list[str]:
    """What a hinge frees and what it springs."""
    words = []
    if hinge.free:
        words.append(f"{', '.join(_WORDS[f] for f in hinge.free)} free")
    for freedom in hinge.loose:
        if freedom not in hinge.free:
            stiffness = units.text(getattr(hinge, freedom), _SPRING[freedom])
            words.append(f"{_WORDS[freedom]} by {stiffness}")
    return [*words, _WARPING[hinge.warping]]


def hinge_records(assessment: Assessment) -> list[dict[str, Any]]:
    """The same as records, in the file's units."""
    return [
        {
            "hinge": f.hinge.title,
            "at": f.hinge.at,
            "free": list(f.hinge.free),
            "warping": f.hinge.warping,
            "combinations": [
                {
                    "combination": name,
                    **dict(zip(THROUGH, f.through[c].tolist(), strict=True)),
                    "B_before": float(f.bimoment[c, 0]),
                    "B_after": float(f.bimoment[c, 1]),
                    "seats": seat_forces(assessment, f)[c].tolist() if f.hinge.seats else [],
                    "parted": {
                        word: float(value)
                        for word, value in zip(PASSED, f.parted[c], strict=True)
                        if word in f.hinge.loose
                    },
                }
                for c, name in enumerate(f.names)
            ],
        }
        for f in assessment.hinges
    ]


def _through(found: tuple[HingeForce, ...], units: MemberUnits) -> HeadedRows:
    tables = [np.hstack([f.through, f.bimoment]) for f in found]
    force = max(float(np.abs(t[:, :3]).max()) for t in tables)
    moment = max(float(np.abs(t[:, 3:6]).max()) for t in tables)
    reach = max(force, 1e-300) * max(f.hinge.at for f in found)
    moment = max(moment, reach)
    size = (*[force] * 3, *[moment] * 3, *[moment * max(f.hinge.at for f in found)] * 2)
    rows = []
    for f, table in zip(found, tables, strict=True):
        for c in _governing(table):
            rows.append(
                [
                    f.hinge.title,
                    units.value(f.hinge.at, "along"),
                    f.names[c],
                    *(
                        units.value(near_zero(float(table[c, k]), 1e3 * size[k]), quantity)
                        for k, quantity in enumerate(_QUANTITIES)
                    ),
                ]
            )
    heads = ["hinge", "at", "combination", *_HEADS]
    return HeadedRows(
        heads, ["", units.unit("along"), "", *(units.unit(q) for q in _QUANTITIES)], rows
    )


def _parted(found: tuple[HingeForce, ...], units: MemberUnits) -> HeadedRows:
    """The largest opening of every freedom that is not passed on."""
    rows = []
    for f in found:
        for k, freedom in enumerate(PASSED):
            if freedom not in f.hinge.loose:
                continue
            c = int(np.abs(f.parted[:, k]).argmax())
            quantity = "displacement" if k < 3 else "angle"
            rows.append(
                [f.hinge.title, _WORDS[freedom], units.text(float(f.parted[c, k]), quantity),
                 f.names[c]]
            )  # fmt: skip
    return HeadedRows(["hinge", "opens by", "largest", "combination"], [""] * 4, rows)


def seat_forces(assessment: Assessment, f: HingeForce) -> np.ndarray[Any, Any]:
    """(c, 2) of the seats of a hinge."""
    member = assessment.solution.mesh.member
    centre = member.section_at(f.hinge.at).shear_centre
    v_x, v_y, torque = (f.through[:, THROUGH.index(word)] for word in ("V_x", "V_y", "T"))
    return np.array(
        [
            f.hinge.seat_forces(float(up), float(across), float(t), centre)
            for up, across, t in zip(v_y, v_x, torque, strict=True)
        ]
    )


def _seats(assessment: Assessment, units: MemberUnits) -> HeadedRows:
    """Largest and smallest force of every seat."""
    rows = []
    for f in assessment.hinges:
        if not f.hinge.seats:
            continue
        forces = seat_forces(assessment, f)
        size = float(np.abs(forces).max())
        for k, (x, _) in enumerate(f.hinge.seats):
            own = [int(forces[:, k].argmax()), int(forces[:, k].argmin())]
            told = [units.value(near_zero(float(forces[c, k]), size), "force") for c in own]
            rows.append(
                [f.hinge.title, f"x = {units.value(x, 'along')}", told[0], f.names[own[0]], told[1],
                 f.names[own[1]]]
            )  # fmt: skip
    force = units.unit("force")
    heads = ["seat of", f"place ({units.unit('along')})", "max", "under", "min", "under"]
    return HeadedRows(heads, ["", "", force, "", force, ""], rows)


def _governing(table: np.ndarray[Any, Any]) -> list[int]:
    """Combinations under which some component is largest or smallest."""
    found = set()
    for column in table.T:
        if np.ptp(column) > 1e-9 * np.abs(table).max(initial=0.0):
            found |= {int(column.argmax()), int(column.argmin())}
    return sorted(found) or [0]
