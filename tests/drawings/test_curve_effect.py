"""What arcs in place of drawn curves change of J: stated beside the interval, and held.

The ellipse is Saint-Venant's (1855): J = pi a^3 b^3 / (a^2 + b^2), and a homothetic hole k times as
large takes k^4 of it, its border being a line of shear (Timoshenko & Goodier, Theory of Elasticity,
section 107; from memory).
"""

from __future__ import annotations

import json
import math
import sqlite3
from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest
from soapfilm.cli.main import main
from soapfilm.geometry.conversion import in_unit
from soapfilm.geometry.drawings import read_drawing
from soapfilm.geometry.material import Material
from soapfilm.geometry.section import Section
from soapfilm.geometry.section_file.section_file import load_section, section_from_toml
from soapfilm.report.page.layout import page
from soapfilm.report.page.origin import Origin
from soapfilm.report.page.section_report import section_report
from soapfilm.report.section.curve_words import curve_share
from soapfilm.report.section.record import section_record
from soapfilm.report.section.table import section_table
from soapfilm.solver.section import solve_section
from soapfilm.solver.section.torsion.drawn_curves import border_energy, curve_effect

Make = Callable[..., Path]

A, B = 40.0, 15.0


def ellipse_svg(a: float = A, b: float = B) -> str:
    return f'<ellipse cx="50" cy="50" rx="{a}" ry="{b}"/>'


def exact(k: float = 0.0) -> float:
    return (1 - k**4) * math.pi * A**3 * B**3 / (A**2 + B**2)


def exact_energy(k: float = 0.0) -> float:
    """loop int tau^2 ds of the ellipse, and of a hole k times as large, by the trapezoidal rule:
    phi = c (1 - x^2/a^2 - y^2/b^2), c = a^2 b^2 / (a^2 + b^2)."""
    t = np.linspace(0, 2 * np.pi, 4096, endpoint=False)
    speed = np.hypot(A * np.sin(t), B * np.cos(t))
    slope = 2 * A**2 * B**2 / (A**2 + B**2) * np.hypot(np.cos(t) / A, np.sin(t) / B)
    return float((1 + k**3) * 2 * np.pi * np.mean(slope**2 * speed))


@pytest.mark.parametrize("deviation", [None, 1e-3, 0.02, 0.2])
def test_j_of_an_ellipse_lies_within_what_is_stated(svg: Make, deviation: float | None) -> None:
    result = solve_section(read_drawing(svg(ellipse_svg()), deviation=deviation), 1e-7)
    effect = curve_effect(result.field, result.section.deviation)
    assert effect is not None
    assert (
        result.torsion_constant_lower - effect <= exact() <= result.torsion_constant_upper + effect
    )
    d = result.section.deviation
    assert 0 < d <= (deviation or 1e-6 * 100)
    first = d * exact_energy()
    assert effect == pytest.approx(first * (1 + first / exact()), rel=0.02)
    # the largest change that borders so far off can bring: the ellipse of half axes larger by d
    grown = math.pi * ((A + d) * (B + d)) ** 3 / ((A + d) ** 2 + (B + d) ** 2)
    assert effect > grown - exact()


def test_an_exact_interval_alone_may_miss_the_curve_s_j(svg: Make) -> None:
    """That is why the effect stands beside it."""
    result = solve_section(read_drawing(svg(ellipse_svg()), deviation=0.2), 1e-7)
    assert not result.torsion_constant_lower <= exact() <= result.torsion_constant_upper


def test_holes_count(svg: Make) -> None:
    section = read_drawing(svg(ellipse_svg() + ellipse_svg(0.8 * A, 0.8 * B)), deviation=1e-3)
    result = solve_section(section, 1e-6)
    assert border_energy(result.field) == pytest.approx(exact_energy(0.8), rel=1e-3)
    effect = curve_effect(result.field, section.deviation)
    assert effect is not None
    assert abs(result.torsion_constant - exact(0.8)) <= effect + 1e-6 * exact()


def test_interfaces_count_on_both_sides(svg: Make) -> None:
    """A stiffer core whose border is a line of shear: each body keeps its own stress."""
    k, stiffer = 0.7, 3.0
    shell, core = Material("shell", 1000.0, 0.25), Material("core", stiffer * 1000.0, 0.25)
    groups = f'<g id="shell">{ellipse_svg()}</g><g id="core">{ellipse_svg(k * A, k * B)}</g>'
    section = read_drawing(svg(groups), deviation=1e-3, materials={"shell": shell, "core": core})
    result = solve_section(section, 1e-6)
    of_core = stiffer if result.reference == shell else 1.0
    of_shell = of_core / stiffer
    whole = of_shell * exact(k) + of_core * k**4 * exact()
    energy = exact_energy() * (of_shell * (1 + k**3) + of_core * k**3)
    assert border_energy(result.field) == pytest.approx(energy, rel=1e-3)
    effect = curve_effect(result.field, section.deviation)
    assert effect is not None
    assert abs(result.torsion_constant - whole) <= effect + 1e-6 * whole


def test_a_spline_in_dxf(dxf: Make) -> None:
    """An ellipse as a rational curve of nine control points: exact, yet no circular arc."""
    c = math.sqrt(0.5)
    square = [(1, 0), (1, 1), (0, 1), (-1, 1), (-1, 0), (-1, -1), (0, -1), (1, -1), (1, 0)]
    points = [(A * x, B * y) for x, y in square]
    knots = [0, 0, 0, 1, 1, 2, 2, 3, 3, 4, 4, 4]

    def draw(space: object) -> None:
        space.add_rational_spline(points, [1, c, 1, c, 1, c, 1, c, 1], degree=2, knots=knots)  # type: ignore[attr-defined]

    result = solve_section(read_drawing(dxf(draw), deviation=0.05), 1e-7)
    effect = curve_effect(result.field, result.section.deviation)
    assert effect is not None
    assert abs(result.torsion_constant - exact()) <= effect
    assert effect > 1e-3 * exact()


