"""Pieces that taper or step: one basis for several sections, and what is refused."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from numpy.typing import NDArray
from soapfilm.geometry.errors import ArrangementError, GeometryError, InputError
from soapfilm.geometry.material import Material
from soapfilm.geometry.outline.contour import Contour
from soapfilm.geometry.profiles.solid import circle, circle_hollow, rectangle
from soapfilm.geometry.profiles.symmetric import i_shape
from soapfilm.geometry.section import Region, Section, Slit
from soapfilm.solver.section.deforming.convergence import rigidities
from soapfilm.solver.section.deforming.elasticity.strain import strains, stretch_of
from soapfilm.solver.section.deforming.piece import piece_matrices
from soapfilm.solver.section.deforming.reduced import ReducedSection
from soapfilm.solver.section.deforming.reduction import reduced_section, reduced_sections
from soapfilm.solver.section.deforming.taper import TaperedPiece, tapered_piece
from soapfilm.solver.section.elements.basis import sampled_basis

Array = NDArray[np.float64]
STEEL = Material("steel", 210e3, 0.3, density=7.85e-9)


def plate_girder(depth: float, width: float, name: str = "girder", fillet: float = 0.0) -> Section:
    return i_shape(
        overall_depth=depth, overall_width=width, flange_thickness=12, web_thickness=8,
        fillet_radius=fillet,
    ).section(material=STEEL, unit="mm", name=name)  # fmt: skip


def square_tube(side: float, wall: float, slot: float = 0.0) -> Section:
    """A square tube, with a slot along the middle of its right wall."""
    a, b, g = side / 2, side / 2 - wall, slot / 2
    if not slot:
        outer, inner = (Contour([(-x, -x), (x, -x), (x, x), (-x, x)]) for x in (a, b))
        return Section.single(outer, [inner], material=STEEL, unit="mm", name="tube")
    outline = [(a, g), (a, a), (-a, a), (-a, -a), (a, -a), (a, -g),
               (b, -g), (b, -b), (-b, -b), (-b, b), (b, b), (b, g)]  # fmt: skip
    return Section.single(Contour(outline), material=STEEL, unit="mm", name="slotted")


def tapered(sections: list[Section], modes: int = 10) -> tuple[ReducedSection, ...]:
    """The two sections of a taper."""
    return reduced_sections(sections, tapers=[(0, 1)], modes=modes)


@pytest.fixture(scope="module")
def taper() -> TaperedPiece:
    start, end = tapered(
        [plate_girder(500, 150, fillet=10), plate_girder(200, 90, fillet=10)], modes=2
    )
    return tapered_piece(start, end, 3000.0)


def test_rigid_motions_of_a_taper_have_no_strain(taper: TaperedPiece) -> None:
    """At a place between interpolated ones too: a' = 0 is no strain of a translation, and a
    rotation about z at a fixed angle is one of the fixed place (-y, x), whose functions' share
    changes as the mesh moves."""
    r = taper.section(1234.0)
    scale = np.abs(r.M).max()
    rates = (taper.end.rigid - taper.start.rigid) / taper.length
    for motion in (0, 1, 2, 5):
        a, rate = r.rigid[:, motion], rates[:, motion]
        force = np.concatenate([r.C @ a + r.L.T @ rate, r.L @ a + r.M @ rate])
        assert np.abs(force).max() < 1e-7 * scale * np.abs(a).max()


@pytest.mark.parametrize("curvature", [0.0, -1 / 5000])
def test_matrices_are_the_energy_of_the_strains(taper: TaperedPiece, curvature: float) -> None:
    """The ten pair integrals against strains and stresses point by point, on a piece that tapers
    and curves at once. In fillets a rotation is met to 1e-8 by polynomials, and taken as free of
    strain by the integrals alone."""
    r = taper.section(700.0)
    columns = r.fields.coefficients[..., ::3]
    fields = replace(r.fields, coefficients=columns, share=0.3, rate=1 / 900)
    m = piece_matrices(fields, r.elastic, curvature)
    every = np.arange(len(fields.mesh.triangles))
    spots = fields.spots(every, sampled_basis(fields.order, fields.order + 4))
    u, gradient = fields.at(spots)
    still, along = strains(u, gradient, spots.points, curvature, spots.speed)
    weight = spots.weights * stretch_of(spots.points, curvature)
    pairs = {"C": (still, still), "L": (along, still), "M": (along, along)}
    for name, (one, other) in pairs.items():
        stress = r.elastic.stress(other) * weight[..., None, None]
        exact = np.einsum("tqsi,tqsj->ij", one, stress, optimize=True)
        found = getattr(m, name)
        assert found == pytest.approx(exact, abs=1e-7 * np.abs(exact).max())


def test_interpolated_matrices_are_the_integrated_ones(taper: TaperedPiece) -> None:
    for z in (150.0, 1711.0, 2900.0):
        r = taper.section(z)
        m = piece_matrices(r.fields, r.elastic)
        for name in ("C", "L", "M", "mass"):
            exact = getattr(m, name)
            assert getattr(r, name) == pytest.approx(exact, abs=2e-6 * np.abs(exact).max())


def test_ends_of_a_taper_are_the_sections_themselves(taper: TaperedPiece) -> None:
    """Saint-Venant's torsion of each end, in the common basis, as of the section alone."""
    for end, section in (
        (taper.start, plate_girder(500, 150, fillet=10)),
        (taper.end, plate_girder(200, 90, fillet=10)),
    ):
        alone = reduced_section(section, modes=2)
        for motion in (2, 5):
            assert _free(end, motion) == pytest.approx(_free(alone, motion), rel=1e-4)
        assert end.rates[0] == pytest.approx(alone.rates[0], rel=1e-4)


