"""Sections solved together get what each would get alone: validity, both bounds of J, properties.

What they are held against is `solve_section` at a far higher accuracy, which the tests of the
section solver hold against closed forms and published values.
"""

from __future__ import annotations

import itertools
import re

import numpy as np
import pytest
from soapfilm.geometry.errors import GeometryError, SoapfilmError
from soapfilm.geometry.outline.contour import Contour
from soapfilm.geometry.section import Section
from soapfilm.geometry.section_file import section_from_toml
from soapfilm.solver.section import SectionResult, solve_section
from soapfilm.solver.section.family import solve
from soapfilm.solver.section.family.solve import solve_sections

from benchmarks.family_rows import BUILDS, deviations

ACCURACY = 1e-4


def _shape(profile: str, **values: float) -> Section:
    keys = "".join(f"{name} = {value}\n" for name, value in values.items())
    return section_from_toml(f'unit = "mm"\n[[shape]]\nprofile = "{profile}"\n{keys}')


def _i(depth: float, web: float, fillet: float) -> Section:
    return _shape(
        "I", OverallWidth=150, OverallDepth=depth, WebThickness=web, FlangeThickness=10.7,
        FilletRadius=fillet,
    )  # fmt: skip


def _tube(width: float, wall: float, inner: float) -> Section:
    return _shape(
        "RectangleHollow", XDim=width, YDim=100, WallThickness=wall, OuterFilletRadius=inner + wall,
        InnerFilletRadius=inner,
    )  # fmt: skip


def _box(web: float, lean: float) -> Section:
    """Two cells; the web's foot stands at `web`, its head at `web` + `lean`, 10 wide."""
    outer = [(-200, -100), (200, -100), (220 + lean, 100), (-200, 100)]
    left = [(-190, -90), (web, -90), (web + lean, 90), (-190, 90)]
    right = [(web + 10, -90), (190, -90), (205 + lean, 90), (web + lean + 10, 90)]
    return Section.single(Contour(outer), [Contour(left), Contour(right)], unit="mm")


def _families() -> list[list[Section]]:
    rng = np.random.default_rng(5)
    i = [
        _i(*v)
        for v in np.column_stack(
            [rng.uniform(270, 330, 10), rng.uniform(6, 9, 10), rng.uniform(12, 18, 10)]
        )
    ]
    tubes = [
        _tube(*v)
        for v in np.column_stack(
            [rng.uniform(150, 250, 10), rng.uniform(6, 10, 10), rng.uniform(3, 6, 10)]
        )
    ]
    boxes = [_box(*v) for v in np.column_stack([rng.uniform(-24, -20, 10), rng.uniform(-3, 3, 10)])]
    return [i, tubes, boxes]  # fmt: skip


@pytest.fixture(scope="module", params=range(3), ids=["I", "tube", "two cells"])
def family(request: pytest.FixtureRequest) -> tuple[list[Section], list[SectionResult]]:
    sections = _families()[request.param]
    results = solve_sections(sections, ACCURACY)
    assert all(isinstance(one, SectionResult) for one in results)
    return sections, results  # type: ignore[return-value]


def test_they_share_a_mesh(family: tuple[list[Section], list[SectionResult]]) -> None:
    """Else the tests below would try nothing."""
    _, results = family
    triangles = [one.field.mesh.triangles for one in results]
    counts = [len(t) for t in triangles]
    most = max(set(counts), key=counts.count)
    assert counts.count(most) >= 7


def test_each_interval_holds_the_true_one(
    family: tuple[list[Section], list[SectionResult]],
) -> None:
    for section, result in zip(*family, strict=True):
        true = solve_section(section, 1e-7)
        assert result.section is section
        assert result.solver.reached <= ACCURACY
        assert result.torsion_constant_lower <= true.torsion_constant_upper
        assert result.torsion_constant_upper >= true.torsion_constant_lower
        # the interval found together must enclose a far narrower one
        assert result.torsion_constant_lower <= true.torsion_constant
        assert result.torsion_constant_upper >= true.torsion_constant


