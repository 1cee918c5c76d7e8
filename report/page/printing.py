"""A page printed to PDF by the browser engine that is installed: Chromium, Chrome or Edge.

No library sets HTML on paper as a browser does, and the page is already tested in one. The browser
runs without a window, a profile of its own and no network.
"""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
import tempfile
from pathlib import Path

from ...geometry.errors import InputError, SoapfilmError
from ..files import write_bytes, write_text

#: Programs that print by the same options, in the order in which they are looked for.
PROGRAMS = (
    "chromium",
    "chromium-browser",
    "google-chrome",
    "google-chrome-stable",
    "chrome",
    "microsoft-edge",
    "msedge",
)
_ELSEWHERE = (
    "/Applications/Google Chrome.app/Contents/MacOS/Google Chrome",
    "/Applications/Chromium.app/Contents/MacOS/Chromium",
    r"C:\Program Files\Google\Chrome\Application\chrome.exe",
    r"C:\Program Files (x86)\Microsoft\Edge\Application\msedge.exe",
)
#: The browser starts, lays out and prints in a few seconds; one that takes this long hangs.
_SECONDS = 90
OPTIONS = (
    "--headless",
    "--disable-gpu",
    "--disable-quic",
    "--disable-sync",
    "--disable-extensions",
    "--disable-background-networking",
    "--disable-component-update",
    "--no-first-run",
    "--no-default-browser-check",
)


class PrintError(SoapfilmError):
    """The browser did not print."""


def browser() -> str:
    """Path of a browser that can print.

    Raises
    ------
    InputError
        When none is installed; the message says what to install.
    """
    for name in PROGRAMS:
        if found := shutil.which(name):
            return found
    for path in _ELSEWHERE:
        if Path(path).exists():
            return path
    raise InputError(
        "no browser to print with: install Chromium (Debian: apt-get install chromium) or Chrome, "
        "or open the page in any browser and print it from there"
    )


def print_pdf(html: str, path: str | os.PathLike[str]) -> None:
    """Print the text of a page to a PDF, whole or not at all.

    Raises
    ------
    InputError
        When there is no browser, or the file cannot be written.
    PrintError
        When the browser fails or does not come to an end.
    """
    program = browser()
    with tempfile.TemporaryDirectory(prefix="soapfilm-print-") as folder:
        source, printed = Path(folder) / "page.html", Path(folder) / "page.pdf"
        write_text(source, html)
        command = [
            program,
            *OPTIONS,
            *_sandbox(),
            f"--user-data-dir={folder}/profile",
            "--no-pdf-header-footer",
            # Fonts, layout and scripts finish on the browser's own clock, however slow the machine.
            "--virtual-time-budget=5000",
            f"--print-to-pdf={printed}",
            source.as_uri(),
        ]
        try:
            done = subprocess.run(
                command, capture_output=True, text=True, timeout=_SECONDS, check=False
            )
        except subprocess.TimeoutExpired as error:
            raise PrintError(
                f"{program} did not print within {_SECONDS} s; open the page in a browser and "
                "print it from there"
            ) from error
        if not printed.exists() or printed.stat().st_size == 0:
            last = (done.stderr.strip().splitlines() or [f"exit code {done.returncode}"])[-1]
            raise PrintError(f"{program} did not print: {last[:200]}")
        write_bytes(path, printed.read_bytes())


def _sandbox() -> list[str]:
    """Chromium refuses its sandbox to root; the page runs nothing but its own scripts."""
    root = sys.platform.startswith("linux") and os.geteuid() == 0
    return ["--no-sandbox"] if root else []
