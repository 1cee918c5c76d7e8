"""Figures: the sampled fields are the solved ones, and what has to be on the page is there."""

from __future__ import annotations

import subprocess
import sys
import xml.etree.ElementTree as ET
from pathlib import Path

import numpy as np
import pytest
from matplotlib.axes import Axes
from matplotlib.colors import to_rgb
from matplotlib.figure import Figure
from soapfilm.geometry.outline.contour import Contour
from soapfilm.geometry.section import Section
from soapfilm.report.drawing import flow_lines, palette
from soapfilm.report.drawing.field_view import FieldView, Lookup
from soapfilm.report.drawing.sampling import cut_triangle
from soapfilm.report.section import figure
from soapfilm.solver.section import SectionResult, solve_section


def box(x0: float, y0: float, x1: float, y1: float) -> Contour:
    return Contour([[x0, y0], [x1, y0], [x1, y1], [x0, y1]])


@pytest.fixture(scope="module")
def results() -> dict[str, SectionResult]:
    sections = [
        Section.single(Contour.circle((30, 10), 20), name="bar", unit="mm"),
        Section.single(
            Contour([[0, 0], [100, 0], [100, 50], [50, 50], [50, 100], [0, 100]]),
            name="angle",
            unit="mm",
        ),
        Section.single(box(0, 0, 12, 1.8), [box(0.3, 0.3, 11.7, 1.5)], name="deck", unit="m"),
        Section.single(box(0, 0, 200, 200), [box(1, 1, 199, 199)], name="sheet box <&>", unit="mm"),
        Section.single(
            Contour([(0, 0), (80, 0), (80, 1), (1, 1), (1, 199), (80, 199), (80, 200), (0, 200)]),
            name="sheet channel",
            unit="mm",
        ),
        Section.single(box(0, 0, 2, 1), name="no unit"),
    ]
    return {section.name: solve_section(section, 1e-4) for section in sections}


NAMES = ["bar", "angle", "deck", "sheet box <&>", "sheet channel", "no unit"]


# -- sampled fields ----------------------------------------------------------------------------
@pytest.mark.parametrize("n", [1, 2, 5, 12])
def test_acut_triangle_is_covered_once(n: int) -> None:
    xi, eta, triangles = cut_triangle(n)
    p = np.stack([xi, eta], axis=1)[triangles]
    (a, b), (c, d) = (p[:, 1] - p[:, 0]).T, (p[:, 2] - p[:, 0]).T
    areas = (a * d - b * c) / 2
    assert len(triangles) == n**2
    assert areas == pytest.approx(np.full(n**2, 0.5 / n**2))


@pytest.mark.parametrize("name", NAMES)
def test_samples_cover_the_section(results: dict[str, SectionResult], name: str) -> None:
    """Chords of arcs lose some area, so the round bar gets the allowance of its chords."""
    view = FieldView.of(results[name])
    allowance = 2e-3 if name == "bar" else 1e-12
    assert _areas(view).sum() == pytest.approx(results[name].area, rel=allowance)


@pytest.mark.parametrize("name", NAMES)
def test_the_drawn_stress_carries_the_unit_torque(
    results: dict[str, SectionResult], name: str
) -> None:
    """int (x tau_y - y tau_x) dA = 1: the trapezoidal sum over the samples is good to 1 % or so."""
    view = FieldView.of(results[name])
    r = view.points - np.array(view.centroid)
    moment = r[:, 0] * view.stress[:, 1] - r[:, 1] * view.stress[:, 0]
    total = (_areas(view) * moment[view.triangles].mean(axis=1)).sum()
    assert total == pytest.approx(1.0, rel=0.015)


@pytest.mark.parametrize("name", NAMES)
def test_the_stress_function_vanishes_on_the_outline(
    results: dict[str, SectionResult], name: str
) -> None:
    view = FieldView.of(results[name])
    x0, _, x1, _ = view.section.bounds()
    left = np.abs(view.points[:, 0] - x0) < 1e-9 * (x1 - x0)
    assert left.any()
    assert np.abs(view.stress_function[left]).max() < 1e-12 * view.stress_function.max()


@pytest.mark.parametrize("name", NAMES)
def test_the_drawn_warping_has_no_mean(results: dict[str, SectionResult], name: str) -> None:
    view = FieldView.of(results[name])
    mean = (
        _areas(view) * view.warping[view.triangles].mean(axis=1)
    ).sum() / view.section.size() ** 4
    assert abs(mean) < 1e-4


