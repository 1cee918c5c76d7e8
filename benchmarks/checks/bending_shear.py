"""Stress, centre and energy factor of bending shear with Poisson's ratio."""

from __future__ import annotations

import numpy as np
from soapfilm.geometry.material import Material
from soapfilm.geometry.outline.contour import Contour
from soapfilm.geometry.section import Section
from soapfilm.solver.section import solve_section
from soapfilm.solver.section.elements.integrals import stations_at
from soapfilm.solver.section.mesh.location import locate
from soapfilm.solver.section.stress.unit_stress import UnitStress, unit_stress

from .registry import Found, Topic

SHEAR = Topic("Bending shear: stress", "Saint-Venant's flexure problem; shear along y.")
FACTORS = Topic(
    "Bending shear: shear factors",
    "The energy's factor, A_s/A. Cowper's coefficients have another definition and stand here for "
    "comparison only.",
)
V_Y = np.eye(8)[4]


def section(outline: Contour, nu: float, *holes: Contour) -> Section:
    """A section of unit modulus."""
    return Section.single(outline, holes, material=Material("test", 1.0, nu))


def rectangle(width: float, depth: float, nu: float) -> Section:
    """Centred on the origin."""
    x, y = width / 2, depth / 2
    return section(Contour([[-x, -y], [x, -y], [x, y], [-x, y]]), nu)


def circle(radius: float, nu: float) -> Section:
    """Centred on the origin."""
    return section(Contour.circle((0, 0), radius), nu)


def solved(shape: Section, accuracy: float = 1e-6) -> UnitStress:
    """Unit stresses."""
    return unit_stress(solve_section(shape, accuracy))


def shear_at(units: UnitStress, x: float, y: float) -> float:
    """tau_zy per unit V_y at a point."""
    t, xi, eta = locate(units.field.mesh, np.array([[x, y]], dtype=float))
    stations = stations_at(units.field.mesh, units.field.order, xi, eta, t)
    return float(units.evaluate(stations, t).combined(V_Y)[1][0, 0, 1])


@SHEAR.check(
    {
        f"shear_rect_{ratio:g}_{place}": (ratio, x)
        for ratio in (2, 1, 0.5, 0.25)
        for place, x in (("centre", 0.0), ("edge", 0.5))
    },
    within=1e-4,
    published=1e-3,
)
def rectangle_stress(place: tuple[float, float]) -> Found:
    """tau by 3 V/(2 A), nu = 1/4."""
    ratio, x = place
    return Found.about(shear_at(solved(rectangle(1.0, ratio, 0.25), 1e-8), x, 0) * ratio / 1.5)


@SHEAR.check({"shear_circle_centre": 0.0, "shear_circle_side": 2.0}, within=1e-8)
def circle_stress(x: float) -> Found:
    """tau I/(V R^2), nu = 0.3, R = 2."""
    radius = 2.0
    units = solved(circle(radius, 0.3), 1e-10)
    return Found.about(shear_at(units, x, 0) * np.pi * radius**2 / 4)


@SHEAR.check("semicircle_flexure", within=1e-6)
def semicircle_centre(_figure: object) -> Found:
    """The load line free of rotation at the circle's centre.

    Ours is free of *mean* rotation. The local rotation differs by nu V y_c/(E I) at the circle's
    centre, y_c = 4 R/(3 pi) below the centroid: a torque G J times it, with J = (pi/2 - 4/pi) R^4.
    """
    nu = 0.3
    units = solved(section(Contour([[1, 0], [-1, 0]], [1.0, 0.0]), nu), 1e-8)
    j, inertia = np.pi / 2 - 4 / np.pi, np.pi / 8
    shift = nu * 4 / (3 * np.pi) / inertia * j / (2 * (1 + nu))
    return Found.about(units.flexural_shear_centre()[1] + shift)


def energy_factor(units: UnitStress) -> Found:
    """A_s/A along y."""
    return Found.about(1 / units.shear_flexibility()[1, 1] / units.result.area)


@FACTORS.check(
    {
        "kappa_rect_2_1_0.25": (1, 2, 0.25),
        "kappa_rect_2_1_0.5": (1, 2, 0.5),
        "kappa_rect_1_1_0.25": (1, 1, 0.25),
        "kappa_rect_1_1_0.5": (1, 1, 0.5),
        "kappa_rect_1_2_0.25": (2, 1, 0.25),
        "kappa_rect_1_2_0.5": (2, 1, 0.5),
        "kappa_rect_nu0": (3, 1, 0.0),
    },
    within=7e-6,
    published=1e-4,
)
def rectangle_factor(shape: tuple[float, float, float]) -> Found:
    """Width, depth along the shear, nu."""
    return energy_factor(solved(rectangle(*shape)))


@FACTORS.check({"kappa_circle_energy": 0.3}, within=1e-9)
@FACTORS.check({"cowper_circle": 0.3}, within=(-0.05, -0.03))
def circle_factor(nu: float) -> Found:
    """Energy factor of a circle."""
    return energy_factor(solved(circle(1.5, nu), 1e-10))


@FACTORS.check({"cowper_rect": 0.3}, within=(-0.03, 0.0))
def square_factor(nu: float) -> Found:
    """Energy factor of a slender rectangle, twice as deep as wide."""
    return energy_factor(solved(rectangle(1, 2, nu)))


@FACTORS.check({"cowper_tube": 0.3}, within=(-0.07, -0.05))
def tube_factor(nu: float) -> Found:
    """Round tube, wall of 1/50 of the radius."""
    outer, inner = (Contour.circle((0, 0), r) for r in (1.01, 0.99))
    return energy_factor(solved(section(outer, nu, inner)))


@FACTORS.check({"cowper_sqtube": 0.3}, within=(-0.05, -0.03))
def square_tube_factor(nu: float) -> Found:
    """Square tube, wall of 1/100 of the side."""
    outer, inner = (Contour([[-r, -r], [r, -r], [r, r], [-r, r]]) for r in (0.505, 0.495))
    return energy_factor(solved(section(outer, nu, inner)))
