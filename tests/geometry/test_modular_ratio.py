"""A material by its modular ratio to another one."""

from __future__ import annotations

import pytest
from soapfilm.geometry.errors import InputError
from soapfilm.geometry.section_file import section_from_toml

FILE = """
unit = "mm"
[material.steel]
E = "210 GPa"
nu = 0.3
[material.deck]
modular_ratio = 12
of = "steel"
nu = 0.2
[[outline]]
material = "deck"
points = [[0, 0], [100, 0], [100, 20], [0, 20]]
"""


def test_modulus_is_the_other_over_the_ratio() -> None:
    deck = section_from_toml(FILE).regions[0].material
    assert deck.elastic_modulus == 210e3 / 12
    assert deck.shear == pytest.approx(210e3 / 12 / 2.4)


def test_a_grade_may_be_the_other() -> None:
    deck = section_from_toml(FILE.replace('of = "steel"', 'of = "A992"')).regions[0].material
    assert deck.elastic_modulus == pytest.approx(29000 * 6.894757293 / 12)  # ksi in MPa, exact


def test_creep_comes_on_top() -> None:
    text = FILE.replace("nu = 0.2", "nu = 0.2\ncreep_factor = 1.0")
    assert section_from_toml(text).regions[0].material.elastic_modulus == 210e3 / 24


@pytest.mark.parametrize(
    ("before", "after", "says"),
    [
        ("modular_ratio = 12", "modular_ratio = 0", "modular_ratio must be positive, got 0"),
        ("modular_ratio = 12", "modular_ratio = nan", "modular_ratio must be a finite number"),
        ("modular_ratio = 12", 'modular_ratio = "12"', "modular_ratio must be a plain number"),
        ('of = "steel"', "", "of is missing"),
        ('of = "steel"', 'of = "stel"', "material 'stel' is not defined; did you mean 'steel'?"),
        ('of = "steel"', 'of = "deck"', "material 'deck' is not defined"),
        ('of = "steel"', 'of = "steel"\nE = "9 GPa"', "both given"),
    ],
)
def test_mistakes(before: str, after: str, says: str) -> None:
    with pytest.raises(InputError, match=says.replace("?", r"\?")):
        section_from_toml(FILE.replace(before, after, 1))
