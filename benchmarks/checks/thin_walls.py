"""Thin-wall formulas: shapes whose walls can be made ever thinner, and the limits they tend to.

Walls are laid along their middle lines; `s` is their thickness by that of the figure.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from functools import cache

import numpy as np
from soapfilm.geometry.outline.contour import Contour
from soapfilm.geometry.profiles.by_name import (
    asymmetric_i_shape,
    circle_hollow,
    rectangle,
    rectangle_hollow,
    u_shape,
    z_shape,
)
from soapfilm.geometry.section import Region, Section, Slit
from soapfilm.solver.section import SectionResult, solve_section

from .figure import Figure
from .registry import Found, Topic


def channel(s: float) -> Section:
    """Middle lines 280 deep and 95 wide, flanges 15, web 10."""
    tf, tw = 15 * s, 10 * s
    return u_shape(
        depth=280 + tf, flange_width=95 + tw / 2, web_thickness=tw, flange_thickness=tf
    ).section()


def zed(s: float) -> Section:
    """The channel with one flange turned about."""
    tf, tw = 15 * s, 10 * s
    return z_shape(
        depth=280 + tf, flange_width=95 + tw / 2, web_thickness=tw, flange_thickness=tf
    ).section()


def unequal_i(s: float) -> Section:
    """Middle line 480 deep, flanges 300 below and 150 above, both 20, web 10."""
    return asymmetric_i_shape(
        bottom_flange_width=300,
        top_flange_width=150,
        overall_depth=480 + 20 * s,
        web_thickness=10 * s,
        bottom_flange_thickness=20 * s,
    ).section()


def slit_tube(s: float, radius: float = 100.0) -> Section:
    """Wall of 20, slit at the right."""
    t = 20 * s
    ring = circle_hollow(radius=radius + t / 2, wall_thickness=t)
    slit = Slit(((radius - t / 2, 0.0), (radius + t / 2, 0.0)))
    return Section((Region(*ring),), slits=(slit,))


def half_tube(s: float) -> Section:
    """R = 100, wall of 20, the open side to the right."""
    r, a = 100 - 10 * s, 100 + 10 * s
    return Section.single(Contour([(0, a), (0, -a), (0, -r), (0, r)], [1.0, 0.0, -1.0, 0.0]))


def slit_box(s: float) -> Section:
    """Middle lines 120 x 80, wall of 6, slit in the middle of the right wall."""
    t = 6 * s
    box = rectangle_hollow(x_dim=120 + t, y_dim=80 + t, wall_thickness=t)
    slit = Slit(((60 - t / 2, 0.0), (60 + t / 2, 0.0)))
    return Section((Region(*box),), slits=(slit,))


def box(s: float) -> Section:
    """Middle lines 200 x 100, wall of 10."""
    t = 10 * s
    return rectangle_hollow(x_dim=200 + t, y_dim=100 + t, wall_thickness=t).section()


def two_cells(s: float) -> Section:
    """Middle lines 300 x 100 with a web at a third, walls of 10."""
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
    """100 x 10."""
    return rectangle(x_dim=100, y_dim=10 * s).section()


@cache
def solved(shape: Callable[[float], Section], s: float) -> SectionResult:
    """The shape at a thickness."""
    return solve_section(shape(s), 1e-7)


# -- quantities ------------------------------------------------------------------------------------
def torsion(r: SectionResult) -> float:
    """J."""
    return r.torsion_constant


def warping(r: SectionResult) -> float:
    """C_w."""
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


#: Shape, quantity, thin value by figures and scale, error's ratio at half the thickness.
Case = tuple[
    Callable[[float], Section],
    Callable[[SectionResult], float],
    Callable[[Mapping[str, Figure], float], float],
    float,
]
#: J of open walls lacks their free ends and J of tubes gains at their corners, parts t/b of the
#: whole: the error halves with t. Warping follows the middle line but for terms (t/b)^2: the errors
#: of shear centre and C_w fall to a quarter.
CASES: dict[str, Case] = {
    # sum b t^3/3: the ends of a strip lack 0.315 t each
    "strip J": (strip, torsion, lambda f, s: 100 * (10 * s) ** 3 / 3, 0.5),
    "slit tube J": (slit_tube, torsion, lambda f, s: f["slit_tube_J"].value * (10 * s) ** 3, 0.5),
    "slit tube e": (slit_tube, centre_x(0), lambda f, s: 100 * f["slit_tube_e"].value, 0.25),
    "slit tube C_w": (
        slit_tube, warping, lambda f, s: f["slit_tube_Cw"].value * 20 * s * 100**5, 0.25,
    ),
    "half tube e": (half_tube, centre_x(0), lambda f, s: 100 * f["halftube_e"].value, 0.25),
    "half tube C_w": (
        half_tube, warping, lambda f, s: f["halftube_Cw"].value * 20 * s * 100**5, 0.25,
    ),
    "channel e": (channel, channel_offset, lambda f, s: f["chan_e"].value, 0.25),
    "channel C_w": (channel, warping, lambda f, s: f["chan_Cw"].value * s, 0.25),
    "Z C_w": (zed, warping, lambda f, s: f["Z_Cw"].value * s, 0.25),
    "unequal I e": (unequal_i, unequal_offset, lambda f, s: f["uneqI_sc"].value, 0.25),
    "unequal I C_w": (unequal_i, warping, lambda f, s: f["uneqI_Cw"].value * s, 0.25),
    "slit box e": (slit_box, centre_x(-60), lambda f, s: f["slitrect_e"].value, 0.25),
    "slit box C_w": (slit_box, warping, lambda f, s: f["slitrect_Cw"].value * 2 * s, 0.25),
    "box J": (box, torsion, lambda f, s: f["bredt_box"].value * 2 * s, 0.5),
    "two cells J": (two_cells, torsion, lambda f, s: two_cell_constant(s), 0.5),
}  # fmt: skip

THIN = Topic(
    "Thin-wall formulas",
    "The solid section with walls as thin as stated; the formula is its limit. Tests halve the "
    "walls twice and find the difference of J halved, those of shear centre and C_w quartered.",
)
#: Thickness at which the book shows each figure, by that of the shape.
SHOWN = {
    "slit_tube_J": ("slit tube J", 0.1),
    "slit_tube_e": ("slit tube e", 0.1),
    "slit_tube_Cw": ("slit tube C_w", 0.1),
    "halftube_e": ("half tube e", 0.1),
    "halftube_Cw": ("half tube C_w", 0.1),
    "chan_e": ("channel e", 0.25),
    "chan_Cw": ("channel C_w", 0.25),
    "Z_Cw": ("Z C_w", 0.25),
    "uneqI_sc": ("unequal I e", 0.25),
    "uneqI_Cw": ("unequal I C_w", 0.25),
    "slitrect_e": ("slit box e", 0.25),
    "slitrect_Cw": ("slit box C_w", 0.25),
    "bredt_box": ("box J", 0.125),
}


@THIN.check({name: (name, *shown) for name, shown in SHOWN.items()}, within=0.02)
def thin_value(shown: tuple[str, str, float]) -> Found:
    """Ours by the thin value at the same thickness, in the figure's unit."""
    from .figure import figures

    name, case, s = shown
    shape, quantity, thin, _ = CASES[case]
    known = figures()
    return Found.about(quantity(solved(shape, s)) / thin(known, s) * known[name].value)


def round_over_square(quantity: Callable[[SectionResult], float], t: float) -> float:
    """Ratio of tubes whose walls have the same middle length and thickness t, round radius 1."""
    side = np.pi / 2
    one = solve_section(circle_hollow(radius=1 + t / 2, wall_thickness=t).section())
    other = solve_section(
        rectangle_hollow(x_dim=side + t, y_dim=side + t, wall_thickness=t).section()
    )
    return quantity(one) / quantity(other)


@THIN.check(
    {
        "bredt_ratio_J": torsion,
        "bredt_ratio_Wt": lambda r: 1 / r.cells[0].shear_flow_per_torque,
    },
    within=0.03,
)
def bredt_ratio(quantity: Callable[[SectionResult], float]) -> Found:
    """J, or the torque for a given shear flow, at walls of 1/50 of the radius."""
    return Found.about(round_over_square(quantity, 0.02))
