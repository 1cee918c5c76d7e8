"""[[temperature]], [[shrinkage]], [[settlement]] of member files: what they become, and slips."""

from __future__ import annotations

import pytest
from soapfilm.geometry.errors import InputError, UnitError
from soapfilm.geometry.temperature import temperature_difference, thermal_expansion
from soapfilm.solver.member.beam.analysis import solve
from soapfilm.solver.member.file import MemberRequest, member_from_toml
from soapfilm.solver.member.model.faces import Height
from soapfilm.solver.member.model.imposed import Settlement, Shrinkage, Temperature

BASE = """
unit = "mm"
[section.girder]
[[section.girder.shape]]
profile = "I"
OverallWidth = 150
OverallDepth = 300
WebThickness = 8
FlangeThickness = 12
material = "S355"
[[span]]
length = "6 m"
[[span]]
length = "4 m"
[[support]]
name = "wall"
at = "start"
kind = "fixed"
[[support]]
name = "pier"
at = "end of span 1"
kind = "fork"
[[support]]
name = "bench"
at = "end"
bearings = [{ x = -60, holds_down = true }, { x = 60, holds_down = true }]
"""


def read(more: str, base: str = BASE) -> MemberRequest:
    return member_from_toml(base + more)


def test_a_temperature_in_words() -> None:
    request = read("""
[[temperature]]
name = "sun"
case = "summer"
uniform = "45 delta_degF"
top = "10 K"
left = "-4 K"
span = 2
""")
    (found,) = request.member.imposed
    assert found == Temperature(
        6000.0, 10000.0, 25.0, ((Height("bottom"), 0.0), (Height("top"), 10.0)), (-4.0, 0.0),
        None, "summer", "sun",
    )  # fmt: skip
    assert request.member.cases == ("summer",)
    material = request.sections["girder"].result.section.regions[0].material  # type: ignore[union-attr]
    assert material.thermal_expansion == 12e-6


def test_a_profile_shrinkage_and_settlement_in_words() -> None:
    found = read("""
[[temperature]]
profile = [["top", "13 K"], ["150 mm below top", "3 K"], [-150, "0 K"]]
thermal_expansion = "1.1e-5 1/K"
[[shrinkage]]
strain = "0.3 mm/m"
of = "S355"
[[settlement]]
support = "pier"
down = "10 mm"
[[settlement]]
support = "bench"
twist = "0.2 deg"
y = 4
case = "other"
""").member.imposed
    heights = ((Height("top"), 13.0), (Height("top", -150.0), 3.0), (-150.0, 0.0))
    assert found[0] == Temperature(0.0, 10000.0, heights=heights, expansion=1.1e-5)
    assert found[1] == Shrinkage(0.0, 10000.0, 3e-4, ("S355",))
    assert found[2] == Settlement("pier", (0.0, -10.0, 0.0, 0.0, 0.0, 0.0))
    assert isinstance(found[3], Settlement)
    assert found[3].motion == pytest.approx((0, 4.0, 0, 0, 0, 0.2 * 3.141592653589793 / 180))


def test_units_change_nothing() -> None:
    """The same member in millimetres and in inches."""
    more = """
[[temperature]]
profile = [["top", "13 K"], ["100 mm below top", "3 K"], ["bottom", "0 K"]]
case = "t"
[[settlement]]
support = "pier"
down = "10 mm"
"""
    one = solve(read(more).member)
    inches = BASE.replace('unit = "mm"', 'unit = "in"', 1).replace(
        "[section.girder]", '[section.girder]\nunit = "mm"'
    )
    inches = inches.replace("x = -60", 'x = "-60 mm"').replace("x = 60", 'x = "60 mm"')
    other = solve(read(more, inches).member)
    a, b = one.at([3000.0]), other.at([3000.0 / 25.4])
    newton = 1 / 4448.2216152605
    assert b.M_x[0] == pytest.approx(a.M_x[0] * newton / 25.4, rel=1e-9)
    assert b.v[0] == pytest.approx(a.v[0] / 25.4, rel=1e-9)
    assert b.v[0, 1] != 0


