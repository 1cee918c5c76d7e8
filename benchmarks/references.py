"""Converged values of the benchmark sections and of the hard ones, written to tests/data/.

Run: ``python -m benchmarks.references`` (a minute), or with ``benchmark`` or ``hard`` for one file.
Each section is solved by NGSolve with two settings that share neither mesh nor order. J is given as
the interval that both leave, widened by what the polynomial arcs may cost; C_w and the shear centre
carry the difference between the two settings.
"""

from __future__ import annotations

import json
import platform
import sys
from collections.abc import Callable
from dataclasses import asdict
from pathlib import Path

import ngsolve as ng
import numpy as np
from soapfilm.geometry.section import Section

from .hard_sections import HARD_SECTIONS, near_hole_with_vertices
from .reference_ngsolve import Accuracy, solve
from .sections import SECTIONS

DATA = Path(__file__).parents[1] / "tests" / "data"
#: File of each group of sections.
TARGETS: dict[str, tuple[Path, dict[str, Callable[[], Section]]]] = {
    "benchmark": (DATA / "reference_sections.json", SECTIONS),
    "hard": (DATA / "reference_hard_sections.json", HARD_SECTIONS),
}

#: How much a relative error of the area may cost J. A wall that is uniformly too thick by a
#: fraction e gives 3 e in thin open parts; the factor leaves room for an error gathered at an arc
#: where the stress is high.
GEOMETRY_FACTOR = 20.0

_ARC = float(np.pi / 8)
#: Layers at arc ends spoil netgen's curved elements (area off by 5e-10 instead of 5e-12), so the
#: sections with arcs use high order instead.
SETTINGS: dict[str, tuple[Accuracy, Accuracy]] = {
    "L": (
        Accuracy(order=12, layers=14, corners="all", maxh=0.1),
        Accuracy(order=14, layers=16, factor=0.2, corners="all", maxh=0.07),
    ),
    "I": (
        Accuracy(order=16, layers=0, maxh=0.02, arc_step=_ARC),
        Accuracy(order=14, layers=10, corners="sharp", maxh=0.05, arc_step=_ARC),
    ),
    "tube": (
        Accuracy(order=13, layers=0, maxh=0.03, arc_step=_ARC),
        Accuracy(order=16, layers=0, maxh=0.05, arc_step=_ARC),
    ),
    "two_cell_box": (
        Accuracy(order=14, layers=14, corners="all", maxh=0.05),
        Accuracy(order=16, layers=16, corners="all", maxh=0.04),
    ),
    "tapered_deck": (
        Accuracy(order=14, layers=14, corners="all", maxh=0.05),
        Accuracy(order=15, layers=16, corners="all", maxh=0.04),
    ),
    # Hard sections. Long thin elements need a bound on their length: the film's decay along a wall
    # is that of its thickness.
    "thin_channel": (
        Accuracy(order=12, layers=14, corners="all", maxh=0.01),
        Accuracy(order=14, layers=16, factor=0.2, corners="all", maxh=0.015),
    ),
    "thin_tube": (
        Accuracy(order=14, layers=0, maxh=0.02, arc_step=_ARC),
        Accuracy(order=16, layers=0, maxh=0.015, arc_step=_ARC),
    ),
    "three_cells": (
        Accuracy(order=13, layers=14, corners="all", maxh=0.03),
        Accuracy(order=14, layers=16, corners="all", maxh=0.05),
    ),
    "two_materials": (
        Accuracy(order=12, layers=14, corners="all", maxh=0.07),
        Accuracy(order=14, layers=16, corners="all", maxh=0.05),
    ),
    "near_hole": (
        Accuracy(order=14, layers=0, maxh=0.1, arc_step=_ARC),
        Accuracy(order=16, layers=0, maxh=0.05, arc_step=_ARC),
    ),
    "curved_wall": (
        Accuracy(order=12, layers=10, corners="sharp", maxh=0.05, arc_step=_ARC),
        Accuracy(order=14, layers=12, corners="sharp", maxh=0.04, arc_step=_ARC),
    ),
    "slit_tube": (
        Accuracy(order=12, layers=10, corners="sharp", maxh=0.05, arc_step=_ARC),
        Accuracy(order=14, layers=12, corners="sharp", maxh=0.04, arc_step=_ARC),
    ),
    "tee": (
        Accuracy(order=12, layers=14, corners="all", maxh=0.07),
        Accuracy(order=13, layers=14, corners="all", maxh=0.03),
    ),
    "zed": (
        Accuracy(order=13, layers=14, corners="all", maxh=0.03),
        Accuracy(order=14, layers=16, corners="all", maxh=0.05),
    ),
    "filleted_angle": (
        Accuracy(order=14, layers=12, corners="sharp", maxh=0.04, arc_step=_ARC),
        Accuracy(order=16, layers=0, maxh=0.03, arc_step=_ARC),
    ),
    "tapered_channel": (
        Accuracy(order=12, layers=10, corners="sharp", maxh=0.05, arc_step=_ARC),
        Accuracy(order=16, layers=0, maxh=0.03, arc_step=_ARC),
    ),
    "eccentric_tube": (
        Accuracy(order=10, layers=0, maxh=0.05, arc_step=_ARC),
        Accuracy(order=14, layers=0, maxh=0.05, arc_step=_ARC),
    ),
    "notched_square": (
        Accuracy(order=10, layers=12, corners="all", maxh=0.1),
        Accuracy(order=12, layers=14, corners="all", maxh=0.07),
    ),
}


