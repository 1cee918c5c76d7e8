"""Peaks of combined actions on the report page beside the solver's own search.

    python -m benchmarks.page_peaks [COUNT]

For every section, COUNT (200) random sets of one to eight actions: every stress component's extreme
at the samples of the page alone, and with the points that the page carries for its peaks, relative
to what the solver's search finds. Of the largest magnitude of each component, in per cent.
"""

from __future__ import annotations

import sys
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from numpy.typing import NDArray
from soapfilm.geometry.section_file import load_section
from soapfilm.report.page.peak_points import PeakPoints, random_actions
from soapfilm.report.page.samples import Samples
from soapfilm.report.page.section_report import unit_cases
from soapfilm.solver.section import SectionResult, solve_section
from soapfilm.solver.section.stress.components import COMPONENTS, Component
from soapfilm.solver.section.stress.extremes import Search
from soapfilm.solver.section.torsion.peak import left_out

Array = NDArray[np.float64]

EXAMPLES = Path(__file__).parent.parent / "cli" / "examples"
SECTIONS = (
    "platform-girder", "closed-girder", "landing-deck", "sharp-bracket", "composite-girder",
    "welded-box",
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Misses:
    """How far the page's extremes lie below (above, if negative) those of the search.

    Attributes
    ----------
    samples : float
        Largest share missed at the samples that are drawn.
    below, above : float
        Largest share by which the page's extremes lie below and above the search's.
    """

    samples: float
    below: float
    above: float


def misses(result: SectionResult, count: int, seed: int = 77) -> Misses:
    """Measured over `count` random sets of actions."""
    units = unit_cases(result).units
    samples, peaks, search = Samples.of(units), PeakPoints.of(units), Search.over(units)
    hidden = [left_out(samples.points, result.corners), peaks.refused]
    mises = COMPONENTS["von Mises"].of(peaks.sigma, peaks.tau)
    sizes = np.where(hidden[1], 0.0, mises).max(axis=1)
    sizes[sizes < 1e-12 * sizes.max()] = 0.0
    coarse = below = above = 0.0
    for actions in random_actions(np.random.default_rng(seed), sizes, count):
        for component in COMPONENTS.values():
            found = {s: search.extreme(actions, component, s) for s in component.sides}
            size = max(abs(e.value) for e in found.values())
            if size < 1e-6 * np.abs(actions) @ sizes:  # nothing but rounding
                continue
            for side, extreme in found.items():
                drawn = _best(samples, hidden[0], actions, component, side)
                page = max(drawn, _best(peaks, hidden[1], actions, component, side))
                coarse = max(coarse, (side * extreme.value - drawn) / size)
                below = max(below, (side * extreme.value - page) / size)
                above = max(above, (page - side * extreme.value) / size)
    return Misses(coarse, below, above)


def _best(
    points: Samples | PeakPoints,
    hidden: NDArray[np.bool_],
    actions: Array,
    component: Component,
    side: int,
) -> float:
    values = side * component.of(actions @ points.sigma, np.tensordot(actions, points.tau, 1))
    if component.sheared and actions[3:7].any():
        values = values[~hidden]
    return float(values.max())


def main(count: int) -> None:
    """Print a line a section."""
    print(f"{count} random sets of actions; per cent of each component's largest magnitude")
    print(f"{'section':<18}{'samples alone':>15}{'below search':>14}{'above search':>14}")
    for name in SECTIONS:
        found = misses(solve_section(load_section(EXAMPLES / f"{name}.toml"), 1e-5), count)
        shares = (100 * v for v in (found.samples, found.below, found.above))
        print(f"{name:<18}" + "".join(f"{v:>14.3f}" for v in shares), flush=True)


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 200)
