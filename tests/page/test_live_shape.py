"""The live member whose sections deform: what it reads, and the section drawn at the marker."""

from __future__ import annotations

import re
from base64 import b64decode
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from numpy.typing import NDArray
from soapfilm.report.page.layout import page
from soapfilm.report.page.live_member import member_data
from soapfilm.report.page.member_report import member_report
from soapfilm.report.page.origin import Origin
from soapfilm.solver.member.file import load_member
from soapfilm.solver.member.file.request import MemberRequest
from soapfilm.solver.member.review.assessment import Assessment, assess

from .test_live_member import go, shown
from .visit import Visit

#: An invented walkway on a box, in metres: digits after the point are few.
WALKWAY = """
name = "walkway box"
unit = "m"
[section.box]
unit = "m"
[section.box.material.steel]
grade = "S355"
[[section.box.shape]]
profile = "RectangleHollow"
XDim = 1.2
YDim = 0.7
WallThickness = 0.01
OuterFilletRadius = 0.015
InnerFilletRadius = 0.005
[[span]]
length = "18 m"
[[support]]
at = ["start", "end"]
kind = "fork"
[[load]]
name = "crowd on one half"
weight = "9 kN/m"
place = [0.59, 0.35]
"""
Array = NDArray[np.float64]


@pytest.fixture(scope="module")
def asked(tmp_path_factory: pytest.TempPathFactory) -> MemberRequest:
    file = tmp_path_factory.mktemp("walkway") / "walkway.toml"
    file.write_text(WALKWAY, "utf-8")
    return load_member(file)


@pytest.fixture(scope="module")
def walkway(asked: MemberRequest) -> Assessment:
    found = assess(asked, cures=False)
    assert found.deformed is not None
    return found


