"""The section under the hand: dragged, moved by keys, typed, undone, refused."""

from __future__ import annotations

import re

import pytest
from selenium.webdriver.common.keys import Keys
from soapfilm.geometry.section_file import section_from_toml
from soapfilm.solver.section import solve_section

from .visit import DeskVisit


def holds(desk: DeskVisit) -> None:
    """J on the page and J as the command finds it of the text beside are one interval."""
    shown = desk.value("J")
    found = solve_section(section_from_toml(desk.text))
    assert shown["lower"] == pytest.approx(found.torsion_constant_lower, rel=1e-9)
    assert shown["upper"] == pytest.approx(found.torsion_constant_upper, rel=1e-9)


def test_a_file_shows_its_text_its_drawing_and_its_numbers(desk: DeskVisit) -> None:
    desk.file("welded-box.toml")
    assert desk.text == (desk.folder / "welded-box.toml").read_text("utf-8")
    holds(desk)
    assert desk.run("return desk.stage.turn === desk.sheet.turn")
    assert len(desk.all(".handle")) > 10


def test_a_drag_changes_text_drawing_and_numbers_alike(desk: DeskVisit) -> None:
    desk.file("welded-box.toml")
    before, text = desk.value("J")["upper"], desk.text
    desk.drag(desk.handle("thickness of deck plate"), 0, -12)
    desk.settled()
    assert desk.value("J")["lower"] > before
    comment = "# From outside and from inside: the throats, not the contact, carry the shear."
    assert comment in desk.text
    assert desk.text != text
    holds(desk)


def test_a_drag_is_one_step_of_undo_and_redo(desk: DeskVisit) -> None:
    desk.file("welded-box.toml")
    text = desk.text
    desk.drag(desk.handle("thickness of deck plate"), 0, -12)
    desk.settled()
    moved = desk.text
    desk.undo()
    desk.settled()
    assert desk.text == text
    desk.find("[data-press=redo]").click()
    desk.settled()
    assert desk.text == moved
    holds(desk)


def test_keys_move_a_handle_and_numbers_are_typed_into_it(desk: DeskVisit) -> None:
    desk.file("welded-box.toml")
    desk.run("arguments[0].focus()", desk.handle("thickness of bottom plate"))
    desk.press(Keys.ARROW_UP)
    desk.settled()
    thicker = float(re.findall(r"thickness = ([\d.]+)", desk.text)[1])
    assert thicker > 10
    desk.run("arguments[0].focus()", desk.handle("thickness of bottom plate"))
    desk.press("1", "5", Keys.ENTER)
    desk.settled()
    assert float(re.findall(r"thickness = ([\d.]+)", desk.text)[1]) == 15
    holds(desk)


def test_typing_in_the_text_moves_the_drawing(desk: DeskVisit) -> None:
    desk.file("platform-girder.toml")
    desk.retype("OverallDepth = 580", "OverallDepth = 640")
    desk.settled()
    assert desk.run("return desk.sheet.drawing.bounds[3] - desk.sheet.drawing.bounds[1]") == 640
    holds(desk)
    desk.undo()
    desk.settled()
    assert "OverallDepth = 580" in desk.text


def test_what_is_refused_is_said_and_nothing_is_lost(desk: DeskVisit) -> None:
    desk.file("platform-girder.toml")
    text, shown = desk.text, desk.value("J")
    desk.retype("FlangeThickness = 18", "FlangeThickness = 400")
    desk.wait("document.documentElement.dataset.state === 'refused'")
    words = desk.find("#refusal").text
    assert "FlangeThickness" in words
    assert desk.find("#text-wrong").text in words
    # The numbers are the last that were found, and marked as older than the text.
    assert desk.value("J") == shown
    assert "older than the drawing" in desk.find("#reading-mark").text
    assert "FlangeThickness = 400" in desk.text
    desk.undo()
    desk.settled()
    assert desk.text == text
    assert not desk.find("#refusal").is_displayed()


def test_numbers_are_marked_stale_until_they_are_of_the_last_edit(desk: DeskVisit) -> None:
    desk.file("closed-girder.toml")
    states = desk.browser.execute_async_script(
        "const done = arguments[0]; const states = [];"
        "const see = () => states.push(document.documentElement.dataset.state);"
        "desk.sheet.on('result', () => { see(); if (states.at(-1) === 'full') done(states); });"
        "desk.sheet.type(desk.sheet.text.replace('XDim = 8', 'XDim = 9')); see();"
    )
    assert states == ["stale", "coarse", "full"]


def test_undo_has_no_end(desk: DeskVisit) -> None:
    desk.file("platform-girder.toml")
    text = desk.text
    for depth in range(581, 641):
        desk.run(
            "desk.sheet.typing = null;"
            "desk.sheet.type(desk.sheet.text.replace(/OverallDepth = .*/, arguments[0]))",
            f"OverallDepth = {depth}",
        )
    for _ in range(60):
        desk.run("desk.sheet.undo()")
    desk.settled()
    assert desk.text == text
    assert not desk.find("[data-press=undo]").is_enabled()


def test_a_screen_reader_hears_the_numbers_when_they_have_settled(desk: DeskVisit) -> None:
    desk.file("platform-girder.toml")
    desk.wait("document.querySelector('#said').textContent.includes('torsion constant')")
    assert re.search(r"torsion constant [\d.]+", desk.find("#said").get_attribute("textContent"))
