"""Random sections of every kind: outlines, profiles, cells, booleans, plates, two materials."""

from __future__ import annotations

from collections.abc import Callable
from math import pi

import numpy as np
import shapely
from soapfilm.geometry.errors import GeometryError
from soapfilm.geometry.material import Material
from soapfilm.geometry.outline.contour import Contour
from soapfilm.geometry.outline.placement import Placement
from soapfilm.geometry.planar import boolean
from soapfilm.geometry.plates.assembly import assemble
from soapfilm.geometry.plates.plate import Plate
from soapfilm.geometry.plates.weld import Weld
from soapfilm.geometry.profiles.by_name import PROFILES
from soapfilm.geometry.section import Region, Section

from .case import Case, between
from .closed_form import rectangle as rectangle_constant

#: Draws of one section before the family gives up: far more than any needs.
_DRAWS = 10_000


def box(x0: float, y0: float, x1: float, y1: float) -> Contour:
    """An upright rectangle."""
    return Contour([(x0, y0), (x1, y0), (x1, y1), (x0, y1)])


def is_plain(region: Region, wall: float = 1e-5) -> bool:
    """Whether shapely, told nothing else, sees one simple polygon whose walls have some
    thickness."""
    body = shapely.Polygon(
        region.outline.polyline(1e-7), [hole.polyline(1e-7) for hole in region.holes]
    )
    if not body.is_valid:
        return False
    around = body.buffer(wall, join_style="mitre")
    inside = body.buffer(-wall, join_style="mitre")
    one = inside.geom_type == "Polygon" and around.geom_type == "Polygon"
    return one and len(inside.interiors) == len(around.interiors) == len(region.holes)


def drawn(build: Callable[[], Region | None]) -> Region:
    """The first plain region of many draws."""
    for _ in range(_DRAWS):
        region = build()
        if region is not None and is_plain(region):
            return region
    raise RuntimeError("no plain section in many draws: the family's ranges are wrong")


# -- outlines --------------------------------------------------------------------------------------
def blob(rng: np.random.Generator, bent: float) -> Contour:
    """A star-shaped outline of straight and (a share `bent` of them) arc edges."""
    n = int(rng.integers(3, 15))
    angle = 2 * pi * (np.arange(n) + rng.uniform(-0.4, 0.4, n)) / n
    radius = rng.uniform(0.25, 1, n)
    points = radius[:, None] * np.stack([np.cos(angle), np.sin(angle)], axis=1)
    bulges = np.where(rng.random(n) < bent, rng.uniform(-0.8, 0.8, n), 0.0)
    return Contour(points, bulges)


def outline(rng: np.random.Generator) -> Case:
    """A random outline of lines and arcs, flattened by up to 1 : 10, perhaps with a hole."""
    flat = between(rng, 0.1, 1) if rng.random() < 0.5 else 1.0

    def build() -> Region:
        bent = 0.5 if flat == 1 else 0.0  # an arc squeezed is no arc
        outer = blob(rng, bent)
        holes = []
        if rng.random() < 0.5:
            inner = blob(rng, bent)
            shift = rng.uniform(-0.2, 0.2, 2)
            holes = [Contour(shift + rng.uniform(0.05, 0.6) * inner.points, inner.bulges)]
        squeeze = np.array([1.0, flat])
        return Region(
            Contour(outer.points * squeeze, outer.bulges),
            tuple(Contour(h.points * squeeze, h.bulges) for h in holes),
        )

    region = drawn(build)
    more = Section((Region(region.outline),)) if region.holes else None
    return Case(Section((region,)), more=more)


# -- profiles --------------------------------------------------------------------------------------
def profile(rng: np.random.Generator) -> Case:
    """A parametric shape with random dimensions, walls down to 1 : 3,000 of its depth."""
    names = [name for name in PROFILES if name != "Ellipse"]
    name = names[int(rng.integers(len(names)))]
    wall = between(rng, 3e-4, 0.3)

    def build() -> Region | None:
        try:
            made = PROFILES[name](**_dimensions(rng, name, wall))
        except GeometryError:  # these dimensions do not fit together: others
            return None
        return Region(made.outline, made.holes)

    return Case(Section((drawn_profile(build),)))


def drawn_profile(build: Callable[[], Region | None]) -> Region:
    """Profiles answer for their own validity: no other judge."""
    for _ in range(_DRAWS):
        region = build()
        if region is not None:
            return region
    raise RuntimeError("no dimensions fit in many draws: the ranges are wrong")


