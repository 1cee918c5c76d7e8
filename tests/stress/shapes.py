"""Sections the stress tests share."""

from __future__ import annotations

import numpy as np
from soapfilm.geometry.material import Material
from soapfilm.geometry.outline.contour import Contour
from soapfilm.geometry.section import Section
from soapfilm.solver.section import solve_section
from soapfilm.solver.section.stress.unit_stress import UnitStress, unit_stress


def material(nu: float) -> Material:
    """A material of unit modulus with Poisson's ratio nu."""
    return Material("test", 1.0, nu)


def rectangle(width: float, depth: float, nu: float = 0.3) -> Section:
    """Rectangle centred on the origin."""
    w, d = width / 2, depth / 2
    return Section.single(Contour([[-w, -d], [w, -d], [w, d], [-w, d]]), material=material(nu))


def circle(radius: float, nu: float = 0.3) -> Section:
    """Circle centred on the origin."""
    return Section.single(Contour.circle((0, 0), radius), material=material(nu))


def i_section(b: float, h: float, tf: float, tw: float, nu: float = 0.3) -> Section:
    """Sharp-cornered I, h between the flanges' middles, centred on the origin."""
    x, y, u, w = b / 2, (h + tf) / 2, (h - tf) / 2, tw / 2
    right = [[w, -u], [x, -u], [x, -y], [-x, -y], [-x, -u], [-w, -u]]
    upper = [[-px, -py] for px, py in right]
    return Section.single(Contour(right[::-1] + upper[::-1]), material=material(nu))


def channel(b: float, h: float, t: float, nu: float = 0.3) -> Section:
    """Channel of equal walls, b and h between middles, middle of the web on the y axis."""
    y, u = (h + t) / 2, (h - t) / 2
    points = [[-t / 2, -y], [b, -y], [b, -u], [t / 2, -u], [t / 2, u], [b, u], [b, y], [-t / 2, y]]
    return Section.single(Contour(points), material=material(nu))


def box(width: float, depth: float, t: float, nu: float = 0.3) -> Section:
    """Rectangular tube, width and depth between the walls' middles."""
    outer, inner = [], []
    for sx, sy in ((-1, -1), (1, -1), (1, 1), (-1, 1)):
        outer.append([sx * (width + t) / 2, sy * (depth + t) / 2])
        inner.append([sx * (width - t) / 2, sy * (depth - t) / 2])
    return Section.single(Contour(outer), [Contour(inner)], material=material(nu))


def angle(leg: float, t: float, radius: float, nu: float = 0.3) -> Section:
    """Equal-leg angle with an inner fillet."""
    quarter = np.tan(np.pi / 8)
    points = [[0, 0], [leg, 0], [leg, t], [t + radius, t], [t, t + radius], [t, leg], [0, leg]]
    return Section.single(Contour(points, [0, 0, 0, -quarter, 0, 0, 0]), material=material(nu))


def solved(section: Section, accuracy: float = 1e-6) -> UnitStress:
    """Unit stresses of a section."""
    return unit_stress(solve_section(section, accuracy))
