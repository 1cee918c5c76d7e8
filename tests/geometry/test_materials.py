"""Generic materials: conversion, creep; moduli as printed are in `benchmarks.checks.materials`."""

from __future__ import annotations

import pytest
from soapfilm.geometry.errors import InputError
from soapfilm.geometry.grades import GRADES, generic_material, grade, long_term, modular_ratio
from soapfilm.geometry.material import Material
from soapfilm.geometry.section_file import section_from_toml
from soapfilm.geometry.units import Units


@pytest.mark.parametrize("name", GRADES)
@pytest.mark.parametrize("unit", ["mm", "m", "in", "ft"])
def test_every_grade_is_plausible_in_every_unit(name: str, unit: str) -> None:
    units = Units(unit)
    material = generic_material(name, units)
    assert material.density is not None
    assert material.strength is not None
    modulus = material.elastic_modulus * units.factor("stress", "GPa")
    assert 1 < modulus < 220
    assert 0.2 < material.shear * units.factor("stress", "GPa") < modulus / 2 + 1e-9
    assert 400 < material.density * units.factor("density", "kg/m^3") < 8000
    assert 1e-4 < material.strength / material.elastic_modulus < 0.03
    assert material.source.count("from memory") == 1


def test_structural_steel_in_metric_units() -> None:
    steel = generic_material("S355", Units("mm"))
    assert (steel.elastic_modulus, steel.strength) == (210000.0, 355.0)
    assert steel.shear == pytest.approx(80769.23, abs=0.01)
    assert steel.density == pytest.approx(7.85e-6)  # kg/mm3
    assert generic_material("S355", Units("m")).elastic_modulus == 2.1e11


def test_structural_steel_in_us_units() -> None:
    steel = generic_material("A992", Units("in"))
    assert (steel.elastic_modulus, steel.shear, steel.strength) == (29000.0, 11200.0, 50.0)
    assert steel.density == pytest.approx(490 / 1728)
    assert generic_material("A36", Units("mm")).strength == pytest.approx(248.2, abs=0.05)


def test_timber_keeps_its_own_shear_modulus() -> None:
    assert generic_material("c24", Units("mm")).shear == 690.0


@pytest.mark.parametrize("typed", ["s355", " S 355", "c30 / 37", "GL 24 H", "petg"])
def test_names_in_any_case_and_spacing(typed: str) -> None:
    assert grade(typed).name in GRADES


@pytest.mark.parametrize(
    ("typed", "offered"), [("S350", "S355"), ("6061T6", "6061-T6"), ("C30", "C30/37")]
)
def test_misspelt_name_gets_the_nearest(typed: str, offered: str) -> None:
    with pytest.raises(InputError, match=f"is not known; use .*{offered}"):
        grade(typed)


def test_hopeless_name_gets_the_list() -> None:
    with pytest.raises(InputError, match="S235, S275") as caught:
        grade("§" * 1000)
    assert len(str(caught.value)) < 500


def test_creep_divides_both_moduli() -> None:
    concrete = generic_material("C30/37", Units("mm"))
    late = long_term(concrete, 2.0)
    assert late.elastic_modulus == pytest.approx(concrete.elastic_modulus / 3)
    assert late.shear == pytest.approx(concrete.shear / 3)
    assert late.name == "C30/37, long-term"
    assert late.source.endswith("creep factor 2")
    timber = generic_material("C24", Units("mm"))
    assert long_term(timber, 0.6).shear == pytest.approx(690 / 1.6)
    assert long_term(concrete, 0.0) is concrete


def test_modular_ratio_grows_with_creep() -> None:
    units = Units("mm")
    steel, concrete = generic_material("S355", units), generic_material("C30/37", units)
    short = modular_ratio(steel, concrete)
    assert short == pytest.approx(210 / 32.84, rel=1e-3)
    assert modular_ratio(steel, long_term(concrete, 1.5)) == pytest.approx(2.5 * short)


@pytest.mark.parametrize("factor", [-0.1, float("nan"), float("inf")])
def test_impossible_creep_factor(factor: float) -> None:
    with pytest.raises(InputError, match="creep factor is 0 or more"):
        long_term(Material("own", 30000.0), factor)


def test_a_grade_takes_a_density_of_its_own() -> None:
    """Reinforced concrete weighs 25 kN/m^3 in EN 1991-1-1, table A.1 (from memory), plain 24."""
    text = """
    unit = "m"
    [material.concrete]
    grade = "C35/45"
    density = "2500 kg/m^3"
    [[shape]]
    profile = "Rectangle"
    XDim = 0.4
    YDim = 0.6
    """
    (region,) = section_from_toml(text).regions
    grade = generic_material("C35/45", Units("m"))
    assert region.material.density == pytest.approx(2500)
    assert region.material.elastic_modulus == grade.elastic_modulus
    assert grade.density == pytest.approx(2400)
