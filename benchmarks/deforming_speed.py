"""Error against time of a box whose section deforms: the member, and 3D elasticity of two kinds.

One box girder, 2000 x 1500, 30 m, loaded over one web, end diaphragms only (case "tall-box" of
`elasticity`). Four ways to the same nine displacements:

- the member whose sections deform, with few to many slow modes: from the outline, both theories;
- 3D elasticity of Gauss-Lobatto elements of rising order, by the chain of slabs of `elasticity`,
  made for straight members: like slabs are condensed once;
- 3D elasticity of quadratic hexahedra by a general library and a sparse factorisation;
- 3D elasticity of hexahedra of rising order by a general library made for high orders, on the grid
  of the slabs, which is fine where the box disturbs its stress; inner functions condensed.

What is compared is measured: beside every 3D run stands the quickest member whose error is no
larger. Nothing is extrapolated.

The reference is the limit of the chain of slabs as its order p rises. Sharp corners inside the box
slow it: displacements approach their limit like p^-s, at last with s = 4 * 0.5445 (four times the
singular exponent of a right angle cut out of a plane: M. L. Williams, J. Appl. Mech. 19, 1952, from
memory). The last three orders tell s and the rest; what the limit may be off is stated as the
difference between that s and the last one. Each time is processor time of one run in a process of
its own, one thread, imports left out.

Run: ``python -m benchmarks.deforming_speed`` (some ten minutes, 5 GB), or with the
names of some ways; writes deforming_speed.json, deforming_speed.svg and the table in members.md.
"""

from __future__ import annotations

import json
import sys
import time
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Any

import numpy as np
from scipy.optimize import brentq

from .alone import alone

HERE = Path(__file__).parent
RECORD, FIGURE, BOOK = (
    HERE / name for name in ("deforming_speed.json", "deforming_speed.svg", "members.md")
)
HEADING = "# Members whose sections deform"
#: Slow modes; orders; elements across a plate and along the member; orders of the library.
MODES = (1, 2, 4, 6, 10)
ORDERS = (2, 3, 4, 5, 6)
LIBRARY_ORDERS = (2, 3, 4, 5)
#: How many times as fast as 3D at equal error a member is to be.
GOAL = 50
#: How displacements approach their limit at last.
AT_LAST = 4 * 0.5445
MESHES = ((2, 16), (4, 32))
LABELS = {
    "member": "member whose sections deform",
    "slabs": "3D, own chain of slabs",
    "library": "3D, scikit-fem, quadratic",
    "orders": "3D, NGSolve, rising order",
}


WORDS = {
    "member": "slow modes: {}",
    "slabs": "order {}",
    "library": "{} x {} elements",
    "orders": "order {}",
}


def measured(way: str, *size: int) -> dict[str, Any]:
    """Seconds and displacements (points, 2) of one way."""
    from .elasticity.cases import TALL

    run = {"member": _member, "slabs": _slabs, "library": _library, "orders": _orders}[way]
    return run(TALL, *size)


def _member(case: Any, modes: int) -> dict[str, Any]:
    from .deforming_members import solution_of
    from .elasticity.cases import STRAIGHT

    solution_of(STRAIGHT, 1)  # libraries are loaded when they are first needed
    start = time.process_time()
    solved = solution_of(case, modes)
    found = [solved.displacement([p[:2]], [p[2]])[0, 0, :2, 0].tolist() for p in case.displacements]
    return {"seconds": time.process_time() - start, "found": found, "size": solved.course.size}


def _slabs(case: Any, order: int) -> dict[str, Any]:
    from .elasticity.cases import STRAIGHT
    from .elasticity.chain import solve

    solve(STRAIGHT, 2)
    start = time.process_time()
    solved = solve(case, order)
    found = [solved.displacement(*p)[:2].tolist() for p in case.displacements]
    return {"seconds": time.process_time() - start, "found": found, "size": solved.unknowns}


def _library(case: Any, *mesh: int) -> dict[str, Any]:
    from .elasticity.crosscheck import displacements

    return _timed(lambda: displacements(case, *mesh))


