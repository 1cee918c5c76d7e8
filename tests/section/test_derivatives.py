"""Derivatives of a section's numbers: closed forms, homogeneity, differences of whole solutions on
new meshes, and the border's form beside the domain's."""

from __future__ import annotations

from collections.abc import Callable, Sequence

import numpy as np
import pytest
from soapfilm.geometry.checks.validate import checked_map
from soapfilm.geometry.errors import SolveError
from soapfilm.geometry.section import Section
from soapfilm.geometry.section_file import section_from_toml
from soapfilm.solver.section import solve_section
from soapfilm.solver.section.derivative.border_worth import border_worth
from soapfilm.solver.section.derivative.difference import STEPS, derivative
from soapfilm.solver.section.derivative.mesh_rate import followed, mesh_rate
from soapfilm.solver.section.derivative.section_rate import (
    FollowedSection,
    SectionRate,
    section_rate,
)
from soapfilm.solver.section.result import SectionResult

Made = Callable[..., Section]


def _shape(profile: str, **dimensions: float) -> Section:
    keys = "".join(f"{key} = {value!r}\n" for key, value in dimensions.items())
    return section_from_toml(f'unit = "mm"\n[[shape]]\nprofile = "{profile}"\n{keys}')


def _rate(
    made: Callable[[float], Section], value: float, accuracy: float = 1e-7
) -> tuple[SectionResult, SectionRate]:
    result = solve_section(made(value), accuracy)
    step = 1e-4 * abs(value)
    moving = FollowedSection.of(result)
    sections = [made(value + k * step) for k in STEPS]
    return result, section_rate(moving, moving.moved(sections, step))


def _rectangle_constant(b: float, t: complex) -> complex:
    """Timoshenko & Goodier, Theory of Elasticity, 3rd ed. 1970, art. 109, eq. 160."""
    n = np.arange(1, 60, 2)
    series = np.sum(np.tanh(n * np.pi * b / (2 * t)) / n**5)
    return complex(b * t**3 / 3 * (1 - 192 * t / (np.pi**5 * b) * series))


@pytest.mark.parametrize("t", [10.0, 40.0, 100.0])
def test_rectangle_by_its_thickness(t: float) -> None:
    exact = _rectangle_constant(100, t + 1e-30j).imag / 1e-30
    result, rate = _rate(lambda v: _shape("Rectangle", XDim=100.0, YDim=v), t)
    assert rate.rates["torsion_constant"] == pytest.approx(exact, rel=1e-7)
    assert rate.rates["second_moment_x"] == pytest.approx(100 * t**2 / 4, rel=1e-9)
    assert rate.rates["area"] == pytest.approx(100, rel=1e-9)
    assert result.torsion_constant == pytest.approx(_rectangle_constant(100, t).real, rel=1e-7)


def test_thin_strip_by_its_thickness_is_length_by_thickness_squared() -> None:
    """J = L t^3 / 3 less 0.21 t^4 (the rectangle's series for t << L): dJ/dt = L t^2 - 0.84 t^3."""
    _, rate = _rate(lambda v: _shape("Rectangle", XDim=400.0, YDim=v), 2.0)
    assert rate.rates["torsion_constant"] == pytest.approx(400 * 2**2 - 0.84 * 2**3, rel=3e-5)


def test_round_tube_by_its_wall() -> None:
    """J = pi/2 (R^4 - r^4), r = R - t: dJ/dt = 2 pi r^3; Bredt's 4 A^2 t / s, differentiated with
    the middle line's radius, is within a part in a thousand of it for so thin a wall."""
    tube = lambda v: _shape("CircleHollow", Radius=100.0, WallThickness=v)  # noqa: E731
    _, rate = _rate(tube, 2.0)
    assert rate.rates["torsion_constant"] == pytest.approx(2 * np.pi * 98**3, rel=1e-9)
    bredt = 2 * np.pi * 99**3 - 3 * np.pi * 99**2 * 2.0
    assert rate.rates["torsion_constant"] == pytest.approx(bredt, rel=1e-3)
    # tau = T R / J, so W_T = J / R
    assert rate.rates["torsion_modulus"] == pytest.approx(2 * np.pi * 98**3 / 100, rel=1e-6)


def test_growth_of_all_dimensions_is_homogeneous() -> None:
    """Euler: J, W_T, C_w, I and A are homogeneous of degree 4, 3, 6, 4 and 2 in all dimensions."""
    own = {
        "OverallWidth": 150.0, "OverallDepth": 300.0, "WebThickness": 7.1, "FlangeThickness": 10.7,
        "FilletRadius": 15.0,
    }  # fmt: skip
    degrees = {"torsion_constant": 4, "torsion_modulus": 3, "warping_constant": 6,
               "second_moment_x": 4, "area": 2, "elastic_modulus_top": 3, "polar_radius": 1,
               "perimeter": 1}  # fmt: skip
    sums = dict.fromkeys(degrees, 0.0)
    for key, value in own.items():
        result, rate = _rate(lambda v, key=key: _shape("I", **{**own, key: v}), value, 1e-6)
        for name in degrees:
            sums[name] += rate.rates[name] * value
    values = {
        "torsion_constant": result.torsion_constant,
        "torsion_modulus": result.torsion_modulus.value,
        "warping_constant": result.warping_constant,
        "second_moment_x": result.second_moments.x,
        "area": result.area,
        "elastic_modulus_top": result.elastic_moduli.x_top,
        "polar_radius": result.polar_radius,
        "perimeter": result.perimeter,
    }
    for name, degree in degrees.items():
        assert sums[name] == pytest.approx(degree * values[name], rel=2e-6), name


