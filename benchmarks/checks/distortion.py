"""Distortion of boxes beside the beam on an elastic foundation, and customary diaphragms."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from typing import Any

import numpy as np
from numpy.typing import NDArray
from soapfilm.geometry.outline.contour import Contour
from soapfilm.geometry.section import Region, Section
from soapfilm.solver.member.deforming.solution import DeformingSolution
from soapfilm.solver.member.model.load import LineLoad, PointLoad
from soapfilm.solver.member.review.diaphragm_spacing import (
    LIMIT,
    customary_curved_spacing,
    customary_spacing,
)
from soapfilm.solver.section.deforming.reduced import ReducedSection
from soapfilm.solver.section.deforming.reduction import reduced_section

from .deforming_models import (
    CONCRETE,
    STEEL,
    Point,
    corner_angle,
    solved,
    tube,
    under_a_sine,
    walled,
)
from .figure import Figure
from .registry import Found, Topic

Array = NDArray[np.float64]

DISTORTION = Topic(
    "Distortion of boxes",
    "The beam on an elastic foundation leaves shear strain of the walls and the size of the "
    "corners out: it is met by slender spans of thin walls. Between diaphragms six and three "
    "metres apart shear strain makes the angle 1.4 and 2.8 times the analogy's (6.5e-5 and 7.9e-6 "
    "rad beside 4.6e-5 and 2.9e-6), so that the bimoment alone, which balances the load, is "
    "compared there.",
)

#: Middle lines of the steel box.
WIDTH, HEIGHT, SPAN = 2000.0, 1500.0, 30_000.0


@dataclass(frozen=True, slots=True)
class SlowDistortion:
    """The slowest mode of distortion, of unit angle of a rectangular box or unit warping."""

    section: ReducedSection
    shape: Any
    rate: complex

    @classmethod
    def of(cls, section: Section) -> SlowDistortion:
        """By its name."""
        found = reduced_section(section, modes=3)
        k = found.kinds.index("distortion")
        return cls(found, found.shapes[:, k], complex(found.rates[k]))

    def moved(self, points: list[Point]) -> Any:
        """(k, 3) complex motion of points."""
        return self.section.displacement_rows(np.array(points)) @ self.shape

    def angle(self, width: float, height: float) -> complex:
        """Change of the angle at the corners of a rectangle."""
        x, y = width / 2, height / 2
        u, v, _ = self.moved([(-x, -y), (x, -y), (x, y), (-x, y)]).T
        return complex(
            (v[1] - v[0] + v[2] - v[3]) / 2 / width + (u[3] - u[0] + u[2] - u[1]) / 2 / height
        )

    def warping(self, point: Point, unit: complex) -> float:
        """omega where the amplitude is `unit`: the part in step with it; that of shear strain is
        not."""
        return float((self.moved([point])[0, 2] / (self.rate * unit)).real)

    def in_plane(self, unit: complex) -> Array:
        """Functions of the in-plane motion alone."""
        return np.asarray(np.where(self.section.planar, self.shape / unit, 0.0).real)

    @property
    def foundation(self) -> float:
        """K / (E I_D): of exp(lambda z) with lambda^4 = -K / (E I_D), free of shear strain in the
        first order."""
        return float(-(self.rate**4).real)


@cache
def concrete_box(part: float = 1.0) -> Section:
    """With cantilever slabs; its walls a part of their thickness."""
    top, bottom, web = (part * t for t in (250.0, 200.0, 350.0))
    x, out, y, a = (6000.0 + web) / 2, 5000.0, 1250.0, (6000.0 - web) / 2
    outline = [
        (-x, -y - bottom / 2), (x, -y - bottom / 2), (x, y - top / 2), (out, y - top / 2),
        (out, y + top / 2), (-out, y + top / 2), (-out, y - top / 2), (-x, y - top / 2),
    ]  # fmt: skip
    low, high = bottom / 2 - y, y - top / 2
    hole = Contour([(-a, low), (a, low), (a, high), (-a, high)])
    return Section((Region(Contour(outline), (hole,), CONCRETE),), unit="mm", name="box")


@DISTORTION.check("dist_rect_const", within=0.02)
def constants_of_a_box(figure: Figure) -> Found:
    """omega_D, I_D, K and lambda by the slow mode: K is twice the energy of its in-plane motion,
    I_D follows from its rate."""
    given = figure.inputs
    b, h = given["b"], given["h"]
    mode = SlowDistortion.of(tube(b, h, given["tf"], given["tw"]))
    angle = mode.angle(b, h)
    shape = mode.in_plane(angle)
    stiffness = float(shape @ mode.section.C @ shape)
    inertia = stiffness / (given["E"] * mode.foundation)
    omega = abs(mode.warping((b / 2, h / 2), angle))
    return Found.several([omega, inertia, stiffness, (mode.foundation / 4) ** 0.25])


@DISTORTION.check("dist_rect_unsym", within=0.025)
def constants_of_a_box_with_slabs(figure: Figure) -> Found:
    """Walls a third as thick, scaled back: K and moments go with the cube, I_D with the first
    power. Moments of the web from the stress of its outer face, along straight lines."""
    given, part = figure.inputs, 1 / 3
    b, h, web = given["b"], given["h"], part * given["t_web"]
    mode = SlowDistortion.of(concrete_box(part))
    angle = mode.angle(b, h)
    shape = mode.in_plane(angle)
    still, _ = mode.section.stress_rows(np.array([((b + web) / 2, y) for y in (-h / 4, h / 4)]))
    low, high = (still @ shape)[:, 1] * web**2 / 6 / part**3
    mean, slope = (low + high) / 2, high - low
    top, bottom = abs(mean + slope), abs(mean - slope)
    stiffness = 2 * (top + bottom)
    warping = [abs(mode.warping((b / 2, y), angle)) for y in (h / 2, -h / 2)]
    foundation = mode.foundation / part**2
    inertia = stiffness / (given["E"] * foundation)
    return Found.several([*warping, inertia, stiffness, top, bottom, (foundation / 4) ** 0.25])


@cache
def trapezium() -> Section:
    """3000 wide at its top, 2000 at its foot."""
    corners = [(-1000.0, -750.0), (1000.0, -750.0), (1500.0, 750.0), (-1500.0, 750.0)]
    return walled(corners, (12.0, 10.0, 14.0, 10.0), STEEL, "trapezium")


@DISTORTION.check("dist_trap_const", within=0.01)
def constants_of_a_trapezium(figure: Figure) -> Found:
    """Over the warping at the top corners."""
    mode = SlowDistortion.of(trapezium())
    foot, top = (mode.moved([p])[0, 2] for p in ((1000.0, -750.0), (1500.0, 750.0)))
    shape = mode.in_plane(top / mode.rate)
    stiffness = float(shape @ mode.section.C @ shape)
    inertia = stiffness / (figure.inputs["E"] * mode.foundation)
    return Found.several(
        [abs((foot / top).real), (mode.foundation / 4) ** 0.25, inertia, stiffness]
    )


def _along_the_flange(solution: DeformingSolution, z: float, x: float, y: float) -> float:
    """sigma_zz at a corner from where it runs straight along the flange: at the corner itself the
    walls' transverse bending adds Poisson's share."""
    near, far = solution.stress([(0.9 * x, y), (0.6 * x, y)], [z])[0, :, 2, 0]
    return float(near + (near - far) / 3)


@DISTORTION.check(
    {f"dist_sine_rect_L{length}": 1000.0 * length for length in (20, 30, 60)}, within=0.03
)
def box_under_a_sine(length: float) -> Found:
    """Angle and warping stress at mid-span."""
    webs = [((WIDTH / 2, 0.0), -1.0), ((-WIDTH / 2, 0.0), 1.0)]
    solution = under_a_sine(tube(WIDTH, HEIGHT, 16.0, 10.0), length, webs)
    stress = _along_the_flange(solution, length / 2, WIDTH / 2, -HEIGHT / 2)
    return Found.several([corner_angle(solution, length / 2, WIDTH, HEIGHT), abs(stress)])


@DISTORTION.check("dist_trap_sine", within=0.025)
def trapezium_under_a_sine(figure: Figure) -> Found:
    """Warping stress at the top and bottom corners."""
    length = figure.inputs["L"]
    loads = [((1500.0, 750.0), -1.0), ((-1500.0, 750.0), 1.0)]
    solution = under_a_sine(trapezium(), length, loads)
    corners = ((1500.0, 750.0), (1000.0, -750.0))
    return Found.several(abs(_along_the_flange(solution, length / 2, x, y)) for x, y in corners)


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


def bimoment(solution: DeformingSolution) -> float:
    """The largest of distortion."""
    found = solution.distortion_angle(np.linspace(0.0, SPAN, 121))[1]
    return float(abs(found).max())


@DISTORTION.check("dist_ex1_point_gamma", within=5e-3)
def angle_under_a_point_load(_: Figure) -> Found:
    """At mid-span."""
    return Found.about(corner_angle(steel_box("point"), SPAN / 2, WIDTH, HEIGHT))


@DISTORTION.check("dist_ex1_point_bimoment", within=5e-3)
def bimoment_under_a_point_load(_: Figure) -> Found:
    """At mid-span. The source's stress follows from it by omega_D / I_D, which are checked too."""
    return Found.about(bimoment(steel_box("point")))