def test_table_and_json_state_it(svg: Make) -> None:
    result = solve_section(read_drawing(svg(ellipse_svg()), deviation=0.02))
    text = " ".join(section_table(result).split())
    share = curve_share(result)
    assert f"the drawn curves themselves: up to {share:.1e} of J more or less" in text
    assert f"less than {share:.1e} of itself, on top of the interval" in text
    record = section_record(result)
    assert record["torsion_constant"]["drawn_curves"] == pytest.approx(
        curve_effect(result.field, result.section.deviation)
    )
    assert record["deviation_from_drawn_curves"] == result.section.deviation
    assert any("on top of the interval" in note for note in record["notes"])
    shown = page(section_report(result, Origin()))
    digits = f"{share:.1e}".partition("e")[0]
    assert shown.count(f"the drawn curves themselves: up to {digits} × 10") == 2
    assert "on top of the interval" in shown


def test_circles_and_lines_are_exact(svg: Make) -> None:
    result = solve_section(read_drawing(svg('<circle cx="9" cy="9" r="7"/>')))
    assert curve_effect(result.field, result.section.deviation) == 0
    assert "drawn curves" not in section_table(result)
    assert section_record(result)["torsion_constant"]["drawn_curves"] == 0


def test_no_bound_where_the_deviation_is_not_small(svg: Make) -> None:
    """A wall of 0.4 mm, and curves that may lie 0.1 mm off: no number, but what to do."""
    tube = ellipse_svg() + ellipse_svg(A - 0.4, B - 0.4)
    result = solve_section(read_drawing(svg(tube), deviation=0.1), 1e-3)
    assert curve_effect(result.field, result.section.deviation) is None
    text = " ".join(section_table(result).split())
    assert "is not known" in text
    assert "Give the drawing a smaller deviation" in text
    assert (
        json.loads(json.dumps(section_record(result)))["torsion_constant"]["drawn_curves"] is None
    )


def test_the_deviation_follows_the_unit_and_stays_in_a_section_file(svg: Make) -> None:
    drawing = svg(ellipse_svg())
    section = read_drawing(drawing, deviation=0.02)
    assert in_unit(section, "in").deviation == pytest.approx(section.deviation / 25.4)
    file = drawing.with_name("part.toml")
    file.write_text(
        'unit = "cm"\n[[drawing]]\nfile = "drawing.svg"\ndeviation = 0.02\n'
        "[[outline]]\npoints = [[4.5, -5.5], [5.5, -5.5], [5.5, -4.5], [4.5, -4.5]]\n"
        'combine = "cut"\n'
    )
    loaded: Section = load_section(file)
    assert loaded.unit == "cm"
    assert loaded.deviation == pytest.approx(section.deviation / 10)


def test_parts_in_contact_only_say_it_too(svg: Make, capsys: pytest.CaptureFixture[str]) -> None:
    """Half an ellipse on a bar, nothing between them joined."""
    half = '<g id="half"><path d="M10 50A20 9 0 0 1 50 50z"/></g>'
    bar = '<g id="bar"><rect x="10" y="50" width="40" height="8"/></g>'
    path = svg(half + bar + '<g id="slit"><path d="M10 50H50"/></g>')
    assert main(["section", str(path)]) == 0
    assert "on top of the interval" in " ".join(capsys.readouterr().out.split())
    assert main(["section", str(path), "--json"]) == 0
    record = json.loads(capsys.readouterr().out)
    assert record["contact_only"]
    assert any("on top of the interval" in note for note in record["notes"])


ROD = """
unit = "mm"
[[shape]]
name = "rod"
profile = "Ellipse"
material = "S355"
SemiAxis1 = 40
SemiAxis2 = 15
deviation = 0.02
"""
MEMBER = """
unit = "mm"
[section.rod]
file = "rod.toml"
[[span]]
length = "2 m"
[[support]]
at = ["start", "end"]
kind = "fork"
[[load]]
weight = "1 kN/m"
eccentricity = [20, 0]
[analysis]
sections = "keep their shape"
"""
STUDY = """
section = "rod.toml"
accuracy = 1e-3
[[parameter]]
name = "b"
sets = "rod.SemiAxis2"
values = [15]
"""


def test_an_ellipse_given_by_its_axes_says_it_too() -> None:
    """Its J was 4 parts in a million above the true one, and the record said 0."""
    record = section_record(solve_section(section_from_toml(ROD), 1e-7))["torsion_constant"]
    assert record["lower"] > exact() or record["upper"] < exact()
    assert record["drawn_curves"] > 0
    assert abs(record["value"] - exact()) <= record["drawn_curves"]


def test_members_comparisons_and_studies_say_it_too(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.chdir(tmp_path)
    for name, text in (("rod", ROD), ("member", MEMBER), ("study", STUDY)):
        Path(f"{name}.toml").write_text(text)
    result = solve_section(load_section("rod.toml"), 1e-3)
    share = curve_share(result)
    assert share
    alone = ["compare", "rod.toml", "CHS168.3X6.3", "--accuracy", "1e-3"]
    for command in (alone, ["member", "member.toml"]):
        assert main(command) == 0
        out = " ".join(capsys.readouterr().out.split())
        assert f"less than {share:.1e} of itself, on top of the interval" in out
    assert main(["sweep", "study.toml", "--workers", "1", "--no-cache"]) == 0
    base = sqlite3.connect("study.sqlite")
    (change,) = base.execute("SELECT drawn_curves FROM study").fetchone()
    base.close()
    assert change == pytest.approx(share * result.torsion_constant, rel=1e-3)
