"""The page of natural frequencies: modes move, stand still where motion is not wanted, and every
reader gets them."""

from __future__ import annotations

from contextlib import chdir
from pathlib import Path

import pytest
from soapfilm.cli.main import main

from .visit import Visit

BOX = """
name = "box footway"
unit = "m"
[material.steel]
grade = "S355"
[[section.box.shape]]
material = "steel"
profile = "RectangleHollow"
XDim = 0.8
YDim = 0.5
WallThickness = 0.02
[[span]]
length = 20
[[support]]
name = "end"
at = ["start", "end"]
kind = "fork"
[[mass]]
at = "middle"
mass = "500 kg"
place = [0.3, 0]
"""


@pytest.fixture(scope="module")
def modes_page(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("modes")
    (folder / "box.toml").write_text(BOX, "utf-8")
    with chdir(folder):
        assert main(["vibrate", "box.toml", "--modes", "3", "--page", "modes.html"]) == 0
    return folder / "modes.html"


@pytest.mark.parametrize("theme", ["light", "dark"])
def test_axe_finds_no_barrier(visit: Visit, modes_page: Path, theme: str) -> None:
    visit.theme(theme)
    visit.load(modes_page)
    assert visit.barriers() == []
    assert visit.console() == []


def test_it_stands_still_where_motion_is_not_wanted(visit: Visit, modes_page: Path) -> None:
    """The browser of the tests asks for reduced motion: a mode shows at its largest."""
    visit.load(modes_page)
    button = "document.querySelector('[data-press=play]')"
    moved = "document.querySelector('.whole .moved').getAttribute('d')"
    assert visit.run(f"return {button}.textContent") == "Play"
    before = visit.run(f"return {moved}")
    visit.settle()
    assert visit.run(f"return {moved}") == before
    visit.run(f"{button}.click()")
    visit.wait(f"{moved} !== {before!r}")
    assert visit.run(f"return {button}.textContent") == "Pause"
    visit.run(f"{button}.click()")


def test_another_mode_is_another_shape(visit: Visit, modes_page: Path) -> None:
    visit.load(modes_page)
    moved = "return document.querySelector('.whole .moved').getAttribute('d')"
    before = visit.run(moved)
    visit.run(
        "const choice = document.querySelector('[name=mode]'); choice.value = '1';"
        "choice.dispatchEvent(new Event('change'));"
    )
    assert visit.run(moved) != before
    words = visit.run("return document.querySelector('.whole').getAttribute('aria-label')")
    assert "mode 2" in words


def test_it_fits_a_narrow_screen(visit: Visit, modes_page: Path) -> None:
    visit.screen(320, 800)
    visit.load(modes_page)
    assert visit.run("return document.documentElement.scrollWidth") <= 320
