"""Pages in a real browser: they open offline, obey their policy, fit, turn, print."""

from __future__ import annotations

import base64
import io
import re
from pathlib import Path

import numpy as np
import pytest
from PIL import Image
from selenium.webdriver.common.keys import Keys

from .conftest import HOSTILE
from .visit import Visit


def test_the_page_opens_offline_without_complaint(visit: Visit, deck_page: Path) -> None:
    visit.open(deck_page)
    assert visit.console() == []
    assert visit.run("return performance.getEntriesByType('resource').length") == 0
    assert visit.find("h1").text == "landing deck"


def test_a_hostile_title_stays_text(visit: Visit, bracket_page: Path) -> None:
    visit.open(bracket_page)
    assert visit.find("h1").text == HOSTILE
    assert visit.browser.title == HOSTILE
    assert visit.run("return window.harmed") is None
    assert visit.find("[name=case] option:last-child").text == "<b>twist</b>"
    assert visit.console() == []


def test_the_policy_runs_no_other_script(visit: Visit, deck_page: Path) -> None:
    """A script that got into the page after all would not run, nor would anything be fetched."""
    visit.open(deck_page)
    visit.run(
        "window.refused = [];"
        "document.addEventListener('securitypolicyviolation',"
        "  (event) => window.refused.push(event.effectiveDirective));"
        "const script = document.createElement('script');"
        "script.textContent = 'window.harmed = 1';"
        "document.body.append(script);"
        "const image = document.createElement('img');"
        "image.src = 'https://example.invalid/x.png';"
        "document.body.append(image);"
    )
    visit.wait("window.refused.length >= 2")
    assert visit.run("return window.harmed") is None
    refused = visit.run("return window.refused")
    assert {word.removesuffix("-elem") for word in refused} == {"script-src", "img-src"}
    visit.console()


@pytest.mark.parametrize("width", [320, 390, 768, 1280, 1920])
def test_nothing_sticks_out_sideways(visit: Visit, deck_page: Path, width: int) -> None:
    visit.screen(width, 800)
    visit.open(deck_page)
    assert visit.run("return document.documentElement.scrollWidth") <= width
    canvas = visit.find("#live-section .plot canvas")
    assert canvas.size["width"] <= width
    assert canvas.size["width"] > 0.55 * min(width, 1000) - 60


def test_the_drawing_follows_the_window(visit: Visit, deck_page: Path) -> None:
    visit.open(deck_page)
    wide = visit.find("#live-section .plot canvas").size["width"]
    visit.screen(600, 800)
    visit.wait(
        "document.querySelector('#live-section .plot canvas').getBoundingClientRect().width < 600"
    )
    visit.settle()
    image = _pixels(visit, "#live-section .plot canvas")
    assert visit.find("#live-section .plot canvas").size["width"] < wide
    assert _painted(image) > 0.05


def test_dark_and_light(visit: Visit, deck_page: Path) -> None:
    visit.open(deck_page)
    grounds, inks = [], []
    for name in ("light", "dark"):
        visit.theme(name)
        visit.settle()
        style = "return getComputedStyle(document.documentElement)"
        grounds.append(_lightness(visit.run(f"{style}.backgroundColor")))
        inks.append(_lightness(visit.run(f"{style}.color")))
    assert grounds[0] > 0.95 > 0.2 > grounds[1]
    assert inks[0] < 0.2 < 0.8 < inks[1]


@pytest.mark.parametrize("name", ["light", "dark"])
def test_axe_finds_no_barrier(visit: Visit, deck_page: Path, name: str) -> None:
    visit.theme(name)
    visit.open(deck_page)
    assert visit.barriers() == []


# -- keyboard and names ------------------------------------------------------------------------
def test_everything_that_can_be_used_has_a_name(visit: Visit, deck_page: Path) -> None:
    visit.open(deck_page)
    visit.browser.execute_cdp_cmd("Accessibility.enable", {})
    nodes = visit.browser.execute_cdp_cmd("Accessibility.getFullAXTree", {})["nodes"]
    used = {"button", "slider", "spinbutton", "combobox", "application", "link", "image", "img"}
    found = [n for n in nodes if not n["ignored"] and n["role"]["value"] in used]
    assert len(found) > 30
    nameless = [n["role"]["value"] for n in found if not n.get("name", {}).get("value", "").strip()]
    assert nameless == []


