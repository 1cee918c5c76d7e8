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
from soapfilm.report.member.diagram import Diagram, _titles


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
