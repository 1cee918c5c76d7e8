"""The part of a member's report on sections that deform: both theories side by side, why they part,
and what diaphragms carry."""

from __future__ import annotations

from dataclasses import asdict
from typing import TYPE_CHECKING, Any

import numpy as np

from ...solver.member.beam.mismatch import mismatched_steps
from ...solver.member.review.diaphragm_spacing import customary_curved_spacing, customary_spacing
from ...solver.member.review.parting import ALIKE
from ..text.blocks import HeadedRows, Passage, Sentences
from ..text.number import near_zero, number
from .settling import change_words, unsettled_words
from .units import MemberUnits

if TYPE_CHECKING:
    from ...solver.member.review.assessment import Assessment
    from ...solver.member.review.deformed import Deformed
    from ...solver.member.review.theories import Pair

#: Stations of the record.
STATIONS = 61
_RESULTANTS = ("N", "V_x", "V_y", "M_x", "M_y", "T", "B")
_WORDS = (("twist", "angle"), ("deflection", "displacement"), ("stress", "stress"))


def deforming_passage(assessment: Assessment, units: MemberUnits) -> Passage:
    """Both theories side by side, and in words."""
    found = assessment.deformed
    if found is None:
        return [Sentences([f"The classical theory stands alone: {assessment.alone}."])]
    kinds = [k for k in _WORDS if all(getattr(row, k[0]) is not None for row in found.rows)]
    unsupported = bool(mismatched_steps(found.solution.member))
    headings, measured = ["combination"], [""]
    for word, quantity in kinds:
        headings += [word, "classical"]
        measured += [units.unit(quantity)] * 2
    rows = []
    for row in found.rows:
        line = [row.name]
        for word, quantity in kinds:
            pair: Pair = getattr(row, word)
            before = "-" if unsupported else units.value(pair.classical, quantity)
            unsettled = word == "stress" and not found.settled
            line += ["-" if unsettled else units.value(pair.deforming, quantity), before]
        rows.append(line)
    passage: list[HeadedRows | Sentences] = [
        HeadedRows(headings, measured, rows),
        Sentences([parting_words(found, units), *_spacing_words(assessment, units)]),
        Sentences(_said(found, units)),
    ]
    if found.diaphragms:
        passage.append(_diaphragms(found, units))
    return passage


def parting_words(found: Deformed, units: MemberUnits) -> str:
    """Where and why the theories part, in a sentence or two."""
    parting = found.parting
    if mismatched_steps(found.solution.member):
        return (
            "Closed and open pieces meet: how warping passes on over such a step the classical "
            "theory cannot tell, so its values are left out."
        )
    at = units.text(parting.at, "along")
    known = [("twist", parting.twist), ("deflection", parting.deflection)]
    if found.settled:
        known.append(("stress", parting.stress))
    ratios = ", ".join(f"{word} {number(value, 3)}" for word, value in known)
    if parting.reason == "alike":
        return "Both theories agree within 3 %: the sections keep their shape."
    if parting.reason == "local" and not found.settled:
        return "Displacements agree; the largest stress does not settle."
    if parting.reason == "local":
        return (
            f"Displacements agree; the largest stress is {number(parting.stress, 3)} times the "
            f"classical one, at {at}: there loads, supports or held warping disturb the section, "
            "its walls bend across, or flanges carry less at some distance from their webs."
        )
    if parting.reason == "distortion":
        left, right = (units.value(side, "displacement", 3) for side in parting.sides)
        return (
            f"The section distorts, most at {units.text(parting.distorts_at, 'along')}: its sides "
            f"go down by {left} and {right} {units.unit('displacement')} there. The classical "
            f"theory does not see it (deforming over classical: {ratios}); diaphragms hold it."
        )
    if parting.reason == "small twist":
        return (
            f"The twist is small: it moves the section's edges by less than {100 * ALIKE:.0f} % of "
            f"the deflection. Of so little the theories tell different parts (deforming over "
            f"classical: {ratios}): loads near the shear centre leave a remainder to which the "
            "section's own bending and Poisson's ratio, which the classical theory leaves out, "
            "add as much."
        )
    tapers = any(part.taper is not None for part in found.solution.course.parts)
    taper = ", and inclined plates of a taper carry a part of torque and shear" if tapers else ""
    return (
        f"The theories part most at {at} (deforming over classical: {ratios}): warping, shear lag "
        f"and shear deformation follow their own laws{taper}."
    )


