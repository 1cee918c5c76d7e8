"""Tables as Markdown and LaTeX: read by a reader of Markdown, and by a typesetter of formulas."""

from __future__ import annotations

import re

import pytest
from markdown_it import MarkdownIt
from soapfilm.cli.main import main
from soapfilm.report.text.blocks import CaseGroup, CaseRow, Group, HeadedRows, Row
from soapfilm.report.text.latex import escaped
from soapfilm.report.text.markup import written_as
from soapfilm.report.text.rendering import folded, render, render_cases, render_rows


def _cells(text: str) -> list[list[str]]:
    """Rows of the tables that a reader of Markdown finds."""
    rows: list[list[str]] = []
    for token in MarkdownIt("commonmark").enable("table").parse(text):
        if token.type == "tr_open":
            rows.append([])
        elif token.type == "inline" and rows and token.level > 3:
            rows[-1].append("".join(child.content for child in token.children or ()))
    return rows


def _drawn(text: str) -> None:
    """Every formula, by a typesetter of formulas; braces and columns in balance."""
    from matplotlib.mathtext import MathTextParser

    parser = MathTextParser("path")
    for formula in re.findall(r"(?<!\\)\$[^$]+\$", text):
        parser.parse(formula.replace(r"\rm", ""))
    bare = re.sub(r"\\[{}]", "", text)
    assert bare.count("{") == bare.count("}")
    for body in re.findall(r"\\begin\{tabular\}\{(.*?)\}\n(.*?)\\end", text, re.DOTALL):
        columns = len(re.sub(r"p\{[^}]*\}?", "l", body[0]))
        for line in body[1].splitlines():
            assert line == r"\hline" or len(re.findall(r"(?<!\\)&", line)) == columns - 1


def test_groups_cases_and_rows_as_markdown() -> None:
    with written_as("markdown"):
        groups = [
            Group("Torsion", [Row("shear |tau|", "int|tau|", "-1.5e-6", "mm⁴", "of <one> *b*")])
        ]
        text = render("deck_2 & co", groups, ["a note"])
        cases = render_cases(
            "three", ["a", "b"], [CaseGroup("g", [CaseRow("q", "s", "m", ("1", "2"))])]
        )
        rows = render_rows(HeadedRows(["name", "A"], ["", "mm²"], [["x", "12"], ["y", "-"]]))
    assert _cells(text)[1] == ["shear |tau|", "int|tau|", "-1.5e-6", "mm⁴"]
    assert _cells(cases)[-1] == ["q", "s", "1", "2", "m"]
    assert _cells(rows) == [["name", "A mm²"], ["x", "12"], ["y", "-"]]
    assert "of \\<one> \\*b\\*" in text
    assert "# deck_2 & co" in text
    assert folded(["a note"], "* ") == "* a note\n"  # the terminal's again


def test_a_section_in_markdown_holds_what_its_table_holds(
    capsys: pytest.CaptureFixture[str],
) -> None:
    words = ["section", "IPE300", "--accuracy", "1e-3"]
    assert main(words) == 0
    plain = capsys.readouterr().out
    assert main([*words, "--tables", "markdown"]) == 0
    marked = _cells(capsys.readouterr().out)
    found = {row[0]: row for row in marked}
    line = next(line for line in plain.splitlines() if line.startswith("torsion constant"))
    assert found["torsion constant"][2:] == line.split()[-2:]
    assert len(marked) > 30


def test_every_formula_of_a_section_in_latex_can_be_set(
    capsys: pytest.CaptureFixture[str],
) -> None:
    words = ["stress", "IPE300", "T = 1 kN*m", "M_x = -3 kN*m", "--accuracy", "1e-3"]
    assert main([*words, "--material", "S355", "--tables", "latex"]) == 0
    text = capsys.readouterr().out
    assert r"$\sigma_{\mathrm{1}}$" in text
    assert r"\begin{tabular}" in text
    _drawn(text)


@pytest.mark.parametrize(
    ("plain", "set_"),
    [
        ("50 % of R&D #1", r"50 \% of R\&D \#1"),
        ("deck_2 {a}", r"deck\_2 \{a\}"),
        ("-83.5e-6 mm⁶", r"$-83.5\times10^{-6}$ mm$^{6}$"),
        ("beta_x, A_v,x", r"$\beta_{\mathrm{x}}$, $A_{\mathrm{v,x}}$"),
        ("a\\b ~ c^d", r"a\textbackslash{}b \textasciitilde{} c\textasciicircum{}d"),
    ],
)
def test_letters_of_latex(plain: str, set_: str) -> None:
    assert escaped(plain) == set_
    _drawn(escaped(plain))
