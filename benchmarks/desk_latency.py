"""From the hand to the picture: how long a drag at the desk takes until its stress field is shown.

The command serves a folder, a real Chromium without a window drags one handle of each section to
and fro, sixty moves a second, and the page itself measures (User Timing) from the move to the frame
after the one that shows the field of that move. The machine's other load is recorded beside it: on
shared cores the figures are upper ones, and only the processor time that the solving processes and
the page's own thread take for a picture compares. Goals: median 60 ms, 95 % below 120 ms.

Run: ``python -m benchmarks.desk_latency`` (a minute); writes desk_latency.json and the table
desk_latency.md. Needs Chromium with its driver, and ``pip install 'soapfilm[desk]' selenium``.
"""

from __future__ import annotations

import json
import os
import re
import shutil
import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path
from typing import Any

from selenium.webdriver import Chrome, ChromeOptions
from selenium.webdriver.chrome.service import Service
from selenium.webdriver.support.ui import WebDriverWait

RECORD = Path(__file__).parent / "desk_latency.json"
TABLE = RECORD.with_suffix(".md")
EXAMPLES = Path(__file__).parent.parent / "cli" / "examples"
#: File, words that only the dragged handle's name holds, and the way in pixels that it is dragged.
DRAGS = (
    ("platform-girder", "web thickness", (14, 0)),
    ("closed-girder", "flange thickness", (0, 14)),
    ("landing-deck", "corner 3", (30, 12)),
)
MOVES, PAUSE, PATIENCE, REST = 120, 1 / 60, 120, 6.0


def main() -> None:
    rows = []
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        for file, _, _ in DRAGS:
            shutil.copy(EXAMPLES / f"{file}.toml", folder)
        command = [sys.executable, "-m", "soapfilm.cli", "desk", name, "--no-browser"]
        with subprocess.Popen(command, stdout=subprocess.PIPE, text=True) as server:
            assert server.stdout is not None
            address = next(m[0] for line in server.stdout if (m := re.search(r"http://\S+", line)))
            browser = started()
            try:
                browser.get(address)
                for file, words, way in DRAGS:
                    rows.append(row(browser, server.pid, file, words, way))
                    print(rows[-1], flush=True)
            finally:
                browser.quit()
                server.terminate()
    record = {"cores": os.cpu_count(), "nice": priority(), "rows": rows}
    RECORD.write_text(json.dumps(record, indent=1) + "\n", "utf-8")
    TABLE.write_text(table(rows), "utf-8")


def table(rows: list[dict[str, Any]]) -> str:
    """The rows as Markdown."""
    names = list(rows[0])
    lines = [names, ["---"] * len(names), *([str(value) for value in r.values()] for r in rows)]
    body = "\n".join(f"| {' | '.join(line)} |" for line in lines)
    return (
        "# From the hand to the picture at the desk\n\n"
        "Written by `python -m benchmarks.desk_latency`; goals on a quiet machine: median 60 ms, "
        f"95 % below 120 ms. {os.cpu_count()} cores, Chromium without a window or a graphics "
        f"card; niceness of all of it among the machine's other work {priority()}.\n\n{body}\n"
    )


def priority() -> int:
    """Niceness of these processes together (Linux's autogroup; 0 where there is none)."""
    try:
        return int(Path("/proc/self/autogroup").read_text("utf-8").split()[-1])
    except (OSError, ValueError):
        return 0


def solving_seconds(server: int) -> float:
    """Processor time that the processes started by the desk have taken (Linux)."""
    found = subprocess.run(["pgrep", "-P", str(server)], capture_output=True, text=True, check=True)
    total = 0.0
    for pid in found.stdout.split():
        fields = Path(f"/proc/{pid}/stat").read_text("utf-8").rsplit(")", 1)[1].split()
        total += (int(fields[11]) + int(fields[12])) / os.sysconf("SC_CLK_TCK")
    return total


def page_seconds(browser: Chrome) -> float:
    """Processor time that the thread of the page's scripts, layout and painting has taken."""
    metrics = browser.execute_cdp_cmd("Performance.getMetrics", {})["metrics"]
    return float(next(m["value"] for m in metrics if m["name"] == "TaskDuration"))


def started() -> Chrome:
    """Chromium as it is delivered, without a window."""
    options = ChromeOptions()
    options.binary_location = shutil.which("chromium") or shutil.which("google-chrome") or ""
    for word in ("--headless=new", "--no-sandbox", "--disable-gpu", "--disable-dev-shm-usage"):
        options.add_argument(word)
    browser = Chrome(options=options, service=Service(shutil.which("chromedriver")))
    metrics = {"width": 1360, "height": 860, "deviceScaleFactor": 1, "mobile": False}
    browser.execute_cdp_cmd("Emulation.setDeviceMetricsOverride", metrics)
    browser.execute_cdp_cmd("Performance.enable", {"timeDomain": "threadTicks"})
    return browser


def row(
    browser: Chrome, server: int, file: str, words: str, way: tuple[int, int]
) -> dict[str, Any]:
    """Latencies of one drag to and fro, milliseconds."""
    waited = WebDriverWait(browser, PATIENCE, 0.02).until
    waited(lambda b: b.execute_script("return window.desk?.link?.open"))
    browser.execute_script("desk.sheet.ask({ do: 'open', path: arguments[0] })", f"{file}.toml")
    waited(lambda b: b.execute_script("return desk.sheet.open && desk.sheet.settled"))
    waited(lambda b: b.execute_script("return document.querySelector('.handle') !== null"))
    x, y = browser.execute_script(
        "const found = [...document.querySelectorAll('.handle')].find((h) =>"
        " h.getAttribute('aria-label').includes(arguments[0]));"
        "const r = found.querySelector('.grip').getBoundingClientRect();"
        "return [r.x + r.width / 2, r.y + r.height / 2];",
        words,
    )
    browser.execute_script("performance.clearMeasures()")
    mouse(browser, "mousePressed", x, y)
    time.sleep(REST)  # another solving process has been warmed by then
    before, page = solving_seconds(server), page_seconds(browser)
    begin = time.perf_counter()
    for k in range(MOVES):
        share = 1 - abs(2 * ((2 * k / MOVES) % 1) - 1)
        mouse(browser, "mouseMoved", x + way[0] * share, y + way[1] * share)
        time.sleep(max(0.0, begin + (k + 1) * PAUSE - time.perf_counter()))
    seconds = time.perf_counter() - begin
    solving, page = solving_seconds(server) - before, page_seconds(browser) - page
    mouse(browser, "mouseReleased", x, y)
    waited(lambda b: b.execute_script("return desk.sheet.settled"))
    found = browser.execute_script(
        "return performance.getEntriesByName('hand to picture').map((m) => m.duration)"
    )
    ordered = sorted(found)
    return {
        "section": file,
        "handle": words,
        "pictures": len(ordered),
        "pictures a second": round(len(ordered) / seconds, 1),
        "median ms": round(statistics.median(ordered), 1),
        "95 % ms": round(ordered[min(len(ordered) - 1, int(0.95 * len(ordered)))], 1),
        "processor ms of solving a picture": round(1e3 * solving / len(ordered), 1),
        "processor ms of the page": round(1e3 * page / len(ordered), 1),
        "load of the machine": round(os.getloadavg()[0], 1),
    }


def mouse(browser: Chrome, kind: str, x: float, y: float) -> None:
    event = {"type": kind, "x": x, "y": y, "button": "left", "buttons": 1, "clickCount": 1}
    browser.execute_cdp_cmd("Input.dispatchMouseEvent", event)


if __name__ == "__main__":
    main()