def _spacing_words(assessment: Assessment, units: MemberUnits) -> list[str]:
    """The remedy by diaphragms, beside customary practice."""
    spacing = assessment.spacing
    if spacing is None:
        return []
    limit = number(100 * spacing.limit, 3)
    if spacing.spacing is None:
        return [
            f"No spacing of diaphragms keeps the stress of distortion below {limit} % of that of "
            f"bending ({number(100 * spacing.added, 3)} % with the closest)."
        ]
    spans = assessment.request.member.spans
    metres = assessment.request.units.factor("length", "m")
    longest = max(b - a for a, b in spans) * metres
    usual = customary_spacing(longest) / metres
    return [
        f"Rigid diaphragms {units.text(spacing.spacing, 'along', 3)} apart or closer keep the "
        f"stress of distortion below {limit} % of that of bending "
        f"({number(100 * spacing.without, 3)} % without, {number(100 * spacing.added, 3)} % with; "
        f"solved). Customary in steel boxes of such a span: {units.text(usual, 'along', 3)} "
        f"(Japanese practice, from memory){_curved_words(assessment, longest, units)}; American "
        "practice limits the stress itself to a tenth (from memory)."
    ]


def _curved_words(assessment: Assessment, longest: float, units: MemberUnits) -> str:
    """What is customary where the axis curves in plan; a span in metres."""
    metres = assessment.request.units.factor("length", "m")
    radii = [1 / abs(k) for p in assessment.request.member.axis.pieces for k in p.ends if k]
    usual = customary_curved_spacing(longest, min(radii) * metres) if radii else None
    if usual is None:
        return ""
    return (
        f", {units.text(usual / metres, 'along', 3)} at such a radius (older American practice, "
        "from memory)"
    )


def _said(found: Deformed, units: MemberUnits) -> list[str]:
    """What the numbers are, how good they are, and what they leave out."""
    said = [
        "Limits are judged by the theory whose sections deform. Twist is the mean rotation on "
        "which a torque works, to which walls and cells count by their share of J; deflection is "
        "that of the corner that moves most.",
        change_words(found),
    ]
    if found.buckling is not None:
        said.append(second_order_words(found, units))
    said += unsettled_words(found)
    zone = units.text(found.stress.zone, "displacement", 3)
    left_out = [
        f"within a plate's thickness ({zone}) of loaded points and lines, and of the stations of "
        "single forces, bearings, held ends and steps"
    ]
    if found.stress.corners_left_out:
        left_out.append("at sharp re-entrant corners")
    said.append(f"No stress is stated {' and '.join(left_out)}.")
    if any(part.taper is not None for part in found.solution.course.parts):
        said.append(
            "On inclined plates of a taper the shear xy in the section's plane, about the plate's "
            "slope times xz, is not shown."
        )
    return said


def second_order_words(found: Deformed, units: MemberUnits) -> str:
    """What second order means here."""
    words = (
        "Second order: equilibrium on the moved member under the first-order stress, loads at "
        "their points (linearised: once)"
    )
    if found.imperfection is None:
        return words + ", without an initial imperfection."
    spans = found.solution.member.spans or ((0.0, found.solution.member.length),)
    amount = found.imperfection.amplitude(max(b - a for a, b in spans))
    source = (
        " (EN 1993-1-1 table 5.1, elastic analysis, from memory)"
        if found.imperfection.words.startswith("curve")
        else ""
    )
    return (
        f"{words}, from an initial imperfection of {units.text(amount, 'displacement')} "
        f"({found.imperfection.words}{source}) in the shape in which the member buckles under "
        "each combination with sections that keep their shape, toward the side to which the loads "
        "move it; its walls are flat. The classical values are without it."
    )


