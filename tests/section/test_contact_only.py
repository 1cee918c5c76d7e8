"""Parts only pressed together: J adds up, and what has no common value is told apart."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from soapfilm.geometry.checks.contact_only import contact_only_parts
from soapfilm.geometry.errors import GeometryError
from soapfilm.geometry.material import Material
from soapfilm.geometry.outline.contour import Contour
from soapfilm.geometry.plates import Plate, Weld, assemble
from soapfilm.geometry.section import Region, Section, Slit
from soapfilm.solver.section import solve_section
from soapfilm.solver.section.contact_only import solve_contact_only

LOWER = Plate("lower", ((-60, 0), (60, 0)), 10)
UPPER = Plate("upper", ((-50, 9), (50, 9)), 8)


def strip(width: float, thickness: float) -> float:
    """J of a rectangle by Saint-Venant's series (Timoshenko & Goodier, art. 109; from memory)."""
    n = np.arange(1, 2000, 2)  # the first thirty are 5e-10 short
    tail = np.sum(np.tanh(n * np.pi * width / (2 * thickness)) / n**5)
    return width * thickness**3 / 3 * (1 - 192 * thickness / (np.pi**5 * width) * float(tail))


def test_torsion_constants_of_pressed_plates_add_up() -> None:
    result = solve_contact_only(assemble([LOWER, UPPER], unit="mm"), 1e-7)
    exact = strip(120, 10) + strip(100, 8)
    assert result.torsion_constant_lower <= exact <= result.torsion_constant_upper
    assert result.torsion_constant_upper / result.torsion_constant_lower - 1 < 1e-7
    assert result.shares() == pytest.approx((strip(120, 10) / exact, strip(100, 8) / exact))
    assert result.gross_area == pytest.approx(2000)
    assert [b.section.name for b in result.bodies] == ["lower", "upper"]


def test_materials_are_weighted_by_the_first_one() -> None:
    steel, timber = Material("steel", 210e3, 0.3), Material("timber", 11e3, 0.0, 690.0)
    plates = [replace(LOWER, material=timber), replace(UPPER, material=steel)]
    result = solve_contact_only(assemble(plates, unit="mm"))
    stiffness = 690 * strip(120, 10) + steel.shear * strip(100, 8)
    assert result.reference == timber
    assert result.torsion_constant * 690 == pytest.approx(stiffness, rel=1e-5)
    assert sum(result.shares()) == pytest.approx(1)
    assert result.mass_per_length is None


def test_one_body_is_the_section_itself() -> None:
    welded = assemble([LOWER, UPPER], [Weld("edge", ("lower", "upper"), kind="full")], unit="mm")
    assert contact_only_parts(welded) == (welded,)
    one, other = solve_contact_only(welded), solve_section(welded)
    assert one.torsion_constant == pytest.approx(other.torsion_constant)
    assert one.shares() == (1.0,)


def test_parts_that_do_not_touch_are_no_pressed_parts() -> None:
    """A gap is a slip of the pen more often than not: the check names it."""
    apart = [Plate("lower", ((-60, 0), (60, 0)), 10), Plate("upper", ((-50, 12), (50, 12)), 8)]
    section = assemble(apart, unit="mm")
    inner = Slit(((-60.0, 0.0), (0.0, 0.0)))
    for case in (section, replace(section, slits=(inner,))):
        assert contact_only_parts(case) == (case,)
        with pytest.raises(GeometryError, match="not joined to the rest"):
            solve_section(case)


def test_overlapping_parts_are_found_though_a_slit_parts_others() -> None:
    square = Contour([[0, 0], [10, 0], [10, 10], [0, 10]])
    above = Contour([[0, 10], [10, 10], [10, 20], [0, 20]])
    over = Contour([[5, 5], [15, 5], [15, 8], [5, 8]])
    slit = Slit(((0.0, 10.0), (10.0, 10.0)))
    section = Section((Region(square), Region(above), Region(over)), slits=(slit,))
    with pytest.raises(GeometryError, match="overlaps"):
        solve_contact_only(section)


def test_a_slit_that_leaves_a_region_apart_is_still_refused() -> None:
    """It is no contact of two parts: nobody said that there are two."""
    square = Contour([[0, 0], [10, 0], [10, 10], [0, 10]])
    section = Section((Region(square),), slits=(Slit(((0.0, 4.0), (10.0, 4.0))),))
    assert contact_only_parts(section) == (section,)
    with pytest.raises(GeometryError, match="cuts the section apart"):
        solve_section(section)


def test_welding_two_flanges_tends_from_pressed_to_solid() -> None:
    """J grows with the throat of both edge welds, from the pressed sum to the bonded pair."""
    pressed = solve_contact_only(assemble([LOWER, UPPER], unit="mm")).torsion_constant
    values = []
    for depth in (0.25, 1.0, 4.0, 16.0, 48.0):
        weld = Weld("edge", ("lower", "upper"), kind="partial", depth=depth)
        section = assemble([LOWER, UPPER], [weld], unit="mm")
        values.append(solve_section(section, 1e-4).torsion_constant)
    bonded = Weld("all", ("lower", "upper"), kind="full")
    full = solve_section(assemble([LOWER, UPPER], [bonded], unit="mm"), 1e-4).torsion_constant
    trend = [pressed, *values, full]
    assert trend == sorted(trend)
    # thin edge welds close a flat cell between the two plates: 4 A^2 / int ds/t of its middle line
    # (Bredt), beside the plates' own; a weld of two throats of zero width would give just that
    assert values[0] > 1.5 * pressed
    assert values[-1] == pytest.approx(full, rel=0.01)