def test_a_window_keeps_the_triangles_it_shows(results: dict[str, SectionResult]) -> None:
    view = FieldView.of(results["angle"])
    part = view.within((40.0, 40.0, 60.0, 60.0))
    assert 0 < len(part.triangles) < len(view.triangles)
    inside = _areas(part)[(np.abs(part.points[part.triangles].mean(axis=1) - 50) < 10).all(axis=1)]
    assert inside.sum() == pytest.approx(300.0, rel=0.2)  # three quarters of the window


def test_flow_runs_anticlockwise_under_a_positive_torque(
    results: dict[str, SectionResult],
) -> None:
    view = FieldView.of(results["bar"])
    seats = np.array([[45.0, 10.0], [30.0, 25.0], [15.0, 10.0]])
    directions = Lookup(view).direction(seats)
    assert directions == pytest.approx(np.array([[0, 1], [-1, 0], [0, -1]]), abs=0.1)


# -- flow lines --------------------------------------------------------------------------------
def test_lines_give_way_where_there_is_no_room() -> None:
    assert flow_lines.line_count(2.0, closed=True) == 0
    assert flow_lines.line_count(20.0, closed=True) > flow_lines.line_count(20.0, closed=False) > 0
    assert flow_lines.line_count(1e3, closed=False) == flow_lines.line_count(1e4, closed=True)


def test_flow_lines_of_a_round_bar_are_circles(results: dict[str, SectionResult]) -> None:
    view = FieldView.of(results["bar"])
    points, triangles, sample = view.shared()
    phi = view.stress_function[sample]
    axes = Figure().add_subplot()
    (lines,) = flow_lines.trace(axes, points, triangles, phi, np.array([phi.max() / 2]))
    radii = np.hypot(*(lines[0] - [30.0, 10.0]).T)
    assert radii == pytest.approx(np.full(len(radii), 20 / np.sqrt(2)), rel=0.01)


# -- the page ----------------------------------------------------------------------------------
@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("plot", [figure.plot_shear, figure.plot_warping])
def test_everything_asked_for_is_on_the_page(
    results: dict[str, SectionResult], name: str, plot: object
) -> None:
    axes = plot(results[name])  # type: ignore[operator]
    words = _words(axes)
    unit = results[name].unit
    for word in (
        "centroid",
        "shear centre",
        "principal axes",
        name,
        f"x ({unit})" if unit else "x",
    ):
        assert any(word in text for text in words), word
    assert axes.get_aspect() == 1.0


def test_dimensions_and_units_are_on_the_page(results: dict[str, SectionResult]) -> None:
    words = _words(figure.plot_shear(results["deck"]))
    assert {"12 m", "1.8 m"} <= words
    assert any("shear stress from torsion (MPa per MN·m)" in text for text in words)
    words = _words(figure.plot_warping(results["deck"]))
    assert any("(m²)" in text for text in words)


def test_thin_walls_get_an_enlarged_detail(results: dict[str, SectionResult]) -> None:
    thin, solid = (_page(figure.plot_shear(results[name])) for name in ("sheet channel", "angle"))
    assert len(thin.axes) == len(solid.axes) + 1
    assert any("peak stress, ×" in text for text in _words(thin.axes[0]))
    assert any("drawn thicker" in text for text in _words(thin.axes[0]))


def test_refused_corners_are_marked_and_not_given_a_number(
    results: dict[str, SectionResult],
) -> None:
    assert any("no bound" in text for text in _words(figure.plot_shear(results["angle"])))
    assert not any("no bound" in text for text in _words(figure.plot_shear(results["bar"])))


def test_draws_on_given_axes(results: dict[str, SectionResult]) -> None:
    axes = Figure(figsize=(6, 4)).add_subplot()
    assert figure.plot_shear(results["angle"], ax=axes) is axes
    assert axes.get_legend() is not None


@pytest.mark.parametrize(("peak", "unit"), [(1e-2, "N·m"), (1e-6, "kN·m"), (4e-10, "MN·m")])
def test_the_unit_of_torque_suits_the_section(peak: float, unit: str) -> None:
    factor, name = figure.stress_per_torque("mm", peak)
    assert name == f"MPa per {unit}"
    newton_millimetres = {"N·m": 1e3, "kN·m": 1e6, "MN·m": 1e9}[unit]
    assert factor == pytest.approx(newton_millimetres)


