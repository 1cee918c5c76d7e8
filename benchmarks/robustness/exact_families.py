"""Random sections whose J is known in closed form, over all their proportions."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from functools import partial
from math import atan, cos, pi, sin, sqrt, tan

import numpy as np
from soapfilm.geometry.material import Material
from soapfilm.geometry.outline.contour import Contour
from soapfilm.geometry.profiles import by_name as profiles
from soapfilm.geometry.section import Region, Section, Slit

from . import closed_form
from .case import Case, between, exactly

Point = tuple[Fraction, Fraction]


def rectangle(rng: np.random.Generator) -> Case:
    """From a square to a strip of 1 : 10,000."""
    short = between(rng, 1e-4, 1)
    section = profiles.PROFILES["Rectangle"](x_dim=1.0, y_dim=short).section()
    return exactly(section, closed_form.rectangle(1.0, short))


def ring(rng: np.random.Generator) -> Case:
    """A round tube, its hole off centre by anything up to a thousandth of the wall."""
    inner = 1 - between(rng, 1e-4, 0.9)
    offset = (1 - inner) * (1 - between(rng, 1e-3, 1)) * (rng.random() < 0.8)
    return eccentric(inner, offset)


def eccentric(inner: float, offset: float) -> Case:
    """A round bar of radius one with a round hole."""
    section = Section.single(Contour.circle((0, 0), 1.0), [Contour.circle((offset, 0), inner)])
    value = closed_form.eccentric_ring(1.0, inner, offset)
    # the rounded coordinates move the thinnest place of the wall, which J of a tube hangs on
    return exactly(section, value, 1e-12 + 1e-14 / (1 - inner - abs(offset)))


def curved_strip(rng: np.random.Generator) -> Case:
    """A piece of a ring: walls to 1 : 10,000 of the radius, from nearly straight to a full turn."""
    inner = 1 - between(rng, 1e-4, 0.95)
    angle = between(rng, 2e-3, 2 * pi) if rng.random() < 0.7 else rng.uniform(pi, 2 * pi)
    return sector(inner, float(angle))


def sector(inner: float, angle: float) -> Case:
    """A piece of a ring of outer radius one; its arcs are single edges."""
    bulge = tan(angle / 4)
    c, s = cos(angle), sin(angle)
    points = [(inner, 0), (1, 0), (c, s), (inner * c, inner * s)]
    outline = Contour(points, [0, bulge, 0, -bulge])
    # an angle of rounded ends; what rounding does to the walls is worked out by `_drift`
    doubt = 1e-12 + 1e-15 / angle
    drift = partial(_drift, wall=1 - inner)
    section = Section.single(outline)
    value = closed_form.annular_sector(inner, 1, angle) * (1 + drift(section))
    return replace(exactly(section, value, doubt), drift=drift)


def _drift(section: Section, wall: float) -> float:
    """How much stiffer a strip is, by its coordinates and bulges as they are rounded, than one
    whose wall is this part of its outer radius: by the mean of its wall's cube, from exact circles.
    """
    (outline,) = section.regions[0].contours
    points = [(Fraction(float(x)), Fraction(float(y))) for x, y in outline.points]
    arcs = [
        (*_circle(points[k], points[(k + 1) % 4], Fraction(float(bulge))), k)
        for k, bulge in enumerate(outline.bulges)
        if bulge
    ]
    (inner, near, _), (outer, far, k) = sorted(arcs, key=lambda arc: arc[1])
    radius = sqrt(far)
    turn = 4 * atan(outline.bulges[k]) * (np.arange(64) + 0.5) / 64
    along = _between(points[k], outer) / radius * np.exp(1j * turn)
    walls = float(far - near) / (radius + sqrt(near)) + (_between(outer, inner) * along.conj()).real
    return float(np.mean((walls / (wall * radius)) ** 3)) - 1


def _circle(start: Point, end: Point, bulge: Fraction) -> tuple[Point, Fraction]:
    """Centre of an arc and its radius squared."""
    half = ((end[0] - start[0]) / 2, (end[1] - start[1]) / 2)
    off = (1 - bulge**2) / (2 * bulge)
    centre = (start[0] + half[0] - half[1] * off, start[1] + half[1] + half[0] * off)
    return centre, (start[0] - centre[0]) ** 2 + (start[1] - centre[1]) ** 2


def _between(point: Point, other: Point) -> complex:
    """From the other point to the point."""
    return complex(float(point[0] - other[0]), float(point[1] - other[1]))


def slit_ring(rng: np.random.Generator) -> Case:
    """A round tube slit through its wall: a strip of a full turn."""
    inner = 1 - between(rng, 1e-3, 0.95)
    tube = Region(Contour.circle((0, 0), 1.0), (Contour.circle((0, 0), inner),))
    a = rng.uniform(0, 2 * pi)
    ends = ((inner * cos(a), inner * sin(a)), (cos(a), sin(a)))
    section = Section((tube,), slits=(Slit(ends),))
    doubt = 1e-12 + 1e-15 / (1 - inner)
    return exactly(section, closed_form.annular_sector(inner, 1, 2 * pi), doubt)


def notched(rng: np.random.Generator) -> Case:
    """A round bar with a round keyway, from a scratch to one that leaves a crescent."""
    if rng.random() < 0.5:
        return keyway(between(rng, 1e-3, 1.0))
    return keyway(2 - between(rng, 1e-3, 1.0))


def keyway(notch: float) -> Case:
    """A round bar of radius one, a notch of another radius about a point of its border."""
    end = float(np.arccos(notch / 2))
    p = (notch * cos(end), notch * sin(end))
    # about the notch's middle: the bar from -2 end to 2 end as seen from its own, the notch back
    outline = Contour([(p[0], -p[1]), p], [tan(end), -tan(end / 2)])
    doubt = 1e-12 + 1e-14 / (2 - notch)
    return exactly(Section.single(outline), closed_form.notched_disc(1.0, notch), doubt)


def two_materials(rng: np.random.Generator) -> Case:
    """Concentric rings of two materials, shear moduli up to 1 : 1,000 apart."""
    core = rng.uniform(0, 0.5) * (rng.random() < 0.5)
    middle = core + (1 - core) * between(rng, 1e-3, 0.9)
    ratio = between(rng, 1e-3, 1e3)
    g = (1.0, float(ratio))
    inside, outside = (Material(f"m{k}", 2.6 * v, 0.3) for k, v in enumerate(g))
    holes = (Contour.circle((0, 0), core),) if core else ()
    around = Region(Contour.circle((0, 0), 1.0), (Contour.circle((0, 0), middle),), outside)
    within = Region(Contour.circle((0, 0), middle), holes, inside)
    value = pi / 2 * (middle**4 - core**4 + g[1] * (1 - middle**4))
    return exactly(Section((within, around)), value)


EXACT = {
    "rectangle": rectangle,
    "round tube, hole off centre": ring,
    "curved strip": curved_strip,
    "slit tube": slit_ring,
    "round bar with keyway": notched,
    "two materials, round": two_materials,
}