def _dimensions(rng: np.random.Generator, name: str, wall: float) -> dict[str, float]:
    def thick() -> float:
        return wall * float(rng.uniform(0.5, 2))

    def long() -> float:
        return float(rng.uniform(0.3, 1))

    radius = float(rng.choice([0.0, between(rng, 0.02, 1.5)])) * wall
    edge = float(rng.choice([0.0, 0.3])) * wall
    slope = float(rng.choice([0.0, 0.08]))
    return {
        "Rectangle": lambda: {"x_dim": long(), "y_dim": thick()},
        "RoundedRectangle": lambda: {"x_dim": long(), "y_dim": long(), "rounding_radius": thick()},
        "RectangleHollow": lambda: {
            "x_dim": long(),
            "y_dim": long(),
            "wall_thickness": wall,
            "inner_fillet_radius": radius,
            "outer_fillet_radius": radius + wall * float(rng.choice([0.0, 1.0])),
        },
        "Circle": lambda: {"radius": long()},
        "CircleHollow": lambda: {"radius": long(), "wall_thickness": thick()},
        "Trapezium": lambda: {
            "bottom_x_dim": long(),
            "top_x_dim": long() * wall,
            "y_dim": thick() * 4,
            "top_x_offset": float(rng.uniform(-1, 1)),
        },
        "IShape": lambda: {
            "overall_width": long(),
            "overall_depth": long(),
            "web_thickness": thick(),
            "flange_thickness": thick(),
            "fillet_radius": radius,
            "flange_edge_radius": edge,
            "flange_slope": slope,
        },
        "AsymmetricIShape": lambda: {
            "bottom_flange_width": long(),
            "overall_depth": long(),
            "web_thickness": thick(),
            "bottom_flange_thickness": thick(),
            "top_flange_width": long(),
            "top_flange_thickness": thick(),
            "bottom_flange_fillet_radius": radius,
            "top_flange_fillet_radius": radius,
        },
        "TShape": lambda: {
            "depth": long(),
            "flange_width": long(),
            "web_thickness": thick(),
            "flange_thickness": thick(),
            "fillet_radius": radius,
            "flange_edge_radius": edge,
        },
        "UShape": lambda: {
            "depth": long(),
            "flange_width": long(),
            "web_thickness": thick(),
            "flange_thickness": thick(),
            "fillet_radius": radius,
            "edge_radius": edge,
            "flange_slope": slope,
        },
        "LShape": lambda: {
            "depth": long(),
            "width": long(),
            "thickness": thick(),
            "fillet_radius": radius,
            "edge_radius": edge,
        },
        "ZShape": lambda: {
            "depth": long(),
            "flange_width": long(),
            "web_thickness": thick(),
            "flange_thickness": thick(),
            "fillet_radius": radius,
        },
        "CShape": lambda: {
            "depth": long(),
            "width": long(),
            "wall_thickness": wall,
            "girth": max(0.15 * long(), 2.2 * wall),
            "internal_fillet_radius": radius,
        },
    }[name]()


# -- cells -----------------------------------------------------------------------------------------
def cells(rng: np.random.Generator) -> Case:
    """A box of up to 4 x 3 cells, walls from a third of a cell to 1 : 2,000."""
    nx, ny = int(rng.integers(1, 5)), int(rng.integers(1, 4))
    wall = between(rng, 5e-4, 0.3)
    x = np.cumsum(rng.uniform(0.4, 1, nx + 1)) - 0.4
    y = np.cumsum(rng.uniform(0.4, 1, ny + 1)) - 0.4
    half = wall * rng.uniform(0.15, 0.5)
    holes = [
        box(x[i] + half, y[j] + half, x[i + 1] - half, y[j + 1] - half)
        for i in range(nx)
        for j in range(ny)
        if rng.random() < 0.8 or (i, j) == (0, 0)
    ]
    around = box(x[0] - half, y[0] - half, x[-1] + half, y[-1] + half)
    sides = sorted((x[-1] - x[0] + 2 * half, y[-1] - y[0] + 2 * half))
    filled = Section.single(around, holes[1:])
    known = (0.0, rectangle_constant(sides[1], sides[0]))
    return Case(Section.single(around, holes), known, more=filled)


def round_holes(rng: np.random.Generator) -> Case:
    """A plate with a grid of round holes of random size, some nearly meeting."""
    nx, ny = int(rng.integers(1, 7)), int(rng.integers(1, 5))
    largest = 0.5 - between(rng, 1e-4, 0.3)
    holes = [
        Contour.circle((i, j), largest * rng.uniform(0.3, 1) ** 0.25)
        for i in range(nx)
        for j in range(ny)
    ]
    around = box(-0.5, -0.5, nx - 0.5, ny - 0.5)
    return Case(Section.single(around, holes), more=Section.single(around, holes[1:]))


