"""Error against time of a box whose section deforms: the member, and 3D elasticity of two kinds.

One box girder, 2000 x 1500, 30 m, loaded over one web, end diaphragms only (case "tall-box" of
`elasticity`). Three ways to the same nine displacements:

- the member whose sections deform, with few to many slow modes: from the outline, both theories;
- 3D elasticity of Gauss-Lobatto elements of rising order, by the chain of slabs of `elasticity`,
  made for straight members: like slabs are condensed once;
- 3D elasticity of quadratic hexahedra by a general library and a sparse factorisation.

The reference is the limit of the chain of slabs as its order rises: the changes from order to order
fall like a geometric row that the corners slow, so the last three orders tell the rest. What it may
still be off is stated as a third of that rest. Each time is processor time of one run in a process
of its own, one thread, imports left out.

Run: ``python -m benchmarks.deforming_speed`` (some ten minutes); writes deforming_speed.json,
deforming_speed.svg and the table in members.md.
"""

from __future__ import annotations

import json
import sys
import time
from pathlib import Path
from typing import Any

import numpy as np

from .alone import alone

HERE = Path(__file__).parent
RECORD, FIGURE, BOOK = (
    HERE / name for name in ("deforming_speed.json", "deforming_speed.svg", "members.md")
)
HEADING = "# Members whose sections deform"
#: Slow modes; orders; elements across a plate and along the member.
MODES = (1, 2, 4, 6, 10)
ORDERS = (2, 3, 4, 5)
MESHES = ((2, 16), (4, 32))
LABELS = {
    "member": "member whose sections deform",
    "slabs": "3D, chain of slabs, order 2 to 5",
    "library": "3D, general library, quadratic",
}


def measured(way: str, *size: int) -> dict[str, Any]:
    """Seconds and displacements (points, 2) of one way."""
    from .elasticity.cases import TALL

    run = {"member": _member, "slabs": _slabs, "library": _library}[way]
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


def _library(case: Any, across: int, along: int) -> dict[str, Any]:
    from .elasticity.crosscheck import displacements

    start = time.process_time()
    found, unknowns = displacements(case, across, along)
    return {
        "seconds": time.process_time() - start,
        "found": found[:, :2].tolist(),
        "size": unknowns,
    }


def limit(found: list[Any]) -> tuple[Any, float]:
    """Limit of a geometric row from its last three members, and a third of the way there from the
    last, as a share of the largest value."""
    one, two, three = (np.array(f) for f in found[-3:])
    ratio = float(np.linalg.norm(three - two) / np.linalg.norm(two - one))
    if ratio >= 1:
        raise SystemExit("benchmarks: the orders do not converge")
    rest = (three - two) * ratio / (1 - ratio)
    exact = three + rest
    return exact, float(np.abs(rest).max() / np.abs(exact).max() / 3)


def record() -> dict[str, Any]:
    """All runs, each alone; errors as shares of the largest displacement."""
    sizes = {
        "slabs": [(p,) for p in ORDERS],
        "member": [(m,) for m in MODES],
        "library": list(MESHES),
    }
    runs: dict[str, list[dict[str, Any]]] = {}
    for way, given in sizes.items():
        for size in given:
            run = alone("deforming_speed", way, *(str(s) for s in size))
            runs.setdefault(way, []).append(run | {"chosen": list(size)})
            print(way, size, run["seconds"], flush=True)
    exact, rest = limit([run["found"] for run in runs["slabs"]])
    for run in (run for way in runs.values() for run in way):
        off = np.abs(np.array(run.pop("found")) - exact).max() / np.abs(exact).max()
        run["error"] = float(off)
    return {"reference_error": rest, "runs": runs}


def draw(kept: dict[str, Any]) -> None:
    """Error against time, both logarithmic."""
    import matplotlib as mpl

    mpl.use("svg")
    mpl.rcParams["svg.hashsalt"] = "deforming"
    import matplotlib.pyplot as plt

    figure, ax = plt.subplots(figsize=(6.4, 4.2), layout="constrained")
    for (way, runs), mark in zip(kept["runs"].items(), "osD", strict=True):
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
        " by three ways. `python -m benchmarks.deforming_speed`",
        "",
        "![error against time](deforming_speed.svg)",
        "",
        "| way | chosen | unknowns | processor time (s) | error |",
        "| --- | --- | ---: | ---: | ---: |",
    ]
    words = {"member": "slow modes: {}", "slabs": "order {}", "library": "{} x {} elements"}
    for way, runs in kept["runs"].items():
        for r in runs:
            chosen = words[way].format(*r["chosen"])
            figures = f"{r['size']} | {r['seconds']:.2f} | {r['error']:.1e}"
            lines.append(f"| {LABELS[way]} | {chosen} | {figures} |")
    lines += [
        "",
        f"The reference is the limit of the slabs' orders, good to about "
        f"{kept['reference_error']:.0e}: smaller errors are not told apart. Others used the "
        "machine at the same time, which makes all ways slower. " + claim(kept),
        "",
    ]
    return "\n".join(lines)


def claim(kept: dict[str, Any]) -> str:
    """How many times longer 3D takes to the member's own error."""
    member = min(kept["runs"]["member"], key=lambda r: abs(r["chosen"][0] - 6))
    seconds, error = member["seconds"], member["error"]
    slabs, library = (time_to(error, kept["runs"][way]) / seconds for way in ("slabs", "library"))
    last = kept["runs"]["library"][-1]
    return (
        f"Beside the member with 6 modes ({seconds:.2f} s, {error:.1e}) the chain of slabs takes "
        f"{slabs:.0f} times as long to the same error, read between its orders; it condenses like "
        "slabs once, which a straight member of one section alone allows. The general library, "
        f"which does not, is still {last['error'] / error:.0f} times less exact after "
        f"{last['seconds'] / seconds:.0f} times as long; by its two meshes it would take "
        f"{float(f'{library:.1g}'):,.0f} times as long. At least 50 times was the goal: met beside "
        f"the general library, {'met' if slabs >= 50 else 'missed'} beside the slabs."
    )


def time_to(error: float, runs: list[dict[str, Any]]) -> float:
    """Seconds to an error, on the straight line in logarithms through the two runs beside it, or
    through the last two."""
    some = sorted(runs, key=lambda r: r["seconds"])
    beyond = next((k for k, r in enumerate(some) if r["error"] <= error), len(some) - 1)
    one, two = some[max(beyond, 1) - 1], some[max(beyond, 1)]
    share = np.log(one["error"] / error) / np.log(one["error"] / two["error"])
    return float(one["seconds"] * (two["seconds"] / one["seconds"]) ** share)


def write(kept: dict[str, Any]) -> None:
    """Record, figure, and the section in members.md in place of the one before."""
    RECORD.write_text(json.dumps(kept, indent=1) + "\n")
    draw(kept)
    book = BOOK.read_text().split(f"\n{HEADING}\n")[0].rstrip("\n")
    BOOK.write_text(f"{book}\n\n{table(kept)}")


def main(words: list[str]) -> None:
    if not words:
        write(record())
    else:
        print(json.dumps(measured(words[0], *(int(w) for w in words[1:]))))


if __name__ == "__main__":
    main(sys.argv[1:])
