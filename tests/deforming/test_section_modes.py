"""The reduced section: Saint-Venant's solutions beside the torsion solver, slow modes beside exact
and 3D solutions and thin-wall theory, and what must hold to rounding."""

from __future__ import annotations

import numpy as np
import pytest
from numpy.typing import NDArray
from scipy.optimize import root
from scipy.special import jv
from soapfilm.geometry.errors import GeometryError, InputError, SolveError
from soapfilm.geometry.material import Material
from soapfilm.geometry.outline.contour import Contour
from soapfilm.geometry.profiles.by_name import circle, circle_hollow, i_shape, l_shape
from soapfilm.geometry.section import Region, Section, Slit
from soapfilm.solver.section.deforming.convergence import change_of_order, rigidities
from soapfilm.solver.section.deforming.reduced import ReducedSection
from soapfilm.solver.section.deforming.reduction import reduced_section
from soapfilm.solver.section.solve import solve_section

Array = NDArray[np.float64]
STEEL = Material("steel", 210e3, 0.3, density=7.85e-9)


def rectangle(x0: float, y0: float, x1: float, y1: float) -> Contour:
    return Contour([(x0, y0), (x1, y0), (x1, y1), (x0, y1)])


def box(width: float, height: float, wall: float) -> Section:
    x, y = width / 2, height / 2
    hole = rectangle(wall - x, wall - y, x - wall, y - wall)
    return Section.single(rectangle(-x, -y, x, y), [hole], material=STEEL, unit="mm")


def plate_girder(depth: float, width: float, flange: float, web: float) -> Section:
    return i_shape(
        overall_depth=depth, overall_width=width, flange_thickness=flange, web_thickness=web
    ).section(material=STEEL, unit="mm")


def wide_deck() -> Section:
    outline = [
        (-1000, -500), (1000, -500), (1000, 480), (2000, 480),
        (2000, 500), (-2000, 500), (-2000, 480), (-1000, 480),
    ]  # fmt: skip
    hole = rectangle(-980, -480, 980, 480)
    return Section.single(Contour(outline), [hole], material=STEEL, unit="mm")


def two_materials() -> Section:
    """A concrete slab on the lower part of a steel plate girder."""
    concrete = Material("concrete", 34e3, 0.2, density=2.4e-9)
    slab = Region(rectangle(-400, 0, 400, 120), material=concrete)
    tee = [(-8, -300), (-100, -300), (-100, -320), (100, -320), (100, -300), (8, -300), (8, 0)]
    return Section((slab, Region(Contour([*tee, (-8, 0)]), material=STEEL)), unit="mm")


SECTIONS = {
    "box": box(2000, 1000, 20),
    "I": plate_girder(1200, 300, 20, 10),
    "angle": l_shape(depth=100, width=60, thickness=8, fillet_radius=6).section(material=STEEL),
    "tube": circle_hollow(radius=57.15, wall_thickness=5).section(material=STEEL),
    "two materials": two_materials(),
}


@pytest.fixture(scope="module", params=SECTIONS)
def named(request: pytest.FixtureRequest) -> tuple[Section, ReducedSection]:
    section = SECTIONS[request.param]
    return section, reduced_section(section, modes=6)


def test_rigid_motions_have_no_strain(named: tuple[Section, ReducedSection]) -> None:
    """Translations and the rotation about z strain nothing; a rotation about x or y along z goes
    with a translation that grows with z."""
    _, r = named
    scale = np.abs(r.M).max()
    for a, rate in _rigid(r, 0.0):
        force = r.C @ a + r.L.T @ rate, r.L @ a + r.M @ rate
        assert np.abs(np.concatenate(force)).max() < 1e-10 * scale * np.abs(a).max()


@pytest.mark.parametrize("radius", [3e4, -3e4])
def test_rigid_motions_of_a_curved_piece_have_no_strain(
    named: tuple[Section, ReducedSection], radius: float
) -> None:
    r = named[1].curved(radius)
    scale = np.abs(r.M).max()
    for a, rate in _rigid(r, 1 / radius):
        force = r.C @ a + r.L.T @ rate, r.L @ a + r.M @ rate
        assert np.abs(np.concatenate(force)).max() < 1e-10 * scale * np.abs(a).max()


