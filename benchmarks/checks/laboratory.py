"""What was measured: tubes in a testing machine, and membranes over holes of many shapes."""

from __future__ import annotations

import math
from functools import cache

import numpy as np
from soapfilm.geometry.material import Material
from soapfilm.geometry.outline.contour import Contour
from soapfilm.geometry.profiles.by_name import circle_hollow, i_shape, t_shape
from soapfilm.geometry.section import Region, Section
from soapfilm.solver.member.deforming.analysis import solve_deforming
from soapfilm.solver.member.deforming.gathering import course_of
from soapfilm.solver.member.model.axis import Axis
from soapfilm.solver.member.model.diaphragm import Diaphragm
from soapfilm.solver.member.model.load import PointLoad
from soapfilm.solver.member.model.member import Member, Segment
from soapfilm.solver.member.model.solved_section import solved_section
from soapfilm.solver.member.model.support import Support, fixed
from soapfilm.solver.section.solve import solve_section

from .figure import Figure, figures
from .registry import Found, Topic

MEASURED = Topic(
    "Laboratory tests",
    "Measured, with the scatter of laboratories: one tube in four years spreads by 3.0 % (standard "
    "deviation). The slit tubes are the only records found where open and closed lengths meet: "
    "torsion free of warping would give eight times the angle. Ours lies half-way between grips "
    "that leave the far end free across and grips that are stiff, and is as wide as both, for no "
    "record tells which. Formulas of angles, tees and I "
    "shapes are fits to soap films (Trayer and March 1930, attribution from memory), not readings. "
    "Further tests, whose figures could not be read, stand in a table of their own below.",
    measured=True,
)

#: Modulus of shear as the laboratory states it, psi, and the usual modulus of the alloy.
SHEAR, YOUNG = 3.75e6, 9.976e6
OUTER, WALL = 0.375, 0.0625
#: Half the width of the saw cut, in; the records say "negligible".
CUT = 0.0002


@cache
def rigidity() -> Found:
    """GJ of the closed tube, lbf in^2."""
    tube = solve_section(_closed(), 1e-8)
    return Found.between(tube.torsion_constant_lower, tube.torsion_constant_upper).scaled(SHEAR)


YEARS = {f"cu_closed_tube_{year}": None for year in (2016, 2017, 2019, 2020)}


@MEASURED.check(YEARS, within=(-0.01, 0.08))
def rigidity_of_a_tube(_: None) -> Found:
    """Each year's tube is the same by its drawing."""
    return rigidity()


@MEASURED.check("cu_closed_tube_2017_grip_angle", within=0.005)
def angle_of_a_tube(_: Figure) -> Found:
    """Over its 10 in."""
    (stiffness,), (half,) = rigidity().values, rigidity().halves
    angle = float(np.degrees(10.0 / stiffness))
    return Found.about(angle, angle * half / stiffness)


def _closed() -> Section:
    ring = circle_hollow(radius=OUTER, wall_thickness=WALL)
    return Section((Region(*ring, _aluminium()),), unit="in", name="closed")


def _slit() -> Section:
    half = CUT / (OUTER - WALL / 2)
    bulge = float(np.tan((np.pi - half) / 4))
    inner = OUTER - WALL
    ends = [(OUTER, half), (OUTER, np.pi), (OUTER, -half)]
    ends += [(inner, -half), (inner, np.pi), (inner, half)]
    points = [(r * float(np.cos(a)), r * float(np.sin(a))) for r, a in ends]
    wall = Contour(points, [bulge, bulge, 0.0, -bulge, -bulge, 0.0])
    return Section((Region(wall, (), _aluminium()),), unit="in", name="slit")


def _aluminium() -> Material:
    return Material("aluminium", YOUNG, YOUNG / (2 * SHEAR) - 1)


@cache
def slit_tube(stiff: bool) -> tuple[float, float]:
    """Angle between the grips, and shear strain over the gauge of 1 in at mid-length as the
    extensometer tells it (rate of twist by the outer radius), deg for 1 lbf in.

    The far grip turns the tube; it leaves its end free across and free to lean, or is `stiff`.
    """
    known = {s.name: solved_section(s, s.name, 1e-4) for s in (_closed(), _slit())}
    closed, slit = (known[name].constants for name in ("closed", "slit"))
    held = [fixed(0.0)]
    if stiff:
        held.append(Support(10.0, x="held", y="held", bend_x="held", bend_y="held", warping="held"))
    tube = Member(
        Axis.straight(10.0),
        (Segment(0.0, 1.5, closed), Segment(1.5, 8.5, slit), Segment(8.5, 10.0, closed)),
        tuple(held),
        loads=(PointLoad(10.0, moment=(0.0, 0.0, 1.0)),),
        diaphragms=(Diaphragm(10.0),),
    )
    solution = solve_deforming(tube, course_of(tube, known))
    near, far, end = np.degrees(solution.twist([4.5, 5.5, 10.0], side="left")[:, 0])
    return float(end), float(far - near) * OUTER


@MEASURED.check("cu_slit_tube_solids", within=0.015)
def slit_tube_by_solids(_: Figure) -> Found:
    """Grips free across, then stiff."""
    return Found.several([*slit_tube(False), *slit_tube(True)])


def _between(which: int) -> Found:
    low, high = slit_tube(True)[which], slit_tube(False)[which]
    return Found.about((low + high) / 2, (high - low) / 2)


@MEASURED.check({f"cu_slit_tube_grips_{y}": 0 for y in (2017, 2019, 2020, 2021)}, within=0.2)
@MEASURED.check(
    {f"cu_slit_tube_strain_{y}": 1 for y in (2016, 2017, 2019, 2020, 2021)}, within=0.22
)
def measured_slit_tube(which: int) -> Found:
    """Between grips free across and stiff."""
    return _between(which)


FITS = {name: figure for name, figure in figures().items() if name.startswith("membrane_fit_")}


@MEASURED.check(FITS, within=(-0.125, 0.01))
def fitted_to_membranes(figure: Figure) -> Found:
    """J of the outline, sharp but for its fillets."""
    result = solve_section(_shape(figure), 1e-6)
    return Found.between(result.torsion_constant_lower, result.torsion_constant_upper)


def _shape(figure: Figure) -> Section:
    """By the formula's own letters: plates a x b and c x d, fillets r where they meet."""
    a, b, c, d, r = (float(figure.inputs[letter]) for letter in "abcdr")
    if figure.case.startswith("T"):
        tee = t_shape(
            depth=b + c, flange_width=a, web_thickness=d, flange_thickness=b, fillet_radius=r
        )
        return tee.section()
    if figure.case.startswith("I"):
        shape = i_shape(
            overall_width=a,
            overall_depth=2 * b + c,
            web_thickness=d,
            flange_thickness=b,
            fillet_radius=r,
        )
        return shape.section()
    heel = [(0.0, 0.0), (a, 0.0), (a, b), (d + r, b), (d, b + r), (d, b + c), (0.0, b + c)]
    if not r:
        return Section.single(Contour([*heel[:3], (d, b), *heel[5:]]))
    bulges = [0.0] * len(heel)
    bulges[3] = -math.tan(math.pi / 8)
    return Section.single(Contour(heel, bulges))
