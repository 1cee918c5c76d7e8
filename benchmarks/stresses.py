"""What stresses cost beside the torsion solve: unit fields, one more load case, a figure.

Run: ``python -m benchmarks.stresses`` (part of ``make bench``). One thread; processor time, best of
several warm repeats. The table between its markers in README.md is rewritten.
"""

from __future__ import annotations

import tempfile
import time
from collections.abc import Callable
from pathlib import Path

import numpy as np
from soapfilm.report.section.figure import save
from soapfilm.report.stress.figure import plot_stress
from soapfilm.solver.section import solve_section
from soapfilm.solver.section.solve import solve_fields
from soapfilm.solver.section.stress.actions import Actions
from soapfilm.solver.section.stress.components import COMPONENTS
from soapfilm.solver.section.stress.load_cases import solve_stress
from soapfilm.solver.section.stress.unit_stress import UnitArrays, unit_stress

from .sections import SECTIONS

README = Path(__file__).parent / "README.md"
START, END = "<!-- stress table: start -->", "<!-- stress table: end -->"
POINTS = 20_000
FIELDS_GOAL, CASE_GOAL, FIGURE_GOAL = 4.0, 0.005, 1.5


def seconds(work: Callable[[], object], repeats: int = 7) -> float:
    """Processor time of the fastest repeat, after one to warm up."""
    work()
    times = []
    for _ in range(repeats):
        begin = time.process_time()
        work()
        times.append(time.process_time() - begin)
    return min(times)


def combined_case() -> float:
    """All components of one more load case on a cloud of sample points."""
    rng = np.random.default_rng(1)
    arrays = UnitArrays(rng.random((8, POINTS, 1)), rng.random((8, POINTS, 1, 2)))
    actions = rng.random(8)

    def combine() -> list[np.ndarray]:
        sigma, tau = arrays.combined(actions)
        return [component.of(sigma, tau) for component in COMPONENTS.values()]

    return seconds(combine)


def row(key: str) -> str:
    """One section's line of the table."""
    section = SECTIONS[key]()
    result = solve_section(section)
    torsion = seconds(lambda: solve_fields(section))
    fields = seconds(lambda: unit_stress(result))
    stress = solve_stress(result, [Actions(shear_y=1.0, torque=1.0, moment_x=1.0)])
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "stress.png"
        figure = seconds(lambda: save(plot_stress(stress, "von Mises"), path), 3)
    ratio = fields / torsion
    verdict = "met" if ratio <= FIELDS_GOAL and figure <= FIGURE_GOAL else "**missed**"
    return (
        f"| {key} | {1e3 * torsion:.1f} | {1e3 * fields:.1f} | {ratio:.2f} | {figure:.2f} "
        f"| {verdict} |"
    )


def table() -> str:
    """The table as Markdown."""
    case = combined_case()
    head = (
        f"One more load case, all components on {POINTS:,} points: {1e3 * case:.1f} ms "
        f"(goal {1e3 * CASE_GOAL:.0f} ms: {'met' if case <= CASE_GOAL else '**missed**'}).\n\n"
        "| section | torsion alone, ms | eight unit fields, ms | ratio (goal 4 at most) "
        "| figure, s (goal 1.5) | |\n| --- | ---: | ---: | ---: | ---: | --- |\n"
    )
    return head + "\n".join(row(key) for key in SECTIONS) + "\n"


def main() -> None:
    """Measure and rewrite the table."""
    text = README.read_text("utf-8")
    before, rest = text.split(START)
    _, after = rest.split(END)
    measured = table()
    print(measured)
    README.write_text(f"{before}{START}\n{measured}{END}{after}", "utf-8")


if __name__ == "__main__":
    main()
