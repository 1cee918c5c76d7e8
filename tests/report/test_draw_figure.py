"""The figure of a section before it is solved: numbers at their vertices, walls measured, labels
apart."""

from __future__ import annotations

import numpy as np
import pytest
from matplotlib.axes import Axes
from matplotlib.figure import Figure
from matplotlib.text import Annotation, Text
from soapfilm.geometry.catalogue import shape
from soapfilm.geometry.checks.validate import check
from soapfilm.geometry.outline.contour import Contour
from soapfilm.geometry.profiles.by_name import circle_hollow, i_shape, rectangle_hollow
from soapfilm.geometry.section import Region, Section
from soapfilm.geometry.section_file.preview import Preview, places_in
from soapfilm.report.drawing.labels import Board, Seat, around
from soapfilm.report.drawing.outline_labels import length_words
from soapfilm.report.drawing.preview_figure import plot_preview
from soapfilm.report.drawing.wall_labels import walls

GIRDER = i_shape(
    overall_width=150, overall_depth=300, web_thickness=7.1, flange_thickness=10.7, fillet_radius=15
)


def annotations(axes: Axes) -> list[Annotation]:
    return [t for t in axes.texts if isinstance(t, Annotation) and t.get_text()]


def labels(axes: Axes, text: str) -> list[tuple[float, float]]:
    return [a.xy for a in annotations(axes) if a.get_text() == text]


def test_vertices_bear_the_numbers_of_messages() -> None:
    section = Section.single(Contour([[0, 0], [40, 0], [40, 30], [40, 30], [0, 30]]), unit="mm")
    seen = Preview.of(section)
    assert "vertex 4 (counted anticlockwise) repeats vertex 3 at (40.0, 30.0) mm" in seen.message
    axes = plot_preview(seen)
    assert labels(axes, "3") == [(40.0, 30.0)]
    assert labels(axes, "5") == [(0.0, 30.0)]
    assert seen.places == ((40.0, 30.0),)


@pytest.mark.parametrize("clockwise", [False, True])
def test_numbers_follow_the_stored_direction(clockwise: bool) -> None:
    points = [[0, 0], [40, 0], [40, 30], [0, 30]]
    hole = [[10, 10], [20, 10], [20, 20], [10, 20]]
    turn = slice(None, None, -1) if clockwise else slice(None)
    section = Section.single(Contour(points[turn]), [Contour(hole[turn])], unit="mm")
    axes = plot_preview(Preview.of(section))
    for contour in section.contours():
        for k, point in enumerate(contour.points, 1):
            assert tuple(point) in labels(axes, str(k))


@pytest.mark.parametrize(
    ("region", "expected"),
    [
        (GIRDER.region(), {7.1, 10.7, 150.0}),
        (rectangle_hollow(x_dim=100, y_dim=60, wall_thickness=4).region(), {4.0}),
        (circle_hollow(radius=50, wall_thickness=4).region(), set()),
        (Region(Contour([[0, 0], [9, 0], [0, 5]])), set()),
    ],
    ids=["girder", "tube", "pipe", "triangle"],
)
def test_walls_are_found(region: Region, expected: set[float]) -> None:
    """Of the girder also its width, between the flanges' tips."""
    found = {round(w.thickness, 6) for w in walls(region)}
    assert found == expected


def test_wall_normals_cross_the_material() -> None:
    tube = rectangle_hollow(x_dim=100, y_dim=60, wall_thickness=4)
    for wall in walls(tube.region()):
        for side in (-0.49, 0.49):
            x, y = wall.middle + side * wall.thickness * wall.normal
            assert 46 < abs(x) < 50 or 26 < abs(y) < 30


@pytest.mark.parametrize("name", ["W10X49", "HSS8X4X1/2", "C10X20", "L4X3X1/2"])
def test_labels_keep_apart(name: str) -> None:
    axes = plot_preview(Preview.of(shape(name)))
    figure = axes.get_figure(root=True)
    assert isinstance(figure, Figure)
    figure.draw_without_rendering()
    # of the text alone, without the line that leads to it
    boxes = [Text.get_window_extent(a).padded(-1.5) for a in annotations(axes)]
    for k, one in enumerate(boxes):
        assert not any(one.overlaps(other) for other in boxes[k + 1 :])


def test_thicknesses_and_radii_are_written() -> None:
    axes = plot_preview(Preview.of(GIRDER.section(unit="mm")))
    written = [a.get_text() for a in annotations(axes)]
    for text in ("7.1", "10.7", "150", "4 × R 15", "150 mm", "300 mm"):
        assert text in written
    assert written.count("7.1") == 1


def test_a_crowded_label_is_left_out_rather_than_put_over_another() -> None:
    axes = Figure(figsize=(2, 2)).add_axes((0, 0, 1, 1))
    axes.set(xlim=(0, 2), ylim=(0, 2), aspect="equal")
    board = Board(axes, np.empty((0, 2)))
    assert board.place("first", (1, 1), [Seat((0.0, 0.0))])
    assert not board.place("second", (1, 1), [Seat((3.0, 2.0))])
    assert not board.place("outside", (1.99, 1), [Seat((0.0, 0.0))])
    assert board.place("third", (1, 1), around((20.0,), 90.0, 4))
    assert [t.get_text() for t in axes.texts] == ["first", "third"]


def test_a_label_over_a_line_only_where_it_may() -> None:
    axes = Figure(figsize=(2, 2)).add_axes((0, 0, 1, 1))
    axes.set(xlim=(0, 2), ylim=(0, 2), aspect="equal")
    line = np.stack([np.linspace(0, 2, 200), np.ones(200)], axis=1)
    board = Board(axes, line)
    seats = [Seat((0.0, 0.0)), Seat((0.0, 1.0))]
    assert not board.place("over", (1, 1), seats)
    assert board.place("over", (1, 1), seats, over_lines=True)


def test_axes_of_the_caller_are_used() -> None:
    axes = Figure(figsize=(5, 4)).add_subplot()
    assert plot_preview(Preview.of(GIRDER.section(unit="mm")), ax=axes) is axes
    assert axes.get_legend() is not None


def test_lengths_in_words() -> None:
    assert [length_words(v) for v in (8.4852813, 0.16, 12500.4, 1.0, 1e-5, 299.9999999)] == [
        "8.485",
        "0.16",
        "12500",
        "1",
        "0.00001",
        "300",
    ]


def test_places_of_a_message() -> None:
    text = "hole 2 crosses near (3.1, -0.0) mm and (1e-05, 2.5e+06), not (a, b); at (3.1, -0.0)"
    assert places_in(text) == ((3.1, 0.0), (1e-5, 2.5e6))


def test_a_valid_section_has_no_mark() -> None:
    section = GIRDER.section(unit="mm")
    check(section)
    seen = Preview.of(section)
    assert (seen.error, seen.message, seen.places, seen.bodies) == (None, "", (), 1)
