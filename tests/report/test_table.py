"""The terminal table: aligned, folded, without empty groups."""

from __future__ import annotations

from soapfilm.report.text.table import Group, Row, render

ROWS = [
    Row("area", "A", "1200", "mm²"),
    Row("torsion constant", "J = I_T", "83.5e6", "mm⁴", "a note " * 20),
]


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