@DISTORTION.check("dist_ex1_point_stress", within=(-0.1, 0.0))
def warping_stress_under_a_point_load(_: Figure) -> Found:
    """Half the difference of the lower corners' stress, at the corners themselves."""
    x = 0.99 * WIDTH / 2
    right, left = steel_box("point").stress([(x, -HEIGHT / 2), (-x, -HEIGHT / 2)], [SPAN / 2])[
        0, :, 2, 0
    ]
    return Found.about(abs(right - left) / 2)


@DISTORTION.check("dist_ex1_transverse", within=5e-3)
def bending_of_the_web(_: Figure) -> Found:
    """Of the web without a load, at its foot: moment and stress of its outer face, along a straight
    line."""
    face = [(-WIDTH / 2 - 5.0, y) for y in (-600.0, -300.0)]
    near, far = steel_box("point").stress(face, [SPAN / 2])[0, :, 1, 0]
    stress = abs(float(near + (near - far) / 2))
    return Found.several([stress * 10.0**2 / 6, stress])


@DISTORTION.check("dist_ex1_udl_gamma", within=(-0.02, 0.0))
def angle_under_a_line_load(_: Figure) -> Found:
    """At mid-span."""
    return Found.about(corner_angle(steel_box("line"), SPAN / 2, WIDTH, HEIGHT))


