"""The live section in a real browser: its numbers are those that the solver computes."""

from __future__ import annotations

import io
from pathlib import Path

import numpy as np
import pytest
from PIL import Image
from selenium.webdriver.common.keys import Keys
from soapfilm.report.drawing import palette
from soapfilm.report.page.peak_points import PROMISE
from soapfilm.report.page.samples import Samples
from soapfilm.report.page.section_report import unit_cases
from soapfilm.solver.section.elements.integrals import stations_at
from soapfilm.solver.section.stress.components import COMPONENTS
from soapfilm.solver.section.stress.cut import locate
from soapfilm.solver.section.stress.extremes import Search
from soapfilm.solver.section.stress.load_cases import StressResult
from soapfilm.solver.section.stress.unit_stress import UnitStress
from soapfilm.solver.section.torsion.peak import left_out

from .visit import Visit

COMBINATIONS = [
    {5: 800.0},
    {4: 750.0, 5: -1234.5},
    {0: -3000.0, 1: -2200.0, 2: 900.0, 3: 150.0, 4: 900.0, 5: 1600.0, 6: 400.0, 7: 350.0},
]


@pytest.fixture(scope="module")
def deck_units(deck: StressResult) -> UnitStress:
    return unit_cases(deck.result).units


@pytest.mark.parametrize("typed", COMBINATIONS)
def test_extremes_are_those_of_the_solver_s_search(
    visit: Visit, deck_page: Path, deck_units: UnitStress, typed: dict[int, float]
) -> None:
    """Every component, both sides, from actions typed into the fields, within what is promised."""
    visit.open(deck_page).set_actions(typed)
    search = Search.over(deck_units)
    vector = np.array([1e3 * typed.get(k, 0.0) for k in range(8)])
    mises = search.extreme(vector, COMPONENTS["von Mises"], 1).value
    for component in COMPONENTS.values():
        found = {side: search.extreme(vector, component, side).value for side in component.sides}
        size = max(abs(v) for v in found.values())
        for side, value in found.items():
            shown = 1e6 * visit.extreme(component.key, side)
            assert shown == pytest.approx(value, abs=PROMISE * size + 1e-6 * mises)
    assert visit.console() == []


def test_a_known_load_case_shows_the_exact_peaks(
    visit: Visit, deck_page: Path, deck: StressResult
) -> None:
    visit.open(deck_page)
    for extreme in deck.cases[0].extremes:
        shown = visit.extreme(extreme.component, extreme.side)
        assert shown == pytest.approx(extreme.value / 1e6, rel=1e-12, abs=1e-12)
    assert "solver's own" in visit.find("#live-section .basis").text


def test_choosing_a_load_case_sets_its_actions(
    visit: Visit, deck_page: Path, deck: StressResult
) -> None:
    visit.open(deck_page)
    visit.find("[name=case]").send_keys("crowd everywhere")
    visit.settle()
    assert float(visit.find("#action-4").get_property("value")) == pytest.approx(1400.0)
    assert float(visit.find("#action-5").get_property("value")) == pytest.approx(0.0)
    expected = deck.cases[1].extreme("von Mises").value / 1e6
    assert visit.extreme("von Mises", 1) == pytest.approx(expected, rel=1e-12)


def test_reversed_actions_swap_maximum_and_minimum(
    visit: Visit, deck_page: Path, deck: StressResult
) -> None:
    """Half of the first load case, reversed: its minimum becomes the maximum."""
    visit.open(deck_page).set_actions({1: 1100.0, 4: -450.0, 5: -800.0})
    case = deck.cases[0]
    expected = {
        ("normal", 1): -case.extreme("normal", -1).value,
        ("shear", 1): case.extreme("shear").value,
        ("principal-max", 1): -case.extreme("principal-min", -1).value,
        ("shear-y", -1): -case.extreme("shear-y", 1).value,
        ("von Mises", 1): case.extreme("von Mises").value,
    }
    for (component, side), value in expected.items():
        assert visit.extreme(component, side) == pytest.approx(value / 2e6, rel=1e-9), component


def test_a_slider_moves_with_the_keys_and_the_field_follows(visit: Visit, deck_page: Path) -> None:
    visit.open(deck_page).set_actions({5: 100.0})
    before = visit.extreme("shear", 1)
    slider = visit.find("[data-action='5'] input[type=range]")
    slider.send_keys(Keys.ARROW_RIGHT)
    visit.settle()
    now = float(visit.find("#action-5").get_property("value"))
    assert now > 100.0
    assert visit.extreme("shear", 1) == pytest.approx(before * now / 100.0, rel=1e-9)


@pytest.mark.parametrize(("x", "y"), [(0.0, -0.11), (-1.3, -0.55), (0.6, -0.84), (2.4, -0.1)])
def test_the_pointer_reads_the_stress_of_its_place(
    visit: Visit, deck_page: Path, deck_units: UnitStress, x: float, y: float
) -> None:
    typed = {1: -2200.0, 4: 900.0, 5: 1500.0}
    visit.open(deck_page).set_actions(typed)
    read = visit.point_at(x, y, list(deck_units.result.section.bounds()))
    assert (read["x"], read["y"]) == pytest.approx((x, y), abs=0.01)  # to the pixel
    at = np.array([[read["x"], read["y"]]], dtype=float)
    triangle, xi, eta = locate(deck_units.field.mesh, at)
    stations = stations_at(deck_units.field.mesh, deck_units.field.order, xi, eta, triangle)
    vector = np.array([1e3 * typed.get(k, 0.0) for k in range(8)])
    sigma, tau = deck_units.evaluate(stations, triangle).combined(vector)
    got = np.array([read["normal"], read["shearX"], read["shearY"]], dtype=float)
    expected = np.array([sigma[0, 0], *tau[0, 0]]) / 1e6
    # Straight lines between samples stand for a curved field: a part of a per cent of its size.
    assert got == pytest.approx(expected, abs=0.005 * float(np.hypot(*expected[1:])) + 0.01)


