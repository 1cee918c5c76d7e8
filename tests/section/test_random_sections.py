"""Random valid sections: what must hold for every one of them."""

from __future__ import annotations

import numpy as np
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from soapfilm.geometry.checks.validate import check
from soapfilm.geometry.errors import GeometryError
from soapfilm.geometry.outline.contour import Contour
from soapfilm.geometry.outline.moments import contour_moments
from soapfilm.geometry.section import Region, Section, Slit
from soapfilm.solver.section import SectionResult, solve_section
from soapfilm.solver.section.mesh.refinement import smallest_stretch

EXAMPLES = settings(max_examples=12, deadline=None)
unit = st.floats(0, 1)


@st.composite
def stars(draw, low: float = 0.35, arcs: bool = True) -> Contour:
    """An outline seen whole from the origin, within the unit circle, some of its edges arcs."""
    n = draw(st.integers(3, 9))
    steps = np.array([0.3 + draw(unit) for _ in range(n)])
    angles = np.cumsum(steps) / steps.sum() * 2 * np.pi
    radii = np.array([low + (1 - low) * draw(unit) for _ in range(n)])
    bulges = [draw(st.sampled_from([0.0, 0.0, 0.2, -0.2, 0.5])) if arcs else 0.0 for _ in range(n)]
    return Contour(radii[:, None] * np.stack([np.cos(angles), np.sin(angles)], axis=1), bulges)


def shrunk(contour: Contour, factor: float, at: tuple[float, float]) -> Contour:
    return Contour(contour.points * factor + np.array(at), contour.bulges)


@st.composite
def sections(draw, holes: int = 3) -> Section:
    """A star of several thicknesses with up to three holes side by side, or none."""
    outline = draw(stars())
    cuts = []
    for k in range(draw(st.integers(0, holes))):
        turn = 2 * np.pi * k / 3
        at = (0.19 * np.cos(turn), 0.19 * np.sin(turn))
        cuts.append(shrunk(draw(stars()), 0.04 + 0.09 * draw(unit), at))
    section = Section.single(outline, cuts)
    try:
        check(section)
    except GeometryError:
        assume(False)
    return section


def interval(result: SectionResult) -> tuple[float, float]:
    return result.torsion_constant_lower, result.torsion_constant_upper


def polar_moment(section: Section, about: tuple[float, float]) -> float:
    m = contour_moments(section.contours(), about)
    return float(m[2, 0] + m[0, 2])


@EXAMPLES
@given(sections(), st.tuples(st.floats(-2, 2), st.floats(-2, 2)))
def test_interval_is_one_and_below_the_polar_moment(section: Section, about: tuple) -> None:
    coarse, fine = solve_section(section, 1e-2), solve_section(section, 1e-6)
    for result in (coarse, fine):
        low, high = interval(result)
        assert 0 < low <= high
        assert smallest_stretch(result.field.mesh).min() > 0
        centroid = tuple(float(c) for c in result.centroid)
        assert low <= polar_moment(section, centroid) * (1 + 1e-12)
        assert low <= polar_moment(section, about) * (1 + 1e-12)
    # two intervals that hold the same value meet
    assert coarse.torsion_constant_lower <= fine.torsion_constant_upper
    assert fine.torsion_constant_lower <= coarse.torsion_constant_upper
    assert fine.solver.met


@EXAMPLES
@given(sections())
def test_adding_material_never_lowers_j(section: Section) -> None:
    """Fill one hole, then take half of another: J follows the material (warping principle)."""
    region = section.regions[0]
    assume(region.holes)
    base = solve_section(section)
    filled = solve_section(Section.single(region.outline, region.holes[1:]))
    assert base.torsion_constant_lower <= filled.torsion_constant_upper
    hole = region.holes[0]
    middle = hole.points.mean(axis=0)
    smaller = Contour((hole.points - middle) * 0.5 + middle, hole.bulges)
    shrunk_hole = Section.single(region.outline, (smaller, *region.holes[1:]))
    try:
        check(shrunk_hole)
    except GeometryError:
        assume(False)
    between = solve_section(shrunk_hole)
    # a star about its own origin: the half-size copy lies within when it holds the middle
    assume(_inside(smaller, hole))
    assert base.torsion_constant_lower <= between.torsion_constant_upper
    assert between.torsion_constant_lower <= filled.torsion_constant_upper


def _inside(small: Contour, large: Contour) -> bool:
    import shapely

    inner, outer = (shapely.Polygon(c.polyline(1e-6)) for c in (small, large))
    return bool(outer.buffer(1e-7).contains(inner))


@EXAMPLES
@given(sections(holes=2), st.floats(0, 2 * np.pi), st.floats(0.02, 0.3))
def test_slits_lower_j(section: Section, turn: float, length: float) -> None:
    p = np.array([0.33 * np.cos(turn), 0.33 * np.sin(turn)])
    q = p + length * np.array([-np.sin(turn), np.cos(turn)])
    region = section.regions[0]
    parted = Section((Region(region.outline, region.holes),), slits=(Slit((tuple(p), tuple(q))),))
    try:
        check(parted)
    except GeometryError:
        assume(False)
    whole, cut = solve_section(section), solve_section(parted)
    assert cut.torsion_constant_lower <= whole.torsion_constant_upper
    assert cut.solver.met
    assert len(cut.cells) <= len(whole.cells)


@EXAMPLES
@given(sections())
def test_cells_and_warping_are_consistent(section: Section) -> None:
    result = solve_section(section)
    holes = sorted((-h.area() for h in section.regions[0].holes), reverse=True)
    np.testing.assert_allclose([c.void_area for c in result.cells], holes, rtol=1e-9)
    # the torque of the cells' flows is a part of the whole: 2 sum q A < 1 per unit torque
    assert 0 <= 2 * sum(c.shear_flow_per_torque * c.void_area for c in result.cells) < 1
    assert all(c.shear_flow_per_torque > 0 for c in result.cells)
    assert result.warping_constant >= 0
    assert result.polar_radius**2 * result.area >= polar_moment(
        section, tuple(map(float, result.centroid))
    ) * (1 - 1e-9)
    assert 0 < result.mean_lever_arm < section.size() / 2
    if result.torsion_modulus.value is not None and result.plastic_torque.value is not None:
        # first yield comes before full plasticity
        assert result.torsion_modulus.value < result.plastic_torque.value * (1 + 2e-3)