def _free(r: ReducedSection, motion: int) -> float:
    """Twice the energy per length at a unit rate of a rigid motion, the rest of a free."""
    rate = r.rigid[:, motion]
    pull = r.L.T @ rate
    return float(rate @ r.M @ rate - pull @ np.linalg.lstsq(r.C, pull, rcond=1e-11)[0])


def test_a_point_of_a_taper_moves_with_the_mesh(taper: TaperedPiece) -> None:
    """The corner of the flange at mid-length, and a place in a fillet."""
    r = taper.section(1500.0)
    inside = np.array([(6.0, 163 - 2.0), (-8.0, -162.9)])
    assert r.displacement_rows(inside)[:, 2] @ r.rigid[:, 3] == pytest.approx(inside[:, 1])
    rows = r.displacement_rows([(60.0, 175.0)]) @ r.rigid
    assert rows[0] == pytest.approx(
        np.array([[1, 0, 0, 0, 0, -175.0], [0, 1, 0, 0, 0, 60.0], [0, 0, 1, 175.0, -60.0, 0]]),
        abs=1e-7,
    )


def test_the_outside_of_an_inclined_plate_is_free() -> None:
    """A plate that rises by a twentieth: shear of torsion along its faces brings a twentieth of
    itself across the section, or forces would act on them."""
    corners = [[(-50, y), (50, y), (50, y + 10), (-50, y + 10)] for y in (0.0, 50.0)]
    plates = [Section.single(Contour(c), material=STEEL, name=f"{c[0][1]}") for c in corners]
    r = tapered_piece(*tapered(plates, modes=2), 1000.0).section(500.0)
    twist = 1e-6 * r.rigid[:, 5]
    a = -np.linalg.lstsq(r.C, r.L.T @ twist, rcond=1e-11)[0]
    still, along = r.stress_rows([(20.0, 35.0), (-30.0, 25.0)])
    stress = still @ a + along @ twist
    assert stress[:, 4] == pytest.approx([-0.81, 0.81], rel=0.02)  # G t theta'
    assert stress[:, 5] == pytest.approx(0.05 * stress[:, 4], rel=0.02)
    assert stress[:, 3] == pytest.approx(0.05 * stress[:, 2], abs=0.002)
    assert np.abs(stress[:, :2]).max() < 0.001


