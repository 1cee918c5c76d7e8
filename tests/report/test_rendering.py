"""Tables as text: aligned, folded, without empty groups, and no wider than the terminal."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest
from soapfilm.report.text import rendering
from soapfilm.report.text.blocks import CaseGroup, CaseRow, Group, HeadedRows, Row
from soapfilm.report.text.rendering import render, render_cases, render_rows
from soapfilm.report.text.terminal import plain

EXAMPLES = Path(__file__).parents[2] / "cli" / "examples"
ROWS = [
    Row("area", "A", "1200", "mm²"),
    Row("torsion constant", "J = I_T", "83.5e6", "mm⁴", "a note " * 20),
]
SUPPORTS = HeadedRows(
    ["support", "at", "R_y", "R_x", "torque", "couple", "bearing"],
    ["", "m", "kN", "kN", "kN·m", "kN", "kN"],
    [
        [
            "joist that ties the girder",
            "0",
            "62.68 to 89.87",
            "4.38 to 6.3",
            "3.3 to 4.8",
            "11",
            "-",
        ],
        ["bracket", "9", "62.68 to 89.87", "4.38 to 6.3", "3.3 to 4.8", "11", "-"],
    ],
)
CASES = [f"section {n} of a girder with a name that goes on and on" for n in range(1, 7)]
GROUP = CaseGroup(
    "Properties",
    [CaseRow("torsion constant of the whole section", "J", "mm⁴", ("123.456e6",) * len(CASES))],
)


def test_columns_are_aligned() -> None:
    text = render("A section", [Group("Torsion", ROWS)])
    area, torsion = (line for line in text.splitlines() if "mm" in line)
    assert area.index("mm²") == torsion.index("mm⁴")
    assert area.index("1200") + len("1200") == torsion.index("83.5e6") + len("83.5e6")


def test_notes_are_folded_to_the_terminal() -> None:
    text = render("A section", [Group("Torsion", ROWS)], notes=["word " * 40])
    assert max(map(len, text.splitlines())) <= 79
    assert " ".join(text.split()).count("a note") == 20


def test_an_empty_group_is_left_out() -> None:
    assert "Cells" not in render("A section", [Group("Torsion", ROWS), Group("Cells", [])])


# -- the width of the terminal ---------------------------------------------------------------------
def test_a_file_keeps_lines_whole() -> None:
    assert len(render_rows(SUPPORTS).splitlines()) == 5
    assert max(map(len, render_rows(SUPPORTS).splitlines())) > 80


@pytest.mark.parametrize("width", [88, 72, 60, 45])
def test_rows_fit_the_terminal(monkeypatch: pytest.MonkeyPatch, width: int) -> None:
    """Words are folded first; then columns go on below, beside the first one again."""
    whole = sorted(render_rows(SUPPORTS).replace("-" * 3, "").split())
    monkeypatch.setattr(rendering, "terminal_width", lambda: width)
    text = render_rows(SUPPORTS)
    assert max(map(len, text.splitlines())) <= width
    parts = text.split("\n\n")
    assert all(part.startswith("support") for part in parts)
    for word in whole:
        assert word.strip("-") in text
    numbers = [w for w in text.split() if w[0].isdigit()]
    assert sorted(numbers) == sorted(w for w in whole if w[0].isdigit())  # each once, none lost
    assert (len(parts) == 1) == (width >= 88)


@pytest.mark.parametrize("width", [110, 80, 60])
def test_cases_fit_the_terminal(monkeypatch: pytest.MonkeyPatch, width: int) -> None:
    monkeypatch.setattr(rendering, "terminal_width", lambda: width)
    text = render_cases("A title that is longer than the terminal " * 3, CASES, [GROUP])
    assert max(map(len, text.splitlines())) <= width
    assert text.count("123.456e6") == len(CASES)
    assert text.count("Properties") > 1


def test_quantities_fit_the_terminal(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(rendering, "terminal_width", lambda: 40)
    row = Row("second moment of the area about the major principal axis", "I_1", "12.5e6", "mm⁴")
    lines = render("A section", [Group("Bending", [row])]).splitlines()
    assert max(map(len, lines)) <= 40
    assert next(line for line in lines if "12.5e6" in line).startswith("second moment")


# -- characters that a terminal lacks --------------------------------------------------------------
@pytest.mark.parametrize("encoding", ["ascii", "latin-1", "cp437"])
def test_units_stay_units_in_any_encoding(encoding: str) -> None:
    """A unit that loses its power is a wrong unit: mm^4 is one, mm? is not."""
    done = subprocess.run(
        [sys.executable, "-m", "soapfilm.cli", "section", str(EXAMPLES / "closed-girder.toml")],
        capture_output=True,
        check=True,
        env={**os.environ, "PYTHONIOENCODING": encoding},
    )
    text = done.stdout.decode(encoding)
    assert "mm^4" in text
    assert "?" not in text


def test_every_character_has_a_plain_form() -> None:
    assert plain("8.2e-3 1/mm⁻², 12 kN·m², très") == "8.2e-3 1/mm^-2, 12 kN*m^2, tres"
