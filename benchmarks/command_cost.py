"""What the command costs as a whole process: seconds and peak memory, best of several warm runs."""

from __future__ import annotations

import json
import os
import subprocess
import sys
import time
from dataclasses import dataclass
from pathlib import Path

#: The benchmark I as a section file.
I_FILE = Path(__file__).with_name("i_section.toml")


@dataclass(frozen=True, slots=True)
class Cost:
    """Best wall-clock and processor seconds and largest peak memory (MB), with all outputs."""

    seconds: float
    processor: float
    peak: float
    outputs: list[str]


def command() -> list[str]:
    """The installed command beside this interpreter."""
    script = Path(sys.executable).with_name("soapfilm")
    if not script.exists():
        raise SystemExit(f"benchmarks: {script} is not there; install the package first")
    return [str(script)]


def cost(arguments: list[str], environment: dict[str, str], repeats: int = 7) -> Cost:
    """Run the command once cold, then `repeats` times; best time of these (of the cold one where
    there are none), highest peak."""
    seconds, processor, peak, outputs = float("inf"), float("inf"), 0.0, []
    for k in range(repeats + 1):
        read, write = os.pipe()
        start = time.perf_counter()
        child = subprocess.Popen(
            [*command(), *arguments], env=environment, stdout=write, stderr=subprocess.DEVNULL
        )
        os.close(write)
        with os.fdopen(read) as pipe:
            outputs.append(pipe.read())
        # wait4 and not Popen.wait: it alone returns this very child's resource use.
        _, status, usage = os.wait4(child.pid, 0)
        took = time.perf_counter() - start
        child.returncode = os.waitstatus_to_exitcode(status)
        if child.returncode:
            raise SystemExit(
                f"benchmarks: soapfilm {' '.join(arguments)} left with {child.returncode}"
            )
        peak = max(peak, usage.ru_maxrss / 1024)
        if k or not repeats:
            seconds = min(seconds, took)
            processor = min(processor, usage.ru_utime + usage.ru_stime)
    return Cost(seconds, processor, peak, outputs)


def command_costs(environment: dict[str, str]) -> dict[str, float]:
    """Start-up of the help, and the I section as a whole process without a figure."""
    help_ = cost(["--help"], environment)
    section = cost(["section", str(I_FILE), "--json"], environment)
    return {
        "help_seconds": help_.seconds,
        "help_peak": help_.peak,
        "section_seconds": section.seconds,
        "section_processor": section.processor,
        "section_peak": section.peak,
        "solve_seconds": min(json.loads(x)["solver"]["seconds"] for x in section.outputs),
    }