def test_both_plates_of_sharp_cornered_girders_may_taper() -> None:
    """Edges that meet at a re-entrant corner shrink by different amounts: the smallest triangles
    of the layers there once folded."""
    start, end = tapered([plate_girder(500, 150), plate_girder(200, 80)], modes=2)
    for one, width in ((start, 150), (end, 80)):
        assert np.ptp(one.fields.mesh.vertices[:, 0]) == pytest.approx(width)


def test_unmatched_outlines_are_refused_by_their_corner() -> None:
    notched = [(-75, -250), (75, -250), (75, 250), (60, 250), (60, 240), (-75, 240)]
    plain = [(-75, -100), (75, -100), (75, 100), (-75, 100)]
    sections = [
        Section.single(Contour(points), material=STEEL, unit="mm", name=name)
        for points, name in ((notched, "notched"), (plain, "plain"))
    ]
    with pytest.raises(GeometryError, match=r"6 and 4 corners; the one of 'notched' at \(60"):
        tapered(sections)
    with pytest.raises(GeometryError, match="region 1 has 1 and 0 holes"):
        tapered([square_tube(100, 5), square_tube(100, 5, 10)])


def slit_tube(side: float) -> Section:
    """A square tube cut open along the middle of its right wall."""
    cut = Slit(((side / 2 - 5, 0), (side / 2, 0)))
    return replace(square_tube(side, 5), slits=(cut,), name=f"slit {side:g}")


def test_slits_taper_with_their_sections() -> None:
    """Halfway along a slender taper: the open tube's torsion, 500 times softer than the closed
    one's, and its extension."""
    start, end = tapered([slit_tube(100), slit_tube(60)], modes=2)
    r = tapered_piece(start, end, 1e5).section(5e4)
    alone = reduced_section(slit_tube(80), modes=2)
    for motion in (2, 5):
        assert _free(r, motion) == pytest.approx(_free(alone, motion), rel=1e-4)


def finned(section: Section) -> Section:
    """The same with a flange on its bottom."""
    fin = Region(Contour([(-80, -60), (80, -60), (80, -50), (-80, -50)]), material=STEEL)
    return replace(section, regions=(*section.regions, fin), name=f"finned {section.name}")


def test_steps_keep_slits_that_all_sections_have() -> None:
    """Each is its own section, open along the cut: some 500 times softer in torsion than closed."""
    sections = [slit_tube(100), finned(slit_tube(100))]
    found = reduced_sections(sections, steps=[(0, 1)], modes=1)
    for r, section in zip(found, sections, strict=True):
        alone = reduced_section(section, modes=1)
        for motion in (2, 5):
            assert _free(r, motion) == pytest.approx(_free(alone, motion), rel=1e-3)


def test_a_slit_that_ends_at_a_step_is_refused() -> None:
    """A cut of no width that closes at once; drawn with a width, the step is one like others."""
    with pytest.raises(GeometryError, match=r"'slit 100' has slits where 'tube' has none.*some wi"):
        reduced_sections([square_tube(100, 5), slit_tube(100)], steps=[(0, 1)], modes=1)
    moved = replace(slit_tube(100), slits=(Slit(((45, 10), (50, 10))),), name="elsewhere")
    with pytest.raises(GeometryError, match="where 'finned elsewhere' has others"):
        reduced_sections([slit_tube(100), finned(moved)], steps=[(0, 1)], modes=1)


def test_slits_without_a_partner_cannot_taper() -> None:
    bent = replace(slit_tube(60), slits=(Slit(((25, 0), (27, 1), (30, 0))),), name="bent")
    with pytest.raises(GeometryError, match="have 1 and 0 slits; draw the same slits in both"):
        tapered([slit_tube(100), square_tube(60, 5)])
    with pytest.raises(GeometryError, match=r"at \(45.0, 0.0\) mm has 2 points, its partner 3"):
        tapered([slit_tube(100), bent])


def test_outlines_that_turn_inside_out_are_refused() -> None:
    """The web's left edge passes its right one on the way."""
    first = Contour([(0, 0), (10, 0), (10, 100), (0, 100)])
    last = Contour([(0, 0), (10, 0), (0, 100), (10, 100)])
    sections = [Section.single(c, material=STEEL, name=n) for c, n in ((first, "a"), (last, "b"))]
    with pytest.raises(GeometryError):
        tapered(sections)
    deep, shallow = plate_girder(3000, 200, "deep"), plate_girder(60, 140, "shallow")
    with pytest.raises(GeometryError, match="is too far from the others to taper"):
        tapered([deep, shallow])


