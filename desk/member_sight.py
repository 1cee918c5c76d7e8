"""What the page is shown of a member: its largest values in words, everything along it, and how its
sections turn and distort, by either theory."""

from __future__ import annotations

from base64 import b64decode
from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

import numpy as np
from numpy.typing import NDArray

from ..geometry.errors import InputError, SolveError
from ..report.member.units import MemberUnits
from ..report.page.document import Fact
from ..report.page.live_member import member_data
from ..report.page.live_shape import STATIONS, Piece, shape_of_pieces, solution_shape
from ..report.page.member_facts import member_facts
from ..report.page.packing import floats
from ..report.text.number import number
from ..solver.member.deforming.analysis import ORDERS, solve_deforming
from ..solver.member.deforming.gathering import course_of
from ..solver.member.deforming.solution import DeformingSolution
from ..solver.member.file.request import MemberRequest
from ..solver.member.model.load import Place
from ..solver.member.model.member import Member
from ..solver.member.model.solved_section import SolvedSection
from .plan import plan

if TYPE_CHECKING:
    from ..solver.member.review.assessment import Assessment

Array = NDArray[np.float64]

#: Slow modes and order of shape functions while the hand moves: twist to 1e-3 of itself.
_MODES, _ORDER = 4, 3
#: Chords of arcs leave them by this share of the section's size.
_DEVIATION = 2e-3
_SOUGHT = "being found with sections that deform"


def first_look(request: MemberRequest) -> DeformingSolution | None:
    """Sections that deform, solved with few functions for a hand that moves; None where they
    cannot be."""
    try:
        course = course_of(request.member, request.sections, _MODES, order=_ORDER, coarse=True)
        return solve_deforming(request.member, course, orders=ORDERS[:1])
    except (InputError, SolveError):
        return None


def seen(assessment: Assessment, first: DeformingSolution | None = None) -> dict[str, Any]:
    """What a `result` message says of a member.

    Parameters
    ----------
    assessment : Assessment
    first : DeformingSolution, optional
        Of sections that deform, where the assessment is of those that keep their shape: twist,
        deflection and shape are its own, and stresses and limits wait.
    """
    data = member_data(assessment)
    values = _values(assessment)
    if first is None:
        data["shape"] = data["shape"] or _turned(assessment)
    else:
        _overlay(data, first, assessment)
        values = [_waiting(value) for value in values]
    data["opening"] = _most_twisted(data) or data["opening"]
    return {
        "values": values,
        "field": None,
        "member": data,
        "plan": plan(assessment.request),
        "deforming": first is not None or assessment.deformed is not None,
        "alone": assessment.alone,
    }


def _values(assessment: Assessment) -> list[dict[str, Any]]:
    return [*map(fact_value, member_facts(assessment)), *_critical(assessment)]


def fact_value(fact: Fact) -> dict[str, Any]:
    """A fact of a report as the page shows a result."""
    return _value(fact.symbol, fact.words, fact.value, fact.unit, fact.note)


def _critical(assessment: Assessment) -> list[dict[str, Any]]:
    """The lowest factor of all loads at which the member buckles."""
    words = "buckles at loads times"
    found = assessment.stability
    if assessment.deformed is None:
        known = [c for c in assessment.solution.critical if np.isfinite(c.factor)]
        if not known:
            return []
        least = min(known, key=lambda c: c.factor)
        return [_value("", words, number(least.factor, 4), "", f"{least.name}, sections rigid")]
    if found is None:
        return [_value("", words, "…", "", "being sought")]
    if isinstance(found, str):
        return [_value("", words, "none", "", found)]
    if found.beyond is not None:
        return [_value("", words, f"over {number(found.beyond, 3)}", "", "every combination")]
    row = found.lowest
    if row.movement is None:
        return [_value("", words, "none", "", "it does not buckle under these loads")]
    note = f"{row.name}: {row.movement.movement.words}"
    if row.factor <= 1:
        note = f"it buckles before these loads are reached: brace or stiffen it ({note})"
    return [_value("", words, number(row.factor, 4), "", note)]


def _value(symbol: str, words: str, text: str, unit: str, note: str) -> dict[str, Any]:
    return {"symbol": symbol, "words": words, "text": text, "unit": unit, "note": note,
            "value": None, "lower": None, "upper": None, "refusal": None}  # fmt: skip


def _waiting(value: dict[str, Any]) -> dict[str, Any]:
    """Actions stand as the classical theory has them; what depends on how sections deform waits."""
    if value["symbol"] in ("T", "B"):
        return value
    return value | {"text": "…", "unit": "", "note": _SOUGHT}


def _overlay(data: dict[str, Any], solution: DeformingSolution, assessment: Assessment) -> None:
    """Twist, deflection and shape of a solution in place of the classical ones."""
    units = MemberUnits(assessment.request.units)
    z = assessment.table.z
    own = {"phi": solution.twist(z), "v": solution.movement(Place(), z)[1]}
    data["diagrams"] = [d for d in data["diagrams"] if d["key"] != "von Mises"]
    for diagram in data["diagrams"]:
        if diagram["key"] in own:
            factor = units.factor("angle" if diagram["key"] == "phi" else "displacement")
            diagram["values"] = floats((own[diagram["key"]] * factor).T)
    data["shape"] = solution_shape(solution, units)


def _most_twisted(data: dict[str, Any]) -> dict[str, Any] | None:
    """Station and combination of the largest twist, where there is any."""
    (twist,) = (d["values"] for d in data["diagrams"] if d["key"] == "phi")
    values, z = (np.frombuffer(b64decode(p["data"]), dtype="<f4") for p in (twist, data["z"]))
    if not values.any():
        return None
    column, row = divmod(int(np.abs(values).argmax()), len(z))
    return {"station": float(z[row]), "combination": column}


def _turned(assessment: Assessment) -> dict[str, Any] | None:
    """Sections that turn as the classical theory has them."""
    solution = assessment.solution
    member, units = solution.mesh.member, MemberUnits(assessment.request.units)
    z = np.linspace(0.0, member.length, STATIONS)
    return rigid_shape(member, assessment.request.sections, z, solution.at(z).phi, units)


def rigid_shape(
    member: Member,
    sections: Mapping[str, SolvedSection],
    z: Array,
    twist: Array,
    units: MemberUnits,
) -> dict[str, Any] | None:
    """Sections that turn by a twist (m, c) at stations (m,) and keep their shape; None where one is
    known by its figures alone."""
    pieces: list[Piece] = []
    for segment in member.segments:
        known = sections.get(segment.section.name)
        if known is None or known.result is None:
            return None
        section = known.result.section
        lines = [c.polyline(_DEVIATION * section.size()) for c in section.contours()]
        edges = np.concatenate([np.stack([k, np.roll(k, -1, axis=0)], axis=1) for k in lines])
        turned = np.stack([-edges[..., 1], edges[..., 0]], axis=-1)
        pieces.append((segment.start, segment.end, edges, turned[..., None]))
    return shape_of_pieces(pieces, z, twist[:, None, :], units)