def test_the_probe_moves_with_the_keys(visit: Visit, deck_page: Path) -> None:
    visit.open(deck_page)
    canvas = visit.find("#live-section .plot canvas")
    canvas.send_keys(Keys.ENTER)
    visit.settle()
    out = visit.find("#live-section .readout")
    first = float(out.get_dom_attribute("data-x") or "nan")
    assert "MPa" in out.text
    visit.press(Keys.ARROW_LEFT, Keys.ARROW_LEFT)
    moved = float(visit.find("#live-section .readout").get_dom_attribute("data-x") or "nan")
    assert moved < first
    visit.press("0")
    visit.press(Keys.ESCAPE)
    assert out.text.startswith("Point at the section")


def test_zooming_keeps_the_stress_of_a_place(visit: Visit, deck_page: Path) -> None:
    """At the peak stress, close up, the reading is the peak stress."""
    visit.open(deck_page)
    greatest = visit.extreme("von Mises", 1)
    visit.find("[data-press=peak]").click()
    visit.settle()
    assert "zoomed" in (visit.find("#live-section .plot canvas").get_dom_attribute("class") or "")
    out = visit.find("#live-section .readout")
    read = [
        float(out.get_dom_attribute(f"data-{n}") or "nan") for n in ("normal", "shear-x", "shear-y")
    ]
    mises = np.sqrt(read[0] ** 2 + 3 * (read[1] ** 2 + read[2] ** 2))
    assert mises == pytest.approx(greatest, rel=0.02)


# -- the film ----------------------------------------------------------------------------------
def test_the_film_is_drawn_and_turns(visit: Visit, deck_page: Path) -> None:
    visit.open(deck_page)
    before = _pixels(visit, "#live-film canvas")
    assert 0.05 < _painted(before) < 0.9
    canvas = visit.find("#live-film canvas")
    canvas.send_keys(Keys.ARROW_RIGHT * 4)
    visit.settle()
    after = _pixels(visit, "#live-film canvas")
    assert np.abs(after.astype(int) - before).mean() > 1
    turn = float(visit.find("[name=turn]").get_property("value"))
    assert turn == pytest.approx(np.rad2deg(-0.45 + 4 * 0.09), abs=1)


def test_the_lid_over_the_cell_is_flat_and_above_the_rim(visit: Visit, deck_page: Path) -> None:
    """From above, the grey of the lid covers the cell."""
    visit.open(deck_page)
    visit.run(
        "for (const [name, value] of [['turn', 0], ['tilt', 90]]) {"
        "  const slider = document.querySelector(`[name=${name}]`);"
        "  slider.value = value; slider.dispatchEvent(new Event('input')); }"
    )
    visit.settle()
    image = _pixels(visit, "#live-film canvas")
    drawn = np.argwhere(image[..., 3] > 0)
    (top, left), (bottom, right) = drawn.min(axis=0), drawn.max(axis=0)
    # the cell's middle: half way across, at half of the deck's depth
    middle = image[(top + bottom) // 2, (left + right) // 2, :3].astype(int)
    assert np.ptp(middle) < 40  # grey, no colour of the scale
    assert (right - left) / (bottom - top) == pytest.approx(6 / 0.95, rel=0.03)


# -- paper -------------------------------------------------------------------------------------
@pytest.mark.parametrize(("paper", "width", "height"), [("A4", 8.27, 11.69), ("letter", 8.5, 11)])
def test_it_prints(visit: Visit, deck_page: Path, paper: str, width: float, height: float) -> None:
    visit.open(deck_page)
    printed = visit.browser.execute_cdp_cmd(
        "Page.printToPDF", {"paperWidth": width, "paperHeight": height, "printBackground": True}
    )
    data = base64.b64decode(printed["data"])
    assert data.startswith(b"%PDF")
    pages = len(re.findall(rb"/Type\s*/Page\b", data))
    assert 5 <= pages <= 14


def _pixels(visit: Visit, selector: str) -> np.ndarray:
    return np.array(Image.open(io.BytesIO(visit.picture(selector))).convert("RGBA"))


def _painted(image: np.ndarray) -> float:
    """Share of the picture that is drawn on."""
    return float((image[..., 3] > 0).mean())


def _lightness(colour: str) -> float:
    return float(np.mean([int(v) for v in re.findall(r"\d+", colour)[:3]]) / 255)
