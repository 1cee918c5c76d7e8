"""What whole jobs on members cost: processor time and peak memory of one process each.

Every job runs twice, with an empty cache of sections and with what the first run left in it. The
members are invented: the curved ferry landing of the examples, the same under a vehicle and a
crowd, and the curved footbridge of `footbridge_modes`, a concrete deck on a tube of three walls.

Run: ``python -m benchmarks.member_jobs`` (some minutes), or with the names of some jobs; writes
member_jobs.json, the table in member_jobs.md.
"""

from __future__ import annotations

import json
import os
import subprocess
import sys
import tempfile
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from .alone import SINGLE_THREAD
from .command_cost import cost
from .footbridge_modes import footbridge

HERE = Path(__file__).parent
RECORD, BOOK = HERE / "member_jobs.json", HERE / "member_jobs.md"
EXAMPLES = HERE.parent / "cli" / "examples"

#: A vehicle of two axles, a crowd on any part of the deck, and twelve combinations of them.
TRAFFIC = """
[[vehicle]]
name = "sweeper"
axles = [{ at = 0, force = "80 kN" }, { at = "3 m", force = "40 kN" }]
track = "1.3 m"
lines = [[-1.5, 0], [0, 0], [1.5, 0]]

[[crowd]]
name = "people"
pressure = "5 kN/m^2"
strips = [{ place = [-1.25, 0], width = "2.5 m" }, { place = [1.25, 0], width = "2.5 m" }]
"""
#: Parts of the example that the traffic takes the place of.
STANDING = ("[[combination]]", "[[limit]]")

#: What stands on the footbridge: the crowd on either half, by spans.
ON_FOOTBRIDGE = """
[points]
outer = [-2, 0]
"""
HALVES = "".join(
    f"""
[[load]]
name = "crowd on the {side} half"
case = "{side} crowd"
weight = "10 kN/m"
place = [{x}, 0]
measured_along = "own line"
by_span = true
[[combination]]
name = "{side} crowd"
factors = {{ dead = 1.0 }}
patterns = {{ "{side} crowd" = 1.0 }}
"""
    for side, x in (("outer", -1), ("inner", 1))
)
LIMITS = """
[[limit]]
twist = "1 deg"
[[limit]]
deflection = "span/400"
point = "outer"
"""


@dataclass(frozen=True, slots=True)
class Job:
    """A command; `seconds` and `megabytes` it may take, where a goal was set."""

    title: str
    words: tuple[str, ...]
    seconds: float | None = None
    megabytes: float | None = None


def jobs(folder: Path) -> dict[str, Job]:
    """All of them, their files written to a folder."""
    landing = str(EXAMPLES / "curved-landing.toml")
    traffic, bridge = folder / "traffic.toml", folder / "footbridge.toml"
    traffic.write_text(with_traffic((EXAMPLES / "curved-landing.toml").read_text()))
    (folder / "landing-deck.toml").write_text((EXAMPLES / "landing-deck.toml").read_text())
    bridge.write_text(footbridge(ON_FOOTBRIDGE + HALVES + LIMITS))
    lines = [word for x in (-2.5, 2.5) for word in ("--line", f"[{x}, 0]")]
    return {
        "landing": Job(
            "curved landing, three spans", ("member", landing, "--no-remedies"), 3.0, 400
        ),
        "remedies": Job("the same with its remedies", ("member", landing), 5.0, 400),
        "lines": Job(
            "its influence lines, a load at 154 places and more",
            ("influence", landing, "--result", "M_x at middle of span 2", *lines),
            2.0,
        ),
        "envelope": Job(
            "vehicle, crowd and twelve combinations on it",
            ("influence", str(traffic)),
            5.0,
            500,
        ),
        "vibrate": Job("its frequencies", ("vibrate", landing)),
        "footbridge": Job(
            "curved footbridge, five segments of three tubes",
            ("member", str(bridge), "--no-remedies"),
        ),
    }


def with_traffic(text: str) -> str:
    """The landing's file under traffic: its own combinations and limits make way."""
    kept = text[: min(text.index(f"\n{name}") for name in STANDING)]
    rows = []
    for k in range(12):
        factor = 1.0 + 0.05 * k
        rows.append(
            f'\n[[combination]]\nname = "service {k + 1}"\nfactors = {{ dead = 1.0, '
            f"sweeper = {factor:.2f}, people = {2.0 - factor:.2f} }}\n"
        )
    return kept + TRAFFIC + "".join(rows)


def compiled(folder: Path) -> dict[str, str]:
    """The environment of a process that finds all modules compiled, as an installed package has
    them."""
    environment = os.environ | SINGLE_THREAD | {"PYTHONPYCACHEPREFIX": str(folder)}
    environment.pop("PYTHONDONTWRITEBYTECODE", None)
    rooms = [str(HERE.parent / room) for room in ("api", "cli", "geometry", "report", "solver")]
    compileall = [sys.executable, "-m", "compileall", "-q", *rooms]
    subprocess.run(compileall, env=environment, check=True)
    return environment


def measured(words: tuple[str, ...], compiled: dict[str, str]) -> dict[str, Any]:
    """One process with an empty cache and one after it."""
    with tempfile.TemporaryDirectory() as cache:
        environment = compiled | {"SOAPFILM_CACHE": cache}
        runs = [cost(list(words), environment, repeats=0) for _ in range(2)]
    names = ("first", "again")
    return {
        name: {"seconds": round(run.processor, 2), "megabytes": round(run.peak)}
        for name, run in zip(names, runs, strict=True)
    }


def table(kept: dict[str, Any]) -> str:
    """The book's page."""
    lines = [
        "# Whole jobs on members",
        "",
        "Processor time and peak memory of one process, start and imports included, one thread: "
        "with an empty cache, and with the sections that the first run kept in it. Members are "
        "invented. `python -m benchmarks.member_jobs`",
        "",
        "| job | first (s) | again (s) | goal (s) | peak (MB) | goal (MB) |",
        "| --- | ---: | ---: | ---: | ---: | ---: |",
    ]
    for row in kept.values():
        goals = [f"{g:g}" if g is not None else "" for g in (row["goal_s"], row["goal_mb"])]
        first, again = row["first"], row["again"]
        peak = max(first["megabytes"], again["megabytes"])
        lines.append(
            f"| {row['title']} | {first['seconds']:.1f} | {again['seconds']:.1f} | {goals[0]} | "
            f"{peak} | {goals[1]} |"
        )
    lines += [
        "",
        "Goals are for a run with the sections kept. Processor time grows where others use the "
        "machine at the same time.",
        "",
    ]
    return "\n".join(lines)


def main(names: list[str]) -> None:
    """Measure all jobs, or some beside what is kept of the others."""
    kept = json.loads(RECORD.read_text()) if RECORD.exists() else {}
    with tempfile.TemporaryDirectory() as name:
        every = jobs(Path(name))
        environment = compiled(Path(name) / "compiled")
        for key, job in every.items():
            if not names or key in names:
                found = measured(job.words, environment)
                goals = {"goal_s": job.seconds, "goal_mb": job.megabytes}
                kept[key] = {"title": job.title, **goals, **found}
                print(key, found, flush=True)
                RECORD.write_text(json.dumps(kept, indent=1) + "\n")
    kept = {key: kept[key] for key in every if key in kept}
    RECORD.write_text(json.dumps(kept, indent=1) + "\n")
    BOOK.write_text(table(kept))


if __name__ == "__main__":
    main(sys.argv[1:])