@pytest.mark.parametrize(
    ("table", "words"),
    [
        ('[[temperature]]\nuniform = "25 degC"', 'write "25 K"'),
        ('[[temperature]]\nuniform = "25 °F"', 'write "25 delta_degF"'),
        ("[[temperature]]\nuniform = 25", 'like "25 K"'),
        ('[[temperature]]\nuniform = "25"', "has no unit"),
        ('[[temperature]]\nuniform = "25 kN"', "is not a difference of temperature"),
        ("[[temperature]]", "it has no difference of temperature"),
        ('[[temperature]]\ntop = "5 K"\nprofile = [["top", "1 K"], [0, "0 K"]]', "not both"),
        ('[[temperature]]\nprofile = ["top"]', "profile is a list of heights"),
        ('[[temperature]]\nprofile = [["top", "1 K"], ["top", "2 K"]]', "give each height once"),
        ('[[temperature]]\nprofile = [["roof", "1 K"], ["top", "2 K"]]', "is no height"),
        ('[[temperature]]\nunifrom = "2 K"', "did you mean uniform"),
        ('[[temperature]]\nuniform = "2 K"\nthermal_expansion = 1e-5', "1.2e-5 1/K"),
        ('[[temperature]]\nuniform = "2 K"\nthermal_expansion = "1e-5 1/m"', "1.2e-5 1/K"),
        ('[[shrinkage]]\nstrain = 0.3', "small number like 0.0003"),
        ('[[shrinkage]]\nstrain = 0.0003\nof = "C30/37"', "strains no section"),
        ('[[settlement]]\nsupport = "peer"\ndown = "1 mm"', "did you mean 'pier'"),
        ('[[settlement]]\nsupport = "pier"', "nothing moves"),
        ('[[settlement]]\nsupport = "pier"\nz = 3', "pier does not hold z"),
        ('[[settlement]]\nsupport = "pier"\ndown = 3\ny = 3', "either down or y"),
        ('[[temperature]]\nuniform = "2 K"\n[[stage]]\nname = "one"', "not followed in members"),
        ('[[temperature]]\nuniform = "2 K"\n[[combination]]\nname = "a"\nfactors = { heat = 1 }',
         "load case 'heat' has no loads"),
    ],
)  # fmt: skip
def test_slips_get_one_clear_line(table: str, words: str) -> None:
    with pytest.raises((InputError, UnitError)) as caught:
        read(table)
    assert words in str(caught.value)
    assert "\n" not in str(caught.value)


def test_what_a_section_lacks_is_said() -> None:
    figures = (
        BASE.split("[section.girder]")[0]
        + """
[section.known]
E = "210 GPa"
G = "81 GPa"
A = "7490 mm^2"
I_x = "61.7e6 mm^4"
I_y = "27.5e6 mm^4"
J = "61.9e6 mm^4"
"""
        + BASE[BASE.index("[[span]]") :]
    )
    with pytest.raises(InputError, match=r"known.*given by its figures; give the coefficient"):
        read('[[temperature]]\nuniform = "25 K"', figures)
    with pytest.raises(InputError, match="given by its figures alone; give its outline"):
        read('[[temperature]]\ntop = "25 K"\nthermal_expansion = "1e-5 1/K"', figures)
    more = '[[temperature]]\nuniform = "25 K"\nthermal_expansion = "1e-5 1/K"'
    table = solve(read(more, figures).member).at([100.0])
    assert table.N[0, 0] == pytest.approx(0.0, abs=1e-6)
    assert table.w[0, 0] == pytest.approx(1e-5 * 25 * 100)
    timber = BASE.replace('"S355"', '"C24"')
    with pytest.raises(InputError, match="'C24' of section 'girder' states no thermal_expansion"):
        read('[[temperature]]\nuniform = "25 K"', timber)


def test_units_of_differences() -> None:
    assert temperature_difference("-12.5 delta_degC", "x") == -12.5
    assert thermal_expansion("6.5e-6 1/delta_degF", "x") == pytest.approx(11.7e-6)
    assert thermal_expansion("1e-5/K", "x") == 1e-5
    assert thermal_expansion("1e-5 K^-1", "x") == 1e-5
