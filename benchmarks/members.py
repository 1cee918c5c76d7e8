"""How fast members solve, and what thousands of elements cost in digits.

Run: ``python -m benchmarks.members``. Processor time, best of several warm repeats; the table goes
to members.md.
"""

from __future__ import annotations

import os
import platform
import time
from collections.abc import Callable
from pathlib import Path

import numpy as np
import scipy
from soapfilm.solver.member.beam.analysis import critical_loads, solve
from soapfilm.solver.member.model.axis import Arc, Axis, Straight
from soapfilm.solver.member.model.constants import SectionConstants
from soapfilm.solver.member.model.load import LineLoad, Place, SelfWeight
from soapfilm.solver.member.model.member import Member
from soapfilm.solver.member.model.support import bearing_pair

TABLE = Path(__file__).parent / "members.md"
ADDED = "\n# Members whose sections deform\n"
ELEMENTS, GOAL = 10_000, 1.0

# An invented deck: kN and m.
DECK = SectionConstants(
    elastic_modulus=34e6,
    shear_modulus=14e6,
    area=5.2,
    second_moment_x=2.4,
    second_moment_y=31.0,
    torsion_constant=4.1,
    warping_constant=1.3,
    centroid=(0.0, -0.6),
    shear_centre=(0.0, -0.8),
    mass_per_length=13.0,
    width=8.0,
    name="deck",
)


def landing() -> Member:
    """Three curved spans, five load cases."""
    axis = Axis((Arc(60.0, 80.0), Straight(30.0)))
    spans = ((0.0, 30.0), (30.0, 60.0), (60.0, 90.0), (0.0, 90.0))
    loads = [
        LineLoad(a, b, force=(0, -10.0, 0), place=Place("origin", 3.0), case=f"live {n}")
        for n, (a, b) in enumerate(spans, 1)
    ]
    supports = [bearing_pair(z, 4.0, holds_down=True) for z in (0.0, 30.0, 60.0, 90.0)]
    return Member.prismatic(axis, DECK, supports, loads=(SelfWeight(9.81), *loads))


def seconds(work: Callable[[], object], repeats: int = 5) -> float:
    """Processor time of the fastest repeat, after one to warm up."""
    work()
    times = []
    for _ in range(repeats):
        begin = time.process_time()
        work()
        times.append(time.process_time() - begin)
    return min(times)


def lost_digits(member: Member) -> float:
    """Largest relative difference between the fewest and the most elements."""
    z = np.linspace(0, member.length, 37)
    few, many = solve(member).at(z), solve(member, longest=member.length / ELEMENTS).at(z)
    words = ("v", "phi", "M_x", "V_y", "T", "B")
    return max(
        float(np.abs(getattr(few, w) - getattr(many, w)).max() / np.abs(getattr(few, w)).max())
        for w in words
    )


def table() -> str:
    """The report."""
    member = landing()
    few = solve(member)
    many = solve(member, longest=member.length / ELEMENTS)
    rows = [
        ("exact elements, five cases", len(few.mesh.length), seconds(lambda: solve(member))),
        ("200 stations of them", len(few.mesh.length), seconds(lambda: few.diagram(count=200))),
        ("five critical load factors", 48, seconds(lambda: critical_loads(member))),
        ("second order, five cases", 96, seconds(lambda: solve(member, order="second"), 3)),
        (
            f"cut into {len(many.mesh.length)} elements, five cases",
            len(many.mesh.length),
            seconds(lambda: solve(member, longest=member.length / ELEMENTS), 3),
        ),
    ]
    lines = [
        "# Members",
        "",
        "Three spans curved in plan on four pairs of bearings, five load cases, invented section. "
        "`python -m benchmarks.members`",
        "",
        "| | elements | processor time |",
        "| --- | ---: | ---: |",
        *(f"| {words} | {n} | {1e3 * t:.1f} ms |" for words, n, t in rows),
        "",
        f"Goal for {ELEMENTS} elements: {GOAL:g} s. Results of {ELEMENTS} elements differ from "
        f"those of {len(few.mesh.length)} by {lost_digits(member):.0e} at most; "
        f"loads and reactions cancel to {many.residual.max():.0e}.",
        "",
        f"Python {platform.python_version()}, numpy {np.__version__}, scipy {scipy.__version__}, "
        f"{platform.machine()}, {os.environ.get('OMP_NUM_THREADS', 'all')} thread(s).",
        "",
    ]
    return "\n".join(lines)


if __name__ == "__main__":
    text = table()
    # What other benchmarks add to the book stays.
    _, mark, rest = TABLE.read_text().partition(ADDED) if TABLE.exists() else ("", "", "")
    TABLE.write_text(f"{text.rstrip()}\n{mark}{rest}")
    print(text)
