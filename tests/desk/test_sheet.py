"""Edits of a sheet's text: comments and layout stay, and only what was meant changes."""

from __future__ import annotations

import difflib

import pytest
from soapfilm.desk.sheet import TomlSheet
from soapfilm.geometry.errors import InputError
from soapfilm.geometry.section_file.text import parsed

from .talk import EXAMPLES

TEXTS = {path.stem: path.read_text("utf-8") for path in sorted(EXAMPLES.glob("*.toml"))}
GIRDER = """\
# A girder of an invented quay
unit = "mm"      # of bare numbers

[[plate]]
name = "flange"  # on top
points = [[-50, 120], [50, 120]]   # along the middle
thickness = 10   # rolled

[[plate]]
name = "web"
points = [
    [0, 120],    # up
    [0, 0],
]
thickness = "0.5 in"
"""


def _changed_lines(before: str, after: str) -> list[str]:
    lines = difflib.ndiff(before.splitlines(), after.splitlines())
    return [line for line in lines if line[:2] in ("- ", "+ ")]


def test_a_value_changes_alone() -> None:
    sheet = TomlSheet(GIRDER)
    sheet.set([{"at": "plate.1.thickness", "to": 12.5}])
    assert _changed_lines(GIRDER, sheet.text) == [
        "- thickness = 10   # rolled", "+ thickness = 12.5   # rolled",
    ]  # fmt: skip


def test_coordinates_change_in_place() -> None:
    sheet = TomlSheet(GIRDER)
    sheet.set([{"at": "plate.2.points.1.y", "to": 131.0}, {"at": "plate.1.points.2.x", "to": 60}])
    assert "[0, 131],    # up" in sheet.text
    assert "points = [[-50, 120], [60, 120]]   # along the middle" in sheet.text
    assert len(_changed_lines(GIRDER, sheet.text)) == 4


def test_a_number_keeps_the_unit_that_is_written() -> None:
    """12.7 mm in the file's unit are half an inch."""
    sheet = TomlSheet(GIRDER)
    sheet.set([{"at": "plate.2.thickness", "to": 25.4}])
    assert parsed(sheet.text)["plate"][1]["thickness"] == "1 in"
    sheet.set([{"at": "plate.2.thickness", "to": "20 mm"}])
    assert parsed(sheet.text)["plate"][1]["thickness"] == "20 mm"


def test_typed_words_are_read_as_a_file_would_have_them() -> None:
    sheet = TomlSheet(GIRDER)
    sheet.set([{"at": "plate.1.thickness", "to": " 14 "}])
    assert parsed(sheet.text)["plate"][0]["thickness"] == 14
    sheet.set([{"at": "plate.1.thickness", "to": "= 20/2"}])
    assert parsed(sheet.text)["plate"][0]["thickness"] == "= 20/2"


def test_a_key_comes_and_goes_again() -> None:
    text = TEXTS["welded-box"]
    sheet = TomlSheet(text)
    sheet.set([{"at": "weld.2.made", "to": False}])
    assert parsed(sheet.text)["weld"][1]["made"] is False
    sheet.set([{"at": "weld.2.made", "to": None}])
    assert sheet.text == text


def test_all_changes_or_none() -> None:
    sheet = TomlSheet(GIRDER)
    with pytest.raises(InputError, match="plate"):
        sheet.set([{"at": "plate.1.thickness", "to": 99}, {"at": "plate.7.thickness", "to": 1}])
    assert sheet.text == GIRDER
    sheet.set([{"at": "plate.1.thickness", "to": 11}])
    assert "99" not in sheet.text


@pytest.mark.parametrize("name", TEXTS)
def test_examples_come_through_unchanged(name: str) -> None:
    sheet = TomlSheet(TEXTS[name])
    sheet.set([])
    assert sheet.text == TEXTS[name]


@pytest.mark.parametrize("to", [float("nan"), float("inf"), {"a": 1}, [1], "x" * 2000, "a\nb"])
def test_what_is_no_value_is_refused(to: object) -> None:
    sheet = TomlSheet(GIRDER)
    with pytest.raises(InputError):
        sheet.set([{"at": "plate.1.thickness", "to": to}])
    assert sheet.text == GIRDER


def test_a_broken_text_is_refused_with_its_line() -> None:
    with pytest.raises(InputError, match="line 2"):
        TomlSheet('unit = "mm"\nx = = 3\n').set([{"at": "x", "to": 3}])
