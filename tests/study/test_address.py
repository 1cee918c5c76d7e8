"""Addresses of values in TOML tables: every way to write one, and what is said when it leads
nowhere."""

from __future__ import annotations

from typing import Any

import pytest
from soapfilm.geometry.errors import InputError
from soapfilm.geometry.section_file.text import parsed
from soapfilm.solver.study.file.address import assigned, check_apart, value_at

TABLES = parsed(
    """
[material.steel]
E = "210 GPa"
[[shape]]
profile = "I"
WebThickness = 7
[[plate]]
name = "web 1.5"
thickness = [10, 6]
[[outline]]
name = "deck"
points = [[0, 0], [100, 0, 1], [100, 50]]
holes = [[[1, 2], [3, 4], [5, 6]]]
move = [3, 4]
"""
)


@pytest.mark.parametrize(
    ("address", "value"),
    [
        ("shape.1.WebThickness", 7),
        ("shape.1.FilletRadius", None),  # optional, and not written yet
        ("material.steel.E", "210 GPa"),
        ("web 1.5.thickness.2", 6),  # a name with a point in it
        ("plate.web 1.5.thickness.1", 10),
        ("deck.points.2.x", 100),
        ("deck.points.2.bulge", 1),
        ("deck.holes.1.3.y", 6),
        ("deck.move.y", 4),
    ],
)
def test_values_are_found_and_set(address: str, value: Any) -> None:
    assert value_at(TABLES, address) == value
    changed = assigned(TABLES, {address: -1.5})
    assert value_at(changed, address) == -1.5
    assert value_at(TABLES, address) == value  # the original stays


@pytest.mark.parametrize(
    ("address", "words"),
    [
        ("shpae.1.WebThickness", "did you mean 'shape'"),
        ("shape.2.WebThickness", "there is no '2'"),
        ("deck.points.9.x", "there are 1, 2, 3"),
        ("shape.1.WebThickness.x", "leads into a plain value"),
        ("deck", "names a whole entry"),
        ("material.steel", "say which of its values: E"),
        ("shape", "names a whole entry"),
        ("", "there is no ''"),
        ("deck.points.1.bulge", "there is no 'bulge'"),
    ],
)
def test_an_address_that_leads_nowhere_says_where_it_goes_astray(address: str, words: str) -> None:
    with pytest.raises(InputError, match=words):
        assigned(TABLES, {address: 1})


def test_names_lead_on_inside_a_member_s_section_too() -> None:
    tables = parsed('[[section.tube.shape]]\nname = "wall"\nXDim = 100\n')
    assert value_at(tables, "section.tube.wall.XDim") == 100
    assert value_at(tables, "section.tube.shape.1.XDim") == 100
    with pytest.raises(InputError, match=r"there is no 'wal'; did you mean 'wall'"):
        value_at(tables, "section.tube.wal.XDim")


def test_a_name_borne_twice_needs_the_number() -> None:
    tables = parsed('[[plate]]\nname = "a"\nt = 1\n[[plate]]\nname = "a"\nt = 2\n')
    with pytest.raises(InputError, match=r"are named 'a'; say which, like plate\.1\.t"):
        value_at(tables, "a.t")
    assert value_at(tables, "plate.2.t") == 2


@pytest.mark.parametrize(
    "addresses",
    [
        ("shape.1.WebThickness", "shape.1.WebThickness"),
        ("web 1.5.thickness.2", "plate.1.thickness.2"),
        ("deck.points.1.x", "outline.1.points.1.1"),
        ("shape.1.FilletRadius", "shape.1.FilletRadius"),
    ],
)
def test_a_place_that_two_addresses_name(addresses: tuple[str, str]) -> None:
    check_apart(TABLES, ("deck.points.1.x", "deck.points.1.y", "deck.points.2.x"))
    with pytest.raises(InputError, match="is set twice"):
        check_apart(TABLES, addresses)
