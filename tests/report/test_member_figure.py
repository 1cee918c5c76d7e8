"""The figure of a member: what is drawn is what was solved, it fits its page, and says what it
exaggerates."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from matplotlib.axes import Axes
from matplotlib.colors import to_rgb
from matplotlib.figure import Figure
from soapfilm.report.member import diagram as member_diagram
from soapfilm.report.member.diagram_set import diagrams
from soapfilm.report.member.figure import fitted, plot_member
from soapfilm.report.member.solid import Carrier, Drawn, shells
from soapfilm.report.member.units import MemberUnits
from soapfilm.report.member.view import View, exaggeration
from soapfilm.solver.member.file import member_from_toml
from soapfilm.solver.member.model.axis import Axis
from soapfilm.solver.member.review.assessment import Assessment, assess

TUBE = """
[material.steel]
grade = "S355"
[section.tube]
[[section.tube.shape]]
profile = "RectangleHollow"
XDim = 150
YDim = 250
WallThickness = 10
OuterFilletRadius = 15
InnerFilletRadius = 10
"""
FIGURES = """
[section.known]
E = "210 GPa"
G = "81 GPa"
A = "7490 mm^2"
I_x = "61.7e6 mm^4"
I_y = "27.5e6 mm^4"
J = "61.9e6 mm^4"
"""
FORKS = '[[support]]\nname = "column"\nat = ["start", "end"]\nkind = "fork"\n'
LOADS = """
[[load]]
name = "stone"
case = "stone"
weight = "5 kN/m"
place = [340, -60]
[[load]]
name = "crew"
case = "crew"
at = "4 m"
weight = "3 kN"
F_x = "1 kN"
place = [-200, 0]
[[combination]]
name = "calm"
factors = { stone = 1.0 }
[[combination]]
name = "busy"
factors = { stone = 1.0, crew = 1.5 }
"""
CASES = {
    "straight": TUBE + FORKS + LOADS + '[[span]]\nlength = "6 m"\n',
    "curved": TUBE
    + LOADS
    + '[[span]]\nplan = [{ straight = "2 m" }, { arc = "5 m", radius = "-8 m" }]\n'
    + '[[support]]\nname = "wall"\nat = "start"\nkind = "fixed"\n'
    + '[[support]]\nname = "post"\nat = "end"\nkind = "bearing pair"\nspacing = 100\n'
    + "holds_down = true\n",
    "restrained": TUBE
    + FORKS
    + LOADS
    + '[[span]]\nlength = "6 m"\n[[spring]]\nat = "middle"\ntwist = "90 kN*m/rad"\n'
    + '[[deck]]\ntwist = "5 kN*m/rad/m"\nto = "2 m"\n[[limit]]\ntwist = "0.1 deg"\n'
    + '[[limit]]\nstress = "strength"\n',
    "figures alone": FIGURES + FORKS + LOADS + '[[span]]\nlength = "6 m"\n',
    "tapered": TUBE
    + "[section.slim]"
    + TUBE.split("[section.tube]")[1].replace("tube", "slim").replace("250", "180")
    + FORKS
    + LOADS
    + '[[span]]\nlength = "6 m"\n[[segment]]\nsection = "tube"\ntaper_to = "slim"\n',
    "ring": FIGURES
    + "closed = true\n[[span]]\nlength = 37699.111843077520\nradius = 6000\n"
    + "[[support]]\nat = [0, 9424, 18849, 28274]\ny = 'held'\nx = 'held'\n"
    + '[[load]]\nweight = "5 kN/m"\nplace = "origin"\n',
}


def solved(text: str) -> Assessment:
    top = "closed = true\n" if "closed = true\n" in text else ""
    request = member_from_toml(f'unit = "mm"\n{top}' + text.replace("closed = true\n", ""))
    return assess(replace(request, keep_shape=True), cures=False)


@pytest.fixture(scope="module")
def assessments() -> dict[str, Assessment]:
    return {name: solved(text) for name, text in CASES.items()}


def page_of(axes: Axes) -> Figure:
    figure = axes.get_figure(root=True)
    assert figure is not None
    return figure


# -- the page -------------------------------------------------------------------------------------
@pytest.mark.parametrize("name", CASES)
def test_everything_lies_on_an_a4_page(assessments: dict[str, Assessment], name: str) -> None:
    page = page_of(plot_member(assessments[name]))
    width, height = page.get_size_inches()
    assert (width, height) == pytest.approx((210 / 25.4, 297 / 25.4), abs=0.01)
    page.draw_without_rendering()
    tight = page.get_tightbbox()
    assert tight.x0 > 0.1
    assert tight.y0 > 0.1
    assert tight.x1 < width - 0.1
    assert tight.y1 < height - 0.1


@pytest.mark.parametrize("name", CASES)
def test_all_panels_share_the_scale_of_stations(
    assessments: dict[str, Assessment], name: str
) -> None:
    page = page_of(plot_member(assessments[name]))
    length = assessments[name].solution.mesh.member.length / 1000
    sketch, *others = page.axes
    width = sketch.get_position(original=True).width
    panels = [a for a in others if a.get_position(original=True).width == pytest.approx(width)]
    assert len(panels) >= 5
    for panel in panels:
        assert panel.get_xlim() == pytest.approx((0.0, length))
    assert panels[-1].get_xlabel() == "station along the member (m)"


def test_the_page_says_what_it_exaggerates(assessments: dict[str, Assessment]) -> None:
    assessment = assessments["straight"]
    drawn = exaggeration(assessment, 1)
    words = " ".join(t.get_text() for t in page_of(plot_member(assessment, 1)).texts)
    assert "Sketch, not to scale" in words
    for word, factor in (
        ("section", drawn.thick),
        ("twist", drawn.twist),
        ("deflection", drawn.move),
    ):
        assert f"{word} × {factor:g}" in words
    assert "busy" in words
    assert "licensed engineer" in words


def test_long_names_are_made_to_fit() -> None:
    text, size = fitted("a name", 12.0, 6.0)
    assert (text, size) == ("a name", 12.0)
    text, size = fitted("m" * 70, 12.0, 6.5)
    assert len(text) == 70
    assert 9.6 <= size < 12.0
    text, size = fitted("m" * 500, 12.0, 6.5)
    assert text.endswith("…")
    assert size == pytest.approx(9.6)
    end = "; band: range over all 96 combinations"
    text, size = fitted("m" * 500, 12.0, 6.5, end)
    assert text.endswith("…" + end)
    assert len(text) == len(fitted("m" * 500, 12.0, 6.5)[0])


# -- the diagrams ---------------------------------------------------------------------------------
def test_diagrams_show_the_solution(assessments: dict[str, Assessment]) -> None:
    assessment = assessments["straight"]
    table = assessment.table
    panels = {
        d.words.split(",")[0]: d
        for d in diagrams(assessment, MemberUnits(assessment.request.units), 1)
    }
    np.testing.assert_allclose(panels["sagging moment −M_x"].values, -table.M_x * 1e-6)
    np.testing.assert_allclose(panels["shear V_y"].values, table.V_y * 1e-3)
    np.testing.assert_allclose(panels["torque T"].values, table.T * 1e-6)
    np.testing.assert_allclose(panels["twist φ"].values, np.degrees(table.phi))
    parts = panels["torque T"].curves
    total = sum(curve.values for curve in parts)
    np.testing.assert_allclose(total, table.T[:, 1] * 1e-6, atol=1e-9)
    assert assessment.stress is not None
    np.testing.assert_allclose(panels["von Mises stress"].values, assessment.stress.mises)


def test_a_panel_of_deforming_sections_is_not_called_classical() -> None:
    """Its main line is the stress that limits are judged by; the classical one is a further line.

    A made-up jump shows that the larger side of it is drawn.
    """
    request = member_from_toml('unit = "mm"\n' + CASES["straight"])
    assessment = assess(request, cures=False)
    found = assessment.deformed
    assert found is not None
    stress = found.stress
    row = len(stress.z) // 2
    at = assessment.table.z[np.abs(assessment.table.z - stress.z[row]).argmin()]
    z = np.sort(np.append(stress.z, [at, at]))
    rows = np.abs(z[:, None] - stress.z).argmin(axis=1)
    mises = stress.mises[rows]
    mises[np.flatnonzero(z == at)[0]] = 3 * mises.max()
    jumping = replace(found, stress=replace(stress, z=z, mises=mises))
    assessment = replace(assessment, deformed=jumping)
    panel = diagrams(assessment, MemberUnits(assessment.request.units), 1)[-1]
    assert "classical" not in panel.words
    assert [curve.words for curve in panel.curves] == ["classical theory"]
    assert panel.values.max() == pytest.approx(mises.max())


def test_a_stress_limit_makes_the_panel_one_of_utilisation(
    assessments: dict[str, Assessment],
) -> None:
    assessment = assessments["restrained"]
    last = diagrams(assessment, MemberUnits(assessment.request.units), 0)[-1]
    assert last.unit == "%"
    assert last.limit == 100.0
    used = max(r.row.ratio for r in assessment.limits if r.kind == "stress")
    assert last.values.max() == pytest.approx(100 * used, rel=2e-3)


def test_a_section_known_by_figures_has_no_stress_and_no_bimoment(
    assessments: dict[str, Assessment],
) -> None:
    panels = diagrams(
        assessments["figures alone"], MemberUnits(assessments["figures alone"].request.units), 0
    )
    words = " ".join(d.words for d in panels)
    assert "stress" not in words
    assert "bimoment" not in words
    assert [c.words for c in panels[2].curves] == ["T_t Saint-Venant"]


def test_lines_differ_in_grey_and_dash() -> None:
    """Luminance by Rec. 709; readers without colour see them apart."""
    colours = (member_diagram.SHOWN, member_diagram.FIRST, member_diagram.SECOND)
    grey = sorted(float(np.dot(to_rgb(c), (0.2126, 0.7152, 0.0722))) for c in colours)
    assert min(np.diff(grey)) > 0.12


# -- the sketch -----------------------------------------------------------------------------------
def test_a_section_is_carried_without_changing_its_shape() -> None:
    """Twist turns it about the shear centre, which itself moves by the deflection."""
    z = np.linspace(0, 1000, 5)
    phi = np.full(5, 0.01)
    carrier = Carrier(
        Axis.straight(1000), (3.0, 4.0), z, np.full(5, 2.0), np.full(5, -5.0), phi,
        Drawn(2.0, 30.0, 4.0),
    )  # fmt: skip
    points = np.broadcast_to(np.array([[10.0, 20.0], [70.0, 20.0], [10.0, 90.0]]), (5, 3, 2))
    centre = np.broadcast_to(np.array([10.0, 20.0]), (5, 2))
    space = carrier.carried(z, points, centre)
    np.testing.assert_allclose(space[:, 0, 0], 2 * (10 + 4 * 2 - 3))
    np.testing.assert_allclose(space[:, 0, 1], 2 * (20 - 4 * 5 - 4))
    np.testing.assert_allclose(space[:, :, 2], np.repeat(z[:, None], 3, axis=1))
    arm = space[:, 1] - space[:, 0]
    np.testing.assert_allclose(np.hypot(arm[:, 0], arm[:, 1]), 120)
    np.testing.assert_allclose(np.arctan2(arm[:, 1], arm[:, 0]), 0.3)


def test_an_arc_is_carried_around_its_centre() -> None:
    axis = Axis.arc(1000, 500)
    zero = np.zeros(2)
    carrier = Carrier(axis, (0.0, 0.0), np.array([0.0, 1000.0]), zero, zero, zero, Drawn(1, 1, 1))
    z = np.linspace(0, 1000, 7)
    points = np.broadcast_to(np.array([[50.0, 7.0]]), (7, 1, 2))
    space = carrier.carried(z, points, np.zeros((7, 2)))[:, 0]
    np.testing.assert_allclose(np.hypot(space[:, 0] - 500, space[:, 2]), 450)
    np.testing.assert_allclose(space[:, 1], 7)


def test_the_view_keeps_lengths_and_hands() -> None:
    """Page axes are an orthonormal right-handed frame: what is drawn is not mirrored."""
    frame = View(0.3).page(np.eye(3))
    np.testing.assert_allclose(frame @ frame.T, np.eye(3), atol=1e-12)
    assert np.linalg.det(frame) == pytest.approx(1.0)


@pytest.mark.parametrize("name", ["straight", "curved", "tapered"])
def test_the_sketch_is_coloured_by_the_stress_there(
    assessments: dict[str, Assessment], name: str
) -> None:
    """The largest stress on the drawn surface is that of the envelope, as far as stations go."""
    assessment = assessments[name]
    table = assessment.table
    carrier = Carrier(
        assessment.solution.mesh.member.axis, (0.0, 0.0), table.z, table.u[:, 1], table.v[:, 1],
        table.phi[:, 1], Drawn(1, 1, 1),
    )  # fmt: skip
    found = shells(assessment, carrier, 1, 60)
    assert assessment.stress is not None
    largest = max(float(np.max(s.stress)) for s in found if s.stress is not None)
    assert largest == pytest.approx(float(assessment.stress.mises[:, 1].max()), rel=0.03)


def test_exaggeration_is_round_and_never_shrinks(assessments: dict[str, Assessment]) -> None:
    for assessment in assessments.values():
        drawn = exaggeration(assessment, 0)
        for factor in (drawn.thick, drawn.twist, drawn.move):
            assert factor >= 1
            assert float(f"{factor:.0e}") == factor


def test_a_number_at_the_start_keeps_off_the_title() -> None:
    """The torque of a deck, greatest at its start: the number stood on the panel's words."""
    from matplotlib.backends.backend_agg import FigureCanvasAgg
    from matplotlib.offsetbox import AnchoredOffsetbox
    from matplotlib.text import Annotation

    page = Figure(figsize=(8.27, 4.0))
    canvas = FigureCanvasAgg(page)
    axes = page.add_axes((0.1, 0.4, 0.85, 0.14))
    z = np.linspace(0, 60, 61)
    torque = member_diagram.Diagram("torque T", "kN·m", (544.3 - 544.3 * z / 30)[:, None])
    member_diagram.draw(axes, z, torque, 0)
    axes.set_xlim(0, 60)
    canvas.draw()
    (title,) = [a for a in axes.artists if isinstance(a, AnchoredOffsetbox)]
    words = title.get_window_extent(canvas.get_renderer())
    numbers = [t for t in axes.texts if isinstance(t, Annotation)]
    assert len(numbers) == 2
    assert not any(words.overlaps(n.get_window_extent(canvas.get_renderer())) for n in numbers)
