"""NGSolve's settings for a relative width of 1e-6: a recipe, and the fastest for each section.

Run ``python -m benchmarks.ngsolve_settings --seconds 40`` to search again: random starts, then
steps of one setting that keep the width and save time. What it prints goes into `TUNED` by hand.
"""

from __future__ import annotations

import argparse
import random
import time
from dataclasses import replace

import ngsolve as ng
from netgen.libngpy._meshing import NgException

from .reference_ngsolve import Accuracy, solve
from .sections import SECTIONS

#: The cheapest single choice that reaches 1e-6 on all five (found in hindsight, which favours it).
RECIPE = Accuracy(order=8, layers=3, factor=0.15, maxh=0.05, grading=0.7)

#: The cheapest choice for each section found by the search below.
TUNED = {
    "L": Accuracy(order=8, layers=3, factor=0.15, maxh=0.2, grading=0.9),
    "I": Accuracy(order=6, layers=1, factor=0.15, corners="sharp", maxh=0.15, grading=0.7),
    "tube": Accuracy(order=4, layers=0, maxh=0.07, grading=0.7),
    "two_cell_box": Accuracy(order=6, layers=3, factor=0.125, maxh=0.05, grading=0.9),
    "tapered_deck": Accuracy(order=5, layers=5, factor=0.25, maxh=0.02, grading=0.3),
}

_CHOICES: dict[str, list] = {
    "order": list(range(4, 13)),
    "layers": list(range(9)),
    "factor": [0.08, 0.125, 0.15, 0.2, 0.25],
    "corners": ["re-entrant", "sharp"],
    "maxh": [1.0, 0.3, 0.2, 0.15, 0.1, 0.07, 0.05, 0.03, 0.02],
    "grading": [0.2, 0.3, 0.5, 0.7, 0.9],
}


def raised(accuracy: Accuracy) -> Accuracy:
    """The recipe's next attempt."""
    return replace(accuracy, order=accuracy.order + 2, layers=accuracy.layers + 1)


def cost(section, accuracy: Accuracy, target: float) -> float:
    """Seconds of the better of two solves; a wide interval costs more than any time."""
    try:
        runs = [solve(section, accuracy, properties=False) for _ in range(2)]
    except NgException:  # layers on a poor mesh can leave a degenerate element
        return float("inf")
    gap = (runs[0]["J_upper"] - runs[0]["J_lower"]) / runs[0]["J_lower"]
    seconds = min(r["seconds"] for r in runs)
    return seconds if 0 < gap < target else 1e3 * max(gap / target, 1.0) + seconds


def search(key: str, seconds: float, target: float, seed: int) -> tuple[float, Accuracy]:
    """The cheapest settings met within the time."""
    chance = random.Random(seed)
    section = SECTIONS[key]()
    end = time.monotonic() + seconds
    best = (cost(section, RECIPE, target), RECIPE)
    here, stalled = best, 0
    while time.monotonic() < end:
        if stalled > 25:
            start = Accuracy(**{n: chance.choice(v) for n, v in _CHOICES.items()})
            here, stalled = (cost(section, start, target), start), 0
        changes = {}
        for name in chance.sample(list(_CHOICES), chance.choice((1, 1, 2))):
            values = _CHOICES[name]
            at = values.index(getattr(here[1], name)) + chance.choice((-2, -1, 1, 2))
            changes[name] = values[min(max(at, 0), len(values) - 1)]
        tried = replace(here[1], **changes)
        price = cost(section, tried, target)
        here, stalled = ((price, tried), 0) if price < 0.98 * here[0] else (here, stalled + 1)
        best = min(best, here, key=lambda pair: pair[0])
    return best


def main() -> None:
    """Search for every section."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--seconds", type=float, default=40.0, help="time for each section")
    parser.add_argument("--width", type=float, default=1e-6)
    parser.add_argument("--seed", type=int, default=1)
    options = parser.parse_args()
    ng.SetNumThreads(1)
    for key in SECTIONS:
        seconds, accuracy = search(key, options.seconds, options.width, options.seed)
        print(f"{key:13} {1e3 * seconds:7.1f} ms  {accuracy}", flush=True)


if __name__ == "__main__":
    main()