@pytest.fixture(scope="module")
def steps() -> tuple[ReducedSection, ReducedSection]:
    closed, slotted = reduced_sections([square_tube(100, 5), square_tube(100, 5, 10)], modes=3)
    return closed, slotted


def test_a_step_keeps_each_section_as_it_is(
    steps: tuple[ReducedSection, ReducedSection],
) -> None:
    """Extension and torsion of both in the common basis, a factor of 500 apart in torsion."""
    for own, section in zip(steps, (square_tube(100, 5), square_tube(100, 5, 10)), strict=True):
        alone = reduced_section(section, modes=3)
        assert _free(own, 2) == pytest.approx(_free(alone, 2), rel=1e-6)
        assert _free(own, 5) == pytest.approx(_free(alone, 5), rel=2e-4)
        assert own.rates[:3] == pytest.approx(alone.rates[:3], rel=1e-3)
        assert own.weight[:, 1] @ own.rigid[:, 1] == pytest.approx(
            alone.weight[:, 1] @ alone.rigid[:, 1]
        )


def test_points_of_a_step_belong_to_their_own_section(
    steps: tuple[ReducedSection, ReducedSection],
) -> None:
    closed, slotted = steps
    assert closed.size == slotted.size
    inside_the_slot = [(47.5, 1.0)]
    assert closed.displacement_rows(inside_the_slot).shape == (1, 3, closed.size)
    with pytest.raises(InputError, match="outside the material"):
        slotted.displacement_rows(inside_the_slot)


def test_rigid_motions_are_common_to_a_step(
    steps: tuple[ReducedSection, ReducedSection],
) -> None:
    closed, slotted = steps
    assert closed.rigid == pytest.approx(slotted.rigid)
    for r in steps:
        for motion in (0, 1, 2, 5):
            assert np.abs(r.C @ r.rigid[:, motion]).max() < 1e-9 * np.abs(r.C).max()


def test_steps_of_two_materials() -> None:
    """A concrete haunch under a slab beside a steel plate there: each its own stiffness."""
    concrete = Material("concrete", 34e3, 0.2)
    slab = rectangle(x_dim=300, y_dim=100).region(concrete)
    plates = [
        Region(Contour([(-150, -70), (150, -70), (150, -50), (-150, -50)]), material=material)
        for material in (STEEL, concrete)
    ]
    sections = [Section((slab, plate), name=n) for plate, n in zip(plates, "ab", strict=True)]
    own = reduced_sections(sections, modes=2)
    for r, section in zip(own, sections, strict=True):
        alone = reduced_section(section, modes=2)
        assert _free(r, 2) == pytest.approx(_free(alone, 2), rel=1e-4)


def test_an_arc_that_touches_a_line_of_the_other_section_is_met_by_chords() -> None:
    """A girder with fillets coped to its web alone: the web's sides are tangent to the fillets, and
    cells between end in cusps. Chords leave arcs by a ten-thousandth of the section."""
    girder = i_shape(
        overall_depth=400, overall_width=180, flange_thickness=13.5, web_thickness=8.6,
        fillet_radius=21,
    ).section(material=STEEL, name="girder")  # fmt: skip
    web = Contour([(-4.3, -170), (4.3, -170), (4.3, 150), (-4.3, 150)])
    sections = [girder, Section.single(web, material=STEEL, name="coped")]
    for r, section in zip(reduced_sections(sections, modes=3), sections, strict=True):
        exact = rigidities(reduced_section(section, modes=3))
        assert rigidities(r)[:3] == pytest.approx(exact[:3], rel=1e-3)
        assert rigidities(r)[3] == pytest.approx(exact[3], rel=3e-3)
        assert "arcs stand as chords" in r.notes[0]


