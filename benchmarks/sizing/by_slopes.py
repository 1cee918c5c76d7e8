"""The ten problems by slopes: ``python -m benchmarks.sizing.by_slopes``, ten minutes, resumable.

Sequential quadratic programming (D. Kraft, DFVLR-FB 88-28, 1988, as scipy has it) in the logarithms
of the ranges. At each place the member is solved as a report judges it, then once more for each
range, changed by a thousandth of its span, with the section on the mesh of that place, which
follows its outline: the differences are smooth and cost a little less than the place itself. Set
beside brute force and the search by functions through what was solved, which `soapfilm size` uses.
"""

from __future__ import annotations

import json
import math
import tempfile
import time
from dataclasses import dataclass, field, replace
from pathlib import Path

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import minimize
from soapfilm.solver.study.choice.fitting import Fit
from soapfilm.solver.study.choice.knowledge import uses
from soapfilm.solver.study.choice.neighbourhood import Place, place_of
from soapfilm.solver.study.choice.sizing import size_member
from soapfilm.solver.study.choice.trial import Trial, attempt
from soapfilm.solver.study.derivative.followed_sections import FollowedSections
from soapfilm.solver.study.file.size_file import load_sizing

from .problems import PROBLEMS, Problem

Array = NDArray[np.float64]

HERE = Path(__file__).parent
KEPT = HERE / "by_slopes.json"
#: Change of a range for a slope, by its span in logarithms; places at most; room to the limits.
STEP, MOST_PLACES, MARGIN = 1e-3, 15, 2e-4
#: Where it begins, the middle of all ranges and near their upper ends; None is the search.
WAYS = (0.5, 0.85, None)
#: The logarithm of a use of a limit is told from here on; that where the member has no answer.
LEAST, HOPELESS = math.log(1e-2), 1.0


@dataclass(frozen=True, slots=True)
class Slopes:
    """Weight and uses of limits at a place, in logarithms, and their slopes."""

    weight: float
    weight_slope: Array
    uses: Array
    use_slopes: Array


@dataclass(slots=True)
class Descent:
    """One descent of a problem.

    Attributes
    ----------
    fit : Fit
        That knows ranges, section and member.
    places, slopes : int
        Members solved at places, and for slopes.
    best : float
        Least weight that keeps every limit.
    """

    fit: Fit
    places: int = 0
    slopes: int = 0
    best: float = math.inf
    known: dict[Place, Slopes | None] = field(default_factory=dict)
    names: tuple[str, ...] = ()

    def run(self, start: float) -> None:
        """Go downhill from the same share of every range."""
        n = len(self.fit.ranges)
        x0 = np.full(n, start)
        first = self.at(x0)
        if first is None:
            return
        flat = Slopes(10.0, np.zeros(n), np.full(len(first.uses), HOPELESS),
                      np.zeros((len(first.uses), n)))  # fmt: skip
        minimize(
            lambda x: ((s := self.at(x) or flat).weight, s.weight_slope),
            x0,
            jac=True,
            method="SLSQP",
            bounds=[(0.0, 1.0)] * n,
            constraints={
                "type": "ineq",
                "fun": lambda x: -(self.at(x) or flat).uses - MARGIN,
                "jac": lambda x: -(self.at(x) or flat).use_slopes,
            },
            options={"maxiter": MOST_PLACES, "ftol": 1e-4},
        )

    def at(self, x: Array) -> Slopes | None:
        """Slopes at a place; None where it holds no section or the member has no answer, and beyond
        `MOST_PLACES`."""
        place = place_of(np.clip(x, 0.0, 1.0))
        if place not in self.known:
            self.known[place] = self._found(place) if self.places < MOST_PLACES else None
        return self.known[place]

    def _found(self, place: Place) -> Slopes | None:
        solving = FollowedSections(by_name=False)
        trial = self._tried(place, solving)
        self.places += 1
        used = uses(trial, {}, {}, None)
        if not (trial.weight > 0 and used):
            return None
        if trial.passed:
            self.best = min(self.best, 1e3 * trial.weight)
        self.names = self.names or tuple(used)
        here = self._logarithms(used)
        n = len(place)
        weight_slope, use_slopes = np.zeros(n), np.zeros((len(here), n))
        for k in range(n):
            step = -STEP if place[k] > 0.5 else STEP
            moved = self._tried(tuple(p + step * (j == k) for j, p in enumerate(place)), solving)
            self.slopes += 1
            there = uses(moved, {}, {}, None)
            if moved.weight > 0 and there:
                weight_slope[k] = math.log(moved.weight / trial.weight) / step
                use_slopes[:, k] = (self._logarithms(there) - here) / step
        return Slopes(math.log(trial.weight), weight_slope, here, use_slopes)

    def _tried(self, place: Place, solving: FollowedSections) -> Trial:
        candidate = self.fit.candidate(place)
        return attempt(self.fit.setting, candidate, thorough=True, solving=solving)

    def _logarithms(self, used: dict[str, float]) -> Array:
        return np.log(np.maximum([used.get(n, 0.0) for n in self.names], math.exp(LEAST)))


