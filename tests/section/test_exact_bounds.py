"""The interval of J holds the exact value at every order and on every mesh."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from math import pi, radians, sqrt, tan

import numpy as np
import pytest
from soapfilm.geometry.outline.contour import Contour
from soapfilm.geometry.outline.placement import Placement
from soapfilm.geometry.planar.overlay import planar_map
from soapfilm.geometry.profiles.by_name import circle, circle_hollow, ellipse, rectangle
from soapfilm.geometry.section import Region, Section, Slit
from soapfilm.solver.section import solve_section
from soapfilm.solver.section.mesh.corner_layers import cut_toward
from soapfilm.solver.section.mesh.refinement import bisect, smallest_stretch, split_edges
from soapfilm.solver.section.mesh.section_mesh import SectionMesh
from soapfilm.solver.section.mesh.triangulation import triangulate
from soapfilm.solver.section.torsion.interval import TorsionField, solve_torsion

ORDERS = (2, 3, 4, 6, 8, 12)


@dataclass(frozen=True)
class Exact:
    """A section whose J is known, and how far the value can be off (relative)."""

    section: Section
    value: float
    doubt: float = 1e-13


def rectangle_constant(a: float, b: float) -> float:
    """a b^3/3 (1 - 192 b/(pi^5 a) sum over odd n of tanh(n pi a/2b)/n^5), a >= b (Saint-Venant)."""
    n = np.arange(1.0, 4001.0, 2.0)[::-1]
    tail = np.sum(np.tanh(n * pi * a / (2 * b)) / n**5)
    return a * b**3 / 3 * (1 - 192 * b / (pi**5 * a) * float(tail))


def sector_constant(angle: float) -> float:
    """J/R^4 of a circular sector, by separation of variables (derived, agrees with the tables).

    phi = r^2/2 (cos 2t/cos a - 1) + sum A_n r^k cos(k t), a half the angle, k = n pi/angle, n odd:
    J = (tan(angle) - angle)/4 - 32/angle sum 1/(k^2 (k^2 - 4)(k + 2)); where k = 2 the two
    infinite terms leave 3/(4 angle).
    """
    n = np.arange(1.0, 40001.0, 2.0)[::-1]
    k = n * pi / angle
    resonant = np.isclose(k, 2)
    k = k[~resonant]
    first = 3 / (4 * angle) if resonant.any() else tan(angle) / 4
    return first - angle / 4 - 32 / angle * float(np.sum(1 / (k**2 * (k**2 - 4) * (k + 2))))


def sector(degrees: float) -> Section:
    """Tip at the origin, from the x axis anticlockwise."""
    if degrees == 360:
        bar = Region(Contour.circle((0, 0), 1.0))
        return Section((bar,), slits=(Slit(((0.0, 0.0), (1.0, 0.0))),))
    a = radians(degrees)
    return Section.single(Contour([(0, 0), (1, 0), (np.cos(a), np.sin(a))], [0, tan(a / 4), 0]))


def polygon(sides: int) -> Section:
    """Regular, one across flats."""
    a = 2 * pi * np.arange(sides) / sides
    radius = 0.5 / np.cos(pi / sides) if sides % 2 == 0 else 1 / (1 + np.cos(pi / sides))
    return Section.single(Contour(radius * np.stack([np.cos(a), np.sin(a)], axis=1)))


L_DOMAIN = Section.single(Contour([(0, 0), (2, 0), (2, 1), (1, 1), (1, 2), (0, 2)]))
TRIANGLE = Section.single(Contour([(0, 0), (1, 0), (0.5, sqrt(0.75))]))
#: Sources of the printed values in data/section_checks.json; here the same in full digits.
CASES = {
    **{
        f"rectangle {a:g}": Exact(rectangle(x_dim=a, y_dim=1).section(), rectangle_constant(a, 1.0))
        for a in (1, 1.2, 1.5, 2, 3, 5, 10, 100)
    },
    "circle": Exact(circle(radius=1).section(), pi / 2),
    "tube": Exact(circle_hollow(radius=1, wall_thickness=0.2).section(), pi / 2 * (1 - 0.8**4)),
    "thin tube": Exact(
        circle_hollow(radius=1, wall_thickness=0.02).section(), pi / 2 * (1 - 0.98**4)
    ),
    "equilateral triangle": Exact(TRIANGLE, sqrt(3) / 80),
    **{f"sector {d}": Exact(sector(d), sector_constant(radians(d))) for d in (45, 60, 90, 120)},
    **{f"sector {d}": Exact(sector(d), sector_constant(radians(d))) for d in (180, 270, 360)},
}
#: Those known to fewer digits than doubles hold: id in the checks, printed digits' half unit.
PRINTED = {
    "ngon5_J": (polygon(5), 1.0, 5e-12),
    "ngon6_J": (polygon(6), 1.0, 5e-11),
    "ngon12_J": (polygon(12), 1.0, 5e-12),
    "L_unit_J": (L_DOMAIN, 1.0, 5e-12),
}


def across_flats(section: Section) -> float:
    """The checks print J/d^4; of an odd polygon d is the diameter of the incircle."""
    p = section.regions[0].outline.points
    middles = (p + np.roll(p, -1, axis=0)) / 2
    return 2 * float(np.hypot(*middles[0]))


def case(name: str, checks: dict) -> Exact:
    if name in CASES:
        return CASES[name]
    section, _, half = PRINTED[name]
    value = checks[name]["value"]
    if name.startswith("ngon"):
        value *= across_flats(section) ** 4
    return Exact(section, value, half / checks[name]["value"])


def holds(field: TorsionField, exact: Exact) -> bool:
    slack = exact.doubt * exact.value
    return field.lower - slack <= exact.value <= field.upper + slack


def solved(mesh: SectionMesh, order: int) -> TorsionField:
    return solve_torsion(mesh, order, mesh.vertices.mean(axis=0), np.ones(1))


@pytest.mark.parametrize("coarseness", [1.0, 0.45, 0.2])
@pytest.mark.parametrize("name", [*CASES, *PRINTED])
def test_interval_holds_the_exact_value(name: str, coarseness: float, checks: dict) -> None:
    exact = case(name, checks)
    mesh = triangulate(planar_map(exact.section), coarseness=coarseness)
    widths = []
    for order in ORDERS:
        field = solved(mesh, order)
        assert holds(field, exact), f"order {order}: {field.lower} {exact.value} {field.upper}"
        widths.append(field.relative_width)
    # a richer space on the same mesh never widens it, but for the allowance at rounding level
    assert all(b <= a + 1e-11 for a, b in pairwise(widths))


@pytest.mark.parametrize("seed", range(6))
@pytest.mark.parametrize("name", ["rectangle 2", "tube", "sector 270", "sector 360", "L_unit_J"])
def test_interval_holds_on_refined_meshes(name: str, seed: int, checks: dict) -> None:
    """Whatever refinement did: marked triangles cut at random, layers at random vertices.

    A cut that folds a triangle behind an arc is not taken, by the rule of the solver.
    """
    exact = case(name, checks)
    rng = np.random.default_rng(seed)
    mesh = triangulate(planar_map(exact.section))
    taken = 0
    for _ in range(4):
        for cut, items in (
            (bisect, len(mesh.triangles)),
            (cut_toward, len(mesh.vertices)),
            (split_edges, len(mesh.edges)),
        ):
            changed = cut(mesh, rng.choice(items, 2, replace=False))
            if smallest_stretch(changed).min() > 0.02:
                mesh, taken = changed, taken + 1
    assert taken > 4
    for order in (2, 5, 9):
        assert holds(solved(mesh, order), exact)


@pytest.mark.parametrize("name", ["tube", "thin tube", "sector 45", "sector 270", "sector 360"])
def test_refinement_never_folds_a_triangle(name: str, checks: dict) -> None:
    """A folded triangle would count area twice and void the bounds."""
    exact = case(name, checks)
    result = solve_section(exact.section, 3e-11)
    assert smallest_stretch(result.field.mesh).min() > 0
    assert holds(result.field, exact)


@pytest.mark.parametrize("centre", [(0.798, 0.0), (-0.5334257709, -0.5933994459)])
def test_refinement_around_the_peak_never_folds_a_triangle(centre: tuple) -> None:
    """A bore close to the rim: the wall between is cut again and again to find its stress."""
    bore = Contour.circle(centre, 0.0861678611)
    result = solve_section(Section.single(Contour.circle((0, 0), 1.0), [bore]), 1e-4)
    assert smallest_stretch(result.field.mesh).min() > 0
    assert result.torsion_modulus.change < 2e-3
    fine = solve_section(result.section, 1e-8)
    assert result.torsion_constant_lower <= fine.torsion_constant_upper
    assert fine.torsion_constant_lower <= result.torsion_constant_upper
    assert result.torsion_modulus.value == pytest.approx(fine.torsion_modulus.value, rel=3e-3)


@pytest.mark.parametrize("name", [*CASES, *PRINTED])
def test_default_accuracy(name: str, checks: dict) -> None:
    exact = case(name, checks)
    turned = exact.section.placed(Placement.rotate(0.4).then(Placement.move(3, -2)))
    result = solve_section(turned)
    assert result.solver.met
    assert result.solver.reached <= 1e-5
    assert holds(result.field, exact)


def test_the_series_agree_with_the_printed_values(checks: dict) -> None:
    for key, check in checks.items():
        if key.startswith("rect_J_"):
            a = float(key.removeprefix("rect_J_"))
            assert rectangle_constant(a, 1.0) / a == pytest.approx(check["value"], rel=1e-11)
        if key.startswith("sector_"):
            angle = radians(float(key.removeprefix("sector_")))
            assert sector_constant(angle) == pytest.approx(check["value"], rel=1e-9)
    assert sector_constant(pi) == pytest.approx(checks["semicircle_J"]["value"], rel=1e-12)


@pytest.mark.parametrize("deviation", [1e-3, 1e-5, 1e-7])
@pytest.mark.parametrize("scale", [0.0, 0.5])
def test_ellipse_between_similar_ellipses(deviation: float, scale: float, checks: dict) -> None:
    """An ellipse of arcs that leave it by d lies between the ellipses times 1 -+ d/b (distance of
    similar ellipses: at least (1 - k) b), and J of a solid grows with the section: with J ~ k^4
    this bounds the exact J. A hole of the same shape (k = 1/2) is bounded by a stress line."""
    a, b = 2.0, 1.0
    outline = ellipse(semi_axis1=a, semi_axis2=b, deviation=deviation).outline
    holes = [outline.placed(Placement.scale(scale))] if scale else []
    result = solve_section(Section.single(outline, holes), 1e-8)
    exact = checks["ellipse_tube_J" if scale else "ellipse_J"]["value"]
    shrunk, grown = (1 - deviation / b) ** 4, (1 + deviation / b) ** 4
    if not scale:
        assert (
            result.torsion_constant_lower / grown <= exact <= result.torsion_constant_upper / shrunk
        )
    # half of the deviation lies outside on average: J is nearer than the bound
    assert result.torsion_constant == pytest.approx(exact, rel=4 * deviation + 1e-8)