def test_round_sections_step_by_their_arcs() -> None:
    """A solid bar in a thicker tube: rings between true circles."""
    sections = [
        circle(radius=40).section(material=STEEL, name="bar"),
        circle_hollow(radius=50, wall_thickness=15).section(material=STEEL, name="tube"),
    ]
    for r, section in zip(reduced_sections(sections, modes=3), sections, strict=True):
        alone = reduced_section(section, modes=3)
        assert rigidities(r) == pytest.approx(rigidities(alone), rel=1e-6)


def test_outlines_that_all_but_coincide_are_one() -> None:
    """A tube by its radius, and the same tube slotted, its arcs by bulges of four digits: up to
    0.012 mm apart, slivers that took ten thousand triangles."""
    tube = circle_hollow(radius=57.15, wall_thickness=5).section(material=STEEL, name="tube")
    b = 0.955
    points = [
        (56.91, 5.23),
        (-57.15, 0),
        (56.91, -5.23),
        (51.93, -4.77),
        (-52.15, 0),
        (51.93, 4.77),
    ]
    slotted = Section.single(
        Contour(points, [b, b, 0, -b, -b, 0]), material=STEEL, name="slotted tube"
    )
    for r, section in zip(reduced_sections([tube, slotted], modes=2), (tube, slotted), strict=True):
        assert len(r.fields.mesh.triangles) < 100
        assert "stand as one" in r.notes[0]
        alone = reduced_section(section, modes=2)
        assert rigidities(r) == pytest.approx(rigidities(alone), rel=2e-3)


def test_sections_without_common_material_are_refused() -> None:
    left, right = (
        Section.single(Contour([(x, 0), (x + 10, 0), (x + 10, 50), (x, 50)]), name=name)
        for x, name in ((0.0, "left"), (20.0, "right"))
    )
    with pytest.raises(GeometryError, match="'left' and 'right' share no material"):
        reduced_sections([left, right])


def test_a_step_without_common_material_is_refused_though_others_overlap_both() -> None:
    left, right, wide = (
        Section.single(Contour([(x, 0), (y, 0), (y, 50), (x, 50)]), material=STEEL, name=name)
        for x, y, name in ((0.0, 10.0, "left"), (20.0, 30.0, "right"), (0.0, 30.0, "wide"))
    )
    with pytest.raises(ArrangementError, match="'left' and 'right' share no material where"):
        reduced_sections([left, right, wide], steps=[(0, 1), (1, 2)], modes=1)


def bars(*depths: int) -> list[Section]:
    return [
        rectangle(x_dim=100, y_dim=y).section(material=STEEL, unit="mm", name=f"{y}")
        for y in depths
    ]


def test_a_taper_may_step_at_both_ends() -> None:
    """Each section alone is its own reduced one: those of the far end are drawn in the place of
    the near one, and the taper brings them where they are."""
    sections = bars(80, 100, 150, 180)
    found = reduced_sections(sections, tapers=[(1, 2)], steps=[(0, 1), (2, 3)], modes=1)
    for r, section in zip(found, sections, strict=True):
        alone = reduced_section(section, modes=1)
        for motion in (2, 5):
            assert _free(r, motion) == pytest.approx(_free(alone, motion), rel=1e-3)
        height = float(section.name) / 2
        corner = r.displacement_rows([(50.0, height)])[0] @ r.rigid
        assert corner[2] == pytest.approx([0, 0, 1, height, -50, 0], abs=1e-9 * height)


def test_steps_at_both_ends_to_sections_that_taper_are_refused() -> None:
    """No one place where all of them stand."""
    with pytest.raises(GeometryError, match="'100' and '150' taper into each other and the member"):
        reduced_sections(
            bars(80, 100, 150, 180, 60, 200),
            tapers=[(1, 2), (0, 4), (3, 5)],
            steps=[(0, 1), (2, 3)],
            modes=1,
        )


def test_arcs_cannot_stand_at_the_far_end_of_a_taper_between_steps() -> None:
    sections = [*bars(80, 100, 150), circle(radius=60).section(material=STEEL, unit="mm")]
    with pytest.raises(GeometryError, match="has arcs or slits, which cannot stand where a taper"):
        reduced_sections(sections, tapers=[(1, 2)], steps=[(0, 1), (2, 3)], modes=1)
