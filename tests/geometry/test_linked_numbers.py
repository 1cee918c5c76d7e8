"""Expressions in files: numbers beside Python's own arithmetic, units checked, nothing executed."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from soapfilm.geometry.errors import InputError
from soapfilm.geometry.section_file.linked_numbers import linked
from soapfilm.geometry.section_file.section_file import section_from_toml
from soapfilm.solver.member.file import member_from_toml

TUBE = """
unit = "mm"
[quantity]
wall = "{wall}"
outer = "= 20*wall"
[[shape]]
profile = "CircleHollow"
Radius = "= outer/2"
WallThickness = "= wall"
"""


def value(expression: str, unit: str = "mm", **names: object) -> object:
    """What an expression gives in a file."""
    return linked({"quantity": names, "x": f"= {expression}"}, unit)["x"]


@pytest.mark.parametrize(
    ("expression", "expected"),
    [
        ("1 + 2*3 - 4/8", 6.5),
        ("-2^2", -4.0),
        ("2^-1 * 8", 4.0),
        ("(1 + 2)*(3 - 5)", -6.0),
        ("10 mm + 1 cm", 20.0),
        ("1 in", 25.4),
        ("sqrt(9 mm^2)", 3.0),
        ("max(2 mm, 1 cm, 3 mm)", 10.0),
        ("min(4, 3) + abs(-2)", 5.0),
        ("cos(60 deg)*10 mm", 5.0),
        ("6 mm^2/2 mm", 3.0),
        ("2*pi", 2 * math.pi),
        ("a/2 + 10 mm", 16.0),
        ("a*n", 36.0),
        ("0.1 + 0.2", 0.3),
    ],
)
def test_values(expression: str, expected: float) -> None:
    assert value(expression, a="12 mm", n=3) == pytest.approx(expected, rel=1e-15)


@given(st.integers(-99, 99), st.integers(1, 99), st.integers(-99, 99), st.integers(0, 4))
def test_as_pythons_fractions(a: int, b: int, c: int, n: int) -> None:
    from fractions import Fraction

    expected = Fraction(a, b) + Fraction(c) ** n * 3
    assert value(f"({a})/{b} + ({c})^{n}*3") == float(expected)


def test_other_quantities_keep_a_unit() -> None:
    assert value("2*105 GPa") == "210000000000.0 N/m^2"
    assert value("3 kN/m * 2 m") == "6000.0 N"
    assert value("7850 kg/m^3 * 1 m^2") == "7850.0 kg/m"


@pytest.mark.parametrize(
    ("expression", "said"),
    [
        ("", "nothing follows"),
        ("2 +", "ends where"),
        ("(2", "not closed"),
        ("2 3", "not expected"),
        ("1,5", "point in decimals"),
        ("wal + 1 mm", "did you mean 'wall'"),
        ("10 mm + 5 kN", "a length and a force cannot be added"),
        ("wall + 1", "a length and a plain number cannot be added"),
        ("1/0", "division by zero"),
        ("sqrt(-1)", "root of a negative"),
        ("9^9^9", "power"),
        ("1e190 * 1e190", "beyond 1e200"),
        ("1e190 mm * 1e190", "beyond 1e200"),
        ("1e100^3", "beyond 1e200"),
        ("1e150^7.5", "beyond 1e200"),
        ("1e-150^7.5", "below 1e-200"),
        # Ten to such powers takes minutes and gigabytes before anything else is asked.
        ("1e999999999 mm", "beyond 1e200"),
        ("1e-999999999", "below 1e-200"),
        ("2^(1 mm)", "power"),
        ("sin(1 mm)", "takes an angle"),
        ("sqrt(1, 2)", "one value"),
        ("__import__('os')", "__import__"),
        ("(" * 80 + "1" + ")" * 80, "brackets"),
        ("1+" * 300 + "1", "characters"),
        ("sqrt(2 mm)", "root"),
    ],
)
def test_mistakes_say_where_and_what(expression: str, said: str) -> None:
    with pytest.raises(InputError, match="x: ") as caught:
        value(expression, wall="12 mm")
    assert said in str(caught.value)


@pytest.mark.parametrize(
    ("names", "said"),
    [
        ({"a": "= b", "b": "= c", "c": "= a"}, "a -> b -> c -> a"),
        ({"a": "= a"}, "a -> a"),
        ({"mm": 2}, "no unit"),
        ({"sqrt": 2}, "function"),
        ({"a b": 2}, "letters"),
        ({"a": True}, "write a number"),
        ({"a": "twelve"}, "write a number"),
        ({"a": float("nan")}, "write a number"),
        ({"a": "12 mn"}, "mn"),
        ({"a": 10**400}, "beyond 1e200"),
        ({"a": 1e300}, "beyond 1e200"),
    ],
)
def test_names(names: dict[str, object], said: str) -> None:
    with pytest.raises(InputError, match="quantity") as caught:
        linked({"quantity": names}, "mm")
    assert said in str(caught.value)


def test_nothing_to_any_power_is_nothing() -> None:
    assert value("0e999999999 + 0.0e-999999999 + 2") == 2.0


def test_a_tube_follows_its_wall() -> None:
    x0, _, x1, _ = section_from_toml(TUBE.format(wall="12 mm")).bounds()
    assert x1 - x0 == pytest.approx(240)
    x0, _, x1, _ = section_from_toml(TUBE.format(wall="1/2 in")).bounds()
    assert x1 - x0 == pytest.approx(254)


def test_names_stay_texts() -> None:
    found = linked({"name": "= 2", "shape": [{"name": "= x"}]}, "mm")
    assert found["name"] == "= 2"
    assert found["shape"][0]["name"] == "= x"


def test_a_member_follows_too() -> None:
    request = member_from_toml(
        """
unit = "mm"
[quantity]
span = "6 m"
line = "4 kN/m"
[section.beam]
shape = "HEB300"
material = "S355"
[[span]]
length = "= span"
[[support]]
at = ["start", "end"]
kind = "fork"
[[load]]
weight = "= 1.5*line"
place = ["= 300 mm/2 - 20 mm", 0]
"""
    )
    assert request.member.length == pytest.approx(6000)
    load = request.member.loads[0]
    assert load.force[1] == pytest.approx(-6.0)  # type: ignore[union-attr]
    assert load.place == (130.0, 0.0)  # type: ignore[union-attr]
