"""The ten problems by search and by brute force: ``python -m benchmarks.sizing``, half an hour.

Every problem that is done is kept in `sizing.json` at once, so a run that was stopped goes on.
"""

from __future__ import annotations

import json
import tempfile
import time
from pathlib import Path

from soapfilm.solver.study.choice.sizing import size_member
from soapfilm.solver.study.file.size_file import load_sizing

from .brute_force import BruteForce
from .by_slopes import kept_rows, section
from .problems import PROBLEMS, Problem

HERE = Path(__file__).parent
KEPT = HERE / "sizing.json"
TABLE = HERE / "README.md"


def solved(problem: Problem) -> dict[str, object]:
    """Search and brute force of a problem."""
    with tempfile.TemporaryDirectory() as folder:
        sizing = load_sizing(problem.write(Path(folder)))
        begin = time.perf_counter()
        result = size_member(sizing)
        took = time.perf_counter() - begin
        brute = BruteForce(sizing)
        brute.run()
    best = result.found[0] if result.found else None
    return {
        "name": problem.name,
        "ranges": len(problem.ranges),
        "found": best.label if best else "nothing",
        "weight": 1e3 * best.weight if best else None,
        "governing": max(best.checks, key=lambda c: c.ratio).limit if best else "",
        "converged": result.ending.converged if result.ending else None,
        "solutions": result.counts["solved"],
        "seconds": round(took, 1),
        "brute_weight": 1e3 * brute.weight if brute.values else None,
        "brute_values": [float(v) for v in brute.values],
        "brute_solutions": brute.solved,
    }


def table(rows: list[dict]) -> str:
    """The rows as Markdown."""
    lines = [
        "# Sizing beside brute force",
        "",
        "Weights in kg/m by the search of free dimensions and by a grid with halving",
        "(`brute_force.py`); difference: search over brute force. `python -m benchmarks.sizing`.",
        "",
        "| problem | ranges | search | solved | brute force | solved | difference | governs |",
        "| --- | --: | --: | --: | --: | --: | --: | --- |",
    ]
    for r in rows:
        if r["weight"] is None or r["brute_weight"] is None:
            shown = [str(r["weight"]), str(r["brute_weight"]), ""]
        else:
            more = r["weight"] / r["brute_weight"] - 1
            shown = [f"{r['weight']:.3f}", f"{r['brute_weight']:.3f}", f"{100 * more:+.2f} %"]
        lines.append(
            f"| {r['name']} | {r['ranges']} | {shown[0]} | {r['solutions']} | {shown[1]} | "
            f"{r['brute_solutions']} | {shown[2]} | {r['governing']} |"
        )
    return "\n".join(lines) + "\n"


def main() -> None:
    """Solve what is not kept yet, then write the table."""
    rows = json.loads(KEPT.read_text()) if KEPT.exists() else []
    for problem in PROBLEMS:
        if all(r["name"] != problem.name for r in rows):
            rows.append(solved(problem))
            KEPT.write_text(json.dumps(rows, indent=1) + "\n")
            print(rows[-1], flush=True)
    write_table()


def write_table() -> None:
    """Both ways beside brute force."""
    rows = json.loads(KEPT.read_text()) if KEPT.exists() else []
    text = table(rows)
    if beside := kept_rows():
        text += "\n".join(section(beside)) + "\n"
    TABLE.write_text(text)


if __name__ == "__main__":
    main()