#: netgen sizes its elements by the edges it is given and would mesh across a thin ligament: the
#: same shape, with vertices where elements have to be small.
DRAWN: dict[str, Callable[[], Section]] = {"near_hole": near_hole_with_vertices}


def reference(key: str, section: Section) -> dict:
    """The converged values of one section with their uncertainties and how they were obtained."""
    area = sum(region.area() for region in section.regions)
    drawn = DRAWN[key]() if key in DRAWN else section
    runs = [solve(drawn, a) for a in SETTINGS[key]]
    lower, upper = max(r["J_lower"] for r in runs), min(r["J_upper"] for r in runs)
    best = min(runs, key=lambda r: r["J_upper"] - r["J_lower"])
    off = max(abs(r["area"] / area - 1) for r in runs)
    # Rounding of the two integrals has been seen to cross the bounds by 3e-14.
    margin = (GEOMETRY_FACTOR * off + 1e-13) * best["J_upper"]
    a, b = runs
    return {
        "unit": section.unit,
        "area": area,
        "torsion_constant": {
            "value": (lower + upper) / 2,
            "lower": min(lower, upper) - margin,
            "upper": max(lower, upper) + margin,
        },
        "warping_constant": {
            "value": best["warping_constant"],
            "uncertainty": abs(a["warping_constant"] - b["warping_constant"])
            + GEOMETRY_FACTOR * off * best["warping_constant"],
        },
        "shear_centre": {
            "value": best["shear_centre"],
            "uncertainty": float(np.max(np.abs(np.subtract(a["shear_centre"], b["shear_centre"]))))
            + GEOMETRY_FACTOR * off * section.size(),
        },
        "runs": [
            {
                **asdict(s),
                **{k: r[k] for k in ("J_lower", "J_upper", "unknowns", "elements")},
                "area_error": r["area"] / area - 1,
            }
            for s, r in zip(SETTINGS[key], runs, strict=True)
        ],
    }


def references(sections: dict[str, Callable[[], Section]]) -> dict:
    """What a reference file holds."""
    ng.SetNumThreads(1)
    return {
        "method": "NGSolve, hp finite elements with geometric layers at corners and curved "
        "elements; J between the stress function (lower) and the warping function (upper, as "
        "int |grad omega + (-y, x)|^2); two settings each, the interval widened by the error of "
        "the polynomial arcs and of rounding",
        "script": "python -m benchmarks.references",
        "provenance": "derived (computed by an independent general-purpose library)",
        "versions": {"ngsolve": ng.__version__, "python": platform.python_version()},
        "sections": {key: reference(key, build()) for key, build in sections.items()},
    }


def main(groups: list[str]) -> None:
    """Solve the named groups and write their files."""
    for group in groups or TARGETS:
        target, sections = TARGETS[group]
        data = references(sections)
        target.parent.mkdir(parents=True, exist_ok=True)
        target.write_text(json.dumps(data, indent=1) + "\n")
        for key, r in data["sections"].items():
            j = r["torsion_constant"]
            width = (j["upper"] - j["lower"]) / j["value"]
            print(f"{key:15} J {j['lower']:.15g} .. {j['upper']:.15g} ({width:.1e})")
            print(f"{'':15} C_w {r['warping_constant']}  shear centre {r['shear_centre']}")


if __name__ == "__main__":
    main(sys.argv[1:])
