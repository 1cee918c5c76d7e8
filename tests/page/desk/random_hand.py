"""A hand that does things at the desk at random, as its seed says."""

from __future__ import annotations

import os
import random
import re
import signal
import subprocess
from collections.abc import Callable

from selenium.webdriver.common.keys import Keys

from .visit import DeskVisit

EXAMPLES = ("welded-box", "desk-i", "desk-square-tube", "desk-round-tube", "sharp-bracket")
SHAPES = ("HEB300", "W310X74", "IPE200", "L100X100X10")
#: Keeps every J that the page is told beside the text that stands there, if both are of one turn.
WITNESS = """
if (!window.seen) {
  window.seen = [];
  desk.sheet.on('result', () => {
    const { sheet } = desk;
    const j = sheet.result.values?.find((v) => v.symbol === 'J');
    if (!j || sheet.what !== 'section' || sheet.result.turn !== sheet.turn) return;
    const { lower, upper } = j;
    if (!Number.isFinite(lower)) return;
    window.seen.push({ stage: sheet.result.stage, lower, upper, text: sheet.text });
  });
}
"""


class RandomHand:
    """Actions drawn by weight; the same seed does the same as far as answers come as fast."""

    def __init__(self, desk: DeskVisit, seed: int) -> None:
        self.desk, self.random = desk, random.Random(seed)
        self.actions: tuple[tuple[Callable[[], None], int], ...] = (
            (self.drag, 12), (self.nudge, 5), (self.enter_number, 5), (self.flip, 2),
            (self.retype, 5), (self.spoil, 3), (self.undo, 5), (self.redo, 3), (self.save, 3),
            (self.cut, 2), (self.push, 3), (self.beside, 1), (self.lesson, 1), (self.open, 3),
            (self.reload, 1), (self.resize, 2), (self.paint, 1), (self.outside, 2), (self.kill, 1),
            (self.look, 3),
        )  # fmt: skip

    def act(self) -> str:
        """Do one thing; its name."""
        doings, weights = zip(*self.actions, strict=True)
        doing: Callable[[], None] = self.random.choices(doings, weights)[0]
        doing()
        self.close_questions()
        return doing.__name__

    def enter(self) -> None:
        """The page anew, with a section on it."""
        self.desk.run("if (window.desk) desk.sheet.dirty = false")
        self.desk.enter()
        self.desk.run(WITNESS)
        self.open()

    def settle(self) -> str:
        """Wait until what is shown has an answer; the state that it says it is in."""
        self.desk.wait(
            "desk.condition.online && (!desk.sheet.open ||"
            " (!desk.sheet.busy && !desk.sheet.pending &&"
            " (desk.sheet.refusal?.turn >= desk.sheet.turn || desk.sheet.settled)))"
        )
        return str(self.desk.run("return document.documentElement.dataset.state"))

    # -- what is opened ----------------------------------------------------------------------------
    def open(self) -> None:
        what = self.random.choice(("path", "path", "example", "designation", "new"))
        if what == "new":
            self.ask({"do": "new"})
            return
        names = {
            "path": sorted(path.name for path in self.desk.folder.glob("*.toml")),
            "example": EXAMPLES, "designation": SHAPES,
        }[what]  # fmt: skip
        self.ask({"do": "open", what: self.random.choice(names)})

    def ask(self, message: dict[str, str]) -> None:
        self.desk.run("desk.sheet.ask(arguments[0])", message)
        self.desk.wait("desk.sheet.fresh !== true")

    def reload(self) -> None:
        self.enter()

    def lesson(self) -> None:
        """Any of the ten, and back to the drawing."""
        self.desk.run("desk.ways.go('lessons'); desk.link.send({ do: 'lessons' })")
        names = self.desk.run("return [...document.querySelectorAll('#lessons li button')].length")
        if names:
            self.desk.run(
                "document.querySelectorAll('#lessons li button')[arguments[0]].click()",
                self.random.randrange(names),
            )
        self.desk.settle()
        self.shape()

    # -- what is changed ---------------------------------------------------------------------------
    def shape(self) -> bool:
        """The drawing in sight; False where the sheet is a member."""
        section = bool(self.desk.run("return desk.sheet.what !== 'member' && desk.sheet.open"))
        if not section:
            return False
        if self.desk.run("return document.body.dataset.way") != "shape":
            self.desk.run("desk.ways.go('shape')")
            self.desk.settle()
        return True

    def grip(self, kinds: str) -> tuple[float, float] | None:
        """Where a handle of some kinds is on the screen."""
        if not self.shape():
            return None
        found = self.desk.run(
            "return [...document.querySelectorAll('#handles .handle')]"
            ".filter((h) => !h.hidden && arguments[0].includes(h.classList[1]))"
            ".map((h) => h.querySelector('.grip').getBoundingClientRect())"
            ".map((r) => [r.x + r.width / 2, r.y + r.height / 2])",
            kinds,
        )
        return tuple(self.random.choice(found)) if found else None

    def mouse(self, kind: str, x: float, y: float) -> None:
        event = {"type": kind, "x": x, "y": y, "button": "left", "buttons": 1, "clickCount": 1}
        self.desk.browser.execute_cdp_cmd("Input.dispatchMouseEvent", event)

    def drag(self) -> None:
        at = self.grip("value point")
        if at is None:
            return
        (x, y), reach = at, self.random.choice((4, 15, 60))
        dx, dy = (self.random.uniform(-reach, reach) for _ in "xy")
        self.mouse("mousePressed", x, y)
        steps = self.random.randint(1, 12)
        for k in range(1, steps + 1):
            self.mouse("mouseMoved", x + dx * k / steps, y + dy * k / steps)
        self.mouse("mouseReleased", x + dx, y + dy)

    def focus(self) -> bool:
        if self.grip("value point") is None:
            return False
        count = self.desk.run(
            "const all = [...document.querySelectorAll('#handles .handle:is(.value, .point)')];"
            "all[Math.floor(arguments[0] * all.length)]?.focus(); return all.length",
            self.random.random(),
        )
        return bool(count)

    def nudge(self) -> None:
        if self.focus():
            keys = (Keys.ARROW_UP, Keys.ARROW_DOWN, Keys.ARROW_LEFT, Keys.ARROW_RIGHT)
            self.desk.press(*(self.random.choice(keys) for _ in range(self.random.randint(1, 5))))

    def enter_number(self) -> None:
        if self.focus():
            number = self.random.choice(
                (f"{self.random.uniform(2, 60):.3g}", "nonsense", "-3", "9 mm")
            )
            self.desk.press(Keys.ENTER)
            self.desk.chord(Keys.CONTROL, "a")
            self.desk.press(number, Keys.ENTER)

    def flip(self) -> None:
        if self.grip("switch") is not None:
            self.desk.run("document.querySelector('#handles .handle.switch')?.click()")

    def text(self) -> str:
        return str(self.desk.run("return desk.sheet.text"))

    def put(self, text: str) -> None:
        self.desk.run("desk.sheet.type(arguments[0])", text)

    def retype(self) -> None:
        """One number of the text changed a little."""
        self.put(changed(self.text(), self.random))

    def spoil(self) -> None:
        """A piece of the text lost, as by a slip, and taken back."""
        text = self.text()
        if len(text) > 20:
            at = self.random.randrange(len(text) - 10)
            self.put(text[:at] + text[at + self.random.randint(1, 10) :])
            self.settle()
            if self.random.random() < 0.8:
                self.desk.run("desk.sheet.undo()")

    def undo(self) -> None:
        for _ in range(self.random.randint(1, 6)):
            self.desk.run("desk.sheet.undo()")

    def redo(self) -> None:
        for _ in range(self.random.randint(1, 6)):
            self.desk.run("desk.sheet.redo()")

    def cut(self) -> None:
        """A slit at some corner of the outline's box, where there may be a wall."""
        if self.shape() and self.desk.run("return desk.sheet.drawing !== null"):
            x0, y0, x1, y1 = self.desk.run("return desk.sheet.drawing.bounds")
            at = [x0 + (x1 - x0) * self.random.choice((0.01, 0.3, 0.5, 0.99)),
                  y0 + (y1 - y0) * self.random.choice((0.01, 0.3, 0.5, 0.99))]  # fmt: skip
            self.desk.run("desk.sheet.edit({ do: 'slit', at: arguments[0] })", at)

    # -- the file ----------------------------------------------------------------------------------
    def save(self) -> None:
        self.desk.run("desk.keeping.save()")
        self.desk.settle()
        if self.desk.run("return document.querySelector('#naming').open"):
            self.desk.run(
                "document.querySelector('#new-name').value = arguments[0];"
                "document.querySelector('#naming button[value=save]').click()",
                f"own-{self.random.randint(1, 3)}.toml",
            )

    def outside(self) -> None:
        """Another program writes the file that is open."""
        path = self.desk.run("return desk.sheet.path")
        if path and (file := self.desk.folder / path).is_file():
            file.write_text(changed(file.read_text("utf-8"), self.random), "utf-8")

    def kill(self) -> None:
        """The solving processes, as by a crash of the mesher."""
        for pid in children(self.desk.pid):
            os.kill(pid, signal.SIGKILL)
        self.desk.wait("desk.condition.online")
        self.put(self.text() + "\n")
        # killed under a job: the page says so, and goes on with the next change
        self.desk.wait("desk.condition.online && desk.sheet.met >= desk.sheet.turn")
        self.put(self.text() + "\n")

    def close_questions(self) -> None:
        """Answer what the page asks, one way or the other."""
        for _ in range(3):
            self.desk.run(
                "const asked = document.querySelector('dialog[open]');"
                "const ways = asked ? [...asked.querySelectorAll('button')] : [];"
                "ways[Math.floor(arguments[0] * ways.length)]?.click();",
                self.random.random(),
            )

    # -- how it is looked at -----------------------------------------------------------------------
    def push(self) -> None:
        if self.shape():
            self.desk.run("desk.ways.go('push')")
            self.desk.settle()
            x, y = self.random.uniform(200, 700), self.random.uniform(200, 600)
            self.mouse("mousePressed", x, y)
            self.mouse("mouseMoved", x + 40, y - 30)
            self.mouse("mouseReleased", x + 40, y - 30)

    def beside(self) -> None:
        self.desk.run("desk.ways.go('beside')")
        if self.random.random() < 0.4:
            self.desk.run("desk.beside.clear()")
        self.desk.run("desk.beside.add('example', arguments[0])", self.random.choice(EXAMPLES))
        self.desk.settle()

    def resize(self) -> None:
        self.desk.screen(self.random.choice((360, 800, 1280, 1700)), self.random.choice((640, 900)))
        self.desk.settle()

    def paint(self) -> None:
        self.desk.theme(self.random.choice(("light", "dark")))

    def look(self) -> None:
        press = self.random.choice(("closer", "farther", "all", "lines", "script", "projector"))
        self.desk.run("document.querySelector(`[data-press=${arguments[0]}]`).click()", press)


def changed(text: str, chance: random.Random) -> str:
    """One of the text's numbers made a little larger or smaller."""
    places = list(re.finditer(r"(?<![\w.\"-])\d+(?:\.\d+)?(?![\w.\"])", text))
    if not places:
        return text + "\n"
    place = chance.choice(places)
    number = float(place[0]) * chance.choice((0.5, 0.9, 0.97, 1.03, 1.1, 2.0))
    return f"{text[: place.start()]}{number:.6g}{text[place.end() :]}"


def children(pid: int) -> list[int]:
    """Processes that a process has started."""
    found = subprocess.run(["pgrep", "-P", str(pid)], capture_output=True, text=True, check=False)
    return [int(word) for word in found.stdout.split()]
