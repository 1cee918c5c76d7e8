"""The figure of slow modes: what it says, and that each panel shows the mode that it names."""

from __future__ import annotations

import numpy as np
import pytest
from soapfilm.geometry.material import Material
from soapfilm.geometry.profiles.solid import rectangle_hollow
from soapfilm.report.section.modes_figure import decay_text, modes_figure, plot_mode
from soapfilm.solver.section.deforming.reduced import ReducedSection
from soapfilm.solver.section.deforming.reduction import reduced_section

STEEL = Material("steel", 210e3, 0.3)


@pytest.fixture(scope="module")
def box() -> ReducedSection:
    return reduced_section(
        rectangle_hollow(x_dim=2000, y_dim=1000, wall_thickness=20).section(
            material=STEEL, unit="mm"
        ),
        modes=4,
    )


def test_every_panel_names_its_mode(box: ReducedSection) -> None:
    figure = modes_figure(box, "mm", count=4)
    titles = [axes.get_title() for axes in figure.axes if axes.get_title()]
    assert titles[0] == "1  distortion, dies out over 6.2 m"
    assert titles[1] == "2  bending of the flanges, dies out over 550 mm"
    assert len(titles) == 4


def test_the_deformed_border_keeps_its_joints_where_walls_bend(box: ReducedSection) -> None:
    """In the second mode the corners stay and the middles of the flanges move by the size drawn;
    in the first the corners move."""
    from matplotlib.figure import Figure

    for mode, corners_move in ((0, True), (1, False)):
        axes = plot_mode(box, mode, "mm", ax=Figure().subplots())
        rest, moved = (
            np.array([path.vertices for path in lines.get_paths()])
            for lines in axes.collections[1:3]
        )
        apart = np.hypot(*(moved - rest).transpose(2, 0, 1))
        at_corner = np.hypot(*np.moveaxis(np.abs(rest) - (1000, 500), 2, 0)) < 1
        assert apart.max() == pytest.approx(0.12 * 2000, rel=0.02)
        assert (apart[at_corner].min() > 100) == corners_move


@pytest.mark.parametrize(
    ("length", "unit", "text"),
    [(6202.0, "mm", "6.2 m"), (987.0, "mm", "990 mm"), (0.05, "m", "0.050 m"), (3.2, "", "3.2"),
     (30.0, "in", "2.5 ft")],
)  # fmt: skip
def test_decay_lengths_read_well(length: float, unit: str, text: str) -> None:
    assert decay_text(length, unit) == text