def test_all_other_properties_are_those_of_one_alone(
    family: tuple[list[Section], list[SectionResult]],
) -> None:
    for section, result in list(zip(*family, strict=True))[::3]:
        true = solve_section(section, 1e-7)
        size = section.size()
        for name in ("area", "perimeter", "centroid"):
            assert getattr(result, name) == pytest.approx(getattr(true, name), rel=1e-12, abs=1e-11)
        for name in ("second_moments", "elastic_moduli"):
            mine, its = (
                np.array([getattr(getattr(one, name), s) for s in getattr(one, name).__slots__])
                for one in (result, true)
            )
            np.testing.assert_allclose(mine, its, rtol=1e-10, atol=1e-9 * np.abs(its).max())
        assert result.radii_of_gyration == pytest.approx(true.radii_of_gyration, rel=1e-12)
        assert result.plastic_moduli.x == pytest.approx(true.plastic_moduli.x, rel=1e-11)
        assert result.plastic_moduli.y == pytest.approx(true.plastic_moduli.y, rel=1e-11)
        assert result.plastic_torque.value == pytest.approx(true.plastic_torque.value, rel=2e-4)
        assert result.warping_constant == pytest.approx(true.warping_constant, rel=1e-4)
        assert np.hypot(*(result.shear_centre - true.shear_centre)) < 1e-4 * size
        np.testing.assert_allclose(result.monosymmetry, true.monosymmetry, atol=2e-4 * size)
        change = result.mean_lever_arm_change + true.mean_lever_arm_change
        assert result.mean_lever_arm == pytest.approx(true.mean_lever_arm, rel=change)
        ours, its = result.torsion_modulus, true.torsion_modulus
        assert (ours.value is None) == (its.value is None)
        mine, other = (t.value or t.away for t in (ours, its))
        assert mine == pytest.approx(other, rel=ours.doubt + its.doubt)
        assert len(result.cells) == len(true.cells)
        assert len(result.corners) == len(true.corners)
        for one, two in zip(
            sorted(result.corners, key=lambda c: c.point),
            sorted(true.corners, key=lambda c: c.point),
            strict=True,
        ):
            assert one.point == pytest.approx(two.point, abs=1e-9 * size)
            assert one.exponent == pytest.approx(two.exponent, abs=1e-9)
            assert one.clearance == pytest.approx(two.clearance, rel=1e-9)
            assert one.kind == two.kind


def test_a_result_can_be_asked_all_that_one_alone_can(
    family: tuple[list[Section], list[SectionResult]],
) -> None:
    """The fields behind it are those of its own section."""
    sections, results = family
    alone = solve_section(sections[1], ACCURACY)
    assert results[1].field.hole_values == pytest.approx(alone.field.hole_values, rel=1e-3)
    changes = (one.warping_properties.warping_constant_change for one in (results[1], alone))
    one, two = changes
    assert one < 10 * two + 1e-6 * alone.warping_constant


def test_what_is_wrong_with_one_is_told_as_alone() -> None:
    """A web that leans into the outer wall, a fillet that comes, a wall without thickness."""
    sections = [_i(300 + k, 7, 15) for k in range(5)]
    bad = _box(-215.0, 0.0)
    touching = Section.single(
        Contour([(0, 0), (100, 0), (100, 100), (0, 100)]),
        [Contour([(10, 10), (100 + 1e-12, 50), (10, 90)])],
        unit="mm",
    )
    mixed = [sections[0], bad, *sections[1:], _i(300, 7, 0), touching]
    found = solve_sections(mixed, ACCURACY)
    for section, one in zip(mixed, found, strict=True):
        if isinstance(one, SoapfilmError):
            with pytest.raises(type(one), match=re.escape(str(one))):
                solve_section(section, ACCURACY)
        else:
            alone = solve_section(section, ACCURACY)
            assert one.torsion_constant == pytest.approx(alone.torsion_constant, rel=ACCURACY)
    assert isinstance(found[1], GeometryError)


def test_holes_that_come_to_cross_are_found_within_a_family() -> None:
    """Two holes move toward each other until they overlap: rows of one build, some invalid."""

    def plate(gap: float) -> Section:
        square = np.array([(-20, -20), (20, -20), (20, 20), (-20, 20)], dtype=float)
        apart = np.array([20 + gap / 2, 0])
        holes = [Contour(square - apart), Contour(square + apart)]
        return Section.single(Contour([(-90, -40), (90, -40), (90, 40), (-90, 40)]), holes)

    gaps = [20, 15, 12, 10, 8, 6, 0, -5, -50, -90]
    found = solve_sections([plate(g) for g in gaps], 1e-3)
    wrong = [isinstance(one, GeometryError) for one in found]
    assert wrong == [-80 < g <= 0 for g in gaps]  # also where one hole has passed the other


