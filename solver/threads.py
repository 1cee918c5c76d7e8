"""Threads of the libraries of linear algebra: one, settled before numpy is loaded.

Sections and members make many small dense systems. Threads only wait for each other over them, and
on a busy machine they wait a thousand times longer than they compute.
"""

from __future__ import annotations

import os

NAMES = ("OPENBLAS_NUM_THREADS", "OMP_NUM_THREADS", "MKL_NUM_THREADS")


def use_one_thread() -> None:
    """Ask for one thread where the user asked for nothing."""
    for name in NAMES:
        os.environ.setdefault(name, "1")
