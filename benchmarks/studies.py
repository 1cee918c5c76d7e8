"""Throughput of studies: sections a second on one core and two, memory of a long run, cache hits.

``python -m benchmarks.studies`` measures (two minutes); with ``--long`` the study of ten thousand
rows instead (`long_study`, three minutes). Figures go to studies.json and to a block of README.md.
Sections vary from row to row, so nothing is met twice; all properties, accuracy 1e-4, cache off
unless it is what is measured. Rows of a study are solved together, as many as in a long one; beside
that stands what one row after another costs.
"""

from __future__ import annotations

import argparse
import json
import os
import tempfile
import time
from pathlib import Path

from .long_study import TUBE, long_study
from .marked import rewrite
from .speed import occasion
from .speed_table import verdict

RAW = Path(__file__).with_name("studies.json")

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
#: Rows of a measured study, and rows of a batch of a long one.
ROWS, BATCH = 2048, 128


def throughput(case: str, workers: int, rows: int = ROWS, *, cached: bool = False) -> float:
    """Rows a second once the workers have started."""
    from soapfilm.solver.study.file.study_file import load_study
    from soapfilm.solver.study.run.sweep import Progress, run_study
    from soapfilm.solver.study.run.workforce import process_pool

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
    skip = 4 * workers * max(1, rows // 64)  # imports and first touches, some batches
    return (len(stamps) - 1 - skip) / (stamps[-1] - stamps[skip])


def processor_times(case: str, rows: int = 15) -> tuple[float, float]:
    """Seconds of processor time a section, one after another and together, fair on a shared machine
    too: of the latter the best of three, since a batch of a long study is measured whole."""
    from soapfilm.solver.study.file.section_base import SectionBase

    text, address, low, high = CASES[case]
    base = SectionBase(text, "s")
    begin = 0.0
    for k in range(rows + 3):
        if k == 3:  # imports and first touches
            begin = time.process_time()
        base.solved({address: low + (high - low) * k / (rows + 3)}, 1e-4, None)
    alone = (time.process_time() - begin) / rows
    together = []
    for _ in range(4):  # the first touches what the others use
        several = [{address: low + (high - low) * k / BATCH} for k in range(BATCH)]
        begin = time.process_time()
        found = base.solved_together(several, 1e-4)
        together.append((time.process_time() - begin) / BATCH)
        if not all(isinstance(record, dict) for record in found):
            raise SystemExit(f"benchmarks: {case}: a row failed")
    return alone, min(together)


def hit_time(rows: int = 50) -> float:
    """Seconds to look one solved section up."""
    from soapfilm.geometry.profiles.by_name import build_profile
    from soapfilm.solver.study.run.cache import RecordCache
    from soapfilm.solver.study.run.solving import solved_properties

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


def measured(rows: int) -> dict:
    """Throughput of every case and the cost of a cache hit."""
    cases = {}
    for case in CASES:
        alone, together = processor_times(case)
        cases[case] = {
            "alone": 1 / alone,
            "processor": 1 / together,
            "one": throughput(case, 1, rows),
            "two": throughput(case, 2, rows),
        }
        print(case, {name: round(value, 1) for name, value in cases[case].items()}, flush=True)
    return {"rows": rows, "cases": cases, "hit": hit_time()}


def table(data: dict) -> str:
    """The block of README.md."""
    parts = []
    if "throughput" in data:
        parts += _throughput_lines(data["throughput"])
    if "long" in data:
        parts += _long_lines(data["long"])
    return "\n".join(parts)


def _throughput_lines(data: dict) -> list[str]:
    lines = [
        "| section | one after another | together, a second of one core (goal 200) | | on one "
        "process | on two | efficiency (goal 0.8) | |",
        "| --- | ---: | ---: | --- | ---: | ---: | ---: | --- |",
    ]
    for case, found in data["cases"].items():
        efficiency = found["two"] / found["one"] / 2
        lines.append(
            f"| {case} | {found['alone']:.1f} | {found['processor']:.0f} "
            f"| {verdict(found['processor'] >= 200)} "
            f"| {found['one']:.1f} | {found['two']:.1f} "
            f"| {efficiency:.2f} | {verdict(efficiency >= 0.8)} |"
        )
    return [
        *lines,
        "",
        f"A solved section is found in the cache in {1e3 * data['hit']:.2f} ms. {data['on']}.",
        "",
    ]


def _long_lines(data: dict) -> list[str]:
    lines = [
        f"A sweep of {data['rows']:,} rounded hollow rectangles, side by wall, by `soapfilm "
        f"sweep` with {data['workers']} processes: {data['seconds']:.0f} s, "
        f"{data['rows'] / data['seconds']:.1f} rows a second, {data['failed']} failed. Workers "
        f"solved for {100 * data['worker_seconds'] / data['seconds'] / data['workers']:.0f} % of "
        f"that time. The store holds {data['store_bytes'] / 2**20:.1f} MB. The same command run "
        f"again took {data['again_seconds']:.1f} s and "
        + ("solved nothing." if data["again_solved_none"] else "**solved rows again**."),
        "",
        "| rows | seconds | parent, MB | workers, MB |",
        "| ---: | ---: | ---: | --- |",
    ]
    for s in data["samples"]:
        workers = ", ".join(f"{w:.1f}" for w in s["workers"])
        lines.append(f"| {s['rows']:,} | {s['seconds']:.0f} | {s['parent']:.1f} | {workers} |")
    return [*lines, "", f"{data['on']}."]


def main() -> None:
    """Measure, store, rewrite the block."""
    parser = argparse.ArgumentParser(description=__doc__.split("\n")[0])
    parser.add_argument("--long", action="store_true", help="the study of ten thousand rows")
    parser.add_argument("--rows", type=int, default=ROWS, help="rows of each throughput")
    parser.add_argument(
        "--side", type=int, default=100, help="square root of the long study's rows"
    )
    parser.add_argument("--dry-run", action="store_true", help="print, write nothing")
    options = parser.parse_args()
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
    when = occasion()
    found = long_study(options.side) if options.long else measured(options.rows)
    found["on"] = f"Measured on {when}"
    data = json.loads(RAW.read_text()) if RAW.exists() else {}
    data["long" if options.long else "throughput"] = found
    print(table(data))
    if not options.dry_run:
        RAW.write_text(json.dumps(data, indent=1) + "\n")
        rewrite("studies", table(data))


if __name__ == "__main__":
    main()
