"""Members whose sections deform, beside theories of thin walls: the beam on an elastic foundation
of distortion, warping of closed tubes, flanges of tapers as beams, continuous beams."""

from __future__ import annotations

from collections.abc import Sequence
from functools import cache

import numpy as np
from soapfilm.geometry.material import Material
from soapfilm.geometry.outline.contour import Contour
from soapfilm.geometry.section import Region, Section
from soapfilm.solver.member.deforming.analysis import solve_deforming
from soapfilm.solver.member.deforming.gathering import course_of
from soapfilm.solver.member.deforming.reactions import reactions
from soapfilm.solver.member.deforming.solution import DeformingSolution
from soapfilm.solver.member.model.axis import Axis
from soapfilm.solver.member.model.diaphragm import Diaphragm
from soapfilm.solver.member.model.load import LineLoad, PointLoad
from soapfilm.solver.member.model.member import Member, Segment
from soapfilm.solver.member.model.solved_section import solved_section
from soapfilm.solver.member.model.support import Support, bearing_pair, fixed, fork
from soapfilm.solver.member.review.diaphragm_spacing import customary_spacing

from .figure import Figure
from .registry import Found, Topic

DISTORTION = Topic(
    "Distortion of boxes",
    "The beam on an elastic foundation leaves shear strain of the walls and the size of the "
    "corners out: it is met by slender spans of thin walls, and is too stiff between close "
    "diaphragms.",
)
CLOSED_TUBES = Topic(
    "Warping of tubes whose shape ribs hold",
    "Measured on walls' middle lines; J of walls of finite thickness is 1.2 % more.",
)
DEFORMING_MEMBERS = Topic("Tapers and continuous members whose sections deform")

STEEL = Material("steel", 210_000.0, 0.3)
CONCRETE = Material("concrete", 34_000.0, 0.2)
#: Middle lines of the steel box.
WIDTH, HEIGHT, SPAN = 2000.0, 1500.0, 30_000.0


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


def tube(width: float, height: float, flange: float, web: float) -> Section:
    """A rectangular box by the middle lines of its walls."""
    x, y = (width + web) / 2, (height + flange) / 2
    a, b = (width - web) / 2, (height - flange) / 2
    outline = Contour([(-x, -y), (x, -y), (x, y), (-x, y)])
    hole = Contour([(-a, -b), (a, -b), (a, b), (-a, b)])
    return Section((Region(outline, (hole,), STEEL),), unit="mm", name="tube")


def corner_angle(solution: DeformingSolution, z: float, width: float, height: float) -> float:
    """Change of the angle between webs and flanges, by the corners' movements."""
    x, y = width / 2, height / 2
    u, v = solution.displacement([(-x, -y), (x, -y), (x, y), (-x, y)], [z])[0, :, :2, 0].T
    level = (v[1] - v[0] + v[2] - v[3]) / 2 / width
    upright = (u[3] - u[0] + u[2] - u[1]) / 2 / height
    return float(abs(level + upright))


@cache
def steel_box(kind: str, diaphragms: int = 0) -> DeformingSolution:
    """The steel box, loaded over one web: 500 kN at mid-span or 10 N/mm."""
    place = (WIDTH / 2, HEIGHT / 2 + 8.0)
    load = (
        PointLoad(SPAN / 2, (0, -500e3, 0), place=place)
        if kind == "point"
        else LineLoad(0.0, SPAN, (0, -10.0, 0), place=place)
    )
    between = np.linspace(0.0, SPAN, diaphragms + 2)[1:-1]
    return solved([tube(WIDTH, HEIGHT, 16.0, 10.0)], SPAN, [load], diaphragms=between)


@DISTORTION.check("dist_ex1_point_gamma", within=5e-3)
def angle_under_a_point_load(_: Figure) -> Found:
    """At mid-span."""
    return Found.about(corner_angle(steel_box("point"), SPAN / 2, WIDTH, HEIGHT))


@DISTORTION.check("dist_ex1_udl_gamma", within=(-0.02, 0.0))
def angle_under_a_line_load(_: Figure) -> Found:
    """At mid-span."""
    return Found.about(corner_angle(steel_box("line"), SPAN / 2, WIDTH, HEIGHT))


@DISTORTION.check("dist_ex1_udl_stress", within=0.03)
def warping_stress(_: Figure) -> Found:
    """At the lower corners: half the difference of both, along the flange from where the stress
    runs straight."""

    def corner(side: float) -> float:
        near, far = steel_box("line").stress(
            [(0.9 * side, -HEIGHT / 2), (0.6 * side, -HEIGHT / 2)], [SPAN / 2]
        )[0, :, 2, 0]
        return float(near + (near - far) / 3)

    return Found.about(abs(corner(WIDTH / 2) - corner(-WIDTH / 2)) / 2)


