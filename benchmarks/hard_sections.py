"""Sections that are hard to solve, in millimetres: invented dimensions, one difficulty or two each.

With the five of `sections` they are what general finite-element libraries are asked to confirm.
"""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
from soapfilm.geometry.material import Material
from soapfilm.geometry.outline.contour import Contour
from soapfilm.geometry.profiles.by_name import (
    circle,
    l_shape,
    rectangle,
    rectangle_hollow,
    t_shape,
    u_shape,
    z_shape,
)
from soapfilm.geometry.section import Region, Section


def thin_channel() -> Section:
    """Channel 200 x 100 with walls of 1 and sharp corners: 1:200."""
    profile = u_shape(depth=200, flange_width=100, web_thickness=1, flange_thickness=1)
    return profile.section(name="thin channel", unit="mm")


def thin_tube() -> Section:
    """Rectangular tube 200 x 100 with walls of 1, corner radii 2 and 1: 1:200."""
    profile = rectangle_hollow(
        x_dim=200, y_dim=100, wall_thickness=1, inner_fillet_radius=1, outer_fillet_radius=2
    )
    return profile.section(name="thin tube", unit="mm")


def three_cells() -> Section:
    """Box 600 x 200 of three cells, inclined webs, walls from 8 to 12, sharp inner corners."""
    holes = [
        [(-290, -90), (-130, -90), (-90, 92), (-290, 92)],
        [(-118, -90), (118, -90), (78, 92), (-78, 92)],
        [(130, -90), (288, -90), (288, 92), (90, 92)],
    ]
    outline = rectangle(x_dim=600, y_dim=200).outline
    return Section.single(outline, [Contour(h) for h in holes], name="three cells", unit="mm")


def two_materials() -> Section:
    """A girder under a slab of a thirtieth of its modulus, bonded on the flange alone."""
    stiff = Material("stiff", 210e3, 0.3)
    soft = Material("soft", 7e3, 0.2)
    right = [(4, -10), (60, -10), (60, 0)]
    below = [(60, -200), (60, -190), (4, -190)]
    half = [*below, *right]
    girder = Contour([*half, *((-x, y) for x, y in reversed(half))])
    slab = Contour([(-150, 0), (150, 0), (150, 60), (-150, 60)])
    regions = (Region(girder, material=stiff), Region(slab, material=soft))
    return Section(regions, name="two materials", unit="mm")


def near_hole() -> Section:
    """Square of 100 with a round hole of 40 that leaves 0.1 to the edge: 1e-3 of the size."""
    hole = Contour.circle((29.9, 0), 20)
    outline = rectangle(x_dim=100, y_dim=100).outline
    return Section.single(outline, [hole], name="hole near the edge", unit="mm")


def near_hole_with_vertices() -> Section:
    """The same with vertices on both sides of the thin ligament, ever closer toward it."""
    y = np.cumsum(0.1 * 1.5 ** np.arange(12))
    y = np.concatenate([-y[::-1], [0.0], y])
    y = y[np.abs(y) < 45]
    outline = Contour([(-50, -50), (50, -50), *((50, v) for v in y), (50, 50), (-50, 50)])
    angles = [*np.arcsin(y[np.abs(y) < 20] / 20), np.pi / 2, np.pi, 3 * np.pi / 2]
    angles = np.unique(np.mod(angles, 2 * np.pi))
    turns = np.mod(np.roll(angles, -1) - angles, 2 * np.pi)
    points = np.stack([29.9 + 20 * np.cos(angles), 20 * np.sin(angles)], axis=1)
    hole = Contour(points, np.tan(turns / 4))
    return Section.single(outline, [hole], name="hole near the edge", unit="mm")


def curved_wall() -> Section:
    """An S of two three-quarter circles, middle line of radius 60, wall 8."""
    turn = float(np.tan(3 * np.pi / 8))
    points = [(64, 60), (0, -4), (-56, -60), (-64, -60), (0, 4), (56, 60)]
    outline = Contour(points, [turn, -turn, 0, turn, -turn, 0])
    return Section.single(outline, name="curved wall", unit="mm")


def slit_tube() -> Section:
    """Tube of mean radius 100 and wall 5 with a saw cut of 0.5."""
    outer, inner, half = 102.5, 97.5, 0.25
    x = [float(np.sqrt(r**2 - half**2)) for r in (outer, inner)]
    bulges = [float(np.tan((np.pi - np.arcsin(half / r)) / 2)) for r in (outer, inner)]
    points = [(x[0], half), (x[0], -half), (x[1], -half), (x[1], half)]
    outline = Contour(points, [bulges[0], 0, -bulges[1], 0])
    return Section.single(outline, name="slit tube", unit="mm")


def tee() -> Section:
    """T of 120 x 100, flange 10, stem 8, sharp corners."""
    profile = t_shape(depth=100, flange_width=120, web_thickness=8, flange_thickness=10)
    return profile.section(name="T", unit="mm")


def zed() -> Section:
    """Z 200 deep, flanges 80 x 10, web 6, sharp corners."""
    profile = z_shape(depth=200, flange_width=80, web_thickness=6, flange_thickness=10)
    return profile.section(name="Z", unit="mm")


def filleted_angle() -> Section:
    """Unequal angle 150 x 90 x 10, root radius 12, toe radii 6."""
    profile = l_shape(depth=150, width=90, thickness=10, fillet_radius=12, edge_radius=6)
    return profile.section(name="angle with fillets", unit="mm")


def tapered_channel() -> Section:
    """Channel 300 x 100, web 10, flanges 16 that taper by 0.08, root radius 15, toe radius 8."""
    profile = u_shape(
        depth=300,
        flange_width=100,
        web_thickness=10,
        flange_thickness=16,
        fillet_radius=15,
        edge_radius=8,
        flange_slope=0.08,
    )
    return profile.section(name="tapered channel", unit="mm")


def eccentric_tube() -> Section:
    """Round tube, radii 100 and 60, centres 38 apart: the wall runs from 2 to 78."""
    hole = Contour.circle((38, 0), 60)
    return Section.single(circle(radius=100).outline, [hole], name="eccentric tube", unit="mm")


def notched_square() -> Section:
    """Square of 100 with a notch of 10 degrees to its centre: stress as r^-0.486."""
    mouth = 50 * float(np.tan(np.radians(5)))
    outline = Contour(
        [(-50, -50), (50, -50), (50, -mouth), (0, 0), (50, mouth), (50, 50), (-50, 50)]
    )
    return Section.single(outline, name="notched square", unit="mm")


#: Short key of each section and the function that builds it.
HARD_SECTIONS: dict[str, Callable[[], Section]] = {
    "thin_channel": thin_channel,
    "thin_tube": thin_tube,
    "three_cells": three_cells,
    "two_materials": two_materials,
    "near_hole": near_hole,
    "curved_wall": curved_wall,
    "slit_tube": slit_tube,
    "tee": tee,
    "zed": zed,
    "filleted_angle": filleted_angle,
    "tapered_channel": tapered_channel,
    "eccentric_tube": eccentric_tube,
    "notched_square": notched_square,
}
