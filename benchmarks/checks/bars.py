"""Torsion constants of solid bars and tubes that have an exact solution."""

from __future__ import annotations

from functools import cache
from math import pi, radians, tan

import numpy as np
from soapfilm.geometry.outline.contour import Contour
from soapfilm.geometry.outline.placement import Placement
from soapfilm.geometry.profiles.by_name import circle, circle_hollow, ellipse, rectangle
from soapfilm.geometry.section import Region, Section, Slit
from soapfilm.solver.section import solve_section

from ..hard_sections import eccentric_tube
from .registry import Found, Topic

#: Width asked of J's interval: below the digits that the values have.
ACCURACY = 1e-10
#: Sides of the rectangles in the tables.
ASPECTS = (1, 1.2, 1.5, 2, 2.5, 3, 4, 5, 10)
TRIANGLE = Section.single(Contour([(0, 0), (1, 0), (0.5, np.sqrt(0.75))]))
SEMICIRCLE = Section.single(Contour([(-1, 0), (1, 0)], [0, 1]))
L_DOMAIN = Section.single(Contour([(0, 0), (2, 0), (2, 1), (1, 1), (1, 2), (0, 2)]))

BARS = Topic(
    "Torsion constant: exact solutions",
    "Ours is the middle of a guaranteed interval of J, asked to be 1e-10 wide.",
)
PROPERTIES = Topic("Eccentric tube: warping constant and shear centre, exactly")


def rectangle_of(aspect: float) -> Section:
    """A rectangle `aspect` by 1."""
    return rectangle(x_dim=aspect, y_dim=1).section()


def polygon(sides: int) -> Section:
    """Regular polygon whose incircle has the radius 1/2."""
    a = 2 * pi * np.arange(sides) / sides
    radius = 0.5 / np.cos(pi / sides)
    return Section.single(Contour(radius * np.stack([np.cos(a), np.sin(a)], axis=1)))


def sector(degrees: float) -> Section:
    """Circular sector, tip at the origin; the full turn is a bar slit to its middle."""
    if degrees == 360:
        bar = Region(Contour.circle((0, 0), 1.0))
        return Section((bar,), slits=(Slit(((0.0, 0.0), (1.0, 0.0))),))
    a = radians(degrees)
    return Section.single(Contour([(0, 0), (1, 0), (np.cos(a), np.sin(a))], [0, tan(a / 4), 0]))


def drawn_ellipse(deviation: float, hole: float = 0.0) -> Section:
    """Ellipse of half axes 2 and 1 as arcs that leave it by the deviation, with a similar hole."""
    outline = ellipse(semi_axis1=2, semi_axis2=1, deviation=deviation).outline
    holes = [outline.placed(Placement.scale(hole))] if hole else []
    return Section.single(outline, holes)


def torsion_constant(section: Section) -> Found:
    """J with its interval."""
    result = solve_section(section, ACCURACY)
    return Found.between(result.torsion_constant_lower, result.torsion_constant_upper)


@BARS.check({f"rect_J_{a:g}": a for a in ASPECTS}, within=1e-9, published=3e-3, exact=True)
def rectangle_constant(aspect: float) -> Found:
    """J/(a b^3)."""
    return torsion_constant(rectangle_of(aspect)).scaled(1 / aspect)


@BARS.check(
    {
        "circle_J": circle(radius=1).section(),
        "tube_J": circle_hollow(radius=1, wall_thickness=0.2).section(),
        "eqtri_J": TRIANGLE,
        "eccentric_tube_J": eccentric_tube(),
        "ngon5_J": polygon(5),
        "ngon12_J": polygon(12),
        "L_unit_J": L_DOMAIN,
    },
    within=1e-9,
    exact=True,
)
def constant(section: Section) -> Found:
    """J."""
    return torsion_constant(section)


@BARS.check({"ngon6_J": polygon(6)}, within=1e-9, published=1e-3, exact=True)
def hexagon_constant(section: Section) -> Found:
    """J/d^4."""
    return torsion_constant(section)


@BARS.check({"semicircle_J": SEMICIRCLE}, within=1e-9, published=6e-3, exact=True)
def semicircle_constant(section: Section) -> Found:
    """J."""
    return torsion_constant(section)


@BARS.check(
    {f"sector_{d}": sector(d) for d in (45, 60, 90, 120, 270, 360)},
    within=1e-9,
    published=3e-3,
    exact=True,
)
def sector_constant(section: Section) -> Found:
    """J."""
    return torsion_constant(section)


@BARS.check({"L_unit": L_DOMAIN}, within=1e-9, published=5e-9, exact=True)
def film_volume(section: Section) -> Found:
    """int u of -lap u = 1: a quarter of J."""
    return torsion_constant(section).scaled(0.25)


@BARS.check({"ellipse_J": (1e-9, 0.0)}, within=4e-9)
@BARS.check({"ellipse_tube_J": (1e-7, 0.5)}, within=4e-7)
def ellipse_constant(drawn: tuple[float, float]) -> Found:
    """J; the arcs' deviation limits the digits."""
    deviation, hole = drawn
    result = solve_section(drawn_ellipse(deviation, hole), deviation)
    return Found.between(result.torsion_constant_lower, result.torsion_constant_upper)


@cache
def eccentric() -> tuple[Found, Found]:
    """C_w and the shear centre's distance toward the thick wall."""
    result = solve_section(eccentric_tube(), ACCURACY)
    warping = result.warping_properties
    return (
        Found.about(warping.warping_constant, warping.warping_constant_change),
        Found.about(-warping.shear_centre[0], warping.shear_centre_change),
    )


@PROPERTIES.check({"eccentric_tube_Cw": 0, "eccentric_tube_e": 1}, within=1e-9)
def eccentric_property(which: int) -> Found:
    """C_w or the shear centre."""
    return eccentric()[which]
