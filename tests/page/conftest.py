"""Report pages made once, and one real browser without a window or a network to open them in."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from soapfilm.geometry.section_file import section_from_toml
from soapfilm.solver.section import solve_section
from soapfilm.solver.section.stress.actions import Actions
from soapfilm.solver.section.stress.load_cases import StressResult, solve_stress

from .visit import Visit, start_browser

if TYPE_CHECKING:
    from selenium.webdriver import Chrome

EXAMPLES = Path(__file__).parent.parent.parent / "cli" / "examples"
#: A title that would run, break out of the data block or end the page if it were not escaped.
HOSTILE = "</script><script>window.harmed = 1</script><img src=x onerror='window.harmed = 2'>"
#: A sharp corner, so that there is a place where no shear is given.
BRACKET = """
name = '''{name}'''
unit = "mm"
[material.steel]
E = "210 GPa"
nu = 0.3
strength = "235 MPa"
[[outline]]
points = [[0, 0], [90, 0], [90, 12], [12, 12], [12, 60], [0, 60]]
"""


@pytest.fixture(scope="session")
def deck() -> StressResult:
    """The bundled deck under two load cases."""
    section = section_from_toml((EXAMPLES / "landing-deck.toml").read_text("utf-8"))
    cases = [
        Actions(shear_y=0.9e6, moment_x=-2.2e6, torque=1.6e6, name="crowd on one side"),
        Actions(shear_y=1.4e6, moment_x=-3e6, name="crowd everywhere"),
    ]
    return solve_stress(solve_section(section, 1e-4), cases)


@pytest.fixture(scope="session")
def bracket() -> StressResult:
    """A bracket with a sharp inner corner and a hostile name."""
    section = section_from_toml(BRACKET.format(name=HOSTILE))
    return solve_stress(solve_section(section, 1e-4), [Actions(torque=2e5, name="<b>twist</b>")])


@pytest.fixture(scope="session")
def deck_page(deck: StressResult, tmp_path_factory: pytest.TempPathFactory) -> Path:
    return _written(deck, tmp_path_factory.mktemp("deck"))


@pytest.fixture(scope="session")
def bracket_page(bracket: StressResult, tmp_path_factory: pytest.TempPathFactory) -> Path:
    return _written(bracket, tmp_path_factory.mktemp("bracket"))


def _written(stress: StressResult, folder: Path) -> Path:
    from soapfilm.report.page.layout import page
    from soapfilm.report.page.origin import Origin
    from soapfilm.report.page.section_report import stress_report

    path = folder / "page.html"
    path.write_text(page(stress_report(stress, Origin(command="soapfilm report"))), "utf-8")
    return path


@pytest.fixture(scope="session")
def browser(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Chrome]:
    """Debian's Chromium, or Chrome, driven by selenium."""
    chromium = shutil.which("chromium") or shutil.which("google-chrome")
    driver = shutil.which("chromedriver")
    if chromium is None or driver is None:
        pytest.skip("Chromium and its driver are missing: apt-get install chromium chromium-driver")
    running = start_browser(chromium, driver, tmp_path_factory.mktemp("profile"))
    yield running
    running.quit()


@pytest.fixture
def visit(browser: Chrome) -> Visit:
    """The browser as a reader has it: 1280 wide, light, nothing in its console."""
    reader = Visit(browser)
    reader.screen(1280, 900)
    reader.theme("light")
    reader.console()
    return reader