def _orders(case: Any, order: int) -> dict[str, Any]:
    from .elasticity.high_order import displacements

    return _timed(lambda: displacements(case, order))


def _timed(solve: Callable[[], tuple[Any, int]]) -> dict[str, Any]:
    start = time.process_time()
    found, unknowns = solve()
    seconds = time.process_time() - start
    return {"seconds": seconds, "found": found[:, :2].tolist(), "size": unknowns}


def limit(orders: Sequence[int], found: Sequence[Any]) -> tuple[Any, float]:
    """Limit of displacements found at rising orders, and what it may be off as a share of the
    largest."""
    one, two, three = (np.array(f) for f in found[-3:])
    ratio = float(np.linalg.norm(three - two) / np.linalg.norm(two - one))
    last = orders[-3:]

    def falls(s: float) -> float:
        a, b, c = (p**-s for p in last)
        return (b - c) / (a - b)

    def rest(s: float) -> Any:
        return (three - two) * last[2] ** -s / (last[1] ** -s - last[2] ** -s)

    if ratio >= falls(AT_LAST):
        raise SystemExit("benchmarks: the orders converge more slowly than at corners")
    exponent = brentq(lambda s: falls(s) - ratio, AT_LAST, 40.0)
    exact = three + (rest(exponent) + rest(AT_LAST)) / 2
    off = np.abs(rest(exponent) - rest(AT_LAST)).max() / 2
    return exact, float(off / np.abs(exact).max())


def record(ways: list[str]) -> dict[str, Any]:
    """The runs of some ways beside what is kept of the others, each run alone; errors as shares of
    the largest displacement."""
    sizes = {
        "slabs": [(p,) for p in ORDERS],
        "member": [(m,) for m in MODES],
        "library": list(MESHES),
        "orders": [(p,) for p in LIBRARY_ORDERS],
    }
    runs: dict[str, list[dict[str, Any]]] = {}
    if ways and RECORD.exists():
        runs = json.loads(RECORD.read_text())["runs"]
    for way, given in sizes.items():
        if ways and way not in ways:
            continue
        runs[way] = []
        for size in given:
            run = alone("deforming_speed", "run", way, *(str(s) for s in size))
            runs[way].append(run | {"chosen": list(size)})
            print(way, size, run["seconds"], flush=True)
    exact, rest = limit(ORDERS, [run["found"] for run in runs["slabs"]])
    for run in (run for way in runs.values() for run in way if "found" in run):
        off = np.abs(np.array(run["found"]) - exact).max() / np.abs(exact).max()
        run["error"] = float(off)
    return {"reference_error": rest, "runs": {way: runs[way] for way in LABELS if way in runs}}


def draw(kept: dict[str, Any]) -> None:
    """Error against time, both logarithmic."""
    import matplotlib as mpl

    mpl.use("svg")
    mpl.rcParams["svg.hashsalt"] = "deforming"
    import matplotlib.pyplot as plt

    figure, ax = plt.subplots(figsize=(6.4, 4.2), layout="constrained")
    for (way, runs), mark in zip(kept["runs"].items(), "osD^", strict=False):
        ax.loglog(
            [r["seconds"] for r in runs], [r["error"] for r in runs], f"{mark}-", label=LABELS[way]
        )
    ax.axhline(kept["reference_error"], color="0.6", lw=0.8, ls=":")
    ax.set_xlabel("processor seconds")
    ax.set_ylabel("error of displacements / largest")
    ax.legend(frameon=False)
    figure.savefig(FIGURE, metadata={"Date": None})


