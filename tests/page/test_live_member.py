"""The live member in a real browser: diagrams and the section's stress follow the marker."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from selenium.webdriver import ActionChains
from selenium.webdriver.common.keys import Keys
from selenium.webdriver.support.ui import Select
from soapfilm.report.page.layout import page
from soapfilm.report.page.member_report import member_report
from soapfilm.report.page.origin import Origin
from soapfilm.solver.member.file import load_member
from soapfilm.solver.member.review.assessment import Assessment, assess
from soapfilm.solver.section.stress.components import COMPONENTS

from .conftest import EXAMPLES
from .visit import Visit


@pytest.fixture(scope="module")
def girder() -> Assessment:
    """By the classical theory alone."""
    request = load_member(EXAMPLES / "girder-with-joists.toml")
    return assess(replace(request, keep_shape=True), cures=False)


@pytest.fixture(scope="module")
def girder_page(girder: Assessment, tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("girder") / "page.html"
    path.write_text(page(member_report(girder, Origin())), "utf-8")
    return path


TWO_SPANS = """
unit = "mm"
[section.tube]
unit = "mm"
[[section.tube.shape]]
profile = "RectangleHollow"
material = "S355"
XDim = 100
YDim = 200
WallThickness = 8
[[span]]
length = "4.2 m"
[[span]]
length = "3.1 m"
[[support]]
at = ["start", "end of span 1", "end"]
kind = "fork"
[[load]]
case = "wall"
weight = "4 kN/m"
eccentricity = [200, 0]
"""


def shown(visit: Visit, key: str) -> float:
    out = visit.find(f".diagram[data-key='{key}'] output")
    return float(out.get_dom_attribute("data-value") or "nan")


def go(visit: Visit, station: float, combination: str) -> None:
    Select(visit.find("[name=combination]")).select_by_visible_text(combination)
    field = visit.find("[name=station]")
    field.send_keys(Keys.CONTROL, "a")
    field.send_keys(repr(station))
    visit.settle()


@pytest.mark.parametrize(("station", "combination"), [(2.3, "strength"), (7.05, "service")])
def test_the_diagrams_read_what_the_member_s_solution_says(
    visit: Visit, girder_page: Path, girder: Assessment, station: float, combination: str
) -> None:
    visit.open(girder_page)
    go(visit, station, combination)
    column = girder.solution.column(combination)
    exact = girder.solution.at(1e3 * station)
    for key, factor in (
        ("phi", 180 / np.pi), ("v", 1.0), ("T", 1e-6), ("T_w", 1e-6), ("B", 1e-9),
        ("M_x", 1e-6), ("V_y", 1e-3),
    ):  # fmt: skip
        size = float(np.abs(getattr(girder.table, key)).max()) * factor
        expected = float(getattr(exact, key)[0, column]) * factor
        assert shown(visit, key) == pytest.approx(expected, abs=2e-3 * size), key
    assert visit.console() == []


def test_what_a_support_holds_is_zero_at_it(visit: Visit, tmp_path: Path) -> None:
    """Stations travel as 32-bit numbers, of which none is 4.2."""
    file = tmp_path / "beam.toml"
    file.write_text(TWO_SPANS, "utf-8")
    path = tmp_path / "page.html"
    path.write_text(page(member_report(assess(load_member(file), cures=False), Origin())), "utf-8")
    visit.open(path)
    go(visit, 4.2, "wall")
    assert (shown(visit, "phi"), shown(visit, "v")) == (0.0, 0.0)
    go(visit, 4.3, "wall")
    assert shown(visit, "phi") != 0.0 != shown(visit, "v")


def test_the_section_s_stress_is_that_of_the_station(
    visit: Visit, girder_page: Path, girder: Assessment
) -> None:
    visit.open(girder_page)
    go(visit, 3.0, "strength")
    column = girder.solution.column("strength")
    actions = girder.solution.at(3e3).actions[0, column]
    search = girder.request.sections["girder"].search
    assert search is not None
    for key, side in (("von Mises", 1), ("normal", 1), ("normal", -1), ("shear", 1)):
        found = search.extreme(actions, COMPONENTS[key], side).value
        assert visit.extreme(key, side) == pytest.approx(found, rel=0.01), key


def test_the_greatest_stress_is_the_report_s(
    visit: Visit, girder_page: Path, girder: Assessment
) -> None:
    visit.open(girder_page)
    go(visit, 0.4, "service")
    visit.find("#live-member [data-press=peak]").click()
    visit.settle()
    assert girder.stress is not None
    peak = girder.stress.peak
    assert shown(visit, "von Mises") == pytest.approx(girder.stress.mises.max(), rel=1e-6)
    assert visit.extreme("von Mises", 1) == pytest.approx(peak.value, rel=0.005)
    chosen = Select(visit.find("[name=combination]")).first_selected_option.text
    assert chosen == peak.combination


def test_the_marker_is_dragged_and_moved_by_keys(visit: Visit, girder_page: Path) -> None:
    visit.open(girder_page)
    chart = visit.find(".diagram[data-key='T'] svg")
    visit.run("arguments[0].scrollIntoView({block: 'center'})", chart)
    half = chart.size["width"] / 2
    drag = ActionChains(visit.browser).move_to_element(chart).click_and_hold()
    drag.move_by_offset(round(-half / 2), 0).release().perform()
    visit.settle()
    station = float(str(visit.find("[name=station]").get_property("value")))
    assert station == pytest.approx(9.0 / 4, abs=0.1)
    before = shown(visit, "phi")
    marker = visit.find("[name=marker]")
    marker.send_keys(Keys.HOME)
    visit.settle()
    assert shown(visit, "phi") == pytest.approx(0.0, abs=1e-9) != before
    assert float(str(visit.find("[name=station]").get_property("value"))) == 0.0
    # the diagram itself is a slider: arrows, with Shift ten times as far, pages, both ends
    visit.run("arguments[0].focus()", chart)
    for keys, station in (
        ([Keys.ARROW_RIGHT] * 2, 0.09),
        ([Keys.PAGE_UP], 0.99),
        ([Keys.ARROW_LEFT], 0.945),
        ([Keys.SHIFT], 1.395),
        ([Keys.END], 9.0),
    ):
        if keys == [Keys.SHIFT]:
            chain = ActionChains(visit.browser).key_down(Keys.SHIFT).send_keys(Keys.ARROW_RIGHT)
            chain.key_up(Keys.SHIFT).perform()
        visit.press(*keys)
        read = float(str(visit.find("[name=station]").get_property("value")))
        assert read == pytest.approx(station), keys
    assert chart.get_dom_attribute("role") == "slider"
    assert "at 9 m" in (chart.get_dom_attribute("aria-valuetext") or "")


@pytest.mark.parametrize("width", [390, 1280])
def test_nothing_of_a_member_sticks_out(visit: Visit, girder_page: Path, width: int) -> None:
    visit.screen(width, 800)
    visit.open(girder_page)
    assert visit.run("return document.documentElement.scrollWidth") <= width
    assert girder_page.stat().st_size < 3e6


def test_a_station_off_the_member_is_refused_in_words(visit: Visit, girder_page: Path) -> None:
    visit.open(girder_page)
    go(visit, 3.0, "strength")
    visit.find("[name=station]").send_keys(Keys.TAB)
    go(visit, 70.0, "strength")
    assert "which runs from 0 to 9 m" in visit.find("#wrong-station").text
    visit.find("[name=station]").send_keys(Keys.TAB)
    visit.settle()
    assert visit.find("[name=station]").get_property("value") == "3"
    assert "strength" in visit.find(".marker-words").text
    assert "3 m" in visit.find(".follows .where").text
