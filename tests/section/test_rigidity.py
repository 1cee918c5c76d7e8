"""Composite sections: true moduli, modular ratio and creep against hand formulas."""

from __future__ import annotations

import numpy as np
import pytest
from soapfilm.geometry.grades import generic_material, long_term, modular_ratio
from soapfilm.geometry.material import Material
from soapfilm.geometry.outline.contour import Contour
from soapfilm.geometry.profiles.by_name import circle_hollow, rectangle_hollow
from soapfilm.geometry.section import Region, Section
from soapfilm.geometry.section_file import section_from_toml
from soapfilm.geometry.units import Units
from soapfilm.report.section.rigidity_rows import rigidity_group
from soapfilm.solver.section import solve_section
from soapfilm.solver.section.area.rigidity import Rigidities, rigidities

MM = Units("mm")
STEEL, CONCRETE = generic_material("S355", MM), generic_material("C30/37", MM)

#: A tube 400 x 300 x 10 with sharp corners, its top face at y = 0, below a deck 3000 x 200.
TUBE_AREA = 400 * 300 - 380 * 280
TUBE_X, TUBE_Y = (400 * 300**3 - 380 * 280**3) / 12, (300 * 400**3 - 280 * 380**3) / 12
DECK_AREA, DECK_X, DECK_Y = 3000 * 200, 3000 * 200**3 / 12, 200 * 3000**3 / 12


def deck_on_tube(concrete: Material) -> Section:
    tube = rectangle_hollow(x_dim=400, y_dim=300, wall_thickness=10)
    x, y = np.array([[-200, -300], [200, -300], [200, 0], [-200, 0]]).T
    steel = Region(Contour(np.stack([x, y], axis=1)), tube.holes, STEEL, "tube")
    lowered = Contour(tube.holes[0].points - [0.0, 150.0])
    steel = Region(steel.outline, (lowered,), STEEL, "tube")
    deck = Contour([[-1500, 0], [1500, 0], [1500, 200], [-1500, 200]])
    return Section((steel, Region(deck, (), concrete, "deck")), unit="mm")


def solved(section: Section, accuracy: float = 1e-5) -> Rigidities:
    stiff = rigidities(solve_section(section, accuracy))
    assert stiff is not None
    return stiff


@pytest.mark.parametrize("creep", [0.0, 2.0])
def test_deck_on_a_tube_by_hand(creep: float) -> None:
    """Sum of E A, common centroid by E, Steiner's rule; the concrete softened by 1 + creep."""
    concrete = long_term(CONCRETE, creep)
    e_s, e_c = 210e3, 22e3 * 3.8**0.3 / (1 + creep)
    assert concrete.elastic_modulus == pytest.approx(e_c, rel=1e-6)
    axial = e_s * TUBE_AREA + e_c * DECK_AREA
    centroid = (e_s * TUBE_AREA * -150 + e_c * DECK_AREA * 100) / axial
    bending = e_s * (TUBE_X + TUBE_AREA * (centroid + 150) ** 2)
    bending += e_c * (DECK_X + DECK_AREA * (centroid - 100) ** 2)
    stiff = solved(deck_on_tube(concrete))
    assert stiff.axial == pytest.approx(axial, rel=1e-6)
    assert stiff.bending_x == pytest.approx(bending, rel=1e-6)
    assert stiff.bending_y == pytest.approx(e_s * TUBE_Y + e_c * DECK_Y, rel=1e-6)
    assert stiff.bending_xy == pytest.approx(0.0, abs=1e-9 * bending)


def test_transformed_values_by_the_modular_ratio() -> None:
    """A_transformed = A_s + A_c / n, n = E_s / E_c."""
    result = solve_section(deck_on_tube(CONCRETE))
    n = modular_ratio(STEEL, CONCRETE)
    assert n == pytest.approx(210 / (22 * 3.8**0.3), rel=1e-6)
    assert result.area == pytest.approx(TUBE_AREA + DECK_AREA / n, rel=1e-9)
    assert solved(deck_on_tube(CONCRETE)).axial == pytest.approx(210e3 * result.area)


def test_torsion_of_a_deck_on_a_tube_by_thin_walled_theory() -> None:
    """The deck is the cell's top wall: 4 A^2 / sum of s / (G t) to its middle, and the deck's own
    strip b t^3 / 3 (end correction 0.63 t / b). The deck is 200 thick beside a cell 400 high: a few
    per cent is all that thin-walled theory can say."""
    stiff = solved(deck_on_tube(CONCRETE))
    g_s, g_c = STEEL.shear, CONCRETE.shear
    walls = (390 + 2 * 295) / (10 * g_s) + 390 / (200 * g_c)
    cell = 4 * (390 * 395) ** 2 / walls
    slab = g_c * 3000 * 200**3 / 3 * (1 - 0.63 * 200 / 3000)
    assert stiff.torsion == pytest.approx(cell + slab, rel=0.04)
    assert stiff.torsion_lower <= stiff.torsion <= stiff.torsion_upper


def test_concentric_materials_have_gj_exactly() -> None:
    """A round core in a round tube twists without warping: GJ = sum of G_i J_i, E C_w = 0."""
    core, shell = Material("core", 30e3, 0.2), Material("shell", 210e3, 0.3)
    tube = circle_hollow(radius=60, wall_thickness=8)
    section = Section(
        (
            Region(tube.outline, tube.holes, shell),
            Region(tube.holes[0].oriented(True), (), core),
        ),
        unit="mm",
    )
    stiff = solved(section, 1e-8)
    exact = shell.shear * np.pi / 2 * (60**4 - 52**4) + core.shear * np.pi / 2 * 52**4
    assert stiff.torsion_lower <= exact <= stiff.torsion_upper
    assert stiff.torsion == pytest.approx(exact, rel=1e-8)
    assert stiff.warping < 1e-9 * stiff.bending_x * 60**2


def test_rigidities_do_not_depend_on_the_reference() -> None:
    section = deck_on_tube(CONCRETE)
    turned = Section(section.regions[::-1], unit="mm")
    one, other = solved(section, 1e-7), solved(turned, 1e-7)
    for word in Rigidities.__slots__:
        tolerance = 1e-6 * abs(getattr(one, word)) + 1e-9 * one.bending_x
        assert abs(getattr(one, word) - getattr(other, word)) <= tolerance, word


def test_a_region_without_material_has_no_rigidity() -> None:
    section = deck_on_tube(Material())
    assert rigidities(solve_section(section, 1e-3)) is None


def test_rigidities_of_a_desk_model_are_told_in_newtons() -> None:
    """A strip of plastic 20 x 4 mm: E I = 2.1 GPa times 20 4^3 / 12 mm^4, 0.000224 kN m^2."""
    text = """
    unit = "mm"
    [material.plastic]
    E = "2.1 GPa"
    nu = 0.38
    [[shape]]
    profile = "Rectangle"
    XDim = 20
    YDim = 4
    """
    rows = {r.symbol: r for r in rigidity_group(solve_section(section_from_toml(text))).rows}
    assert (rows["EI_x"].value, rows["EI_x"].unit) == ("0.224", "N·m²")
    assert rows["EC_w = EI_w"].unit == "N·m⁴"
    assert rows["EA"].unit == "kN"
