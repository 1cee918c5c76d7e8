"""An hour of random actions at the desk: ``python -m tests.page.desk.campaign --minutes 60``.

A real Chromium before a real server: `random_hand` drags, types, undoes, saves, cuts, pushes, kills
the solving process. Wrong is: a complaint in the browser's console, a page that does not come to
rest, a J whose interval is not that of the command for the text beside it (coarse ones must hold
it), and memory that grows. Pieces are told by their seed and added to a file of lines.
"""

from __future__ import annotations

import argparse
import contextlib
import io
import json
import os
import re
import shutil
import sys
import tempfile
import time
from collections import Counter
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from selenium.common.exceptions import TimeoutException, WebDriverException

from ..visit import start_browser
from .conftest import EXAMPLES, serving
from .member_check import comparable, faults_of, lay_members, member_record
from .random_hand import RandomHand, children
from .random_member import MEMBERS, RandomMemberHand
from .visit import DeskVisit

FILES = ("welded-box", "platform-girder", "closed-girder", "landing-deck")
#: Seconds between two looks at memory; shown values that are kept for the check of one look, and
#: members that are held against the command at the end: each takes it seconds.
LOOK, KEPT, MOST_MEMBERS = 30.0, 6, 60
#: Seconds after which a page that waits has lost something: on a machine that others load a process
#: that is killed and started again takes minutes.
PATIENCE = 300.0


def main() -> None:
    """One piece; exit code 1 where it found something."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--minutes", type=float, default=60.0)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--members", action="store_true", help="of members, not of sections")
    parser.add_argument("--results", default="out/desk_campaign.jsonl", help="added to")
    options = parser.parse_args()
    found = campaign(options.minutes * 60, options.seed, members=options.members)
    path = Path(options.results)
    path.parent.mkdir(parents=True, exist_ok=True)
    with path.open("a", encoding="utf-8") as file:
        file.write(json.dumps(found) + "\n")
    print(json.dumps(found, indent=1))
    sys.exit(bool(found["wrong"]))


def campaign(seconds: float, seed: int, *, members: bool = False) -> dict[str, Any]:
    """What a hand of some seed met in some seconds."""
    wrong: list[str] = []
    done: Counter[str] = Counter()
    memory: list[dict[str, float]] = []
    shown: dict[str, dict[str, Any]] = {}
    of_members: list[dict[str, Any]] = []
    with at_the_desk() as desk:
        lay_members(desk.folder, MEMBERS if members else ())
        hand = (RandomMemberHand if members else RandomHand)(desk, seed)
        hand.enter()
        desk.console()
        begin = time.monotonic()
        looked = 0.0
        while (spent := time.monotonic() - begin) < seconds:
            name = "?"
            try:
                name = hand.act()
                done[name] += 1
                if hand.random.random() < 0.4:
                    hand.settle()
                _gather(desk, hand, shown)
                of_members += desk.run("return (window.seenMembers ?? []).splice(0)")
            except TimeoutException:
                state = desk.run("return [document.documentElement.dataset.state, desk.sheet.turn,"
                                 " desk.sheet.answered, desk.sheet.text]")  # fmt: skip
                wrong.append(f"{sum(done.values())} {name}: does not come to rest: {state}")
                hand.enter()
            except WebDriverException as error:
                wrong.append(f"{sum(done.values())} {name}: {str(error)[:300]}")
                hand.enter()
            wrong += [
                f"{sum(done.values())} {name}: console: {line[:300]}" for line in desk.console()
            ]
            if spent - looked > LOOK or not memory:
                looked = spent
                memory.append(_memory(desk, round(spent)))
        memory.append(_memory(desk, round(time.monotonic() - begin)))
    checked, off = _checked(shown)
    twists, twisted = _members_checked(hand.random.sample(of_members, len(of_members)))
    return {"seed": seed, "members": members, "seconds": round(seconds),
            "actions": sum(done.values()), "done": dict(done), "values checked": checked,
            "members shown": len(of_members), "members checked": twists,
            "wrong": wrong + off + twisted,
            "memory in MB": memory, "load": os.getloadavg()[0]}  # fmt: skip


@contextmanager
def at_the_desk() -> Iterator[DeskVisit]:
    """A desk on a folder of its own and a browser before it."""
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name) / "bridge"
        folder.mkdir()
        for file in FILES:
            shutil.copy(EXAMPLES / f"{file}.toml", folder)
        chromium = shutil.which("chromium") or shutil.which("google-chrome") or ""
        driver = shutil.which("chromedriver") or ""
        browser = start_browser(chromium, driver, Path(name) / "profile", loopback=True)
        try:
            with serving(folder) as (address, pid):
                desk = DeskVisit(browser, folder, address, pid)
                desk.patience = PATIENCE
                browser.set_script_timeout(PATIENCE)
                browser.set_page_load_timeout(PATIENCE)
                desk.screen(1280, 900)
                yield desk
        finally:
            browser.quit()


def _gather(desk: DeskVisit, hand: RandomHand, shown: dict[str, dict[str, Any]]) -> None:
    """Take the values that the page was told; of many some, at full accuracy all that differ."""
    seen = desk.run("return (window.seen ?? []).splice(0)")
    for one in hand.random.sample(seen, min(KEPT, len(seen))):
        kept = shown.setdefault(one["text"], {"full": [], "coarse": []})
        if len(kept[one["stage"]]) < 2:
            kept[one["stage"]].append((one["lower"], one["upper"]))


def _checked(shown: dict[str, dict[str, Any]]) -> tuple[int, list[str]]:
    """How many values were held against the command, and those that are not its."""
    count, off = 0, []
    for text, stages in shown.items():
        try:
            lower, upper = commanded(text)
        except ValueError as error:
            off.append(f"shown, and refused by the command: {error}: {text!r}")
            continue
        slack = 1e-9 * abs(upper)
        for low, high in stages["full"]:
            count += 1
            if abs(low - lower) > slack or abs(high - upper) > slack:
                off.append(
                    f"J {low!r} to {high!r}, by the command {lower!r} to {upper!r}: {text!r}"
                )
        for low, high in stages["coarse"]:
            count += 1
            if low > lower + slack or high < upper - slack:
                off.append(
                    f"coarse {low!r} to {high!r} does not hold {lower!r} to {upper!r}: {text!r}"
                )
    return count, off


def _members_checked(shown: list[dict[str, Any]]) -> tuple[int, list[str]]:
    """How many answers for members were held against the command, some texts at random, and what
    of them is not the command's."""
    records: dict[tuple[str, bool], Any] = {}
    count, off = 0, []
    for one in shown:
        key = (one["text"], one["deforming"])
        if key not in records and len(records) >= MOST_MEMBERS:
            continue
        try:
            if key not in records:
                found = member_record(*key)
                records[key] = found if comparable(found) else None
        except ValueError as error:
            records[key] = None
            off.append(f"shown, and refused by the command: {error}: {one['text']!r}")
        if records[key] is not None:
            count += 1
            off += [f"{words}: {one['text']!r}" for words in faults_of(one, records[key])]
    return count, off