def _rigid(r: ReducedSection, kappa: float) -> list[tuple[Array, Array]]:
    """a and a' at z = 0 of the six rigid motions. The frame turns about y: e_x' = kappa e_z and
    e_z' = -kappa e_x where the centre lies on the side of -x."""
    e = r.rigid.T
    none = np.zeros(r.size)
    return [
        (e[0], -kappa * e[2]),  # of a fixed vector e_x: u_z falls as the frame turns
        (e[1], none),
        (e[2], kappa * e[0]),
        # rotations about fixed axes through the axis at z = 0, u = theta x s: theta's parts turn as
        # those of a fixed vector, and s grows by e_z
        (e[3], -e[1] - kappa * e[5]),
        (e[4], e[0]),
        (e[5], kappa * e[3]),
    ]


def test_functions_of_rigid_motion_are_exact(named: tuple[Section, ReducedSection]) -> None:
    section, r = named
    points = np.vstack([region.outline.points for region in section.regions])
    x, y = points.T
    rows = r.displacement_rows(points) @ r.rigid
    one, zero = np.ones_like(x), np.zeros_like(x)
    exact = [(one, zero, zero), (zero, one, zero), (zero, zero, one),
             (zero, zero, y), (zero, zero, -x), (-y, x, zero)]  # fmt: skip
    assert rows == pytest.approx(np.moveaxis(np.array(exact), (0, 1), (2, 1)), abs=1e-8)


def test_rows_of_distortion_and_warping_are_blind_to_rigid_motion(
    named: tuple[Section, ReducedSection],
) -> None:
    _, r = named
    assert np.abs(r.in_plane @ r.rigid).max() == 0
    assert np.abs(r.axial @ r.rigid).max() == 0
    for rows in (r.in_plane, r.axial):
        assert rows @ rows.T == pytest.approx(np.eye(len(rows)))
    assert len(r.in_plane) + len(r.axial) + 6 == r.size


def test_saint_venant_torsion_agrees_with_the_torsion_solver(
    named: tuple[Section, ReducedSection],
) -> None:
    """Twist at the rate 1, warping free: the energy is G J within the discretisation (an order of
    5 without layers at corners), and never below it."""
    section, r = named
    exact = solve_section(section, 1e-6)
    shear = section.regions[0].material.shear
    rigidity = _energy_free_of_force(r, r.rigid[:, 5])
    assert rigidity == pytest.approx(shear * exact.torsion_constant, rel=1.5e-3)
    assert rigidity > shear * exact.torsion_constant_lower * (1 - 1e-9)


def test_extension_and_bending_are_free_of_lateral_restraint(
    named: tuple[Section, ReducedSection],
) -> None:
    """E A and E I, though zz strains alone cost lambda + 2 mu: contraction is in the basis. Where
    Poisson's ratios differ they are a little above."""
    section, r = named
    result = solve_section(section, 1e-3)
    modulus = section.regions[0].material.elastic_modulus
    slack = 1e-9 if len(section.regions) == 1 else 2e-3
    area = result.area_properties
    assert _energy_free_of_force(r, r.rigid[:, 2]) == pytest.approx(
        modulus * area.area, rel=slack, abs=0
    )
    lift = r.rigid[:, 3] - area.centroid[1] * r.rigid[:, 2]
    energy = _energy_free_of_force(r, lift)
    assert energy == pytest.approx(modulus * area.second_moments.x, rel=slack)


def _energy_free_of_force(r: ReducedSection, rate: Array) -> float:
    """Twice the energy per length at a' = rate, the rest of a free: rate (M - L C^-1 L^T) rate."""
    pull = r.L.T @ rate
    answer = np.linalg.lstsq(r.C, pull, rcond=1e-12)[0]
    return float(rate @ r.M @ rate - pull @ answer)


def test_resultants_of_rigid_rates(named: tuple[Section, ReducedSection]) -> None:
    """The stress that holds a rate of extension without contraction has int sigma_zz as its force:
    N = (L a + M a') . e_z, and so on for each rigid motion."""
    _, r = named
    still, along = r.resultant_rows()
    work_still, work_along = r.rigid.T @ r.L, r.rigid.T @ r.M
    order = [2, 0, 1, 3, 4, 5]  # N, V_x, V_y, M_x, M_y, T
    assert along[:6] == pytest.approx(work_along[order], abs=1e-9 * np.abs(work_along).max())
    assert still[:6] == pytest.approx(work_still[order], abs=1e-8 * np.abs(work_still).max())


def test_weight_is_density_times_displacement(named: tuple[Section, ReducedSection]) -> None:
    section, r = named
    if any(region.material.density is None for region in section.regions):
        return
    mass = solve_section(section, 1e-2).area_properties.mass_per_length
    assert r.weight.T @ r.rigid[:, :3] == pytest.approx(mass * np.eye(3), rel=1e-10, abs=1e-12)
    assert r.mass @ r.rigid[:, 1] @ r.rigid[:, 1] == pytest.approx(mass)


