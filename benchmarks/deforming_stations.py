"""Cost of a member whose section deforms against its length: spans alike, one after the other.

A box 2000 x 1000 x 20 on forks 30 m apart, one load off its axis in every span. Processor time of
the member's solution alone, its section reduced before, one thread.

Run: ``python -m benchmarks.deforming_stations`` (seconds); writes deforming_stations.json.
"""

from __future__ import annotations

import json
import time
from pathlib import Path

from soapfilm.geometry.material import Material
from soapfilm.geometry.outline.contour import Contour
from soapfilm.geometry.section import Region, Section
from soapfilm.solver.member.deforming.analysis import solve_deforming
from soapfilm.solver.member.deforming.gathering import course_of
from soapfilm.solver.member.model.axis import Axis
from soapfilm.solver.member.model.load import PointLoad
from soapfilm.solver.member.model.member import Member, Segment
from soapfilm.solver.member.model.solved_section import SolvedSection, solved_section
from soapfilm.solver.member.model.support import fork

RECORD = Path(__file__).parent / "deforming_stations.json"
SPAN, SPANS = 30_000.0, (4, 8, 16, 32, 64)


def box() -> SolvedSection:
    """By its outer measures, walls 20 thick."""
    outline, hole = (
        Contour([(-x, -y), (x, -y), (x, y), (-x, y)]) for x, y in ((1000, 500), (980, 480))
    )
    region = Region(outline, (hole,), Material("steel", 210e3, 0.3))
    return solved_section(Section((region,), unit="mm", name="box"), "box", 1e-4)


def row(solved: SolvedSection, spans: int) -> dict[str, float]:
    """Nodes, functions and seconds of one member."""
    length = SPAN * spans
    loads = tuple(
        PointLoad(SPAN * (k + 0.37), (0, -1e4, 0), place=(1000.0, 500.0)) for k in range(spans)
    )
    member = Member(
        Axis.straight(length),
        (Segment(0, length, solved.constants),),
        tuple(fork(SPAN * k) for k in range(spans + 1)),
        loads=loads,
    )
    course = course_of(member, {"box": solved})
    start = time.process_time()
    found = solve_deforming(member, course, orders=(7,))
    seconds = time.process_time() - start
    return {
        "spans": spans,
        "nodes": len(found.field.nodes),
        "functions": course.size,
        "seconds": round(seconds, 3),
    }


def main() -> None:
    """Measure and keep."""
    solved = box()
    row(solved, 2)  # imports, caches
    rows = [row(solved, spans) for spans in SPANS]
    for one in rows:
        print(one)
    RECORD.write_text(json.dumps(rows, indent=1) + "\n")


if __name__ == "__main__":
    main()