def table(kept: dict[str, Any]) -> str:
    """The section of the book of members."""
    lines = [
        HEADING,
        "",
        "Box girder 2000 x 1500, 30 m, loaded over one web, end diaphragms only: nine displacements"
        " by four ways. `python -m benchmarks.deforming_speed`",
        "",
        "![error against time](deforming_speed.svg)",
        "",
        "| way | chosen | unknowns | processor time (s) | error |",
        "| --- | --- | ---: | ---: | ---: |",
    ]
    for way, runs in kept["runs"].items():
        for r in runs:
            chosen = WORDS[way].format(*r["chosen"])
            figures = f"{r['size']} | {r['seconds']:.2f} | {r['error']:.1e}"
            lines.append(f"| {LABELS[way]} | {chosen} | {figures} |")
    lines += [
        "",
        f"The reference is the limit of the slabs' orders, good to about "
        f"{kept['reference_error']:.0e}: smaller errors are not told apart.",
        "",
        "Beside every 3D run, the quickest member whose error is no larger:",
        "",
        "| 3D | error | time (s) | member | error | time (s) | times as fast |",
        "| --- | ---: | ---: | --- | ---: | ---: | ---: |",
        *comparisons(kept),
        "",
        claim(kept),
        "",
    ]
    return "\n".join(lines)


def claim(kept: dict[str, Any]) -> str:
    """What the rows say of the goal, at least 50 times at equal error."""
    runs = kept["runs"]
    floor = min(r["error"] for r in runs["member"])
    words = [f"At least {GOAL} times at equal error was the goal."]
    for way in ("library", "orders", "slabs"):
        run, best, most = max(gains(kept, way), key=lambda row: row[2])
        words.append(
            f"{LABELS[way]}: {'met' if most >= GOAL else 'missed'}, {most:.0f} times "
            f"({WORDS[way].format(*run['chosen'])}: {run['error']:.1e} in {run['seconds']:.1f} s; "
            f"the member: {best['error']:.1e} in {best['seconds']:.2f} s)."
        )
    better = [
        f"{LABELS[way]} after {min(r['seconds'] for r in past):.0f} s"
        for way in ("library", "orders", "slabs")
        if (past := [r for r in runs[way] if r["error"] < floor])
    ]
    words.append(
        f"The member's own error ends at {floor:.1e}, which "
        + (f"is passed by {' and '.join(better)}." if better else "none of the 3D runs passes.")
    )
    words.append(
        "Nine tenths of scikit-fem's time is the assembly of its forms in Python; the grids of the "
        "other two suit the box."
    )
    return " ".join(words)


def gains(kept: dict[str, Any], way: str) -> list[tuple[Any, Any, float]]:
    """Runs of a way, the quickest member whose error is no larger, and how many times as fast it
    is."""
    found = []
    for run in kept["runs"][way]:
        as_good = [r for r in kept["runs"]["member"] if r["error"] <= run["error"]]
        if as_good:
            best = min(as_good, key=lambda r: r["seconds"])
            found.append((run, best, run["seconds"] / best["seconds"]))
    return found


def comparisons(kept: dict[str, Any]) -> list[str]:
    """Rows of what was measured at no larger error."""
    rows = []
    for way in LABELS:
        if way == "member":
            continue
        beside = {id(run): (best, gain) for run, best, gain in gains(kept, way)}
        for run in kept["runs"][way]:
            here = f"{LABELS[way]}, {WORDS[way].format(*run['chosen'])}"
            said = f"| {here} | {run['error']:.1e} | {run['seconds']:.2f} |"
            if id(run) in beside:
                best, gain = beside[id(run)]
                chosen = WORDS["member"].format(*best["chosen"])
                said += f" {chosen} | {best['error']:.1e} | {best['seconds']:.2f} | {gain:.2g} |"
            else:
                said += " none as good | | | |"
            rows.append(said)
    return rows


def write(kept: dict[str, Any]) -> None:
    """Record, figure, and the section in members.md in place of the one before."""
    RECORD.write_text(json.dumps(kept, indent=1) + "\n")
    draw(kept)
    book = BOOK.read_text().split(f"\n{HEADING}\n")[0].rstrip("\n")
    BOOK.write_text(f"{book}\n\n{table(kept)}")


def main(words: list[str]) -> None:
    if words[:1] == ["run"]:
        print(json.dumps(measured(words[1], *(int(w) for w in words[2:]))))
    else:
        write(record(words))


if __name__ == "__main__":
    main(sys.argv[1:])