def test_rows_far_apart_get_meshes_of_their_own(monkeypatch: pytest.MonkeyPatch) -> None:
    """A family ends where its mesh would be bent out of shape; what is left begins another."""
    begun: list[float] = []
    alone = solve._alone

    def told(section: Section, accuracy: float) -> SectionResult | SoapfilmError:
        begun.append(section.bounds()[3])
        return alone(section, accuracy)

    monkeypatch.setattr(solve, "_alone", told)
    sections = [_tube(w, 8, 4) for w in (120, 121, 122, 123, 124, 600, 601, 602, 603, 604)]
    found = solve_sections(sections, 1e-3)
    assert len(begun) == 2
    for section, one in zip(sections, found, strict=True):
        assert isinstance(one, SectionResult)
        true = solve_section(section, 1e-6)
        assert one.torsion_constant_lower <= true.torsion_constant <= one.torsion_constant_upper


@pytest.mark.parametrize("build", ["channel with slopes", "angle with fillets"])
def test_builds_that_no_limit_was_chosen_by(build: str) -> None:
    """As `benchmarks.family_rows`, on fewer rows: J in its interval, the rest within its doubt. The
    sand heap of an angle divided by zero, which a study would have warned of."""
    rng = np.random.default_rng(1)
    sections = [BUILDS[build](rng) for _ in range(12)]
    found = solve_sections(sections, ACCURACY)
    meshes = [id(one.field.mesh.triangles) for one in found if isinstance(one, SectionResult)]
    assert max(meshes.count(one) for one in meshes) >= 4
    for section, one in list(zip(sections, found, strict=True))[::3]:
        assert isinstance(one, SectionResult)
        true = solve_section(section, 1e-7)
        assert one.torsion_constant_lower <= true.torsion_constant <= one.torsion_constant_upper
        off = deviations(one, true)
        assert max(off.values()) <= 1, off


def test_cells_whose_number_changes_from_row_to_row() -> None:
    """Rows of two builds by turns: each build has a mesh of its own, and each row its cells."""

    def box(cells: int, web: float) -> Section:
        edges = np.linspace(-200, 200, cells + 1)
        holes = [
            Contour([(a + web, -90), (b - web, -90), (b - web, 90), (a + web, 90)])
            for a, b in itertools.pairwise(edges)
        ]
        outer = [(-210, -100), (210, -100), (210, 100), (-210, 100)]
        return Section.single(Contour(outer), holes, unit="mm")

    cells = [1, 2, 1, 2, 1, 2, 1, 2, 3]
    sections = [box(n, 8 + 0.1 * k) for k, n in enumerate(cells)]
    found = solve_sections(sections, 1e-3)
    assert all(isinstance(one, SectionResult) for one in found)
    results = [one for one in found if isinstance(one, SectionResult)]
    assert [len(one.cells) for one in results] == cells
    assert len({id(one.field.mesh.triangles) for one in results}) == 3
    for section, one in zip(sections[::4], results[::4], strict=True):
        true = solve_section(section, 1e-6)
        assert one.torsion_constant_lower <= true.torsion_constant <= one.torsion_constant_upper


def test_rows_whose_stress_asks_for_more_get_a_finer_mesh() -> None:
    """As the fillet shrinks the mesh of the first section resolves its stress no longer."""
    sections = [_i(300, 7.1, r) for r in np.linspace(9, 22, 16)]
    found = solve_sections(sections, ACCURACY)
    for one in found:
        assert isinstance(one, SectionResult)
        assert one.torsion_modulus.change <= 1e-3
    smallest = found[0]
    assert isinstance(smallest, SectionResult)
    true = solve_section(sections[0], 1e-8).torsion_modulus
    assert true.value is not None
    doubt = smallest.torsion_modulus.doubt + true.doubt
    assert smallest.torsion_modulus.value == pytest.approx(true.value, rel=doubt)