def solved(problem: Problem, start: float) -> dict[str, object]:
    """A problem from a start: weight, members solved, processor seconds."""
    with tempfile.TemporaryDirectory() as folder:
        sizing = load_sizing(problem.write(Path(folder)), cached=False)
        setting = replace(sizing.setting, reach=math.inf)
        descent = Descent(Fit(setting, sizing.choice.base, sizing.choice.parameters))
        begin = time.process_time()
        descent.run(start)
        took = time.process_time() - begin
    return {
        "name": problem.name,
        "start": start,
        "weight": descent.best if math.isfinite(descent.best) else None,
        "places": descent.places,
        "slopes": descent.slopes,
        "seconds": round(took, 1),
    }


def searched(problem: Problem) -> dict[str, object]:
    """The same by the search that `soapfilm size` makes: processor seconds."""
    with tempfile.TemporaryDirectory() as folder:
        sizing = load_sizing(problem.write(Path(folder)), cached=False)
        begin = time.process_time()
        result = size_member(sizing)
        took = time.process_time() - begin
    weight = 1e3 * result.found[0].weight if result.found else None
    places = result.counts["solved"]
    return {"name": problem.name, "start": None, "weight": weight, "places": places, "slopes": 0,
            "seconds": round(took, 1)}  # fmt: skip


def section(rows: list[dict]) -> list[str]:
    """The rows as a part of the table of sizes."""
    brute = {r["name"]: r["brute_weight"] for r in json.loads((HERE / "sizing.json").read_text())}
    lines = [
        "",
        "## By slopes",
        "",
        "The same problems by sequential quadratic programming from two starts, each place judged",
        "as the search judges its answer, slopes by sections on meshes that follow their outlines",
        "(`by_slopes.py`): weight over brute force, members solved at places and for slopes, and",
        "processor seconds. The search solves most of its places by the classical theory; -: not",
        "run.",
        "",
        "| problem | from the middle | places + slopes | s | from large | places + slopes | s "
        "| search | places | s |",
        "| --- | --: | --: | --: | --: | --: | --: | --: | --: | --: |",
    ]
    for name in dict.fromkeys(r["name"] for r in rows):
        cells = []
        for start in WAYS:
            own = [r for r in rows if r["name"] == name and r["start"] == start]
            if not own:
                cells += ["-", "-", "-"]
                continue
            (r,) = own
            more = None if r["weight"] is None else r["weight"] / brute[name] - 1
            cells.append("none" if more is None else f"{100 * more:+.2f} %")
            cells.append(f"{r['places']}" + (f" + {r['slopes']}" if start is not None else ""))
            cells.append(f"{r['seconds']}")
        lines.append(f"| {name} | {' | '.join(cells)} |")
    return lines


def kept_rows() -> list[dict]:
    """What has been solved."""
    return json.loads(KEPT.read_text()) if KEPT.exists() else []


def main() -> None:
    """Solve what is not kept yet, then write the table."""
    from .__main__ import write_table

    rows = kept_rows()
    for way in (0.5, None, 0.85):
        for problem in PROBLEMS:
            if any(r["name"] == problem.name and r["start"] == way for r in rows):
                continue
            rows.append(searched(problem) if way is None else solved(problem, way))
            KEPT.write_text(json.dumps(rows, indent=1) + "\n")
            print(rows[-1], flush=True)
    write_table()


if __name__ == "__main__":
    main()
