"""How time and memory grow with slenderness of walls, cells, arcs and the accuracy asked.

Run: ``python -m benchmarks.growth`` (part of ``make bench``). Every step of every family of
`growth_cases` is solved in a process of its own with one thread: processor time, best of several
warm repeats, of J alone and of all properties, and the largest memory of the process after J alone
(imports included). Writes growth.json and the table of README.md between its markers.
"""

from __future__ import annotations

import argparse
import json
import resource
from pathlib import Path

import numpy as np

from .alone import alone
from .contenders import ours_all, ours_j
from .growth_cases import FAMILIES, Family
from .marked import rewrite

RAW = Path(__file__).with_name("growth.json")
#: Wall-clock seconds of repeats of one solve.
_REPEATS = 0.8


def solved(family: Family, step: float) -> dict[str, float]:
    """One step in this process."""
    section, accuracy = family.section(step), family.accuracy(step)
    result = ours_j(section, accuracy, _REPEATS)
    peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    return {
        "step": step,
        "torsion": min(result["seconds"]),
        "all": min(ours_all(section, accuracy, _REPEATS)["seconds"]),
        "peak": peak,
        "unknowns": result["unknowns"],
        "width": result["width"],
    }


def measure(name: str, step: float) -> dict[str, float]:
    """One step in a process of its own."""
    return alone("growth", "--family", name, "--step", repr(step))


def exponent(rows: list[dict[str, float]], what: str, factor: float) -> float:
    """Slope of the logarithms over the steps within a factor of the last one."""
    tail = [r for r in rows if r["step"] * factor >= rows[-1]["step"] * (1 - 1e-9)]
    steps, values = (np.log([r[k] for r in tail]) for k in ("step", what))
    return float(np.polyfit(steps, values, 1)[0])


def table(data: dict) -> str:
    """From the first to the last step, and the exponents."""
    rows = [
        "| what grows | steps | J, ms | all properties, ms | peak memory, MB | unknowns "
        "| exponent of J | of all properties |",
        "| --- | --- | --- | --- | --- | --- | ---: | ---: |",
    ]
    for name, steps in data["families"].items():
        family = FAMILIES[name]
        ends = steps[0], steps[-1]
        cells = [
            f"{family.title}: {family.symbol}",
            " to ".join(f"{r['step']:,.6g}" for r in ends),
            " to ".join(f"{1e3 * r['torsion']:.0f}" for r in ends),
            " to ".join(f"{1e3 * r['all']:.0f}" for r in ends),
            " to ".join(f"{r['peak']:.0f}" for r in ends),
            " to ".join(f"{r['unknowns']:,}" for r in ends),
            f"{exponent(steps, 'torsion', family.tail):.2f}",
            f"{exponent(steps, 'all', family.tail):.2f}",
        ]
        rows.append("| " + " | ".join(cells) + " |")
    where = data["machine"]
    rows.append(f"\nMeasured on: {where['processor']}, one thread, {where['system']}.")
    return "\n".join(rows)


def main() -> None:
    """Measure, store, rewrite the table."""
    from .speed import machine

    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--family", choices=FAMILIES, help="only this one, the others as stored")
    parser.add_argument("--step", type=float, help="print this one step of the family")
    options = parser.parse_args()
    if options.step:
        print(json.dumps(solved(FAMILIES[options.family], options.step)))
        return
    data = json.loads(RAW.read_text("utf-8")) if RAW.exists() else {"families": {}}
    for name in [options.family] if options.family else FAMILIES:
        data["families"][name] = [measure(name, step) for step in FAMILIES[name].steps]
        data["machine"] = machine()
        RAW.write_text(json.dumps(data, indent=1) + "\n", "utf-8")
        for row in data["families"][name]:
            print(name, " ".join(f"{k} {v:.4g}" for k, v in row.items()), flush=True)
    text = table(data)
    print(text)
    rewrite("growth", text)


if __name__ == "__main__":
    main()
