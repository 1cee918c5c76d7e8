"""Welds and cells in a member's table: the force per length that each carries along it."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import numpy as np

from ..stress.joint_rows import joint_words
from ..text.blocks import HeadedRows, Passage, Sentences
from ..text.number import number, supported
from .units import MemberUnits

if TYPE_CHECKING:
    from ...solver.member.review.assessment import Assessment
    from ...solver.member.review.weld_flow import CellFlow, FlowsAlong, WeldFlow


def weld_flows(assessment: Assessment, units: MemberUnits) -> Passage:
    """The peak flow of every weld and cell; nothing where no section has any."""
    found = assessment.flows
    if found is None:
        return []
    passage: list[HeadedRows | Sentences] = []
    if found.welds:
        passage += [_welds(assessment, found, units), Sentences(_weld_words(assessment, found))]
    if found.cells:
        passage += [
            _cells(found, units),
            Sentences(["Flow of a cell: that of Saint-Venant's torque around it, T_t / (2 A) where "
                       "it is the only one; bending shear adds to it in the walls."]),
        ]  # fmt: skip
    return passage


def peak_of(flow: np.typing.NDArray[np.float64]) -> tuple[int, int]:
    """Row and column of the largest size, where there is a number."""
    size = np.where(np.isnan(flow), -1.0, np.abs(flow))
    row, column = np.unravel_index(int(size.argmax()), size.shape)
    return int(row), int(column)


def heaviest(found: FlowsAlong) -> WeldFlow | None:
    """The weld with the largest flow."""
    return max(found.welds, key=lambda w: float(np.nanmax(np.abs(w.flow))), default=None)


def _welds(assessment: Assessment, found: FlowsAlong, units: MemberUnits) -> HeadedRows:
    demand = assessment.request.welds
    rows = []
    for weld in found.welds:
        row, c = peak_of(weld.flow)
        flow, doubt = abs(float(weld.flow[row, c])), float(weld.doubt[row, c])
        line, factor = weld.line, units.factor("line load")
        stress = flow / weld.throat
        if line.pitch is not None and line.weld_length:
            stress *= line.pitch / line.weld_length
        cells = [
            line.name,
            weld.section,
            units.value(weld.throat, "place"),
            supported(flow * factor, doubt * factor, 4),
            units.value(float(found.z[row]), "along"),
            found.names[c],
            units.value(stress, "stress", 3),
        ]
        if demand is not None:
            share = demand.share(flow, weld.throat)
            pitch = line.pitch or demand.pitch
            cells.append(f"{100 * stress / demand.strength:.0f} %")
            if share > 1:
                cells.append("too thin")
            elif pitch is None:
                cells.append(f"{100 * share:.3g} % of it")
            else:
                length = units.value(demand.length(flow, weld.throat, pitch), "place", 3)
                cells.append(f"{length} every {units.value(pitch, 'place')}")
        rows.append(cells)
    lengths = any(" every " in cells[-1] for cells in rows)
    heads = ["weld", "section", "throat", "peak flow", "at", "under", "mean stress"]
    place = units.unit("place")
    measured = ["", "", place, units.unit("line load"), units.unit("along"), "",
                units.unit("stress")]  # fmt: skip
    if demand is not None:
        heads += ["used", "length needed"]
        measured += ["", place if lengths else ""]
    return HeadedRows(heads, measured, rows)


def _weld_words(assessment: Assessment, found: FlowsAlong) -> list[str]:
    alike: dict[str, list[str]] = {}
    for weld in found.welds:
        alike.setdefault(joint_words(weld.line), []).append(repr(weld.line.name))
    kinds = "; ".join(f"{', '.join(names)}: {kind}" for kind, names in alike.items())
    words = [
        "The flow is the longitudinal shear between the joined parts, of all actions together at "
        "one station; the mean stress is over the throat, and of an intermittent weld over its own "
        "length. Loads that a weld passes on across, and the least sizes and lengths of codes, are "
        f"not in it. {kinds}."
    ]
    if assessment.deformed is not None:
        words.append("Actions are those of the classical theory.")
    if assessment.request.welds is None:
        words.append(
            'With [welds] and strength = "208 MPa" the table says how much of the welds is used, '
            'and with a pitch = "200 mm" how long intermittent ones must be.'
        )
    else:
        words.append(
            "The length needed is q p / (f a) at the peak flow q: of each intermittent weld at the "
            "pitch p, or as a share of the length; f is the strength given, a the throat."
        )
    return [" ".join(words)]


def _cells(found: FlowsAlong, units: MemberUnits) -> HeadedRows:
    rows = []
    for n, cell in enumerate(found.cells, 1):
        row, c = peak_of(cell.flow)
        x, y = (number(round(v, 9), 4) for v in cell.centre)
        rows.append(
            [
                f"cell {n} about ({x}, {y})",
                cell.section,
                units.value(abs(float(cell.flow[row, c])), "line load"),
                units.value(float(found.z[row]), "along"),
                found.names[c],
            ]
        )
    return HeadedRows(
        ["cell", "section", "peak flow", "at", "under"],
        ["", "", units.unit("line load"), units.unit("along"), ""],
        rows,
    )


def flow_record(assessment: Assessment) -> dict[str, Any] | None:
    """The same for JSON: flows at the stations of the record, null in other sections."""
    found = assessment.flows
    if found is None:
        return None

    def along(item: WeldFlow | CellFlow) -> dict[str, list[float]]:
        return {name: item.flow[:, c].tolist() for c, name in enumerate(found.names)}

    return {
        "welds": [
            {
                "weld": w.line.name,
                "section": w.section,
                "between": list(w.line.between),
                "throat": w.throat,
                "flow": along(w),
            }
            for w in found.welds
        ],
        "cells": [
            {
                "section": cell.section,
                "centre": list(cell.centre),
                "void_area": cell.void_area,
                "flow": along(cell),
            }
            for cell in found.cells
        ],
    }
