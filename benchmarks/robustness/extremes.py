"""Sections at the edge of what is one: near misses, slivers, flat arcs, thousands of vertices."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from functools import partial
from math import atan2, cos, pi, radians, sin, tan

import numpy as np
from soapfilm.geometry.material import Material
from soapfilm.geometry.outline.contour import Contour
from soapfilm.geometry.outline.placement import Placement
from soapfilm.geometry.profiles.by_name import PROFILES
from soapfilm.geometry.section import Region, Section, Slit

from . import closed_form
from .case import EITHER, REFUSED, Case, exactly
from .exact_families import eccentric, keyway, sector
from .random_families import box


def disc(radius: float = 1.0) -> float:
    """J of a round bar."""
    return pi / 2 * radius**4


def around_circle(radii: np.ndarray) -> Contour:
    """A polygon with vertices at equal angles."""
    a = 2 * pi * np.arange(len(radii)) / len(radii)
    return Contour(radii[:, None] * np.stack([np.cos(a), np.sin(a)], axis=1))


# -- thin walls beside holes -----------------------------------------------------------------------
def hole_near_round_edge(gap: float, expect: str = "solved") -> Case:
    """A round hole whose wall is `gap` thick at one place: known in closed form."""
    if gap > 0:
        return replace(eccentric(0.5, 0.5 - gap), expect=expect)
    bar = Section.single(Contour.circle((0, 0), 1.0), [Contour.circle((0.5, 0), 0.5)])
    return Case(bar, expect=expect)


def hole_near_straight_edge(gap: float, expect: str = "solved") -> Case:
    """A rectangular hole along the side of a square."""
    hole = box(-0.6, gap - 1, 0.6, 0.2)
    full = Section.single(box(-1, -1, 1, 1))
    return Case(Section.single(box(-1, -1, 1, 1), [hole]), expect=expect, more=full)


def round_hole_near_straight_edge(gap: float) -> Case:
    """A round hole whose wall to a straight side is `gap` thick at one place."""
    hole = Contour.circle((0.1, gap - 0.6), 0.4)
    return Case(Section.single(box(-1, -1, 1, 1), [hole]), more=Section.single(box(-1, -1, 1, 1)))


def holes_near_each_other(gap: float) -> Case:
    """Two round holes in a bar with `gap` between them."""
    holes = [Contour.circle((s * (0.3 + gap / 2), 0), 0.3) for s in (-1, 1)]
    bar = Contour.circle((0, 0), 1.0)
    return Case(Section.single(bar, holes), more=Section.single(bar, holes[:1]))


def many_holes(nx: int, ny: int, *, square: bool) -> Case:
    """A plate with nx ny holes."""
    holes = [
        box(i - 0.4, j - 0.4, i + 0.4, j + 0.4) if square else Contour.circle((i, j), 0.4)
        for i in range(nx)
        for j in range(ny)
    ]
    around = box(-0.5, -0.5, nx - 0.5, ny - 0.5)
    known = (0.0, closed_form.rectangle(max(nx, ny), min(nx, ny)))
    return Case(Section.single(around, holes), known)


# -- arcs ------------------------------------------------------------------------------------------
def nearly_straight_side(degrees: float) -> Case:
    """A strip one of whose long sides is an arc: between the strips it holds and is held by."""
    half, short = 0.5, 0.1
    bulge = tan(radians(degrees) / 4)
    outline = Contour([(-half, 0), (half, 0), (half, short), (-half, short)], [0, 0, bulge, 0])
    rise = bulge * half
    known = tuple(closed_form.rectangle(1, short + r) for r in (0.0, rise))
    return Case(Section.single(outline), (known[0], known[1]))


def nearly_whole_circle(degrees: float) -> Case:
    """An arc and its chord: between the bar and the largest one inside."""
    half = radians(degrees) / 2
    p = (cos(half), sin(half))
    # anticlockwise from the chord's upper end to its lower one
    outline = Contour([p, (p[0], -p[1])], [tan((2 * pi - 2 * half) / 4), 0])
    inside = disc((1 + cos(half)) / 2)
    return Case(Section.single(outline), (inside, disc()))


def flat_segment(degrees: float) -> Case:
    """A flat arc on its chord: a sliver that ends in two cusps, nearly."""
    bulge = tan(radians(degrees) / 4)
    rise = bulge / 2
    outline = Contour([(-0.5, 0), (0.5, 0)], [0, bulge])
    return Case(Section.single(outline), (0.0, closed_form.rectangle(1, rise)))


# -- many vertices ---------------------------------------------------------------------------------
def regular(sides: int) -> Case:
    """A regular polygon: between its circles."""
    return Case(Section.single(around_circle(np.ones(sides))), (disc(cos(pi / sides)), disc()))


def rough(vertices: int, depth: float) -> Case:
    """A round bar with a rough border of so many vertices."""
    rng = np.random.default_rng(vertices)
    radii = 1 - depth * rng.random(vertices)
    inside = (1 - depth) * cos(pi / vertices)
    return Case(Section.single(around_circle(radii)), (disc(inside), disc()))


def split_sides(pieces: int) -> Case:
    """A strip whose sides are drawn in many collinear pieces."""
    x = np.linspace(0, 1, pieces + 1)
    low = np.stack([x, np.zeros_like(x)], axis=1)
    high = np.stack([x[::-1], np.full_like(x, 0.2)], axis=1)
    return exactly(Section.single(Contour(np.vstack([low, high]))), closed_form.rectangle(1, 0.2))


def faceted_tube(chords: int) -> Case:
    """A tube whose borders are polygons: between the tubes it holds and is held by."""
    outer, inner = around_circle(np.ones(chords)), around_circle(np.full(chords, 0.9))
    c = cos(pi / chords)
    known = (disc(c) - disc(0.9), disc() - disc(0.9 * c))
    return Case(Section.single(outer, [inner]), known)


def faceted_fillet(chords: int) -> Case:
    """An angle whose root fillet is drawn with chords."""
    a = np.linspace(-pi / 2, -pi, chords + 1)
    r, t = 0.15, 0.1
    arc = np.stack([t + r + r * np.cos(a), t + r + r * np.sin(a)], axis=1)
    outline = Contour([(0, 0), (1, 0), (1, t), *arc, (t, 1), (0, 1)])
    return Case(Section.single(outline))


# -- corners ---------------------------------------------------------------------------------------
def dented(depth: float) -> Case:
    """A strip with the middle of a long side pushed in: a re-entrant corner of nearly 180
    degrees."""
    short = 0.2
    outline = Contour([(-0.5, 0), (0.5, 0), (0.5, short), (0, short - depth), (-0.5, short)])
    known = tuple(closed_form.rectangle(1, short - d) for d in (depth, 0.0))
    return Case(Section.single(outline), (known[0], known[1]))


def needle(degrees: float) -> Case:
    """A wedge with a sharp tip: between the sand heap and a strip."""
    high = tan(radians(degrees) / 2)
    outline = Contour([(0, 0), (1, -high), (1, high)])
    return Case(
        Section.single(outline), (0.0, closed_form.rectangle(max(1, 2 * high), min(1, 2 * high)))
    )


def tiny_notch(depth: float) -> Case:
    """A square with a very small notch: between the square and the one without that strip."""
    d = depth / 2
    outline = Contour(
        [(0, 0), (1, 0), (1, 1), (0.5 + d, 1), (0.5, 1 - depth), (0.5 - d, 1), (0, 1)]
    )
    known = (closed_form.rectangle(1, 1 - depth), closed_form.rectangle(1, 1))
    return Case(Section.single(outline), known)


def tiny_fillet(radius: float) -> Case:
    """An angle with a very small root fillet, beside the sharp one."""
    made = PROFILES["LShape"](depth=1.0, thickness=0.1, fillet_radius=radius)
    return Case(made.section())


def cusp(inside: float) -> Case:
    """A crescent with horns of zero angle, nearly: a bar less a bar that all but touches it."""
    return keyway(2 - inside)


def inner_cusp() -> Case:
    """A square with a notch whose two sides meet at zero angle: two arcs of one tangent."""
    bulge = tan(atan2(0.3, 0.8) / 2)  # both arcs are upright at the bottom
    top = [(0.3, 1), (0, 0.2), (-0.3, 1)]
    outline = Contour([(-1, -1), (1, -1), (1, 1), *top, (-1, 1)], [0, 0, 0, bulge, bulge, 0, 0])
    return Case(Section.single(outline), more=Section.single(box(-1, -1, 1, 1)))


# -- slits -----------------------------------------------------------------------------------------
def slit_near_border(gap: float) -> Case:
    """A slit across a square that stops short of the far side."""
    whole = Region(box(-1, -1, 1, 1))
    slit = Slit(((0.0, -1.0), (0.0, 1 - gap)))
    return Case(Section((whole,), slits=(slit,)), more=Section((whole,)))


def comb(count: int) -> Case:
    """A square with many slits from one side."""
    whole = Region(box(0, 0, 1, 1))
    slits = tuple(Slit(((x, 0.0), (x, 0.8))) for x in (np.arange(count) + 0.5) / count)
    return Case(Section((whole,), slits=slits), more=Section((whole,), slits=slits[1:]))


def closed_slit() -> Case:
    """A slit that closes on itself parts the body in two."""
    ring = ((-0.3, -0.3), (0.3, -0.3), (0.3, 0.3), (-0.3, 0.3), (-0.3, -0.3))
    return Case(Section((Region(box(-1, -1, 1, 1)),), slits=(Slit(ring),)), expect=REFUSED)


# -- numbers ---------------------------------------------------------------------------------------
def sized(size: float) -> Case:
    """A square with a round hole, very small or very large."""
    hole = Contour.circle((0, 0), 0.3)
    return Case(Section.single(box(-0.5, -0.5, 0.5, 0.5), [hole])).placed(Placement.scale(size))


def far_off(distance: float, expect: str = "solved") -> Case:
    """A tube drawn so many of its sizes from the origin."""
    tube = replace(eccentric(0.9, 0.0), expect=expect)
    low, high = tube.known or (0.0, 0.0)
    # rounding of the coordinates moves both walls of 0.1
    doubt = 4e-16 * distance / 0.1 * 4
    moved = tube.placed(Placement.move(distance, distance / 3))
    return replace(moved, known=(low * (1 - doubt), high * (1 + doubt)))


def unlike(ratio: float) -> Case:
    """A core and a shell whose moduli are very far apart."""
    core, shell = Material("core", 2.6, 0.3), Material("shell", 2.6 * ratio, 0.3)
    ring = Region(Contour.circle((0, 0), 1.0), (Contour.circle((0, 0), 0.8),), shell)
    inside = Region(Contour.circle((0, 0), 0.8), (), core)
    return exactly(Section((inside, ring)), disc(0.8) + ratio * (disc() - disc(0.8)))


def hole_across_edge() -> Case:
    """A hole that crosses the outline."""
    hole = Contour.circle((1, 0), 0.3)
    return Case(Section.single(box(-1, -1, 1, 1), [hole]), expect=REFUSED)


EXTREMES: dict[str, Callable[[], Case]] = {
    **{
        f"round hole {gap:g} from a round edge": partial(hole_near_round_edge, gap)
        for gap in (1e-2, 1e-4, 1e-6, 1e-8)
    },
    "round hole that touches a round edge": partial(hole_near_round_edge, 0.0, REFUSED),
    "round hole 1e-10 from a round edge": partial(hole_near_round_edge, 1e-10, REFUSED),
    **{
        f"long hole {gap:g} from a straight edge": partial(hole_near_straight_edge, gap)
        for gap in (1e-3, 1e-6)
    },
    "long hole 1e-8 from a straight edge": partial(hole_near_straight_edge, 1e-8, EITHER),
    "long hole that touches a straight edge": partial(hole_near_straight_edge, 0.0, REFUSED),
    "long hole 1e-10 from a straight edge": partial(hole_near_straight_edge, 1e-10, REFUSED),
    **{
        f"round hole {gap:g} from a straight edge": partial(round_hole_near_straight_edge, gap)
        for gap in (1e-3, 1e-6)
    },
    **{
        f"two round holes {gap:g} apart": partial(holes_near_each_other, gap)
        for gap in (1e-3, 1e-6)
    },
    "200 round holes": partial(many_holes, 20, 10, square=False),
    "200 square holes": partial(many_holes, 20, 10, square=True),
    "hole across the edge": hole_across_edge,
    **{
        f"curved strip of {angle:g} degrees, wall {wall:g} of the radius": partial(
            sector, 1 - wall, radians(angle)
        )
        for angle, wall in ((0.01, 1e-5), (0.01, 1e-3), (0.1, 0.5), (359, 0.1), (359.9, 1e-3))
    },
    **{f"strip with a side of {a:g} degrees": partial(nearly_straight_side, a) for a in (0.01, 1)},
    **{f"circle less a chord of {a:g} degrees": partial(nearly_whole_circle, a) for a in (0.01, 1)},
    **{f"flat segment of {a:g} degrees": partial(flat_segment, a) for a in (0.01, 1, 20)},
    **{f"regular polygon of {n:,} sides": partial(regular, n) for n in (500, 10_000)},
    "rough border of 10,000 vertices": partial(rough, 10_000, 1e-3),
    "rough border of 2,000 vertices": partial(rough, 2_000, 1e-2),
    "sides drawn in 1,000 pieces": partial(split_sides, 500),
    "tube drawn with 500 chords": partial(faceted_tube, 500),
    "fillet drawn with 500 chords": partial(faceted_fillet, 500),
    **{f"side dented by {d:g}": partial(dented, d) for d in (1e-2, 1e-4, 1e-6, 1e-8)},
    **{f"needle of {a:g} degrees": partial(needle, a) for a in (10, 1, 0.01)},
    **{f"notch of {d:g}": partial(tiny_notch, d) for d in (1e-3, 1e-5, 1e-7)},
    **{f"root fillet of {r:g}": partial(tiny_fillet, r) for r in (1e-3, 1e-5, 1e-7)},
    **{f"crescent of {d:g}": partial(cusp, d) for d in (1e-2, 1e-4, 1e-5)},
    "notch that ends in a cusp": inner_cusp,
    **{f"slit to {g:g} before the far side": partial(slit_near_border, g) for g in (1e-2, 1e-6)},
    "50 slits": partial(comb, 50),
    "slit that closes on itself": closed_slit,
    **{f"size of {s:g}": partial(sized, s) for s in (1e-30, 1e-9, 1e9, 1e30)},
    **{f"{d:g} sizes from the origin": partial(far_off, d) for d in (1e3, 1e6)},
    "1e+10 sizes from the origin": partial(far_off, 1e10, EITHER),
    **{f"moduli 1 : {g:g}": partial(unlike, g) for g in (1e-6, 1e6)},
}