def test_colours_grow_darker_with_stress() -> None:
    """Even in grey, more stress must look like more: luminance as Rec. 709 weighs linearised sRGB,
    with the exponent 2.2."""
    rgb = np.asarray(palette.stress_colours()(np.linspace(0, 1, 50)))[:, :3]
    assert (np.diff(rgb**2.2 @ np.array([0.2126, 0.7152, 0.0722])) < 0).all()
    over = palette.stress_colours()(2.0)
    assert sum(to_rgb(over)) < sum(to_rgb(palette.stress_colours()(1.0)))


# -- files -------------------------------------------------------------------------------------
@pytest.mark.parametrize(
    ("extension", "start"),
    [("svg", b"<?xml"), ("png", b"\x89PNG"), ("pdf", b"%PDF"), ("SVG", b"<?xml")],
)
def test_the_extension_names_the_format(
    results: dict[str, SectionResult], tmp_path: Path, extension: str, start: bytes
) -> None:
    path = tmp_path / f"bar.{extension}"
    figure.save(figure.plot_shear(results["bar"]), path)
    assert path.read_bytes().startswith(start)


def test_svg_is_well_formed_repeatable_and_has_its_text(
    results: dict[str, SectionResult], tmp_path: Path
) -> None:
    for name in ("one.svg", "two.svg"):
        figure.save(figure.plot_shear(results["sheet box <&>"]), tmp_path / name)
    one = (tmp_path / "one.svg").read_bytes()
    assert one == (tmp_path / "two.svg").read_bytes()
    text = "".join(ET.fromstring(one).itertext())
    assert "sheet box <&>" in text
    assert "shear centre" in text
    assert len(one) < 3e6


def test_an_existing_figure_survives_a_failure(
    results: dict[str, SectionResult], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "bar.png"
    path.write_text("old")
    axes = figure.plot_shear(results["bar"])

    def fail(*_: object, **__: object) -> None:
        raise RuntimeError("disk full")

    monkeypatch.setattr(Figure, "savefig", fail)
    with pytest.raises(RuntimeError, match="disk full"):
        figure.save(axes, path)
    assert path.read_text() == "old"
    assert list(tmp_path.iterdir()) == [path]


def test_figures_leave_no_global_state() -> None:
    """pyplot keeps every figure alive, and picks a window system: a sweep would drown in both."""
    program = (
        "import sys; from soapfilm.geometry.profiles.by_name import rectangle;"
        "from soapfilm.solver.section import solve_section;"
        "from soapfilm.report.section.figure import plot_shear;"
        "plot_shear(solve_section(rectangle(x_dim=2.0, y_dim=1.0).section()));"
        "sys.exit('matplotlib.pyplot' in sys.modules)"
    )
    assert subprocess.run([sys.executable, "-c", program], check=False).returncode == 0


def _areas(view: FieldView) -> np.ndarray:
    p = view.points[view.triangles]
    (a, b), (c, d) = (p[:, 1] - p[:, 0]).T, (p[:, 2] - p[:, 0]).T
    return np.abs(a * d - b * c) / 2


def _page(axes: Axes) -> Figure:
    page = axes.get_figure()
    assert isinstance(page, Figure)
    return page


def _words(axes: Axes) -> set[str]:
    """All texts of the page."""
    from matplotlib.text import Text

    return {text.get_text() for text in _page(axes).findobj(Text)}


def test_an_enlarged_detail_stays_in_its_box(results: dict[str, SectionResult]) -> None:
    """In an SVG the clip by the outline replaces that by the box: the detail covered the figure."""
    page = _page(figure.plot_shear(results["sheet channel"]))
    inner = next(a for a in page.axes if "×" in a.get_title(loc="left"))
    clips = [c.get_clip_path() for c in inner.collections if c.get_clip_path() is not None]
    assert clips
    box = inner.get_window_extent()
    for clip in clips:
        path, to_page = clip.get_transformed_path_and_affine()
        extents = to_page.transform_path(path).get_extents()
        assert box.x0 - 1 <= extents.x0 <= extents.x1 <= box.x1 + 1
        assert box.y0 - 1 <= extents.y0 <= extents.y1 <= box.y1 + 1


def test_no_mark_is_set_as_text(results: dict[str, SectionResult]) -> None:
    """A mark in dollars is drawn as its letters where names are text: the centroid was "$⊕$"."""
    for result in results.values():
        for draw in (figure.plot_shear, figure.plot_warping):
            for axes in draw(result).figure.axes:
                marks = [line.get_marker() for line in axes.lines]
                assert not [m for m in marks if isinstance(m, str) and "$" in m]