@pytest.mark.parametrize(
    ("section", "rates"),
    [
        (box(2000, 1000, 20), [0.162 + 0.158j, 1.82 + 0.61j]),
        (wide_deck(), [0.136 + 0.133j, 1.05 + 0.56j, 1.23, 1.55, 1.74]),
        (plate_girder(1200, 300, 20, 10), [0.156, 0.683, 1.215, 2.87 + 0.98j]),
    ],
)
def test_slowest_rates_of_3d_elasticity(section: Section, rates: list[complex]) -> None:
    """1/m, by tensor elements of order 4 on a mesh of their own (derived; good to 1 % for the
    slowest, 2 % for the fourth of the deck)."""
    found = reduced_section(section, modes=len(rates)).rates * 1e3
    assert (np.abs(found[: len(rates)] - rates) < 0.021 * np.abs(rates)).all()


def test_torsional_rate_of_a_round_bar() -> None:
    """Torsion of a round bar's end dies out as J_2(lambda a) = 0 (separation of variables: u_theta
    = J_1(lambda r) exp(-lambda z)); the axisymmetric modes as lambda^2 (J_0^2 + J_1^2) =
    2 (1 - nu) J_1^2 (Lur'e, Three-Dimensional Problems of the Theory of Elasticity, from memory;
    the first root at nu = 0.3 is 2.72 + 1.36 i)."""
    radius = 50.0
    section = circle(radius=radius).section(material=STEEL)
    rates = reduced_section(section, modes=20, order=8).rates * radius

    def axisymmetric(parts: Array) -> Array:
        z = complex(*parts)
        value = z * z * (jv(0, z) ** 2 + jv(1, z) ** 2) - 2 * (1 - 0.3) * jv(1, z) ** 2
        return np.array([value.real, value.imag])

    first = complex(*root(axisymmetric, [2.7, 1.36], tol=1e-12).x)
    assert np.abs(rates - first).min() < 2e-6
    assert np.abs(rates - 5.135622301840683).min() < 2e-6


@pytest.mark.parametrize(("web", "slack"), [(8.0, 8e-3), (2.0, 1e-3), (0.8, 2e-4)])
def test_open_sections_tend_to_the_length_of_thin_wall_theory(web: float, slack: float) -> None:
    """lambda -> sqrt(G J / E C_w) (Vlasov, Thin-Walled Elastic Beams, 1961) as walls thin."""
    section = plate_girder(300, 150, 1.5 * web, web)
    result = solve_section(section, 1e-6)
    steel, warping = section.regions[0].material, result.warping_properties
    rate = np.sqrt(
        steel.shear * result.torsion_constant / steel.elastic_modulus / warping.warping_constant
    )
    assert reduced_section(section, modes=3).rates[0].real == pytest.approx(rate, rel=slack)


def test_walls_lost_in_rounding_are_refused() -> None:
    """A foil of a ten-thousandth of the section: its bending is beyond double precision."""
    with pytest.raises(SolveError, match="walls are too thin beside its size"):
        reduced_section(plate_girder(100, 100, 0.01, 0.01), modes=3)


def test_modes_solve_the_reduced_problem() -> None:
    r = reduced_section(box(100, 100, 5), modes=6)
    for rate in r.rates[:4]:
        problem = rate**2 * r.M + rate * (r.L - r.L.T) - r.C
        scale = np.diag(1 / np.sqrt(np.diag(np.abs(rate) ** 2 * r.M)))
        assert np.linalg.svd(scale @ problem @ scale, compute_uv=False)[-1] < 1e-7


def test_fewer_modes_are_a_part_of_more() -> None:
    more = reduced_section(wide_deck(), modes=6)
    fewer = more.first(2)
    assert fewer.size == 12 + 8
    assert fewer.complete == pytest.approx(abs(more.rates[2]))
    assert len(fewer.in_plane) + len(fewer.axial) + 6 == fewer.size
    points = [(2000.0, 500.0), (0.0, -490.0)]
    assert fewer.displacement_rows(points) @ fewer.rigid == pytest.approx(
        more.displacement_rows(points) @ more.rigid
    )