def _polygons(outline: Sequence[Sequence[float]], holes: Sequence[object] = ()) -> Section:
    return section_from_toml(
        f'unit = "mm"\n[[outline]]\npoints = {[list(p) for p in outline]}\nholes = {list(holes)}\n'
    )


def _two_cells(x: float) -> Section:
    """The web between two cells moves."""
    left = [[-190, -90], [x - 10, -90], [x - 10, 90], [-190, 90]]
    right = [[x, -90], [190, -90], [190, 90], [x, 90]]
    return _polygons([(-200, -100), (200, -100), (200, 100), (-200, 100)], [left, right])


def _deck(y: float) -> Section:
    """A bridge deck whose bottom slab moves with its inner face kept."""
    cell = [[-2150, -250], [-1560, -1600], [1560, -1600], [2150, -250]]
    half = [(6000, 0), (6000, -200), (2500, -450), (1800, y)]
    other = [(-a, b) for a, b in reversed(half)]
    return _polygons([*reversed(other), *reversed(half)], [cell])


def _slit_box(t: float) -> Section:
    return section_from_toml(
        'unit = "mm"\n[[plate]]\nname = "shell"\nbend_radius = 10\n'
        "points = [[-2, 100], [-100, 100], [-100, -100], [100, -100], [100, 100], [2, 100]]\n"
        f"thickness = {t!r}\n"
    )


def _composite(t: float) -> Section:
    """A slab on a steel tee: the interface ends at corners where materials meet."""
    return section_from_toml(
        'unit = "mm"\n[material.steel]\nE = "210 GPa"\nG = "81 GPa"\n[material.concrete]\n'
        'E = "33 GPa"\nG = "14 GPa"\n'
        '[[outline]]\nmaterial = "steel"\n'
        f"points = [[-60, 0], [60, 0], [60, {t!r}], [8, {t!r}], [8, 160], [-8, 160], [-8, {t!r}],"
        f" [-60, {t!r}]]\n"
        '[[outline]]\nmaterial = "concrete"\n'
        "points = [[-200, 160], [-8, 160], [8, 160], [200, 160], [200, 240], [-200, 240]]\n"
    )


def _two_materials(y: float) -> Section:
    """A bar of two materials whose interface moves, its outline kept."""
    return section_from_toml(
        'unit = "mm"\n[material.a]\nE = "210 GPa"\nG = "81 GPa"\n[material.b]\n'
        'E = "33 GPa"\nG = "14 GPa"\n'
        f'[[outline]]\nmaterial = "a"\npoints = [[0, 0], [60, 0], [60, {y!r}], [0, {y!r}]]\n'
        f'[[outline]]\nmaterial = "b"\npoints = [[0, {y!r}], [60, {y!r}], [60, 100], [0, 100]]\n'
    )


@pytest.mark.parametrize(
    ("made", "value"),
    [
        (_two_materials, 40.0),
        (_two_cells, -55.0),
        (_deck, -1800.0),
        (_slit_box, 8.0),
        (_composite, 20.0),
    ],
)
def test_differences_of_whole_solutions_on_new_meshes(made: Made, value: float) -> None:
    """Each side meshed and solved anew: differences of fourth order over steps of 0.2 % of numbers
    that are known to 1e-8."""
    result, rate = _rate(made, value)
    step = 2e-3 * abs(value)
    solved = [solve_section(made(value + k * step), 1e-8) for k in STEPS]

    def difference(pick: Callable[[SectionResult], object]) -> np.ndarray:
        return derivative([pick(one) for one in solved], step)

    for name, pick in (
        ("torsion_constant", lambda r: r.torsion_constant),
        ("warping_constant", lambda r: r.warping_constant),
        ("second_moment_major", lambda r: r.second_moments.major),
        ("monosymmetry_x", lambda r: r.monosymmetry[0]),
    ):
        scale = abs(pick(result)) / abs(value)
        found = float(difference(pick))
        near = max(2e-6 * scale, 1e-6)  # lengths that vanish by symmetry have no scale
        assert rate.rates[name] == pytest.approx(found, rel=0, abs=near), name
    doubt = rate.doubts["torsion_constant"] * abs(value) / result.torsion_constant
    assert doubt < 2e-6
    moved = np.array([rate.rates["shear_centre_x"], rate.rates["shear_centre_y"]])
    assert moved == pytest.approx(difference(lambda r: r.shear_centre), abs=2e-5)


