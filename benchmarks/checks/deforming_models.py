"""Members whose sections deform, as the checks of published theories need them."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from soapfilm.geometry.material import Material
from soapfilm.geometry.outline.contour import Contour
from soapfilm.geometry.section import Region, Section
from soapfilm.solver.member.deforming.analysis import solve_deforming
from soapfilm.solver.member.deforming.gathering import course_of
from soapfilm.solver.member.deforming.solution import DeformingSolution
from soapfilm.solver.member.model.axis import Axis
from soapfilm.solver.member.model.diaphragm import Diaphragm
from soapfilm.solver.member.model.load import LineLoad, PointLoad
from soapfilm.solver.member.model.member import Member, Segment
from soapfilm.solver.member.model.solved_section import solved_section
from soapfilm.solver.member.model.support import Support, fork

STEEL = Material("steel", 210_000.0, 0.3)
CONCRETE = Material("concrete", 34_000.0, 0.2)

Point = tuple[float, float]
#: Straight pieces that stand for half a sine wave: its peak is met to 0.08 %.
PIECES = 32


def solved(
    sections: Sequence[Section],
    length: float,
    loads: Sequence[LineLoad | PointLoad],
    *,
    diaphragms: Sequence[float] = (),
    supports: Sequence[Support] | None = None,
) -> DeformingSolution:
    """A member of one section, or one that tapers between two."""
    known = {s.name: solved_section(s, s.name, 1e-4) for s in sections}
    constants = [one.constants for one in known.values()]
    end = constants[1] if len(constants) > 1 else None
    member = Member(
        Axis.straight(length),
        (Segment(0.0, length, constants[0], end),),
        tuple(supports or (fork(0.0), fork(length))),
        loads=tuple(loads),
        diaphragms=tuple(Diaphragm(float(z)) for z in diaphragms),
    )
    return solve_deforming(member, course_of(member, known))


def under_a_sine(
    section: Section, length: float, loads: Sequence[tuple[Point, float]]
) -> DeformingSolution:
    """On end forks, with a half sine wave of load upward at each point, N/mm at mid-span."""
    z = np.linspace(0.0, length, PIECES + 1)
    q = np.sin(np.pi * z / length)
    waves = [
        LineLoad(a, b, (0, size * p, 0), (0, size * r, 0), place=place)
        for a, b, p, r in zip(z[:-1], z[1:], q[:-1], q[1:], strict=True)
        for place, size in loads
    ]
    return solved([section], length, waves)


def tube(width: float, height: float, flange: float, web: float) -> Section:
    """A rectangular steel box by the middle lines of its walls."""
    corners = [(-width / 2, -height / 2), (width / 2, -height / 2)]
    corners += [(-x, -y) for x, y in corners]
    return walled(corners, (flange, web, flange, web), STEEL, "tube")


def walled(
    corners: Sequence[Point], walls: Sequence[float], material: Material, name: str
) -> Section:
    """A closed section by the corners of its middle line, against the clock, and the thickness of
    the wall that begins at each."""
    outline, hole = (Contour(_offset(corners, walls, side)) for side in (0.5, -0.5))
    return Section((Region(outline, (hole,), material),), unit="mm", name=name)


def _offset(corners: Sequence[Point], walls: Sequence[float], side: float) -> list[Point]:
    """Corners of the lines that run a share of each wall's thickness outside its middle line."""
    points = np.array(corners, dtype=float)
    along = np.roll(points, -1, axis=0) - points
    outward = np.column_stack([along[:, 1], -along[:, 0]]) / np.hypot(*along.T)[:, None]
    starts = points + side * np.array(walls)[:, None] * outward
    found = []
    for k in range(len(points)):
        share, _ = np.linalg.solve(
            np.column_stack([along[k - 1], -along[k]]), starts[k] - starts[k - 1]
        )
        x, y = starts[k - 1] + share * along[k - 1]
        found.append((float(x), float(y)))
    return found


def corner_angle(solution: DeformingSolution, z: float, width: float, height: float) -> float:
    """Change of the angle between webs and flanges, by the corners' movements."""
    x, y = width / 2, height / 2
    u, v = solution.displacement([(-x, -y), (x, -y), (x, y), (-x, y)], [z])[0, :, :2, 0].T
    level = (v[1] - v[0] + v[2] - v[3]) / 2 / width
    upright = (u[3] - u[0] + u[2] - u[1]) / 2 / height
    return float(abs(level + upright))
