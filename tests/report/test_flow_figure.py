"""Flow lines are whole lines, and texts of figures set their symbols."""

from __future__ import annotations

import numpy as np
from matplotlib.figure import Figure
from soapfilm.report.drawing.flow_lines import draw_lines
from soapfilm.report.drawing.symbols import typeset


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
