"""Sections of random members: outlines of plates by their measures, in mm, and points of theirs."""

from __future__ import annotations

from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np
from soapfilm.geometry.material import Material
from soapfilm.geometry.outline.contour import Contour
from soapfilm.geometry.section import Region, Section

from .case import between

STEEL = Material("steel", 210_000.0, 0.3, density=7.85e-6, thermal_expansion=1.2e-5)
CONCRETE = Material("concrete", 34_000.0, 0.2, density=2.5e-6, thermal_expansion=1.0e-5)
Corner = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Drawn:
    """A section with corners of its material, and whether it has a cell."""

    section: Section
    corners: tuple[Corner, ...]
    hollow: bool = False

    @property
    def size(self) -> float:
        """The larger side."""
        x0, y0, x1, y1 = self.section.bounds()
        return float(max(x1 - x0, y1 - y0))


def _one(points: list[Corner], holes: tuple[list[Corner], ...] = ()) -> Drawn:
    region = Region(Contour(points), tuple(Contour(h) for h in holes), STEEL)
    return Drawn(Section((region,), unit="mm"), tuple(points), bool(holes))


def _box(x0: float, y0: float, x1: float, y1: float) -> list[Corner]:
    return [(x0, y0), (x1, y0), (x1, y1), (x0, y1)]


def girder(depth: float, top: float, bottom: float, flange: float, web: float) -> Drawn:
    """An I of two flanges."""
    h, t, w = depth / 2, flange, web / 2
    a, b = top / 2, bottom / 2
    right = [(b, -h), (b, t - h), (w, t - h), (w, h - t), (a, h - t), (a, h)]
    return _one([*right, *((-x, y) for x, y in reversed(right))])


def channel(depth: float, width: float, flange: float, web: float) -> Drawn:
    """A C, its web on the left."""
    h = depth / 2
    return _one(
        [(0, -h), (width, -h), (width, flange - h), (web, flange - h), (web, h - flange),
         (width, h - flange), (width, h), (0, h)]
    )  # fmt: skip


def angle(long: float, short: float, leg: float) -> Drawn:
    """An L."""
    return _one([(0, 0), (short, 0), (short, leg), (leg, leg), (leg, long), (0, long)])


def zed(depth: float, width: float, flange: float, web: float) -> Drawn:
    """A Z of equal flanges."""
    h, w = depth / 2, web / 2
    half = [(-width, -h), (w, -h), (w, h - flange), (width, h - flange)]
    return _one([*half, *((-x, -y) for x, y in half)])


def box(depth: float, width: float, flange: float, web: float) -> Drawn:
    """A box of four plates."""
    x, y = width / 2, depth / 2
    return _one(_box(-x, -y, x, y), (_box(web - x, flange - y, x - web, y - flange),))


def cells(depth: float, widths: list[float], flange: float, web: float, over: float) -> Drawn:
    """Cells side by side under a plate that reaches `over` beyond the outer webs."""
    y = depth / 2
    total = sum(widths)
    edges = np.concatenate([[0.0], np.cumsum(widths)]) - total / 2
    x = total / 2
    if over > 0:
        outer = [
            (-x, -y), (x, -y), (x, y - flange), (x + over, y - flange), (x + over, y),
            (-x - over, y), (-x - over, y - flange), (-x, y - flange),
        ]  # fmt: skip
    else:
        outer = _box(-x, -y, x, y)
    half = [web, *[web / 2] * (len(widths) - 1), web]
    holes = tuple(
        _box(a + half[k], flange - y, b - half[k + 1], y - flange)
        for k, (a, b) in enumerate(pairwise(edges))
    )
    return _one(outer, holes)


def rectangle(depth: float, width: float) -> Drawn:
    """Solid."""
    return _one(_box(-width / 2, -depth / 2, width / 2, depth / 2))


def round_tube(outer: float, inner: float) -> Drawn:
    """By its radii; solid where the inner one is 0."""
    holes = (Contour.circle((0, 0), inner),) if inner else ()
    section = Section((Region(Contour.circle((0, 0), outer), holes, STEEL),), unit="mm")
    return Drawn(section, ((outer, 0.0), (0.0, outer)), bool(inner))


def slab_on(steel: Drawn, width: float, thick: float) -> Drawn:
    """Concrete bonded on the top of a steel section."""
    _, _, _, top = steel.section.bounds()
    points = _box(-width / 2, top, width / 2, top + thick)
    slab = Region(Contour(points), (), CONCRETE)
    regions = (*steel.section.regions, slab)
    section = replace(steel.section, regions=regions)
    return Drawn(section, (*steel.corners, *points), steel.hollow)


# -- at random -------------------------------------------------------------------------------------
def random_open(rng: np.random.Generator) -> Drawn:
    """I, channel, angle or Z, walls of 1 : 12 to 1 : 50 of the depth."""
    depth, thin = between(rng, 100, 1200), between(rng, 0.02, 0.08)
    t, w = depth * thin * rng.uniform(1, 1.6), depth * thin
    width = depth * rng.uniform(0.3, 0.8)
    kind = int(rng.integers(4))
    if kind == 0:
        return girder(depth, width, depth * rng.uniform(0.3, 0.8), t, w)
    if kind == 1:
        return channel(depth, width, t, w)
    return angle(depth, width, w) if kind == 2 else zed(depth, width, t, w)


def random_closed(rng: np.random.Generator) -> Drawn:
    """A box, walls of 1 : 12 to 1 : 80 of the depth."""
    depth, thin = between(rng, 100, 1500), between(rng, 0.0125, 0.08)
    return box(
        depth, depth * rng.uniform(0.5, 2), depth * thin * rng.uniform(0.7, 1.6), depth * thin
    )


def random_cells(rng: np.random.Generator) -> Drawn:
    """Two to four cells, with or without a plate beyond them."""
    depth, thin = between(rng, 200, 1500), between(rng, 0.0125, 0.06)
    count = int(rng.integers(2, 5))
    widths = [float(depth * rng.uniform(0.5, 1.5)) for _ in range(count)]
    over = depth * float(rng.choice([0.0, 0.3, 0.6]))
    return cells(depth, widths, depth * thin * rng.uniform(0.7, 1.6), depth * thin, over)


def random_composite(rng: np.random.Generator) -> Drawn:
    """A slab on an I or a box."""
    depth, thin = between(rng, 200, 1200), between(rng, 0.02, 0.05)
    flange = depth * rng.uniform(0.3, 0.6)
    if rng.random() < 0.5:
        steel = girder(depth, flange, flange, depth * thin * 1.4, depth * thin)
    else:
        steel = box(depth, flange * 1.6, depth * thin, depth * thin)
    return slab_on(steel, depth * rng.uniform(1.5, 3), depth * rng.uniform(0.15, 0.3))


def random_section(rng: np.random.Generator) -> Drawn:
    """Any of these."""
    makers = (random_open, random_closed, random_cells, random_composite)
    return makers[int(rng.integers(len(makers)))](rng)
