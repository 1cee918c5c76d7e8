"""Benchmark and hard sections solved in one run by two general-purpose libraries and by ours.

NGSolve's values are computed anew and compared with the stored ones that the tests use. scikit-fem
solves on two meshes; how far the finer one may be off is what the last halving changed.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import Any

import numpy as np
from soapfilm.geometry.section import Section
from soapfilm.solver.section import solve_section

from .book_tables import table
from .reference_skfem import MeshSize, solve
from .references import DRAWN, TARGETS, reference

#: Width asked of ours.
ACCURACY = 1e-10
#: Coarse element size of the quadratic elements by section, in its unit; the fine one is half.
SIZES = {
    "L": 3.0, "I": 2.5, "tube": 1.5, "two_cell_box": 3.0, "tapered_deck": 60.0,
    "thin_channel": 0.5, "thin_tube": 0.5, "three_cells": 4.0, "two_materials": 4.0,
    "near_hole": 2.0, "curved_wall": 2.0, "slit_tube": 1.5, "tee": 2.0, "zed": 2.0,
    "filleted_angle": 2.0, "tapered_channel": 2.5, "eccentric_tube": 2.0, "notched_square": 4.0,
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Comparison:
    """One section three ways.

    Attributes
    ----------
    name, description : str
    ours, ngsolve, skfem : dict
        J_lower, J_upper, warping_constant, warping_doubt, shear_centre, centre_doubt.
    stored : bool
        Whether NGSolve gave the stored values again, within their uncertainty.
    size : float
        Diagonal of the section.
    """

    name: str
    description: str
    ours: dict[str, Any]
    ngsolve: dict[str, Any]
    skfem: dict[str, Any]
    stored: bool
    size: float

    def agrees(self, other: dict[str, Any]) -> bool:
        """J's intervals overlap; C_w and shear centre agree within both doubts, ours twice."""
        mine = self.ours
        overlap = mine["J_lower"] <= other["J_upper"] and other["J_lower"] <= mine["J_upper"]
        warping = abs(mine["warping_constant"] - other["warping_constant"])
        shift = distance(mine, other)
        return bool(
            overlap
            and warping <= other["warping_doubt"] + 2 * mine["warping_doubt"]
            and shift <= other["centre_doubt"] + 2 * mine["centre_doubt"]
        )


def distance(one: dict[str, Any], other: dict[str, Any]) -> float:
    """Of the two shear centres."""
    return float(np.hypot(*np.subtract(one["shear_centre"], other["shear_centre"])))


def comparisons() -> Iterator[Comparison]:
    """All sections, five of the benchmark first."""
    for path, sections in TARGETS.values():
        kept = json.loads(path.read_text(encoding="utf-8"))["sections"]
        for key, build in sections.items():
            yield compared(key, build, kept[key])


def compared(key: str, build: Callable[[], Section], kept: dict[str, Any]) -> Comparison:
    """One section three ways."""
    section = build()
    anew = reference(key, section)
    text = (build.__doc__ or "").strip().split("\n")[0].rstrip(".")
    return Comparison(
        key,
        text,
        ours(section),
        in_common_form(anew),
        quadratic(key, section),
        same(anew, kept),
        section.size(),
    )


def ours(section: Section) -> dict[str, Any]:
    """Ours, with its own statements of doubt."""
    result = solve_section(section, ACCURACY)
    warping = result.warping_properties
    return {
        "J_lower": result.torsion_constant_lower,
        "J_upper": result.torsion_constant_upper,
        "warping_constant": result.warping_constant,
        "warping_doubt": warping.warping_constant_change,
        "shear_centre": result.shear_centre,
        "centre_doubt": warping.shear_centre_change,
    }


def in_common_form(found: dict[str, Any]) -> dict[str, Any]:
    """A reference as the comparison wants it."""
    return {
        "J_lower": found["torsion_constant"]["lower"],
        "J_upper": found["torsion_constant"]["upper"],
        "warping_constant": found["warping_constant"]["value"],
        "warping_doubt": found["warping_constant"]["uncertainty"],
        "shear_centre": found["shear_centre"]["value"],
        "centre_doubt": found["shear_centre"]["uncertainty"],
    }


def same(anew: dict[str, Any], kept: dict[str, Any]) -> bool:
    """Whether a run gives the stored values again."""
    a, b = in_common_form(anew), in_common_form(kept)
    return bool(
        a["J_lower"] <= b["J_upper"]
        and b["J_lower"] <= a["J_upper"]
        and abs(a["warping_constant"] - b["warping_constant"])
        <= a["warping_doubt"] + b["warping_doubt"]
        and distance(a, b) <= a["centre_doubt"] + b["centre_doubt"]
    )


def quadratic(key: str, section: Section) -> dict[str, Any]:
    """scikit-fem's finer mesh, its doubt from the coarser one.

    Along arcs its elements are parabolas: J's bounds hold up to the area's error, which widens
    them as it does those of the reference.
    """
    drawn = DRAWN[key]() if key in DRAWN else section
    coarse, fine = (solve(drawn, MeshSize(SIZES[key] * f)) for f in (1.0, 0.5))
    area = sum(region.area() for region in section.regions)
    margin = 20 * abs(fine["area"] / area - 1) * fine["J_upper"]
    return {
        "J_lower": fine["J_lower"] - margin,
        "J_upper": fine["J_upper"] + margin,
        "warping_constant": fine["warping_constant"],
        "warping_doubt": abs(fine["warping_constant"] - coarse["warping_constant"]),
        "shear_centre": fine["shear_centre"],
        "centre_doubt": max(distance(coarse, fine), 1e-8 * section.size()),
    }


HEADS = (
    "section", "J: ours, width", "NGSolve, width", "scikit-fem, width", "C_w: ours", "off NGSolve",
    "off scikit-fem", "shear centre off NGSolve", "off scikit-fem", "verdict",
)  # fmt: skip


def independent_table(found: list[Comparison]) -> str:
    """One row a section; distances of shear centres by the section's diagonal."""
    return table(HEADS, (row(c) for c in found))


def row(c: Comparison) -> list[str]:
    """Cells of a section."""
    parts = (c.ours, c.ngsolve, c.skfem)
    widths = [p["J_upper"] / p["J_lower"] - 1 for p in parts]
    middles = [(p["J_upper"] + p["J_lower"]) / 2 for p in parts]
    warping = c.ours["warping_constant"]
    verdicts = [
        word
        for word, fine in (
            ("NGSolve differs", c.agrees(c.ngsolve)),
            ("scikit-fem differs", c.agrees(c.skfem)),
            ("stored values differ", c.stored),
        )
        if not fine
    ]
    return [
        c.description,
        f"{middles[0]:.12g}, {widths[0]:.0e}",
        f"{middles[1] / middles[0] - 1:+.0e}, {widths[1]:.0e}",
        f"{middles[2] / middles[0] - 1:+.0e}, {widths[2]:.0e}",
        f"{warping:.11g}",
        *(
            f"{p['warping_constant'] / warping - 1:+.0e} ({p['warping_doubt'] / warping:.0e})"
            for p in parts[1:]
        ),
        *(
            f"{distance(c.ours, p) / c.size:.0e} ({p['centre_doubt'] / c.size:.0e})"
            for p in parts[1:]
        ),
        "**" + ", ".join(verdicts) + "**" if verdicts else "agree",
    ]