def test_peak_of_a_channel_by_its_flange() -> None:
    """W_T beside a difference on new meshes; a stress at a place has fewer digits than J."""
    own = {"Depth": 200.0, "FlangeWidth": 75.0, "WebThickness": 8.5, "FilletRadius": 11.5}
    made = lambda v: _shape("U", FlangeThickness=v, **own)  # noqa: E731
    _, rate = _rate(made, 11.5, 1e-9)
    values = [solve_section(made(11.5 + k * 0.1), 1e-9).torsion_modulus.value for k in STEPS]
    assert rate.rates["torsion_modulus"] == pytest.approx(derivative(values, 0.1), rel=2e-5)


def test_the_border_says_the_same_as_the_domain() -> None:
    """On a smooth outline, the border's derivative times its movement, summed, is the domain's."""
    made = lambda v: _shape("RectangleHollow", XDim=150.0, YDim=250.0, WallThickness=v,  # noqa: E731
                            InnerFilletRadius=8.0, OuterFilletRadius=16.0)  # fmt: skip
    result, rate = _rate(made, 8.0, 1e-9)
    worth = border_worth(result)
    following = followed(checked_map(result.section), result.field.mesh)
    moved = mesh_rate(following, [checked_map(made(8.0 + k * 1e-3)) for k in STEPS], 1e-3)
    speed = _normal_speed(result, moved, worth.points.shape[1])
    for name in ("torsion_constant", "warping_constant", "second_moment_x", "area"):
        summed = float((worth.rates[name] * speed * worth.lengths).sum())
        assert summed == pytest.approx(rate.rates[name], rel=3e-6), name


def _normal_speed(result: SectionResult, moved: object, samples: int) -> np.ndarray:
    """Normal speed at the border's places, by differences of the moved edges."""
    from soapfilm.geometry.outline.contour import edge_points, edge_tangents

    mesh, border = result.field.mesh, result.field.border
    s = (np.polynomial.legendre.leggauss(samples)[0] + 1) / 2
    sign = np.where(mesh.edges[border.edges, 0] == border.start, 1.0, -1.0)
    ends = []
    for k in (-1e-4, 1e-4):
        vertices = mesh.vertices + k * moved.vertices
        bulges = border.bulges + k * sign * moved.bulges[border.edges]
        ends.append(edge_points(vertices[border.start], vertices[border.end], bulges, s))
    velocity = (ends[1] - ends[0]) / 2e-4
    start, end = mesh.vertices[border.start], mesh.vertices[border.end]
    tangent = edge_tangents(start, end, border.bulges, s)
    normal = np.stack([tangent[..., 1], -tangent[..., 0]], axis=-1)
    return (velocity * normal).sum(axis=-1) / np.hypot(tangent[..., 0], tangent[..., 1])


def test_no_derivative_where_corners_vanish() -> None:
    made = lambda v: _shape("I", OverallWidth=100.0, OverallDepth=200.0, WebThickness=8.0,  # noqa: E731
                            FlangeThickness=10.0, FilletRadius=max(v, 0.0))  # fmt: skip
    result = solve_section(made(0.0), 1e-3)
    with pytest.raises(SolveError, match="appear or vanish"):
        FollowedSection.of(result).moved([made(k * 1e-3) for k in STEPS], 1e-3)


def test_places_as_high_give_the_torsion_modulus_two_derivatives() -> None:
    """An I of equal flanges, one of which changes: the fillets of the thicker one have the largest
    stress, so that either side has its own; each beside whole solutions of sections that differ."""

    def made(top: float) -> Section:
        return _shape(
            "AsymmetricI", OverallDepth=200.0, WebThickness=8.0, BottomFlangeWidth=100.0,
            TopFlangeWidth=100.0, BottomFlangeThickness=12.0, TopFlangeThickness=top,
            BottomFlangeFilletRadius=9.0, TopFlangeFilletRadius=9.0,
        )  # fmt: skip

    _, rate = _rate(made, 12.0, 1e-6)
    below, here, above = (
        solve_section(made(12.0 + h), 1e-8).torsion_modulus.value or 0.0 for h in (-0.05, 0, 0.05)
    )
    assert rate.modulus is not None
    assert rate.rates["torsion_modulus"] == -rate.modulus.each[0].rate
    sides = sorted(-one.rate for one in rate.modulus.each)
    assert sides == pytest.approx([(above - here) / 0.05, (here - below) / 0.05], rel=2e-2)
    assert sides[1] > 2 * sides[0]
    assert rate.doubts["torsion_modulus"] >= sides[1] - sides[0]
    _, alone = _rate(lambda t: _shape("Rectangle", XDim=60.0, YDim=t), 40.0)
    assert alone.modulus is not None
    assert len(alone.modulus.each) == 1
