"""Flow lines are whole lines, and texts of figures set their symbols."""

from __future__ import annotations

import numpy as np
import pytest
from matplotlib.figure import Figure
from matplotlib.font_manager import FontProperties
from matplotlib.mathtext import MathTextParser
from matplotlib.text import Text
from soapfilm.report.drawing.flow_lines import draw_lines
from soapfilm.report.drawing.symbols import INDEX, LEAST_TYPESET, runs, typeset
from soapfilm.report.member.diagram import Curve, Diagram, _titles


def test_a_flow_line_is_one_line_in_one_colour() -> None:
    axes = Figure().add_axes((0, 0, 1, 1))
    line = np.array([[0.0, 0.0], [1.0, 0.0], [1.0, 1.0], [2.0, 1.0]])
    draw_lines(axes, [[line]])
    for drawn in axes.collections:
        assert len(drawn.get_paths()) == 1
        assert len(np.unique(np.asarray(drawn.get_edgecolor()), axis=0)) == 1


def test_symbols_are_set_and_names_stay() -> None:
    assert typeset("shear V_y (kN)") == "shear $V_{y}$ (kN)"
    assert typeset("τ_zy of deck_2 at $5") == r"$\tau_{zy}$ of deck_2 at \$5"


def test_indices_are_six_points_in_print() -> None:
    """Those of members' diagrams were 4.2: seven tenths of letters that are six points in print."""
    figure = Figure()
    _titles(figure.add_subplot(), Diagram("shear V_y", "kN", np.zeros((1, 1))))
    pieces = [t for t in figure.findobj(Text) if t.get_text() == "$_{y}$"]
    assert [round(INDEX * t.get_fontsize(), 1) for t in pieces] == [7.6]
    assert INDEX * LEAST_TYPESET >= 6
    index = MathTextParser("path").parse("$_{y}$", 72, FontProperties(size=10)).glyphs[0]
    assert index[1] == pytest.approx(10 * INDEX)
    assert "".join(piece for piece, _ in runs("a V_y of $5")) == r"a $V$$_{y}$ of \$5"


def test_a_long_remark_keeps_off_the_words_of_its_panel() -> None:
    """The stress of an arrangement of what travels ran into the name of the classical theory."""
    figure = Figure(figsize=(8, 13))
    axes = figure.add_axes((0.1, 0.5, 0.85, 0.03))
    curves = [Curve(np.zeros(1), "classical theory", "#000000", (3, 1))]
    remark = "von Mises stress over strength: 200 of 355 MPa, 56 %, strength, arrangement 10"
    words = "stress utilisation, largest, away from sharp corners"
    _titles(axes, Diagram(words, "%", np.zeros((1, 1)), curves, remark=remark))
    (shown,) = axes.texts
    assert shown.get_text().replace("\n", " ") == remark
    last = shown.get_text().rpartition("\n")[2]
    assert last == "strength, arrangement 10"