@DISTORTION.check("dist_ex1_udl_stress", within=0.03)
def warping_stress(_: Figure) -> Found:
    """At the lower corners: half the difference of both."""
    right, left = (
        _along_the_flange(steel_box("line"), SPAN / 2, x, -HEIGHT / 2)
        for x in (WIDTH / 2, -WIDTH / 2)
    )
    return Found.about(abs(right - left) / 2)


@DISTORTION.check({"dist_ex1_dia1_gamma": 1}, within=(0.0, 0.10))
@DISTORTION.check({"dist_ex1_dia2_gamma": 2}, within=(0.0, 0.16))
def angle_between_diaphragms(count: int) -> Found:
    """The largest of the member."""
    solution = steel_box("line", count)
    return Found.about(
        max(corner_angle(solution, z, WIDTH, HEIGHT) for z in np.linspace(0.0, SPAN, 121))
    )


@DISTORTION.check({"dist_ex1_udl_bimoment": 0, "dist_ex1_dia1_bimoment": 1}, within=0.015)
@DISTORTION.check({"dist_ex1_dia2_bimoment": 2, "dist_ex1_dia4_bimoment": 4}, within=0.02)
@DISTORTION.check({"dist_ex1_dia9_bimoment": 9}, within=(-0.08, 0.0))
def bimoment_between_diaphragms(count: int) -> Found:
    """The largest of the member."""
    return Found.about(bimoment(steel_box("line", count)))


@cache
def loaded_concrete_box() -> DeformingSolution:
    """40 m, 20 N/mm over one web."""
    load = LineLoad(0.0, 40_000.0, (0, -20.0, 0), place=(3000.0, 1375.0))
    return solved([concrete_box()], 40_000.0, [load])


@DISTORTION.check("dist_ex2_gamma", within=(-0.12, 0.0))
def angle_of_a_concrete_box(_: Figure) -> Found:
    """At mid-span, with its cantilever slabs."""
    return Found.about(corner_angle(loaded_concrete_box(), 20_000.0, 6000.0, 2500.0))


@DISTORTION.check("dist_ex2_moments", within=0.1)
def corner_moments_of_a_concrete_box(_: Figure) -> Found:
    """Half the difference of both webs at mid-span, from the stress of their faces along straight
    lines. The source's warping stress holds nothing of torsional warping, a third of the whole
    here; its own folded plate is compared by the angle alone."""
    moments = []
    for side in (1, -1):
        faces = [(side * (3000.0 + t), y) for t in (175.0, -175.0) for y in (-600.0, 600.0)]
        stress = loaded_concrete_box().stress(faces, [20_000.0])[0, :, 1, 0]
        moments.append((stress[:2] - stress[2:]) / 2 * 350.0**2 / 6)
    foot, top = (moments[0] - moments[1]) / 2
    mean, slope = (foot + top) / 2, (top - foot) / 2 * 1250 / 600
    return Found.several([abs(mean + slope), abs(mean - slope)])


@DISTORTION.check("dia_japan", within=1e-9)
def usual_spacing(figure: Figure) -> Found:
    """Of each span."""
    return Found.several(customary_spacing(span) for span in figure.inputs["L_m"])


@DISTORTION.check("dia_heins", within=1e-8)
def usual_spacing_in_a_curve(figure: Figure) -> Found:
    """Below its bound of 25 ft."""
    foot = 0.3048
    span, radius = (foot * figure.inputs[k] for k in ("L_ft", "R_ft"))
    found = customary_curved_spacing(span, radius)
    assert found is not None
    return Found.about(found / foot)


@DISTORTION.check("dia_aashto", within=1e-12)
def limit_of_the_search(_: Figure) -> Found:
    """The share of the stress of bending that the search for a spacing allows."""
    return Found.about(LIMIT)