def _diaphragms(found: Deformed, units: MemberUnits) -> HeadedRows:
    """What diaphragms carry, the largest of all combinations."""
    rows = []
    flows = [abs(one.shear_flow).max() for one in found.diaphragms if one.shear_flow is not None]
    largest = float(max(flows, default=0.0))
    for one in found.diaphragms:
        carried = "rigid"
        if one.shear_flow is not None:
            flow = near_zero(float(abs(one.shear_flow).max()), 1e3 * largest)
            carried = f"shear flow {units.text(flow, 'line load')}"
        elif one.bars is not None:
            forces = ", ".join(
                units.value(float(bar[int(abs(bar).argmax())]), "force") for bar in one.bars
            )
            carried = f"bars {forces} {units.unit('force')}"
        rows.append([one.title, units.value(one.at, "along"), carried])
    return HeadedRows(["diaphragm", "at", "carries at most"], ["", units.unit("along"), ""], rows)


def deforming_record(assessment: Assessment) -> dict[str, Any] | None:
    """The same for JSON."""
    found = assessment.deformed
    if found is None:
        return None
    return {
        "combinations": [
            {"name": row.name}
            | {
                word: None
                if getattr(row, word) is None
                else {
                    "deforming": None
                    if word == "stress" and not found.settled
                    else getattr(row, word).deforming,
                    "classical": getattr(row, word).classical,
                    "at": getattr(row, word).at,
                }
                for word, _ in _WORDS
            }
            for row in found.rows
        ],
        "reason": found.parting.reason,
        "stress_unsettled_near_loads_and_supports": found.unsettled_near,
        "distortion": found.distortion,
        "distortion_at": found.distortion_at,
        "stations": _stations(found),
        "change_with_fewer_modes_and_lower_orders": asdict(found.change),
        "imperfection": None if found.imperfection is None else found.imperfection.words,
        "functions": found.solution.course.size,
        "diaphragm_spacing": None
        if assessment.spacing is None
        else {
            "spacing": assessment.spacing.spacing,
            "added": assessment.spacing.added,
            "without": assessment.spacing.without,
            "limit": assessment.spacing.limit,
        },
        "excluded_distance": found.stress.zone,
        "reactions": [
            [
                {
                    "support": r.title,
                    "force": list(r.force),
                    "moment": list(r.moment),
                    "torque": r.torque,
                }
                for r in rows
            ]
            for rows in assessment.reactions[0].supports
        ],
        "diaphragms": [
            {
                "diaphragm": one.title,
                "at": one.at,
                "shear_flow": None if one.shear_flow is None else one.shear_flow.tolist(),
                "bars": None if one.bars is None else one.bars.tolist(),
            }
            for one in found.diaphragms
        ],
    }


def _stations(found: Deformed) -> dict[str, Any]:
    """Along the member: twist, resultants of the stress, and the angle and bimoment of distortion
    (null along tapers and where no mode shears the outline), one table a combination."""
    solution = found.solution
    z = np.linspace(0.0, solution.member.length, STATIONS)
    angle, bimoment = solution.distortion_angle(z)
    resultants = solution.resultants(z)
    columns = {"phi": solution.twist(z)}
    columns |= {word: getattr(resultants, word) for word in _RESULTANTS}
    columns |= {"distortion_angle": angle, "distortion_bimoment": bimoment}
    tables = {
        name: {word: values[:, c].tolist() for word, values in columns.items()}
        for c, name in enumerate(solution.names)
    }
    return {"z": z.tolist(), "combinations": tables}
