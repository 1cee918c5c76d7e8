"""What a notebook shows of results and figures."""

from __future__ import annotations

import xml.etree.ElementTree as ET
from pathlib import Path

import pytest
from soapfilm.geometry.material import Material
from soapfilm.geometry.outline.contour import Contour
from soapfilm.geometry.section import Section
from soapfilm.report.section import notebook
from soapfilm.solver.section import SectionResult, solve_section
from soapfilm.solver.section.stress.actions import Actions
from soapfilm.solver.section.stress.load_cases import StressResult, solve_stress

EXAMPLES = Path(__file__).parent.parent.parent / "cli" / "examples"


@pytest.fixture(scope="module")
def bar() -> SectionResult:
    outline = Contour([[0, 0], [2, 0], [2, 1], [0, 1]])
    steel = Material("steel", 210e3, 0.3, strength=355.0)
    return solve_section(Section.single(outline, name="<bar & co>", unit="mm", material=steel))


@pytest.fixture(scope="module")
def twisted(bar: SectionResult) -> StressResult:
    return solve_stress(bar, [Actions(torque=10.0, name="<twist>")])


def cells(html: str) -> list[list[str]]:
    """Rows of a table; an unescaped text would not even parse."""
    return [[cell.text or "" for cell in row] for row in ET.fromstring(html).iter("tr")]


def test_a_section_shows_its_main_numbers(bar: SectionResult) -> None:
    rows = {row[0]: row[2] for row in cells(bar._repr_html_())}
    assert rows["area"] == "2 mm^2"
    lower, upper = (float(w) for w in rows["torsion constant, guaranteed"].split()[:3:2])
    assert lower < bar.torsion_constant < upper
    assert "<caption>&lt;bar &amp; co&gt;</caption>" in bar._repr_html_()


def test_stresses_show_their_cases(twisted: StressResult) -> None:
    (case, left_out) = cells(twisted._repr_html_())
    assert case[0] == "<twist>"
    assert float(case[2].split()[0]) == pytest.approx(
        twisted.cases[0].extreme("von Mises").value, 1e-4
    )
    assert left_out[2] == "nothing"
    assert len(repr(twisted).splitlines()) == 2


def test_a_member_shows_its_combinations() -> None:
    from soapfilm.solver.member.beam.analysis import solve
    from soapfilm.solver.member.file import load_member

    solution = solve(load_member(EXAMPLES / "girder-with-joists.toml").member)
    rows = cells(solution._repr_html_())
    assert [row[0] for row in rows] == list(solution.names)
    assert all(" deg, " in row[2] for row in rows)


def test_figures_show_themselves(bar: SectionResult, twisted: StressResult, tmp_path: Path) -> None:
    for drawing in (notebook.shear(bar), notebook.warping(bar), notebook.stress(twisted, "shear")):
        root = ET.fromstring(drawing._repr_svg_())
        assert root.tag.endswith("svg")
        assert len(drawing._repr_svg_()) < 600_000
    notebook.shear(bar).save(tmp_path / "bar.png")
    assert (tmp_path / "bar.png").stat().st_size > 5000
