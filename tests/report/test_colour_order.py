"""Cases take the same colours in the same order in every figure."""

from __future__ import annotations

from pathlib import Path

import pytest
import soapfilm.report
from matplotlib.colors import to_hex
from matplotlib.figure import Figure
from soapfilm.report.drawing.palette import SERIES
from soapfilm.report.member import diagram
from soapfilm.report.stages import figure as stages
from soapfilm.report.study.ratio_bars import draw_bars

ROOM = Path(soapfilm.report.__path__[0])


@pytest.mark.parametrize("colour", SERIES[:6])
def test_a_colour_is_written_in_one_place(colour: str) -> None:
    """Stages took the third and the fourth the other way round than bars and sweeps did."""
    written = [p.name for p in ROOM.rglob("*.py") if colour in p.read_text("utf-8").lower()]
    assert written == ["palette.py"]


def test_lines_and_bars_take_them_in_order() -> None:
    assert SERIES[1:3] == (diagram.FIRST, diagram.SECOND)
    assert tuple(colour for colour, _ in stages._LINES[:-1]) == SERIES[1:5]
    axes = Figure().add_subplot()
    draw_bars(axes, [("stiffness", [1.0, 2.0, 3.0, 4.0])], ["a", "b", "c", "d"])
    bars = sorted(axes.patches, key=lambda bar: bar.get_x())
    assert [to_hex(bar.get_facecolor()) for bar in bars] == list(SERIES[:4])
