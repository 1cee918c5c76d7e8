"""Time to accuracy: width of J's interval and true error against seconds, beside two libraries.

Run: ``python -m benchmarks.accuracy_curves`` (part of ``make bench``). Every contender solves
every section in a process of its own with one thread: processor time, best of several warm repeats,
mesh included. Every solve is a point on its own: nobody pays for the ones before. Writes
accuracy_curves.json and .svg and the table of README.md between its markers.
"""

from __future__ import annotations

import argparse
import json
from collections.abc import Callable, Iterator
from pathlib import Path

from soapfilm.geometry.section import Section

from .alone import alone
from .contenders import key_of, ngsolve_once, ours_j, repeated
from .sections import SECTIONS

HERE = Path(__file__).parent
RAW = HERE / "accuracy_curves.json"
#: Wall-clock seconds of repeats of one point, and from how slow a solve on no finer one follows.
_REPEATS, _SLOW = 0.4, 5.0
#: Orders of NGSolve's recipe; quadratic elements by the mean wall, from coarse to fine.
_ORDERS = range(2, 18, 2)
_SIZES = [2.0**-k for k in range(8)]

Point = dict[str, float]


def point(setting: str, result: dict, reference: dict) -> Point:
    """One repeated solve: its setting, best seconds, relative width, and how far the middle is off.

    The error is left out where it is not well above the doubt of the reference value.
    """
    low, high = result["J_lower"], result["J_upper"]
    exact = reference["value"]
    error = abs((low + high) / 2 / exact - 1)
    doubt = (reference["upper"] - reference["lower"]) / exact
    found = {"setting": setting, "seconds": min(result["seconds"]), "width": result["width"]}
    return found | ({"error": error} if error > 3 * doubt else {})


def ours(section: Section, reference: dict) -> Iterator[Point]:
    """J alone for accuracies asked from 1e-2 to 1e-10."""
    for k in range(2, 11):
        yield point(f"1e-{k}", ours_j(section, 10.0**-k, _REPEATS), reference)


def ngsolve(section: Section, reference: dict) -> Iterator[Point]:
    """The one recipe of the speed table: same mesh for all, order and layers rise together."""
    from dataclasses import replace

    from .ngsolve_settings import RECIPE

    for order in _ORDERS:
        layers = max(RECIPE.layers + (order - RECIPE.order) // 2, 0)
        accuracy = replace(RECIPE, order=order, layers=layers)
        yield point(f"p{order}", ngsolve_once(section, accuracy, _REPEATS), reference)


def tuned(section: Section, reference: dict) -> Iterator[Point]:
    """NGSolve with the settings that a search found for this section and a width of 1e-6."""
    from .ngsolve_settings import TUNED

    yield point("tuned", ngsolve_once(section, TUNED[key_of(section)], _REPEATS), reference)


def quadratic(section: Section, reference: dict) -> Iterator[Point]:
    """Quadratic elements of scikit-fem, each mesh half as coarse as the one before."""
    from .reference_skfem import MeshSize, solve
    from .region_plan import region_plan

    plan = region_plan(section)
    (region,) = section.regions
    wall = 2 * region.area() / sum(c.length() for c in region.contours)
    for part in _SIZES:
        size = MeshSize(part * wall)
        result = repeated(lambda h=size: solve(plan, h), limit=_REPEATS)
        found = point(f"h{part:g}", result, reference)
        yield found
        if found["seconds"] > _SLOW / 5:  # the next takes about five times as long
            return


CURVES: dict[str, Callable[[Section, dict], Iterator[Point]]] = {
    "ours": ours,
    "ngsolve": ngsolve,
    "tuned": tuned,
    "quadratic": quadratic,
}


def references() -> dict:
    """Converged values of the benchmark sections by independent means."""
    path = HERE.parent / "tests" / "data" / "reference_sections.json"
    return json.loads(path.read_text("utf-8"))["sections"]


def measure(curve: str, key: str) -> list[Point]:
    """One curve on one section in a process of its own."""
    return alone("accuracy_curves", "--curve", curve, "--section", key)


def main() -> None:
    """Measure, store, draw."""
    from .accuracy_figure import draw, publish
    from .speed import machine

    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--section", choices=SECTIONS, help="only this one, the others as stored")
    parser.add_argument("--curve", choices=CURVES, help="print this one curve of the section")
    parser.add_argument("--draw", action="store_true", help="only draw what is stored")
    options = parser.parse_args()
    if options.curve:
        section = SECTIONS[options.section]()
        exact = references()[options.section]["torsion_constant"]
        print(json.dumps(list(CURVES[options.curve](section, exact))))
        return
    data = json.loads(RAW.read_text("utf-8")) if RAW.exists() else {"sections": {}}
    for key in [] if options.draw else [options.section] if options.section else SECTIONS:
        data["sections"][key] = {curve: measure(curve, key) for curve in CURVES}
        data["machine"] = machine()
        RAW.write_text(json.dumps(data, indent=1) + "\n", "utf-8")
        print(f"{key}: {sum(map(len, data['sections'][key].values()))} points", flush=True)
    draw(data)
    publish(data)


if __name__ == "__main__":
    main()
