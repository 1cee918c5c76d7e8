"""The file behind the page: saved, changed outside, reloaded, and the worker lost."""

from __future__ import annotations

import os
import signal
import subprocess

from selenium.webdriver.common.keys import Keys

from .visit import DeskVisit


def deepened(desk: DeskVisit, depth: int = 640) -> None:
    desk.file("platform-girder.toml")
    desk.retype("OverallDepth = 580", f"OverallDepth = {depth}")
    desk.settled()


def test_save_writes_the_file(desk: DeskVisit) -> None:
    deepened(desk)
    path = desk.folder / "platform-girder.toml"
    assert "OverallDepth = 580" in path.read_text("utf-8")
    assert "not saved" in desk.find("#file-state").text
    desk.chord(Keys.CONTROL, "s")
    desk.wait("!desk.sheet.dirty")
    assert path.read_text("utf-8") == desk.text
    assert "OverallDepth = 640" in desk.text


def test_a_reload_shows_what_was_saved(desk: DeskVisit) -> None:
    deepened(desk)
    desk.chord(Keys.CONTROL, "s")
    desk.wait("!desk.sheet.dirty")
    desk.enter().file("platform-girder.toml")
    assert "OverallDepth = 640" in desk.text


def test_an_edit_outside_appears_at_once(desk: DeskVisit) -> None:
    desk.file("platform-girder.toml")
    path = desk.folder / "platform-girder.toml"
    path.write_text(path.read_text("utf-8").replace("= 580", "= 500"), "utf-8")
    desk.wait("document.querySelector('#text').value.includes('OverallDepth = 500')")
    desk.settled()
    assert desk.run("return desk.sheet.drawing.bounds[3] - desk.sheet.drawing.bounds[1]") == 500
    assert not desk.run("return desk.sheet.dirty")


def test_an_edit_outside_is_not_overwritten_unasked(desk: DeskVisit) -> None:
    deepened(desk)
    path = desk.folder / "platform-girder.toml"
    theirs = path.read_text("utf-8").replace("= 580", "= 500")
    path.write_text(theirs, "utf-8")
    desk.wait("document.querySelector('#conflict').open")
    assert "OverallDepth = 640" in desk.text
    desk.find("#conflict button[value=keep]").click()
    desk.chord(Keys.CONTROL, "s")
    desk.wait("document.querySelector('#conflict').open")
    assert path.read_text("utf-8") == theirs
    desk.find("#conflict button[value=overwrite]").click()
    desk.wait("!desk.sheet.dirty")
    assert "OverallDepth = 640" in path.read_text("utf-8")


def test_the_page_outlives_its_worker(desk: DeskVisit) -> None:
    desk.file("platform-girder.toml")
    children = subprocess.run(
        ["pgrep", "-P", str(desk.pid)], capture_output=True, text=True, check=True
    )
    for pid in children.stdout.split():
        os.kill(int(pid), signal.SIGKILL)
    desk.retype("OverallDepth = 580", "OverallDepth = 600")
    desk.wait("desk.condition.online")
    desk.run("desk.sheet.type(desk.sheet.text.replace('= 600', '= 610'))")
    desk.settled()
    assert desk.run("return desk.sheet.drawing.bounds[3] - desk.sheet.drawing.bounds[1]") == 610


def test_a_new_sheet_is_given_a_name_when_it_is_saved(desk: DeskVisit) -> None:
    desk.find("[data-press=new]").click()
    desk.settled()
    desk.chord(Keys.CONTROL, "s")
    desk.wait("document.querySelector('#naming').open")
    field = desk.find("#new-name")
    field.clear()
    field.send_keys("stand.toml")
    desk.find("#naming button[value=save]").click()
    desk.wait("!desk.sheet.dirty && desk.sheet.path === 'stand.toml'")
    assert (desk.folder / "stand.toml").read_text("utf-8") == desk.text