def commanded(text: str) -> tuple[float, float]:
    """J's interval as the command's record has it."""
    from soapfilm.cli.main import main as command

    with tempfile.TemporaryDirectory() as name:
        path = Path(name) / "sheet.toml"
        path.write_text(text, "utf-8")
        out, err = io.StringIO(), io.StringIO()
        with contextlib.redirect_stdout(out), contextlib.redirect_stderr(err):
            try:
                code = command(["section", str(path), "--json"])
            except SystemExit as end:
                code = end.code if isinstance(end.code, int) else 1
    if code:
        raise ValueError(err.getvalue().strip()[:300])
    return _interval(json.loads(out.getvalue()))


def _interval(record: Any) -> tuple[float, float]:
    """J's ends wherever the record has them first."""
    todo = [record]
    while todo:
        here = todo.pop(0)
        if isinstance(here, dict):
            if {"lower", "upper"} <= set(here):
                return here["lower"], here["upper"]
            todo += here.values()
    raise ValueError("no interval in the record")


def _memory(desk: DeskVisit, seconds: int) -> dict[str, float]:
    """Of the page's scripts after a collection, the server, its solving processes. The server's
    grows by some megabytes at first and then no more: what threads have allocated and freed is kept
    for them (glibc's arenas); what it uses of it stays the same."""
    desk.browser.execute_cdp_cmd("HeapProfiler.collectGarbage", {})
    desk.browser.execute_cdp_cmd("Performance.enable", {})
    metrics = desk.browser.execute_cdp_cmd("Performance.getMetrics", {})["metrics"]
    heap = next(m["value"] for m in metrics if m["name"] == "JSHeapUsedSize")
    nodes = next(m["value"] for m in metrics if m["name"] == "Nodes")
    workers = [_held(pid) for pid in children(desk.pid)]
    return {"second": seconds, "page": round(heap / 1e6, 1), "nodes": nodes,
            "server": _held(desk.pid), "solving": sum(workers),
            "processes": len(workers)}  # fmt: skip


def _held(pid: int) -> float:
    """Megabytes that a process has for itself alone (Linux): what it shares with files and with
    others comes and goes."""
    try:
        text = Path(f"/proc/{pid}/smaps_rollup").read_text("utf-8")
    except OSError:  # it has just ended
        return 0.0
    rows = re.findall(r"^(?:Private_Dirty|Swap): +(\d+) kB", text, re.MULTILINE)
    return round(sum(map(int, rows)) / 1e3, 1)


if __name__ == "__main__":
    main()
