"""Throughput of studies: sections a second on one core and two, memory of a long run, cache hits.

``python -m benchmarks.studies`` measures; nothing is written. Sections vary from row to row, so
nothing is met twice; all properties, accuracy 1e-4, cache off unless it is what is measured.
"""

from __future__ import annotations

import os
import resource
import sys
import tempfile
import time
from pathlib import Path

#: Each section's file, and the address of the dimension that varies with its ends.
I_SHAPE = """
unit = "mm"
[[shape]]
name = "s"
profile = "I"
OverallWidth = 150
OverallDepth = 300
WebThickness = 7.1
FlangeThickness = 10.7
FilletRadius = 15
"""
TUBE = """
unit = "mm"
[[shape]]
name = "s"
profile = "RectangleHollow"
XDim = 200
YDim = 100
WallThickness = 8
OuterFilletRadius = 12
InnerFilletRadius = 4
"""
BOX = """
unit = "mm"
[[outline]]
name = "s"
points = [[-200, -100], [200, -100], [200, 100], [-200, 100]]
holes = [[[-190, -90], [-65, -90], [-65, 90], [-190, 90]],
         [[-55, -90], [190, -90], [190, 90], [-55, 90]]]
"""
CASES = {
    "I with fillets": (I_SHAPE, "s.OverallDepth", 280, 320),
    "hollow rectangle": (TUBE, "s.YDim", 90, 110),
    "two-cell box": (BOX, "s.points.3.y", 99, 101),
}
ROWS = 60


def throughput(
    case: str, workers: int, rows: int = ROWS, *, cached: bool = False
) -> tuple[float, float]:
    """Rows a second once the workers have started, and the parent's peak memory (MB)."""
    from soapfilm.solver.study.process import process_pool
    from soapfilm.solver.study.study_file import load_study
    from soapfilm.solver.study.sweep import Progress, run_study

    text, address, low, high = CASES[case]
    with tempfile.TemporaryDirectory() as folder:
        (Path(folder) / "base.toml").write_text(text)
        study = Path(folder) / "study.toml"
        study.write_text(
            f'section = "base.toml"\naccuracy = 1e-4\n[[parameter]]\nname = "x"\n'
            f'sets = "{address}"\nfrom = {low}\nto = {high}\nsteps = {rows}\n'
        )
        stamps: list[float] = []

        def told(state: Progress) -> None:
            stamps.append(time.perf_counter())

        loaded = load_study(study)
        with (
            loaded.open_store(str(Path(folder) / "r.sqlite")) as store,
            process_pool(workers) as pool,
        ):
            state = run_study(loaded, store, pool, workers=workers, cached=cached, progress=told)
        if state.failed:
            raise SystemExit(f"benchmarks: {case}: {state.failed} rows failed")
    skip = 4 * workers  # imports and first touches
    rate = (len(stamps) - 1 - skip) / (stamps[-1] - stamps[skip])
    return rate, resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024


def processor_time(case: str, rows: int = 15) -> float:
    """Seconds of processor time a section, fair on a shared machine too."""
    from soapfilm.solver.study.base import SectionBase

    text, address, low, high = CASES[case]
    base = SectionBase(text, "s")
    begin = 0.0
    for k in range(rows + 3):
        if k == 3:  # imports and first touches
            begin = time.process_time()
        base.solved({address: low + (high - low) * k / (rows + 3)}, 1e-4, None)
    return (time.process_time() - begin) / rows


def hit_time(rows: int = 50) -> float:
    """Seconds to look one solved section up."""
    from soapfilm.geometry.profiles import build_profile
    from soapfilm.solver.study.cache import RecordCache
    from soapfilm.solver.study.solving import solved_properties

    values = {
        "OverallWidth": 150,
        "OverallDepth": 300,
        "WebThickness": 7.1,
        "FlangeThickness": 10.7,
    }
    section = build_profile("I", values).section(unit="mm")
    with tempfile.TemporaryDirectory() as folder:
        cache = RecordCache(folder)
        solved_properties(section, 1e-4, cache)
        begin = time.perf_counter()
        for _ in range(rows):
            solved_properties(section, 1e-4, cache)
        took = (time.perf_counter() - begin) / rows
        cache.close()
    return took


def main() -> None:
    """Measure and print."""
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
    rows = int(sys.argv[1]) if len(sys.argv) > 1 else ROWS
    print(f"load of the machine before: {os.getloadavg()[0]:.1f}")
    for case in CASES:
        one, _ = throughput(case, 1, rows)
        two, memory = throughput(case, 2, rows)
        print(
            f"{case}: {1 / processor_time(case):.1f} a second of processor time; "
            f"{one:.1f} a second on one process, {two:.1f} on two "
            f"(efficiency {two / one / 2:.2f}); parent {memory:.0f} MB"
        )
    print(f"cache hit: {1e3 * hit_time():.2f} ms")


if __name__ == "__main__":
    main()