def test_the_picture_shows_the_field(visit: Visit, deck_page: Path, deck_units: UnitStress) -> None:
    """Colours at places inside the walls are those of the values there, to a band."""
    visit.open(deck_page).set_actions({5: 1500.0})
    visit.find("[name=component]").send_keys("shear stress")
    visit.press(Keys.ESCAPE)
    image = np.array(Image.open(io.BytesIO(visit.picture("#live-section .plot canvas"))))
    height, width = image.shape[:2]
    ratio = width / visit.find("#live-section .plot canvas").size["width"]
    x0, y0, x1, y1 = deck_units.result.section.bounds()
    scale = ratio * min((width / ratio - 52) / (x1 - x0), (height / ratio - 52) / (y1 - y0))
    samples = Samples.of(deck_units)
    size = np.hypot(*samples.tau[5].T) * 1.5e6 / 1e6
    ticks = visit.all(".legend-ticks span")
    top = float(ticks[-1].text)
    assert top >= size.max()
    table = np.asarray(palette.stress_colours()(np.linspace(0, 1, 256)))[:, :3]
    inner = np.flatnonzero(
        (np.abs(samples.points[:, 1] + 0.11) < 0.03) & (np.abs(samples.points[:, 0]) < 0.9)
    )
    assert len(inner) > 40
    seen = near = 0
    for k in inner:
        px = width / 2 + (samples.points[k, 0] - (x0 + x1) / 2) * scale
        py = height / 2 - (samples.points[k, 1] - (y0 + y1) / 2) * scale
        shown = image[int(py), int(px), :3] / 255
        off = np.abs(table - shown).sum(axis=1)
        if off.min() > 0.1:  # no colour of the field: an arrow or the peak value covers it
            continue
        seen += 1
        near += abs(int(np.argmin(off)) / 255 - size[k] / top) < 0.05
    assert seen > 0.5 * len(inner)
    assert near > 0.98 * seen


# -- sharp corners -----------------------------------------------------------------------------
def test_no_shear_is_given_at_a_sharp_corner(
    visit: Visit, bracket_page: Path, bracket: StressResult
) -> None:
    visit.open(bracket_page)
    bounds = list(bracket.result.section.bounds())
    assert "no shear is given here" in visit.point_at(11.5, 11.5, bounds)["text"]
    assert visit.find(".refused").is_displayed()
    assert visit.find(".legend-ticks span:last-child").text.startswith("≥")
    units = unit_cases(bracket.result).units
    vector = np.zeros(8)
    vector[4], vector[5] = 2000.0, 150e3
    visit.set_actions({4: 2.0, 5: 0.15})
    found = Search.over(units).extreme(vector, COMPONENTS["shear"], 1)
    assert visit.extreme("shear", 1) == pytest.approx(found.value, rel=PROMISE)
    samples = Samples.of(units)
    shear = np.hypot(*np.tensordot(vector, samples.tau, 1).T)
    hidden = left_out(samples.points, bracket.result.corners)
    assert shear[hidden].max() > found.value


def test_normal_stress_needs_no_refusal(visit: Visit, bracket_page: Path) -> None:
    visit.open(bracket_page).set_actions({0: 10.0})
    assert not visit.find(".refused").is_displayed()
    assert visit.extreme("normal", 1) == pytest.approx(10e3 / 1656.0, rel=1e-6)


def test_utilisation_follows(visit: Visit, bracket_page: Path) -> None:
    visit.open(bracket_page).set_actions({0: 1656.0 * 0.235})
    share = visit.find(".utilisation output")
    assert float(share.get_dom_attribute("data-value") or "nan") == pytest.approx(1.0, rel=1e-6)


# -- what is typed -----------------------------------------------------------------------------
@pytest.mark.parametrize(
    ("typed", "value", "says"),
    [
        ("1,5", 1.5, ""),
        ("abc", 2.0, "is not a number"),
        ("1,500", 2.0, "can be read in two ways"),
    ],
)
def test_a_typed_number_is_read_or_refused_in_words(
    visit: Visit, deck_page: Path, typed: str, value: float, says: str
) -> None:
    visit.open(deck_page).set_actions({5: 2.0})
    field = visit.find("#action-5")
    field.send_keys(Keys.TAB)
    field.send_keys(Keys.CONTROL, "a")
    field.send_keys(typed)
    visit.settle()
    assert says in visit.find("[data-action='5'] .wrong").text
    field.send_keys(Keys.TAB)
    visit.settle()
    slider = visit.find("[data-action='5'] input[type=range]")
    assert f"{value:g} kN" in (slider.get_dom_attribute("aria-valuetext") or "")