@pytest.fixture(scope="module")
def walkway_page(walkway: Assessment, tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("walkway") / "page.html"
    path.write_text(page(member_report(walkway, Origin())), "utf-8")
    return path


def drawn(visit: Visit, name: str) -> Array:
    """(n, 2) places of a line of the drawing, y up."""
    path = visit.find(f".deformed path.{name}").get_dom_attribute("d") or ""
    numbers = [float(v) for v in re.findall(r"-?\d[\d.]*(?:e[+-]?\d+)?", path)]
    return np.array(numbers).reshape(-1, 2) * (1.0, -1.0)


def factor(visit: Visit) -> float:
    found = re.search(r"× ([\d.]+)", visit.find(".deformed .factor").text)
    assert found is not None
    return float(found.group(1))


def test_diagrams_and_drawing_are_those_of_the_deforming_sections(
    visit: Visit, walkway_page: Path, walkway: Assessment
) -> None:
    """Between two corners the drawing moves as the solution does, whatever the deflection."""
    visit.open(walkway_page)
    go(visit, 6.3, walkway.solution.names[0])
    assert walkway.deformed is not None
    solution = walkway.deformed.solution
    twist = solution.twist(np.array([6.3]))[0, 0]
    assert shown(visit, "phi") == pytest.approx(np.rad2deg(twist), rel=2e-3)
    still, moved = drawn(visit, "still"), drawn(visit, "moved")
    assert np.ptp(still, axis=0) == pytest.approx([1.2, 0.7], rel=1e-5)
    shift = (moved - still) / factor(visit)
    ends = []
    for x, y in ((0.6, 0.3), (-0.6, -0.3)):
        k = int(np.hypot(*(still - (x, y)).T).argmin())
        exact = solution.movement((float(still[k, 0]), float(still[k, 1])), [6.3])
        ends.append((shift[k], np.array([exact[0][0, 0], exact[1][0, 0]])))
    between = ends[0][0] - ends[1][0]
    assert between == pytest.approx(ends[0][1] - ends[1][1], abs=0.02 * np.abs(between).max())
    assert visit.console() == []


def test_the_drawing_follows_the_marker(visit: Visit, walkway_page: Path) -> None:
    """At a fork the section stands still; at midspan it does not."""
    visit.open(walkway_page)
    sizes = []
    for station in (0.0, 9.0):
        visit.run(
            "const s = document.querySelector('[name=marker]'); s.value = arguments[0];"
            "s.dispatchEvent(new Event('input'))",
            station,
        )
        visit.settle()
        sizes.append(float(np.abs(drawn(visit, "moved") - drawn(visit, "still")).max()))
    assert sizes[0] < 1e-3 * sizes[1]
    assert 0.03 < sizes[1] < 0.16 * 1.2  # seen, and within the margin


def test_the_page_says_the_stress_that_limits_are_judged_by(
    visit: Visit, walkway_page: Path, walkway: Assessment
) -> None:
    """Facts, words and the marker name the deforming sections' peak, the classical one beside."""
    assert walkway.deformed is not None
    assert walkway.stress is not None
    peak = float(walkway.deformed.stress.mises.max())
    assert peak > 1.5 * walkway.stress.peak.value
    visit.open(walkway_page)
    assert shown(visit, "von Mises") == pytest.approx(peak / 1e6, rel=1e-6)
    visit.find("#live-member [data-press=peak]").click()
    visit.settle()
    assert shown(visit, "von Mises") == pytest.approx(peak / 1e6, rel=1e-6)
    (fact,) = [f.text for f in visit.all(".facts > div") if "von Mises" in f.text]
    assert f"{peak / 1e6:.4g}" in fact
    assert f"classical theory: {walkway.stress.peak.value / 1e6:.4g} MPa" in fact
    assert f"reaches {peak / 1e6:.4g} MPa" in visit.find("#job").text


@pytest.mark.parametrize("where", ["between stations of the table", "before a jump"])
def test_no_peak_is_lost_on_the_page(walkway: Assessment, where: str) -> None:
    """A made-up peak at one of the search's own places: the diagram reaches it all the same."""
    found = walkway.deformed
    assert found is not None
    z = found.stress.z
    if where == "before a jump":
        row = int(np.flatnonzero((np.diff(z) == 0) & np.isin(z[1:], walkway.table.z))[0])
    else:
        away = np.abs(z[:, None] - walkway.table.z).min(axis=1)
        row = int(away.argmax())
        assert away[row] > 0.01
    mises = found.stress.mises.copy()
    mises[row] = 3 * mises.max()
    raised = replace(found, stress=replace(found.stress, mises=mises))
    data = member_data(replace(walkway, deformed=raised))
    stress = next(d for d in data["diagrams"] if d["key"] == "von Mises")
    values, stations = numbers(stress["values"]), numbers(data["z"])
    assert max(values) == pytest.approx(mises.max() / 1e6, rel=1e-6)
    assert data["opening"]["station"] == pytest.approx(z[row])
    assert stations == sorted(stations)
    assert all(len(numbers(d["values"])) == len(stations) for d in data["diagrams"])
    assert len(numbers(data["actions"])) == 8 * len(stations)


@pytest.mark.parametrize("theme", ["light", "dark"])
@pytest.mark.parametrize("width", [320, 1280])
def test_the_drawing_fits_and_has_no_barrier(
    visit: Visit, walkway_page: Path, width: int, theme: str
) -> None:
    visit.screen(width, 800)
    visit.theme(theme)
    visit.open(walkway_page)
    assert visit.barriers() == []
    assert visit.run("return document.documentElement.scrollWidth") <= width
    colours = [
        visit.run(f"return getComputedStyle(document.querySelector('.deformed {part}')).{key}")
        for part, key in ((".still", "stroke"), (".moved", "stroke"), ("svg", "backgroundColor"))
    ]
    still, moved, ground = (luminance(c) for c in colours)
    # WCAG 2.2, 1.4.11: lines that carry meaning have a contrast of 3 or more with their ground.
    for line in (still, moved):
        high, low = max(line, ground), min(line, ground)
        assert (high + 0.05) / (low + 0.05) >= 3


def test_the_drawing_prints_dark_on_white(visit: Visit, walkway_page: Path) -> None:
    visit.theme("dark")
    visit.open(walkway_page)
    media = {"media": "print", "features": [{"name": "prefers-color-scheme", "value": "dark"}]}
    visit.browser.execute_cdp_cmd("Emulation.setEmulatedMedia", media)
    try:
        style = "return getComputedStyle(document.querySelector('.deformed {}')).{}"
        assert luminance(visit.run(style.format("svg", "backgroundColor"))) == pytest.approx(1.0)
        assert luminance(visit.run(style.format(".moved", "stroke"))) < 0.1
        assert visit.find(".deformed svg").size["height"] > 100
    finally:
        visit.browser.execute_cdp_cmd("Emulation.setEmulatedMedia", {"media": ""})


def numbers(packed: dict[str, str]) -> list[float]:
    assert packed["kind"] == "float32"
    return np.frombuffer(b64decode(packed["data"]), "<f4").tolist()


def luminance(colour: str) -> float:
    """Relative luminance, WCAG 2.2."""
    parts = np.array([int(v) for v in re.findall(r"\d+", colour)[:3]]) / 255
    linear = np.where(parts <= 0.04045, parts / 12.92, ((parts + 0.055) / 1.055) ** 2.4)
    return float(linear @ (0.2126, 0.7152, 0.0722))
