"""The desk's server as the command starts it, on a folder of its own, and a browser before it."""

from __future__ import annotations

import re
import shutil
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest
from selenium.webdriver import Chrome

from ..visit import start_browser
from .visit import DeskVisit

EXAMPLES = Path(__file__).parents[3] / "cli" / "examples"
#: Files of the folder that the desk is opened on.
FILES = ("welded-box", "landing-deck", "closed-girder", "platform-girder")


@pytest.fixture(scope="session")
def chrome(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Chrome]:
    """Debian's Chromium, or Chrome, that reaches this machine alone."""
    chromium = shutil.which("chromium") or shutil.which("google-chrome")
    driver = shutil.which("chromedriver")
    if chromium is None or driver is None:
        pytest.skip("Chromium and its driver are missing: apt-get install chromium chromium-driver")
    running = start_browser(chromium, driver, tmp_path_factory.mktemp("profile"), loopback=True)
    yield running
    running.quit()


@contextmanager
def serving(folder: Path) -> Iterator[tuple[str, int]]:
    """Address and process of a desk that is started for the block on a folder."""
    command = [sys.executable, "-m", "soapfilm.cli", "desk", str(folder), "--no-browser"]
    with subprocess.Popen(command, stdout=subprocess.PIPE, text=True) as process:
        assert process.stdout is not None
        address = next(m[0] for line in process.stdout if (m := re.search(r"http://\S+", line)))
        try:
            yield address, process.pid
        finally:
            process.terminate()


@pytest.fixture(scope="session")
def served(tmp_path_factory: pytest.TempPathFactory) -> Iterator[tuple[Path, str, int]]:
    """Folder, address and process of a running desk."""
    folder = tmp_path_factory.mktemp("bridge")
    for name in FILES:
        shutil.copy(EXAMPLES / f"{name}.toml", folder)
    with serving(folder) as (address, pid):
        yield folder, address, pid


@pytest.fixture
def desk(chrome: Chrome, served: tuple[Path, str, int]) -> Iterator[DeskVisit]:
    """A page of the desk, light, 1280 wide, its files as the examples have them."""
    folder, address, pid = served
    for path in folder.iterdir():
        path.unlink()
    for name in FILES:
        shutil.copy(EXAMPLES / f"{name}.toml", folder)
    visit = DeskVisit(chrome, folder, address, pid)
    visit.screen(1280, 900)
    visit.theme("light")
    visit.console()
    yield visit.enter()
    # A page with unsaved work asks before it is left.
    visit.run("desk.sheet.dirty = false")
    assert visit.console() == []
