"""Converged values of the five benchmark sections, written to tests/data/reference_sections.json.

Run: ``python -m benchmarks.references``. Each section is solved by NGSolve with two settings that
share neither mesh nor order. J is given as the interval that both leave, widened by what the
polynomial arcs may cost; C_w and the shear centre carry the difference between the two settings.
"""

from __future__ import annotations

import json
import platform
from dataclasses import asdict
from pathlib import Path

import ngsolve as ng
import numpy as np

from .reference_ngsolve import Accuracy, solve
from .sections import SECTIONS

TARGET = Path(__file__).parents[1] / "tests" / "data" / "reference_sections.json"

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
}


def reference(key: str) -> dict:
    """The converged values of one section with their uncertainties and how they were obtained."""
    section = SECTIONS[key]()
    area = section.regions[0].area()
    runs = [solve(section, a) for a in SETTINGS[key]]
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


def main() -> None:
    """Solve all five and write the file."""
    ng.SetNumThreads(1)
    data = {
        "method": "NGSolve, hp finite elements with geometric layers at corners and curved "
        "elements; J between the stress function (lower) and the warping function (upper, as "
        "int |grad omega + (-y, x)|^2); two settings each, the interval widened by the error of "
        "the polynomial arcs and of rounding",
        "script": "python -m benchmarks.references",
        "provenance": "derived (computed by an independent general-purpose library)",
        "versions": {"ngsolve": ng.__version__, "python": platform.python_version()},
        "sections": {key: reference(key) for key in SECTIONS},
    }
    TARGET.parent.mkdir(parents=True, exist_ok=True)
    TARGET.write_text(json.dumps(data, indent=1) + "\n")
    for key, r in data["sections"].items():
        j = r["torsion_constant"]
        width = (j["upper"] - j["lower"]) / j["value"]
        print(f"{key:13} J {j['lower']:.15g} .. {j['upper']:.15g} ({width:.1e})")
        print(f"{'':13} C_w {r['warping_constant']}  shear centre {r['shear_centre']}")


if __name__ == "__main__":
    main()
