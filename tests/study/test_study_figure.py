"""The figure of a study: which kind suits it, what it shows, and what cannot be drawn."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from contextlib import ExitStack
from pathlib import Path

import numpy as np
import pytest
from soapfilm.geometry.errors import InputError
from soapfilm.report.page.origin import Origin
from soapfilm.report.page.study_report import study_report
from soapfilm.report.study import figure
from soapfilm.report.study.axis import labelled
from soapfilm.report.study.figure import plot_study
from soapfilm.solver.study.file.parameter import Value
from soapfilm.solver.study.file.study_file import load_study
from soapfilm.solver.study.run.store import Store
from soapfilm.solver.study.run.sweep import Study

J = "torsion_constant"
Filled = Callable[..., tuple[Study, Store]]


def parameter(name: str, key: str, values: str) -> str:
    return f'[[parameter]]\nname = "{name}"\nsets = "wall.{key}"\n{values}\n'


WALL = parameter("t", "WallThickness", "values = [4, 5, 6]")
WIDTH = parameter("b", "XDim", "from = 80\nto = 120\nsteps = 3")
DEPTH = parameter("d", "YDim", "values = [40, 60]")
NAMED = parameter("grade", "material", 'values = ["S235", "S355"]')


def made_up(point: Sequence[Value]) -> float:
    """A result that tells which point it belongs to."""
    return sum(10.0**k * float(v) for k, v in enumerate(point) if not isinstance(v, str))


@pytest.fixture
def filled(tube: Path, tmp_path: Path) -> Iterator[Filled]:
    """From the text of a study to the study and a store with a made-up J for every point."""
    with ExitStack() as stack:

        def make(text: str, failed: int = 0) -> tuple[Study, Store]:
            file = tube.with_name("study.toml")
            file.write_text(f'section = "tube.toml"\n{text}')
            study = load_study(file)
            store = stack.enter_context(study.open_store(str(tmp_path / f"{len(text)}.sqlite")))
            points = [(f"k{n}", point) for n, point in enumerate(study.plan.points())]
            store.plan("plan", points)
            for n, (key, point) in enumerate(points):
                record = {} if n < failed else {J: made_up(point)}
                store.add(key, record, "no wall" if n < failed else "", 0.1)
            return study, store

        yield make


def test_one_parameter_is_a_line(filled: Filled) -> None:
    (line,) = plot_study(*filled(WALL), J).lines
    assert line.get_xydata().tolist() == [[4, 4], [5, 5], [6, 6]]


def test_a_few_values_are_a_line_each(filled: Filled) -> None:
    axes = plot_study(*filled(WIDTH + DEPTH), J)
    assert [line.get_label() for line in axes.lines] == ["d = 40 mm", "d = 60 mm"]
    assert axes.lines[1].get_xydata().tolist() == [[b, b + 600] for b in (80, 100, 120)]


def test_names_stand_in_order_with_a_tick_each(filled: Filled) -> None:
    axes = plot_study(*filled(NAMED + WALL), J)
    assert [tick.get_text() for tick in axes.get_xticklabels()] == ["S235", "S355"]
    assert axes.lines[2].get_xydata().tolist() == [[0, 60], [1, 60]]


def test_three_parameters_are_points_coloured_by_the_second(filled: Filled) -> None:
    study, store = filled(WALL + WIDTH + DEPTH)
    axes = plot_study(study, store, J)
    (points,) = axes.collections
    rows = np.array(list(store.rows(["t", J, "b"])), dtype=float)
    assert points.get_offsets().tolist() == rows[:, :2].tolist()
    assert points.get_array().tolist() == rows[:, 2].tolist()


def test_a_sample_of_one_parameter_is_points(filled: Filled) -> None:
    text = 'kind = "sample"\ncount = 8\n'
    study, store = filled(text + WIDTH.replace("steps = 3", ""))
    (points,) = plot_study(study, store, J).collections
    assert points.get_offsets().tolist() == [[b, b] for (b,) in study.plan.points()]


@pytest.mark.parametrize(
    ("text", "label"),
    [
        (WALL, "t (mm)"),
        (parameter("t", "WallThickness", 'values = ["0.5 cm", "0.6 cm"]'), "t (cm)"),
        (parameter("t", "WallThickness", 'from = "0.2 in"\nto = "0.3 in"\nsteps = 3'), "t (in)"),
        (parameter("t", "rotate", "values = [0, 5]"), "t (deg)"),
        (NAMED, "grade"),
    ],
)
def test_an_axis_says_the_unit(filled: Filled, text: str, label: str) -> None:
    assert plot_study(*filled(text), J).get_xlabel() == label


def test_an_axis_of_a_members_study_says_the_unit(tmp_path: Path) -> None:
    """Plain numbers of its sections had none."""
    (tmp_path / "tube.toml").write_text(
        'unit = "cm"\n[[shape]]\nprofile = "RectangleHollow"\nXDim = 15\nYDim = 25\n'
        "WallThickness = 1\n"
    )
    (tmp_path / "edge.toml").write_text(
        'unit = "m"\n[section.tube]\nfile = "tube.toml"\n[section.bar]\n'
        '[[section.bar.shape]]\nprofile = "Rectangle"\nXDim = 0.1\nYDim = 0.2\n'
        '[[span]]\nlength = 6\n[[support]]\nat = ["start", "end"]\nkind = "fork"\n'
    )
    for section, key, unit in (("tube", "WallThickness", "cm"), ("bar", "XDim", "m")):
        file = tmp_path / "study.toml"
        sets = f"section.{section}.shape.1.{key}"
        file.write_text(
            f'member = "edge.toml"\n[[parameter]]\nname = "t"\nsets = "{sets}"\nvalues = [1, 2]\n'
        )
        assert labelled(load_study(file), "t") == f"t ({unit})"


def test_contours_and_colours_say_the_units(filled: Filled) -> None:
    axes = plot_study(*filled(WIDTH + DEPTH), J, kind="contour")
    assert (axes.get_xlabel(), axes.get_ylabel()) == ("b (mm)", "d (mm)")
    figure = plot_study(*filled(WALL + WIDTH + DEPTH), J).get_figure(root=True)
    assert figure is not None
    assert figure.axes[1].get_ylabel() == "b (mm)"


def test_values_in_several_units_share_no_scale(filled: Filled) -> None:
    """6 mm is not six times 1 cm."""
    text = parameter("t", "WallThickness", 'values = ["6 mm", "1 cm"]')
    study, store = filled(text)
    axes = plot_study(study, store, J)
    assert [tick.get_text() for tick in axes.get_xticklabels()] == ["6 mm", "1 cm"]
    assert axes.get_xlabel() == "t"
    with pytest.raises(InputError, match="along t, all in one unit"):
        plot_study(*filled(text + WIDTH), J, ("t", "b"), "contour")


@pytest.mark.parametrize(
    ("text", "options", "says"),
    [
        (WALL, {"show": "girth"}, "--show 'girth': the study has no such result"),
        (WALL, {"against": ["b"]}, "--against 'b': the study has no such parameter; it has t"),
        (WALL, {"kind": "contour"}, "a contour needs two parameters"),
        (NAMED + WALL, {"kind": "contour"}, "a contour needs numbers along grade"),
        (WALL.replace(", 5, 6", "") + WIDTH, {"kind": "contour"}, "vary both parameters"),
        (WALL, {"show": "plastic_torque"}, "no row has a .*nothing to draw"),
        (
            WALL + WIDTH.replace("steps = 3", "steps = 33"),
            {"kind": "lines"},
            "33 lines, one for every b, would show nothing",
        ),
    ],
)
def test_what_cannot_be_drawn(
    filled: Filled, text: str, options: dict[str, object], says: str
) -> None:
    study, store = filled(text)
    with pytest.raises(InputError, match=says):
        plot_study(study, store, **{"show": J, **options})  # type: ignore[arg-type]


def test_the_page_tells_failed_and_left_out_rows(filled: Filled) -> None:
    study, store = filled(WALL + WIDTH.replace("steps = 3", "steps = 90"), failed=30)
    document = study_report(study, store, Origin(command="soapfilm report study.toml"))
    said = str(document)
    assert "270 rows, of which 240 are solved and 30 ended with an error." in said
    assert "Row 1: no wall" in said
    assert "more rows ended with an error." in said
    assert "more rows are in the study's own file." in said or "240" in said


def test_a_study_without_a_solved_row_has_no_page(filled: Filled) -> None:
    study, store = filled(WALL, failed=3)
    with pytest.raises(InputError, match=r"no row .* is solved \(3 of 3 ended with an error\)"):
        study_report(study, store, Origin(command="soapfilm report study.toml"))


FINE = parameter("b", "XDim", "from = 80\nto = 120\nsteps = 6") + parameter(
    "t", "WallThickness", "from = 4\nto = 6\nsteps = 5"
)


def test_many_rows_of_a_grid_are_drawn_without_triangles(
    filled: Filled, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Triangles of a million rows took a minute and gigabytes; the contours are the same where
    the result is linear, and a row without a result leaves a hole."""
    study, store = filled(FINE)
    by_triangles = plot_study(study, store, J, kind="contour")
    monkeypatch.setattr(figure, "_MANY", 9)
    monkeypatch.setattr(figure, "_triangles", None)
    by_grid = plot_study(study, store, J, kind="contour")
    levels = [axes.collections[0].levels.tolist() for axes in (by_triangles, by_grid)]
    assert levels[0] == levels[1]
    extents = [axes.dataLim.extents.tolist() for axes in (by_triangles, by_grid)]
    assert extents[0] == pytest.approx(extents[1])
    for level, path in zip(levels[1], by_grid.collections[1].get_paths(), strict=True):
        found = path.vertices
        assert found[:, 0] + 10 * found[:, 1] == pytest.approx(np.full(len(found), level))


def test_a_row_without_a_result_leaves_a_hole_in_a_grid() -> None:
    x, y = (a.ravel() for a in np.meshgrid([1.0, 2.0, 3.0], [10.0, 20.0]))
    along, up, filled = figure._grid(x[1:], y[1:], x[1:] + y[1:])
    assert (along.tolist(), up.tolist()) == ([1, 2, 3], [10, 20])
    assert filled.tolist() == [[None, 12, 13], [21, 22, 23]]
    assert figure._grid(x + y / 7, y + x / 9, x) is None  # no grid
    assert figure._grid(np.tile(x, 2), np.tile(y, 2), np.tile(x, 2)) is None  # others vary too


def test_many_points_are_a_picture_in_the_drawing(
    filled: Filled, monkeypatch: pytest.MonkeyPatch
) -> None:
    study, store = filled(WALL + WIDTH + DEPTH)
    assert not plot_study(study, store, J).collections[0].get_rasterized()
    monkeypatch.setattr(figure, "_MANY", 9)
    assert plot_study(study, store, J).collections[0].get_rasterized()
