"""Time to a guaranteed interval of J, ours beside general-purpose libraries, measured in one run.

Run: ``python -m benchmarks`` (or ``make bench``). Every contender solves each benchmark section in
processes of its own with one thread, a minute or so apart, for a machine that others share is slow
for seconds on end; the best of all their warm repeats counts (processor time), mesh included and
imports not. The tables of README.md between its two markers are rewritten, the raw
figures go to speed.json, and what changed since the run stored there is printed.
"""

from __future__ import annotations

import argparse
import json
import os
import platform
from datetime import date
from importlib.metadata import version
from itertools import product
from pathlib import Path

from .alone import SINGLE_THREAD, alone
from .command_cost import command_costs
from .marked import rewrite
from .sections import SECTIONS
from .speed_change import changes
from .speed_table import tables

HERE = Path(__file__).parent
RAW = HERE / "speed.json"
REFERENCES = HERE.parent / "tests" / "data" / "reference_sections.json"
BLOCK = "speed tables"

#: How often all contenders have their turn.
TURNS = 3

CONTENDERS = ("ours_j", "ours_all", "ngsolve_tuned", "ngsolve_recipe", "quadratic")
PACKAGES = (
    "soapfilm",
    "numpy",
    "scipy",
    "qdldl",
    "shapely",
    "gmsh",
    "scikit-fem",
    "ngsolve",
    "netgen-mesher",
)


def measure(contender: str, key: str, width: float) -> dict:
    """One contender on one section in a fresh single-threaded process."""
    return alone("contenders", contender, key, "--width", str(width))


def machine() -> dict[str, str]:
    """Processor, cores and system of this machine."""
    model = platform.processor() or platform.machine()
    info = Path("/proc/cpuinfo")
    if info.exists():
        names = [
            x.split(":", 1)[1].strip() for x in info.read_text().splitlines() if "model name" in x
        ]
        model = names[0] if names else model
    return {
        "processor": model,
        "cores": str(os.cpu_count()),
        "system": f"{platform.system()} {platform.machine()}, Python {platform.python_version()}",
    }


def occasion() -> str:
    """Today, this machine and how busy it is now, for the line below figures measured from here."""
    m = machine()
    return (
        f"{date.today()}: {m['processor']}, {m['cores']} cores, {m['system']}; "
        f"load of the machine before: {os.getloadavg()[0]:.1f}"
    )


def run_all(width: float, keys: list[str]) -> dict:
    """All contenders on all sections, then the command's own cost."""
    references = json.loads(REFERENCES.read_text())["sections"]
    results: dict[str, dict[str, dict]] = {key: {} for key in keys}
    for key, contender in product(keys * TURNS, CONTENDERS):
        r = measure(contender, key, width)
        # The reference is itself an interval; both must overlap.
        exact = references[key]["torsion_constant"]
        r["holds_reference"] = r["J_lower"] <= exact["upper"] and exact["lower"] <= r["J_upper"]
        if contender in results[key]:
            r["seconds"] += results[key][contender]["seconds"]
        results[key][contender] = r
        best = 1e3 * min(r["seconds"])
        print(f"{key:13} {contender:15} {best:9.1f} ms  width {r['width']:.1e}", flush=True)
    return {
        "width": width,
        "machine": machine(),
        "versions": {p: version(p) for p in PACKAGES},
        "sections": results,
        "command": command_costs(os.environ | SINGLE_THREAD),
    }


def main() -> None:
    """Measure, store, rewrite the tables."""
    parser = argparse.ArgumentParser(
        description=__doc__.splitlines()[0], prog="python -m benchmarks"
    )
    parser.add_argument("--width", type=float, default=1e-6, help="relative width of J's interval")
    parser.add_argument(
        "--section", choices=SECTIONS, action="append", help="only this one (repeatable)"
    )
    parser.add_argument(
        "--against", type=Path, default=RAW, help="an earlier run's figures to compare with"
    )
    parser.add_argument("--dry-run", action="store_true", help="print the tables, write nothing")
    parser.add_argument(
        "--tables-only", action="store_true", help="rewrite from the stored figures"
    )
    options = parser.parse_args()
    if options.tables_only:
        rewrite(BLOCK, tables(json.loads(RAW.read_text())))
        return
    before = json.loads(options.against.read_text())
    data = run_all(options.width, options.section or list(SECTIONS))
    text = tables(data)
    print(f"\n{text}\n\n{changes(before, data)}")
    if not options.dry_run and not options.section:
        RAW.write_text(json.dumps(data, indent=1) + "\n")
        rewrite(BLOCK, text)


if __name__ == "__main__":
    main()