@DISTORTION.check({"dist_ex1_dia1_gamma": 1}, within=(0.0, 0.10))
@DISTORTION.check({"dist_ex1_dia2_gamma": 2}, within=(0.0, 0.16))
def angle_between_diaphragms(count: int) -> Found:
    """The largest of the member."""
    solution = steel_box("line", count)
    return Found.about(
        max(corner_angle(solution, z, WIDTH, HEIGHT) for z in np.linspace(0.0, SPAN, 121))
    )


@DISTORTION.check("dist_ex2_gamma", within=(-0.12, 0.0))
def angle_of_a_concrete_box(_: Figure) -> Found:
    """At mid-span, with its cantilever slabs."""
    x, out, half = 3175.0, 5000.0, 1250.0
    outline = [
        (-x, -half - 100), (x, -half - 100), (x, half - 125), (out, half - 125),
        (out, half + 125), (-out, half + 125), (-out, half - 125), (-x, half - 125),
    ]  # fmt: skip
    a = 2825.0
    hole = Contour([(-a, 100 - half), (a, 100 - half), (a, half - 125), (-a, half - 125)])
    section = Section((Region(Contour(outline), (hole,), CONCRETE),), unit="mm", name="box")
    load = LineLoad(0.0, 40_000.0, (0, -20.0, 0), place=(3000.0, half + 125))
    solution = solved([section], 40_000.0, [load])
    return Found.about(corner_angle(solution, 20_000.0, 6000.0, 2500.0))


@DISTORTION.check("dia_japan", within=1e-9)
def usual_spacing(figure: Figure) -> Found:
    """Of each span."""
    return Found.several(customary_spacing(span) for span in figure.inputs["L_m"])


@cache
def ribbed_tube() -> DeformingSolution:
    """The tube, fixed, ribs every 50 mm, a torque of 10 kN m at its tip."""
    torque = PointLoad(2000.0, moment=(0, 0, 1e7))
    ribs = np.linspace(50.0, 2000.0, 40)
    section = tube(400.0, 200.0, 8.0, 8.0)
    return solved([section], 2000.0, [torque], diaphragms=ribs, supports=[fixed(0.0)])


@CLOSED_TUBES.check("um_cantilever_rotation", within=(-0.02, 0.0))
def tip_of_a_tube(_: Figure) -> Found:
    """Mean rotation of the tip."""
    return Found.about(float(ribbed_tube().twist([2000.0], side="left")[0, 0]))


@CLOSED_TUBES.check("um_cantilever_warping", within=0.04)
def warping_of_a_tube(_: Figure) -> Found:
    """At the corner, far from the fixed end, along the flange from where it runs straight."""
    near, far = ribbed_tube().displacement([(160, 100), (120, 100)], [975.0])[0, :, 2, 0]
    return Found.about(abs(2 * near - far))


def _girder(height: float) -> Section:
    """Flanges 200 x 15 whose middle lines are `height` apart, web 8: J of the figure at 500."""
    x, y, w, t = 100.0, height / 2, 4.0, 7.5
    right = [
        (x, -y - t), (x, -y + t), (w, -y + t), (w, y - t), (x, y - t), (x, y + t),
    ]  # fmt: skip
    left = [(-a, b) for a, b in reversed(right)]
    return Section(
        (Region(Contour([*right, *left]), (), STEEL),), unit="mm", name=f"girder {height:g}"
    )


@DEFORMING_MEMBERS.check({"taper_J_600_300": (600.0, 300.0)}, within=(0.0, 0.06))
@DEFORMING_MEMBERS.check({"taper_J_400_400": (400.0,)}, within=(0.0, 0.04))
def tip_of_a_taper(heights: tuple[float, ...]) -> Found:
    """Twist of the tip, the shape held there and at the quarters."""
    sections = [_girder(height) for height in heights]
    torque = PointLoad(3000.0, moment=(0, 0, 1e6))
    solution = solved(
        sections, 3000.0, [torque],
        diaphragms=(750.0, 1500.0, 2250.0, 3000.0), supports=[fixed(0.0)],
    )  # fmt: skip
    return Found.about(float(solution.twist([3000.0], side="left")[0, 0]))


@DEFORMING_MEMBERS.check("three_spans_reactions", within=1e-3)
def reactions_of_three_spans(figure: Figure) -> Found:
    """On pairs of bearings alone, as shares of q L."""
    span, q = figure.inputs["span"], figure.inputs["q"]
    supports = [
        bearing_pair(k * span, 400.0, level=-260.0, holds_down=True, z="held" if k == 0 else "free")
        for k in range(4)
    ]
    load = LineLoad(0.0, 3 * span, (0, -q, 0), place=(0.0, 260.0))
    solution = solved([tube(500.0, 500.0, 20.0, 20.0)], 3 * span, [load], supports=supports)
    return Found.several(r.force[1] / (q * span) for r in reactions(solution, 0))
