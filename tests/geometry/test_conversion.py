"""A section in another unit is the same thing: its properties scale by powers of the length."""

from __future__ import annotations

import pytest
from soapfilm.geometry.conversion import in_unit
from soapfilm.geometry.errors import UnitError
from soapfilm.geometry.material import Material
from soapfilm.geometry.outline.contour import Contour
from soapfilm.geometry.section import Section

STEEL = Material("steel", 29000.0, 0.3, 11200.0, 490 / 12**3, 50.0)
DISC = Section.single(Contour.circle((3, 1), 2), material=STEEL, unit="in")


@pytest.mark.parametrize(("unit", "length"), [("mm", 25.4), ("cm", 2.54), ("m", 0.0254)])
def test_inches_to_metric(unit: str, length: float) -> None:
    there = in_unit(DISC, unit)
    assert there.unit == unit
    assert there.regions[0].area() == pytest.approx(DISC.regions[0].area() * length**2)
    steel = there.regions[0].material
    # 1 kip = 4448.2216 N, 1 lb = 0.45359237 kg by definition
    stress = 4448.2216152605 / length**2
    assert steel.elastic_modulus == pytest.approx(29000 * stress)
    assert steel.shear_modulus == pytest.approx(11200 * stress)
    assert steel.strength == pytest.approx(50 * stress)
    assert steel.density == pytest.approx(490 / 12**3 * 0.45359237 / length**3)


def test_there_and_back() -> None:
    back = in_unit(in_unit(DISC, "ft"), "in")
    assert back.bounds() == pytest.approx(DISC.bounds())
    assert back.regions[0].material.strength == pytest.approx(50.0)
    assert in_unit(DISC, "in") is DISC


def test_a_material_that_is_not_given_stays_so() -> None:
    plain = Section.single(Contour.circle((0, 0), 1), unit="m")
    assert in_unit(plain, "mm").regions[0].material == Material()


def test_a_section_without_unit_cannot_be_brought_to_one() -> None:
    with pytest.raises(UnitError, match="states no length unit"):
        in_unit(Section.single(Contour.circle((0, 0), 1)), "mm")
