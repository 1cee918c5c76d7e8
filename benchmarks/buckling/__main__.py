"""Solve the cases in 3D and keep what came: ``python -m benchmarks.buckling [word ...]``, cases
whose name has one of the words alone (ten minutes for all)."""

from __future__ import annotations

import json
import sys
import time
from pathlib import Path

from .cases import CASES
from .reference import reference

DATA = Path(__file__).parent / "reference.json"
#: Elements along the longest plate and along half a half-wave, coarse and fine.
RUNS = ((24, 6), (40, 8))


def main(words: list[str]) -> None:
    """Write critical factors at each half-wavelength, and what the finer mesh changed."""
    kept = json.loads(DATA.read_text()) if words else []
    found = []
    for case in CASES:
        if words and not any(word in case.name for word in words):
            found += [row for row in kept if row["case"] == case.name]
            continue
        for length in case.half_wavelengths:
            begin = time.perf_counter()
            (coarse, _), (fine, unknowns) = (reference(case, length, *run) for run in RUNS)
            row = {
                "case": case.name,
                "half_wavelength": length,
                "factor": float(f"{fine:.7g}"),
                "change": float(f"{abs(coarse / fine - 1):.1e}"),
                "unknowns": unknowns,
            }
            print(row, f"{time.perf_counter() - begin:.0f} s", flush=True)
            found.append(row)
    DATA.write_text(json.dumps(found, indent=1) + "\n")


if __name__ == "__main__":
    main(sys.argv[1:])
