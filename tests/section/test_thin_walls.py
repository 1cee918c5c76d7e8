"""Thin-wall formulas are limits: the error falls with the wall's thickness at the expected rate.

Walls are laid along their middle lines. J of open walls lacks its free ends and J of tubes gains at
their corners, parts t/b of the whole: the error halves with t. Warping follows the middle line but
for terms (t/b)^2: the errors of shear centre and C_w fall to a quarter.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import cache

import numpy as np
import pytest
from soapfilm.geometry.contour import Contour
from soapfilm.geometry.profiles import (
    asymmetric_i_shape,
    circle_hollow,
    rectangle,
    rectangle_hollow,
    u_shape,
    z_shape,
)
from soapfilm.geometry.section import Region, Section, Slit
from soapfilm.solver.section import SectionResult, solve_section

SCALES = (1.0, 0.5, 0.25)


def channel(s: float) -> Section:
    tf, tw = 15 * s, 10 * s
    return u_shape(
        depth=280 + tf, flange_width=95 + tw / 2, web_thickness=tw, flange_thickness=tf
    ).section()


def zed(s: float) -> Section:
    tf, tw = 15 * s, 10 * s
    return z_shape(
        depth=280 + tf, flange_width=95 + tw / 2, web_thickness=tw, flange_thickness=tf
    ).section()


def unequal_i(s: float) -> Section:
    return asymmetric_i_shape(
        bottom_flange_width=300,
        top_flange_width=150,
        overall_depth=480 + 20 * s,
        web_thickness=10 * s,
        bottom_flange_thickness=20 * s,
    ).section()


def slit_tube(s: float, radius: float = 100.0) -> Section:
    t = 20 * s
    ring = circle_hollow(radius=radius + t / 2, wall_thickness=t)
    slit = Slit(((radius - t / 2, 0.0), (radius + t / 2, 0.0)))
    return Section((Region(*ring),), slits=(slit,))


def half_tube(s: float) -> Section:
    """R = 100, the open side to the right."""
    r, a = 100 - 10 * s, 100 + 10 * s
    return Section.single(Contour([(0, a), (0, -a), (0, -r), (0, r)], [1.0, 0.0, -1.0, 0.0]))


def slit_box(s: float) -> Section:
    """Middle lines 120 x 80, slit in the middle of the right wall."""
    t = 6 * s
    box = rectangle_hollow(x_dim=120 + t, y_dim=80 + t, wall_thickness=t)
    slit = Slit(((60 - t / 2, 0.0), (60 + t / 2, 0.0)))
    return Section((Region(*box),), slits=(slit,))


def box(s: float) -> Section:
    t = 10 * s
    return rectangle_hollow(x_dim=200 + t, y_dim=100 + t, wall_thickness=t).section()


def two_cells(s: float) -> Section:
    """Middle lines 300 x 100 with a web at a third."""
    t = 10 * s
    walls = [(-150.0, -50.0), (-50.0, 150.0)]
    y = 50 - t / 2
    cells = [(x0 + t / 2, x1 - t / 2) for x0, x1 in walls]
    holes = [Contour([(x0, -y), (x1, -y), (x1, y), (x0, y)]) for x0, x1 in cells]
    return Section.single(rectangle(x_dim=300 + t, y_dim=100 + t).outline, holes)


def two_cell_constant(s: float) -> float:
    """Bredt's equations of two cells: sum over each cell's walls of q s/t = 2 G theta A."""
    t = 10 * s
    matrix = np.array([[400 / t, -100 / t], [-100 / t, 600 / t]])
    areas = np.array([100 * 100.0, 200 * 100.0])
    return float(4 * areas @ np.linalg.solve(matrix, areas))


def strip(s: float) -> Section:
    return rectangle(x_dim=100, y_dim=10 * s).section()


@cache
def solved(shape: Callable[[float], Section], s: float) -> SectionResult:
    return solve_section(shape(s), 1e-7)


def torsion(r: SectionResult) -> float:
    return r.torsion_constant


def warping(r: SectionResult) -> float:
    return r.warping_constant


def centre_x(origin: float) -> Callable[[SectionResult], float]:
    """Distance to the left of a vertical line: away from the slit or the open side."""
    return lambda r: origin - float(r.shear_centre[0])


def channel_offset(r: SectionResult) -> float:
    """From the middle line of the web, which the section's box has on its left."""
    web = r.section.bounds()[0] + 5 * (r.section.bounds()[3] - 140) * 2 / 15
    return web - float(r.shear_centre[0])


def unequal_offset(r: SectionResult) -> float:
    """From the middle line of the wide bottom flange: t/2 above the lowest fibre."""
    y0, y1 = r.section.bounds()[1], r.section.bounds()[3]
    return float(r.shear_centre[1]) - (y0 + (y1 - y0 - 480) / 2)


#: Name: shape, quantity, thin value by scale, error's ratio at half the thickness.
Case = tuple[
    Callable[[float], Section],
    Callable[[SectionResult], float],
    Callable[[dict, float], float],
    float,
]
CASES: dict[str, Case] = {
    # sum b t^3/3: the ends of a strip lack 0.315 t each
    "strip J": (strip, torsion, lambda c, s: 100 * (10 * s) ** 3 / 3, 0.5),
    "slit tube J": (slit_tube, torsion, lambda c, s: 2 * np.pi * 100 * (20 * s) ** 3 / 3, 0.5),
    "slit tube e": (slit_tube, centre_x(0), lambda c, s: 100 * c["slit_tube_e"]["value"], 0.25),
    "slit tube C_w": (
        slit_tube, warping, lambda c, s: c["slit_tube_Cw"]["value"] * 20 * s * 100**5, 0.25,
    ),
    "half tube e": (half_tube, centre_x(0), lambda c, s: 100 * c["halftube_e"]["value"], 0.25),
    "half tube C_w": (
        half_tube, warping, lambda c, s: c["halftube_Cw"]["value"] * 20 * s * 100**5, 0.25,
    ),
    "channel e": (channel, channel_offset, lambda c, s: c["chan_e"]["value"], 0.25),
    "channel C_w": (channel, warping, lambda c, s: c["chan_Cw"]["value"] * s, 0.25),
    "Z C_w": (zed, warping, lambda c, s: c["Z_Cw"]["value"] * s, 0.25),
    "unequal I e": (unequal_i, unequal_offset, lambda c, s: c["uneqI_sc"]["value"], 0.25),
    "unequal I C_w": (unequal_i, warping, lambda c, s: c["uneqI_Cw"]["value"] * s, 0.25),
    "slit box e": (slit_box, centre_x(-60), lambda c, s: c["slitrect_e"]["value"], 0.25),
    "slit box C_w": (slit_box, warping, lambda c, s: 1.1352436e10 * 2 * s, 0.25),
    "box J": (box, torsion, lambda c, s: c["bredt_box"]["value"] * 2 * s, 0.5),
    "two cells J": (two_cells, torsion, lambda c, s: two_cell_constant(s), 0.5),
}  # fmt: skip


@pytest.mark.parametrize("name", CASES)
def test_error_falls_with_the_thickness(name: str, checks: dict, spread) -> None:
    shape, quantity, thin, ratio = CASES[name]
    errors = np.array([quantity(solved(shape, s)) / thin(checks, s) - 1 for s in SCALES])
    spread("thin walls", name, errors[-1])
    assert errors[2] / errors[1] == pytest.approx(ratio, rel=0.2)
    assert abs(errors[2]) < 0.6 * abs(errors[1])
    assert abs(errors[2]) < 0.02