# -- booleans --------------------------------------------------------------------------------------
def combined(rng: np.random.Generator) -> Case:
    """Shapes merged and cut at random; the largest piece."""

    def shape() -> Region:
        kind = rng.integers(4)
        size = rng.uniform(0.2, 1)
        if kind == 0:
            made: Contour = Contour.circle((0, 0), size / 2)
        elif kind == 1:
            made = box(-size / 2, -size / 8, size / 2, size / 8)
        elif kind == 2:
            made = Contour(0.5 * size * (b := blob(rng, 0.0)).points, b.bulges)
        else:
            made = PROFILES["RoundedRectangle"](
                x_dim=size, y_dim=size / 2, rounding_radius=size / 5
            ).outline
        turned = Placement.rotate(float(rng.choice([0, pi / 4, rng.uniform(0, pi)])))
        moved = Placement.move(*(0.1 * rng.integers(-4, 5, 2)))
        return Region(made).placed(turned.then(moved))

    def build() -> Region | None:
        body = boolean.union([shape() for _ in range(int(rng.integers(2, 6)))])
        for _ in range(int(rng.integers(0, 3))):
            body = boolean.difference(body, [shape()])
        return max(body, key=Region.area) if body else None

    region = drawn(build)
    return Case(Section((region,)), more=Section((Region(region.outline),)))


# -- plates ----------------------------------------------------------------------------------------
def plates(rng: np.random.Generator) -> Case:
    """Welded I, tee and box girders, walls down to 1 : 1,000; cold-formed strips."""
    t = between(rng, 1e-3, 0.1)
    kind = str(rng.choice(["I", "box", "strip"]))
    if kind == "strip":
        n = int(rng.integers(2, 6))
        turn = np.cumsum(rng.uniform(-1.2, 1.2, n))
        line = np.cumsum(np.stack([np.cos(turn), np.sin(turn)], axis=1), axis=0)
        bend = float(rng.choice([np.nan, 2 * t]))
        plate = Plate(
            "strip",
            tuple((float(x), float(y)) for x, y in [(0, 0), *line]),
            t,
            bend_radius=None if np.isnan(bend) else bend,
        )
        return Case(assemble([plate]))
    h, b = float(rng.uniform(0.5, 1)), float(rng.uniform(0.3, 1))
    flanges = [
        Plate("bottom", ((-b / 2, 0), (b / 2, 0)), t * float(rng.uniform(0.7, 2))),
        Plate("top", ((-b / 2, h), (b / 2, h)), t * float(rng.uniform(0.7, 2))),
    ]
    at = [0.0] if kind == "I" else [-0.3 * b, 0.3 * b]
    webs = [Plate(f"web {k}", ((x, 0), (x, h)), t) for k, x in enumerate(at)]
    how: dict[str, dict[str, float]] = {
        # a leg has the flange's outstand of 0.2 b less half the web to lie on
        "fillet": {"leg": min(t * float(rng.uniform(0.3, 0.9)), 0.9 * (0.2 * b - t / 2))},
        "full": {},
        "partial": {"depth": t * float(rng.uniform(0.1, 0.45))},
    }
    welds = []
    for web in webs:
        for flange in flanges:
            style = str(rng.choice(list(how)))
            name = f"{web.name} {flange.name}"
            welds.append(Weld(name, (flange.name, web.name), style, **how[style]))  # type: ignore[arg-type]
    built = assemble([*flanges, *webs], welds)
    joined = assemble(
        [*flanges, *webs], [Weld(w.name, w.between, "full") for w in welds]
    )  # what fillets add is missing there, so it is no bound for them
    every = all(w.kind != "fillet" for w in welds)
    return Case(built, more=joined if every else None)


def layered(rng: np.random.Generator) -> Case:
    """Two to four bonded layers of two materials, shear moduli up to 1 : 300 apart."""
    count = int(rng.integers(2, 5))
    levels = np.concatenate([[0.0], np.cumsum([between(rng, 1e-3, 1) for _ in range(count)])])
    half = between(rng, 0.3, 3)
    soft = Material("soft", between(rng, 1 / 300, 1), 0.3)
    stiff = Material("stiff", 1.0, 0.2)
    shift = rng.uniform(-0.3, 0.3, count) * half * (rng.random() < 0.5)
    regions = tuple(
        Region(box(s - half, low, s + half, high), material=(soft, stiff)[k % 2])
        for k, (s, low, high) in enumerate(zip(shift, levels, levels[1:], strict=False))
    )
    more = None
    if shift.any():
        return Case(Section(regions))
    # a section all of the stiffer material is stiffer, one all of the softer softer
    sides = sorted((float(levels[-1]), 2 * half))
    whole = rectangle_constant(sides[1], sides[0])
    g = [r.material.shear / regions[0].material.shear for r in regions]
    return Case(Section(regions), (whole * min(g), whole * max(g)), more=more)


RANDOM = {
    "outline of lines and arcs": outline,
    "parametric profile": profile,
    "rectangular cells": cells,
    "round holes": round_holes,
    "merged and cut shapes": combined,
    "plates and welds": plates,
    "layers of two materials": layered,
}
