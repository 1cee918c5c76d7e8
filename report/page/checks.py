"""Checks that every section runs on itself, as rows of a report: what, found, and against what."""

from __future__ import annotations

from typing import TYPE_CHECKING

from .document import Grid

if TYPE_CHECKING:
    from ...solver.section.result import SectionResult
    from ...solver.section.stress.load_cases import StressResult

_HEADS = ("check", "found", "what it tells")


def section_checks(result: SectionResult) -> Grid:
    """How far the section's own numbers have converged."""
    warping = result.warping_properties
    size = result.section.size()
    fate = "reached" if result.solver.met else "not reached; the interval still holds J"
    rows = [
        (
            "width of J's interval, relative",
            f"{result.solver.reached:.1e}",
            f"asked for {result.solver.accuracy:.0e}: {fate}",
        ),
        (
            "peak shear of a torque, difference of two estimates",
            _share(result.torsion_modulus.change),
            "stress function against warping, at its place",
        ),
        (
            "mean lever arm, two estimates apart by",
            _share(result.mean_lever_arm_change),
            "stress function against warping",
        ),
        (
            "shear centre, moved by the highest order",
            f"{warping.shear_centre_change / size:.1e} of the section's size",
            "how far the series has converged",
        ),
    ]
    if result.warping_constant > 0:
        rows.append(
            (
                "warping constant, moved by the highest order",
                f"{warping.warping_constant_change / result.warping_constant:.1e}",
                "how far the series has converged",
            )
        )
    return Grid(_HEADS, rows)


def stress_checks(stress: StressResult) -> Grid:
    """The section's checks, then those of its stresses."""
    largest = max(
        (e.change for c in stress.cases for e in c.extremes if e.component == "von Mises"),
        default=0.0,
    )
    rows = [
        (
            "equilibrium: resultants integrated back",
            f"{stress.equilibrium_residual:.1e}",
            "the unit stresses return their actions within this share",
        ),
        (
            "peak von Mises stress, change from the order before",
            f"{largest:.1e}",
            "at most, over the load cases; meshes are refined at the place",
        ),
    ]
    return Grid(_HEADS, [*section_checks(stress.result).rows, *rows])


def _share(value: float) -> str:
    return f"{value:.1e}" if value == value else "none: no place away from sharp corners"
