"""One contender on one section in a process of its own: time to a guaranteed width of J's interval.

Run by `speed`: ``python -m benchmarks.contenders CONTENDER SECTION --width 1e-6`` prints one JSON
object with the seconds of every repeat (mesh included, imports not), the interval reached and the
unknowns. The process must be started with one thread a library (see `alone.SINGLE_THREAD`).
"""

from __future__ import annotations

import argparse
import json
import time
from collections.abc import Callable

from soapfilm.geometry.section import Section

from .sections import SECTIONS

#: Solves in one process: enough for a stable minimum on a shared machine, few for slow ones.
_MOST_REPEATS, _SECONDS = 100, 3.0
#: Beyond this many unknowns the quadratic elements are extrapolated, not run.
_QUADRATIC_LIMIT = 1_500_000


def width(result: dict) -> float:
    """Relative width of the interval."""
    return (result["J_upper"] - result["J_lower"]) / result["J_lower"]


def repeated(run: Callable[[], dict], warm: bool = True, limit: float = _SECONDS) -> dict:
    """Results of the last call with the seconds of all calls; the first one, cold, is dropped.

    Processor time of this one thread: the wall-clock time of an idle machine, and still fair on one
    that others use at the same time.
    """
    if warm:
        run()
    seconds: list[float] = []
    clock, end = time.process_time, time.monotonic() + limit
    while not seconds or (time.monotonic() < end and len(seconds) < _MOST_REPEATS):
        start = clock()
        result = run()
        seconds.append(clock() - start)
    return result | {"seconds": seconds, "width": width(result)}


# -- ours ------------------------------------------------------------------------------------------
def ours_j(section: Section, target: float, limit: float = _SECONDS) -> dict:
    """J alone, refined until the interval is narrow enough, the outline's check included."""
    from soapfilm.solver.section.solve import solve_fields

    def run() -> dict:
        field = solve_fields(section, accuracy=target)
        return {"J_lower": field.lower, "J_upper": field.upper, "unknowns": int(field.unknowns)}

    return repeated(run, limit=limit)


def ours_all(section: Section, target: float, limit: float = _SECONDS) -> dict:
    """Every property of the section."""
    from soapfilm.solver.section.solve import solve_section

    def run() -> dict:
        result = solve_section(section, accuracy=target)
        return {
            "J_lower": result.torsion_constant_lower,
            "J_upper": result.torsion_constant_upper,
            "unknowns": int(result.solver.unknowns),
        }

    return repeated(run, limit=limit)


# -- NGSolve ---------------------------------------------------------------------------------------
def ngsolve_tuned(section: Section, target: float) -> dict:
    """The fastest settings a search found for this very section; only this one solve is counted."""
    from .ngsolve_settings import TUNED

    return ngsolve_once(section, TUNED[key_of(section)])


def ngsolve_recipe(section: Section, target: float) -> dict:
    """One recipe for all sections, raised until the interval is narrow; all attempts count."""
    import ngsolve as ng

    from .ngsolve_settings import RECIPE, raised
    from .reference_ngsolve import solve
    from .region_plan import region_plan

    ng.SetNumThreads(1)
    plan = region_plan(section)

    def run() -> dict:
        accuracy = RECIPE
        while True:
            result = solve(plan, accuracy, properties=False)
            if width(result) < target or accuracy.order > 16:
                return result
            accuracy = raised(accuracy)

    return repeated(run)


def ngsolve_once(section: Section, accuracy, limit: float = _SECONDS) -> dict:
    """Time of one solve with given settings, J alone."""
    import ngsolve as ng

    from .reference_ngsolve import solve
    from .region_plan import region_plan

    ng.SetNumThreads(1)
    plan = region_plan(section)
    return repeated(lambda: solve(plan, accuracy, properties=False), limit=limit)


# -- scikit-fem ------------------------------------------------------------------------------------
def quadratic(section: Section, target: float) -> dict:
    """Quadratic elements on a graded mesh.

    Two coarse solves give the size needed; only the solve with that size is counted, as if the
    user had known it.
    """
    from .reference_skfem import MeshSize, solve
    from .region_plan import region_plan

    plan = region_plan(section)
    (region,) = section.regions
    thickness = 2 * region.area() / sum(c.length() for c in region.contours)
    sizes = [thickness / 2, thickness / 4]
    runs = [solve(plan, MeshSize(h)) for h in sizes]
    # The width falls with h^4 on a well graded mesh; 0.9 leaves a little for its unevenness.
    size = sizes[1] * (0.9 * target / width(runs[1])) ** 0.25
    while True:
        expected = runs[-1]["unknowns"] * (sizes[1] / size) ** 2
        if expected > _QUADRATIC_LIMIT:
            return extrapolated(runs, target)
        result = solve(plan, MeshSize(size))
        if width(result) < target:
            break
        size *= 0.95
    return repeated(lambda: solve(plan, MeshSize(size)), warm=False) | {"size": size}


def extrapolated(runs: list[dict], target: float) -> dict:
    """From the last coarse solve: width with unknowns^-2, seconds with unknowns^1.2."""
    last = runs[-1]
    growth = (width(last) / target) ** 0.5
    return last | {
        "seconds": [last["seconds"] * growth**1.2],
        "unknowns": int(last["unknowns"] * growth),
        "width": target,
        "extrapolated": True,
    }


def key_of(section: Section) -> str:
    """The short key of a benchmark section."""
    return next(k for k, build in SECTIONS.items() if build().name == section.name)


CONTENDERS: dict[str, Callable[[Section, float], dict]] = {
    "ours_j": ours_j,
    "ours_all": ours_all,
    "ngsolve_tuned": ngsolve_tuned,
    "ngsolve_recipe": ngsolve_recipe,
    "quadratic": quadratic,
}


def main() -> None:
    """Run one contender on one section and print what came out."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("contender", choices=CONTENDERS)
    parser.add_argument("section", choices=SECTIONS)
    parser.add_argument("--width", type=float, default=1e-6)
    options = parser.parse_args()
    section = SECTIONS[options.section]()
    print(json.dumps(CONTENDERS[options.contender](section, options.width)))


if __name__ == "__main__":
    main()
