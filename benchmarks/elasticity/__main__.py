"""Solve reference cases and keep what came: ``python -m benchmarks.elasticity [name ...]``."""

from __future__ import annotations

import json
import resource
import sys
import time
from dataclasses import asdict
from pathlib import Path
from typing import Protocol

import numpy as np

from .case import Case, EndTorque
from .cases import CASES
from .chain import solve
from .harder_cases import HARDER

DATA = Path(__file__).parent / "data"


class Answers(Protocol):
    """A solved case that can be asked for displacements and stresses at points."""

    case: Case

    def displacement(self, x: float, y: float, z: float) -> np.ndarray: ...
    def stress(self, x: float, y: float, z: float) -> np.ndarray: ...


def values(found: Answers) -> dict[str, list[list[float]]]:
    """Displacements and stresses at the points that a case asks."""
    case = found.case
    return {
        "displacements": [found.displacement(*p).tolist() for p in case.displacements],
        "stresses": [found.stress(*p).tolist() for p in case.stresses],
    }


def record(case: Case) -> dict:
    """A case with its values at one order above its own, and what the last order changed."""
    runs, cost = [], []
    for order in (case.order, case.order + 1):
        start = time.perf_counter()
        found = solve(case, order)
        seconds = time.perf_counter() - start
        runs.append(values(found))
        cost.append({"order": order, "unknowns": found.unknowns, "seconds": round(seconds, 1)})
        print(
            case.name,
            cost[-1],
            f"{resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1e6:.2f} GB",
            flush=True,
        )
    return recorded(case, runs, cost)


def recorded(case: Case, runs: list[dict], cost: list[dict]) -> dict:
    """What is kept: the case, the values of the second run, and what it changed of the first."""
    given = asdict(case)
    given["loads"] = [
        {"kind": "torque" if isinstance(load, EndTorque) else "line", **asdict(load)}
        for load in case.loads
    ]
    results = {}
    for name, points in (("displacements", case.displacements), ("stresses", case.stresses)):
        coarse, fine = (np.array(run[name]) for run in runs)
        results[name] = [
            {"at": list(p), "value": _digits(v), "change": _digits(c, 2)}
            for p, v, c in zip(points, fine, np.abs(fine - coarse), strict=True)
        ]
        given.pop(name)
    return {"case": given, "results": results, "solved": cost}


def _digits(numbers: np.ndarray, count: int = 7) -> list[float]:
    return [float(f"{n:.{count}g}") for n in numbers]


def main(names: list[str]) -> None:
    known = {case.name: case for case in (*CASES, *HARDER)}
    for name in names or known:
        text = json.dumps(record(known[name]), indent=1)
        (DATA / f"{name}.json").write_text(text + "\n")


if __name__ == "__main__":
    main(sys.argv[1:])
