"""Measurements in a fresh process of one thread: neither caches nor imports of another count."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path
from typing import Any

#: Every library asked for one thread by the name it listens to.
SINGLE_THREAD = dict.fromkeys(
    (
        "OMP_NUM_THREADS",
        "OPENBLAS_NUM_THREADS",
        "MKL_NUM_THREADS",
        "NGS_NUM_THREADS",
        "NUMEXPR_NUM_THREADS",
    ),
    "1",
)


def alone(module: str, *words: str) -> Any:
    """What ``python -m benchmarks.module words`` prints last, read as JSON."""
    run = subprocess.run(
        [sys.executable, "-m", f"benchmarks.{module}", *words],
        cwd=Path(__file__).parents[1],
        env=os.environ | SINGLE_THREAD,
        capture_output=True,
        text=True,
    )
    if run.returncode:
        raise SystemExit(f"benchmarks: {module} {' '.join(words)} failed:\n{run.stderr.strip()}")
    # NGSolve prints remarks of its own; the result is the last line.
    return json.loads(run.stdout.strip().splitlines()[-1])