def test_refusals() -> None:
    r = reduced_section(box(100, 100, 5), modes=2)
    with pytest.raises(InputError, match=r"point \(0, 0\) lies outside the material"):
        r.displacement_rows([(0.0, 0.0)])
    with pytest.raises(InputError, match="radius 50 is not larger than the section's reach"):
        r.curved(-50.0)
    halves = Region(rectangle(0, 0, 10, 10)), Region(rectangle(10, 0, 20, 10))
    two = Section(halves, slits=(Slit(((10, 0), (10, 10))),))
    with pytest.raises(GeometryError, match="slit 1 cuts the section apart"):
        reduced_section(two)
    corner = Region(rectangle(0, 0, 10, 10)), Region(rectangle(10, 10, 20, 20))
    with pytest.raises(GeometryError, match="touch only in a point"):
        reduced_section(Section(corner))
    rubber = Section.single(rectangle(0, 0, 1, 1), material=Material("rubber", 1.0, 0.4999))
    with pytest.raises(InputError, match=r"0\.4999 is too near 0\.5"):
        reduced_section(rubber)


def test_modes_are_named_by_their_shape() -> None:
    """What an engineer would call them: seen in figures of these sections."""
    assert reduced_section(box(2000, 1000, 20), modes=3).kinds == (
        "distortion", "bending of the flanges", "bending of the flanges",
    )  # fmt: skip
    assert reduced_section(wide_deck(), modes=2).kinds == ("distortion", "shear lag of the flanges")
    assert reduced_section(plate_girder(1200, 300, 20, 10), modes=2).kinds == (
        "warping of torsion", "bending of the webs",
    )  # fmt: skip
    tube = circle_hollow(radius=57.15, wall_thickness=5).section(material=STEEL)
    assert set(reduced_section(tube, modes=2).kinds) == {"distortion"}
    bar = circle(radius=20).section(material=STEEL)
    assert set(reduced_section(bar, modes=3).kinds) == {"local deformation"}


def test_shapes_of_modes_solve_the_reduced_problem() -> None:
    r = reduced_section(wide_deck(), modes=4)
    for rate, shape in zip(r.rates, r.shapes.T, strict=True):
        terms = rate**2 * r.M @ shape, rate * (r.L - r.L.T) @ shape, -r.C @ shape
        assert np.abs(sum(terms)).max() < 1e-6 * max(np.abs(term).max() for term in terms)


def test_the_next_order_changes_little() -> None:
    """Of sharp-cornered sections a ten-thousandth of the rigidities, of filleted ones less; the
    rates of the slowest modes likewise."""
    sharp = change_of_order(box(2000, 1000, 20), modes=4)
    smooth = change_of_order(SECTIONS["tube"], modes=4)
    assert 0 < sharp.rigidity < 1e-4
    assert 0 < sharp.rate < 1e-4
    assert smooth.rigidity < 1e-5
    assert smooth.rate < 1e-4


def test_rigidities_are_those_of_the_area() -> None:
    section = SECTIONS["angle"]
    result, e = solve_section(section, 1e-6), STEEL.elastic_modulus
    m = result.second_moments
    exact = [e * result.area, e * m.minor, e * m.major, STEEL.shear * result.torsion_constant]
    assert rigidities(reduced_section(section, modes=2)) == pytest.approx(exact, rel=1e-4)


def test_the_same_section_is_solved_once() -> None:
    first = reduced_section(box(120, 80, 5), modes=2)
    assert reduced_section(box(120, 80, 5), modes=2) is first
    assert reduced_section(box(120, 80, 6), modes=2) is not first
    assert reduced_section(box(120, 80, 5), modes=3) is not first


@pytest.mark.parametrize(("name", "slack"), [("box", 1e-9), ("I", 1e-9), ("tube", 1e-5)])
def test_patches_of_constant_and_linear_stress(name: str, slack: float) -> None:
    """Extension strains every point alike, bending in proportion to its distance: sigma_zz = E and
    E y, all other stresses zero, exactly where walls are straight."""
    section, e = SECTIONS[name], STEEL.elastic_modulus
    r = reduced_section(section, modes=2)
    mesh = r.fields.mesh
    points = mesh.corners[~mesh.curved if name != "tube" else slice(None)].mean(axis=1)[::3]
    x, y = points.T
    inside = np.hypot(x, y) < 55.0 if name == "tube" else np.ones_like(x, dtype=bool)
    points, y = points[inside], y[inside]
    still, along = r.stress_rows(points)
    for rate, exact in ((r.rigid[:, 2], e + 0 * y), (r.rigid[:, 3], e * y)):
        a = -np.linalg.lstsq(r.C, r.L.T @ rate, rcond=1e-12)[0]
        stress = still @ a + along @ rate
        size = np.abs(exact).max()
        assert np.abs(stress[:, 2] - exact).max() < slack * size
        assert np.abs(np.delete(stress, 2, axis=1)).max() < slack * size
