"""What someone does at the desk, in words."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

from selenium.webdriver import ActionChains, Chrome
from selenium.webdriver.common.keys import Keys
from selenium.webdriver.remote.webelement import WebElement

from ..visit import Visit


class DeskVisit(Visit):
    """Someone in front of the desk's page."""

    def __init__(self, browser: Chrome, folder: Path, address: str, pid: int) -> None:
        super().__init__(browser)
        self.folder, self.address, self.pid = folder, address, pid

    def enter(self) -> DeskVisit:
        """The page as it opens."""
        self.browser.get(self.address)
        self.wait("document.documentElement.dataset.ready === 'yes'")
        self.wait("document.querySelectorAll('[data-group=examples] li').length > 0")
        return self

    def file(self, name: str) -> DeskVisit:
        """Open a file of the folder, as a click on it does, and wait for its answer."""
        button = f"[data-group=files] li button[data-name='{name}']"
        self.wait(f'document.querySelector("{button}") !== null')
        self.find(button).click()
        self.wait(f"desk.sheet.path === {json.dumps(name)}")
        return self.settled()

    def ask(self, **message: Any) -> DeskVisit:
        """Open something by a message of the page."""
        self.run("desk.sheet.ask(arguments[0])", message)
        return self.settled()

    def settled(self) -> DeskVisit:
        """Wait until everything shown belongs to the last edit, at full accuracy."""
        self.wait("desk.sheet.open && !desk.sheet.pending && desk.sheet.settled")
        self.wait("document.documentElement.dataset.state === 'full'")
        self.settle()
        return self

    def go(self, way: str) -> None:
        self.find(f"button[data-way={way}]").click()
        self.settle()

    @property
    def text(self) -> str:
        """The text beside the drawing."""
        return str(self.run("return document.querySelector('#text').value"))

    def retype(self, old: str, new: str) -> None:
        """Replace words of the text as someone who types in it."""
        assert self.text.count(old) == 1
        self.run(
            "const area = document.querySelector('#text');"
            "area.focus();"
            "const at = area.value.indexOf(arguments[0]);"
            "area.setSelectionRange(at, at + arguments[0].length);",
            old,
        )
        self.find("#text").send_keys(new)

    def value(self, symbol: str) -> dict[str, float]:
        """A number of the panel with its bounds."""
        return dict(
            self.run(
                "return desk.sheet.result.values.find((v) => v.symbol === arguments[0])", symbol
            )
        )

    def handle(self, words: str) -> WebElement:
        """The handle whose name holds the words."""
        found = [h for h in self.all(".handle") if words in (h.get_attribute("aria-label") or "")]
        assert found, [h.get_attribute("aria-label") for h in self.all(".handle")]
        return found[0]

    def drag(self, node: WebElement, dx: int, dy: int, steps: int = 5) -> None:
        """Drag by the mouse in some steps."""
        grip = node.find_element("css selector", ".grip")
        chain = ActionChains(self.browser, duration=20).move_to_element(grip).click_and_hold()
        for k in range(steps):
            chain.move_by_offset(
                round(dx * (k + 1) / steps) - round(dx * k / steps),
                round(dy * (k + 1) / steps) - round(dy * k / steps),
            )
        chain.release().perform()

    def swipe(self, node: WebElement, dx: int, dy: int, steps: int = 5) -> None:
        """Drag by a finger."""
        box = self.run(
            "const b = arguments[0].querySelector('.grip').getBoundingClientRect();"
            "return [b.x + b.width / 2, b.y + b.height / 2];",
            node,
        )

        def touch(kind: str, share: float | None) -> None:
            at = [] if share is None else [{"x": box[0] + share * dx, "y": box[1] + share * dy}]
            event = {"type": kind, "touchPoints": at}
            self.browser.execute_cdp_cmd("Input.dispatchTouchEvent", event)

        touch("touchStart", 0.0)
        for k in range(steps):
            touch("touchMove", (k + 1) / steps)
        touch("touchEnd", None)

    def chord(self, *keys: str) -> None:
        """Keys held together, such as Control and z."""
        chain = ActionChains(self.browser)
        for key in keys[:-1]:
            chain.key_down(key)
        chain.send_keys(keys[-1])
        for key in keys[:-1]:
            chain.key_up(key)
        chain.perform()
        self.settle()

    def undo(self) -> None:
        self.chord(Keys.CONTROL, "z")
