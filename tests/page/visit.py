"""What a reader does with a page in a browser, in words."""

from __future__ import annotations

import base64
from pathlib import Path
from typing import Any

from selenium.webdriver import ActionChains, Chrome, ChromeOptions
from selenium.webdriver.chrome.service import Service
from selenium.webdriver.common.by import By
from selenium.webdriver.common.keys import Keys
from selenium.webdriver.remote.webelement import WebElement
from selenium.webdriver.support.ui import WebDriverWait

#: A page is ready in well under a second; a machine under load gets a hundred times that.
_PATIENCE = 60.0


def start_browser(chromium: str, driver: str, profile: Path, *, loopback: bool = False) -> Chrome:
    """A browser without a window that never reaches for the network.

    With `loopback` it reaches servers of this machine, and still no other.
    """
    options = ChromeOptions()
    options.binary_location = chromium
    for word in (
        "--headless=new",
        "--no-sandbox",
        "--disable-gpu",
        "--disable-quic",
        "--disable-dev-shm-usage",
        "--no-first-run",
        "--disable-background-networking",
        "--disable-component-update",
        "--disable-sync",
        "--force-prefers-reduced-motion",
        f"--user-data-dir={profile}",
    ):
        options.add_argument(word)
    if loopback:
        options.add_argument("--host-resolver-rules=MAP * ~NOTFOUND, EXCLUDE 127.0.0.1")
    options.set_capability("goog:loggingPrefs", {"browser": "ALL"})
    running = Chrome(options=options, service=Service(driver))
    running.set_page_load_timeout(_PATIENCE)
    if loopback:
        return running
    running.execute_cdp_cmd("Network.enable", {})
    offline = {"offline": True, "latency": 0, "downloadThroughput": 0, "uploadThroughput": 0}
    running.execute_cdp_cmd("Network.emulateNetworkConditions", offline)
    return running


class Visit:
    """A reader in front of a page.

    Attributes
    ----------
    patience : float
        Seconds that something may take.
    """

    patience = _PATIENCE

    def __init__(self, browser: Chrome) -> None:
        self.browser = browser

    def open(self, path: Path) -> Visit:
        """Open a page with live blocks."""
        self.browser.get(path.as_uri())
        self.wait("document.documentElement.dataset.ready === 'yes'")
        self.settle()
        return self

    def load(self, path: Path) -> Visit:
        """Open a page of any kind: one without live blocks is ready as it is."""
        self.browser.get(path.as_uri())
        if self.run("return document.querySelector('.live') !== null"):
            return self.open(path)
        self.settle()
        return self

    def wait(self, condition: str) -> None:
        WebDriverWait(self.browser, self.patience, 0.02).until(
            lambda b: b.execute_script(f"return {condition}")
        )

    def settle(self) -> None:
        """Two frames on: what was asked to be drawn is drawn."""
        self.browser.execute_async_script(
            "const done = arguments[0];"
            "requestAnimationFrame(() => requestAnimationFrame(() => setTimeout(done, 0)));"
        )

    def run(self, script: str, *values: Any) -> Any:
        return self.browser.execute_script(script, *values)

    def screen(self, width: int, height: int) -> None:
        metrics = {"width": width, "height": height, "deviceScaleFactor": 1, "mobile": False}
        self.browser.execute_cdp_cmd("Emulation.setDeviceMetricsOverride", metrics)

    def theme(self, name: str) -> None:
        feature = {"name": "prefers-color-scheme", "value": name}
        self.browser.execute_cdp_cmd("Emulation.setEmulatedMedia", {"features": [feature]})

    def console(self) -> list[str]:
        """What the browser complained of since the last look."""
        return [entry["message"] for entry in self.browser.get_log("browser")]  # type: ignore[no-untyped-call]

    def barriers(self) -> list[str]:
        """What axe-core, the usual checker of accessible pages, complains of: rule and element."""
        from axe_core_python.selenium import Axe

        found = Axe().run(self.browser)["violations"]
        return [f"{f['id']}: {node['html'][:160]}" for f in found for node in f["nodes"]]

    def find(self, selector: str) -> WebElement:
        return self.browser.find_element(By.CSS_SELECTOR, selector)

    def all(self, selector: str) -> list[WebElement]:
        return self.browser.find_elements(By.CSS_SELECTOR, selector)

    def press(self, *keys: str) -> None:
        ActionChains(self.browser).send_keys(*keys).perform()
        self.settle()

    # -- the live section ------------------------------------------------------------------------
    def type_action(self, index: int, value: float) -> None:
        """Type a value into an action's field."""
        field = self.find(f"#action-{index}")
        field.send_keys(Keys.CONTROL, "a")
        field.send_keys(repr(value))
        self.settle()

    def set_actions(self, values: dict[int, float]) -> None:
        self.find("[data-press=zero]").click()
        for index, value in values.items():
            self.type_action(index, value)

    def extreme(self, component: str, side: int) -> float:
        """A value of the table of extremes, with all its digits."""
        row = self.find(f".extremes tr[data-component='{component}'][data-side='{side}']")
        return float(row.get_dom_attribute("data-value") or "nan")

    def point_at(self, x: float, y: float, bounds: list[float]) -> dict[str, float | str]:
        """Move the pointer over a place of the section; what the page reads there."""
        canvas = self.find("#live-section .plot canvas")
        self.run("arguments[0].scrollIntoView({block: 'center'})", canvas)
        width, height = canvas.size["width"], canvas.size["height"]
        x0, y0, x1, y1 = bounds
        scale = min((width - 52) / (x1 - x0), (height - 52) / (y1 - y0))
        dx, dy = (x - (x0 + x1) / 2) * scale, -(y - (y0 + y1) / 2) * scale
        ActionChains(self.browser).move_to_element_with_offset(
            canvas, round(dx), round(dy)
        ).perform()
        self.settle()
        out = self.find("#live-section .readout")
        read = dict(self.run("return {...arguments[0].dataset}", out))
        return {"text": out.text} | {
            key: float(read[key]) for key in ("x", "y", "normal", "shearX", "shearY") if key in read
        }

    def picture(self, selector: str) -> bytes:
        """A canvas as a PNG."""
        address = self.run("return arguments[0].toDataURL()", self.find(selector))
        return base64.b64decode(address.partition(",")[2])
