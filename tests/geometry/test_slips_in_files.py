"""Slips of typing in a file: the line, and what to type instead."""

from __future__ import annotations

import pytest
from soapfilm.geometry.errors import FileFormatError, InputError, SoapfilmError, UnitError
from soapfilm.geometry.section_file.section_file import section_from_toml
from soapfilm.geometry.section_file.text import parsed
from soapfilm.geometry.units import Units


@pytest.mark.parametrize(
    ("line", "says"),
    [
        ("t = 7,1", "line 2: 't = 7,1': decimals have a point, like t = 7.1"),
        ("t = 7.1 mm", 'a number with a unit stands in quotes, like t = "7.1 mm"'),
        ("t = 7,1 mm", "decimals have a point, like t = 7.1 mm"),
        ("m = \u201csteel\u201d", "has curly quotes; type straight ones"),
        (r'f = "C:\Users\deck.dxf"', "write / instead, or put the text in single quotes"),
        ("t = " + "9" * 5000, "TOML: line 2: a number of 5000 digits; write it like 1.5e6"),
        ("shape = IPE300", 'a text stands in quotes, like shape = "IPE300"'),
    ],
)
def test_a_line_that_is_no_toml(line: str, says: str) -> None:
    with pytest.raises(FileFormatError) as caught:
        parsed(f'unit = "mm"\n{line}\n')
    assert says in str(caught.value)


@pytest.mark.parametrize("key", ["a", '"a"', "' '"])
def test_a_key_of_thousands_of_parts_is_refused_before_it_is_parsed(key: str) -> None:
    with pytest.raises(FileFormatError, match="line 2: a key of more than 64 parts"):
        parsed("x = 1\n" + ".".join([key] * 20_000) + " = 1\n")
    with pytest.raises(FileFormatError, match="a key of more than 64 parts"):
        parsed(f"x = {{ {'.'.join([key] * 100)} = 1 }}\n")


def test_long_lists_of_numbers_are_no_keys() -> None:
    rows = ", ".join(f"[{k}.25, -{k}.5]" for k in range(500))
    assert len(parsed(f"points = [{rows}]\n")["points"]) == 500


def test_three_whole_numbers_are_hardly_an_arc() -> None:
    text = 'unit = "mm"\n[[outline]]\npoints = [[0, 0], [1,5, 60], [30, 60]]\n'
    with pytest.raises(InputError, match=r"decimals have a point, so is it \[1\.5, 60\]"):
        section_from_toml(text)
    half = 'unit = "mm"\n[[outline]]\npoints = [[0, 0], [10, 0, 1], [10, 20], [0, 20]]\n'
    assert section_from_toml(half).bounds()[2] > 19


def test_a_power_without_its_mark_is_offered_with_it() -> None:
    with pytest.raises(UnitError, match=r"did you mean N/mm\^2\?"):
        Units("mm").read("210000 N/mm2", "stress", what="E")


def test_a_value_of_thousands_of_characters_is_not_repeated_whole() -> None:
    """An address, a unit or a name of 20,000 characters filled the terminal."""
    with pytest.raises(InputError) as caught:
        Units("x" * 20_000)
    said = str(caught.value)
    assert said.startswith("length unit 'xxx")
    assert said.endswith("...' is not known; use one of mm, cm, m, in, ft")
    assert len(said) < 200
    many = str(SoapfilmError("word " * 5000 + "; rename one"))
    assert len(many) < 1500
    assert many.endswith("; rename one")
