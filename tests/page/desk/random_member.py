"""A hand that does things to members at the desk at random, as its seed says."""

from __future__ import annotations

from collections.abc import Callable

from selenium.webdriver.common.keys import Keys

from .random_hand import RandomHand
from .visit import DeskVisit

#: Members that are solved in seconds by either theory.
MEMBERS = (
    "box-without-diaphragms", "curved-box", "girder-and-joists", "girder-with-joists",
    "curved-landing", "hall-edge", "tube-with-cladding",
)  # fmt: skip
#: Keeps what the page is told of a member beside the text and the theory that it is of.
WITNESS = """
if (!window.seenMembers) {
  window.seenMembers = [];
  desk.sheet.on('result', () => {
    const { sheet } = desk;
    const { member, values, stage, deforming, alone } = sheet.result;
    if (!member || sheet.what !== 'member' || sheet.result.turn !== sheet.turn) return;
    const own = member.diagrams.find((d) => d.key === 'phi');
    const numbers = (packed) => {
      const bytes = Uint8Array.from(atob(packed.data), (c) => c.charCodeAt(0));
      return [...new Float32Array(bytes.buffer)];
    };
    const twist = { unit: own.unit, values: numbers(own.values) };
    const facts = values.map((v) => [v.symbol, v.words, v.text, v.unit]);
    const radio = document.querySelector('[name=theory]:checked')?.value;
    window.seenMembers.push({
      stage, deforming, alone, radio, twist, facts, text: sheet.text, names: member.names,
      z: numbers(member.z), along: member.unit,
    });
  });
}
"""


class RandomMemberHand(RandomHand):
    """Drags supports and loads, switches the theory, adds plates, asks for modes; now and then a
    section lies on the desk between two members."""

    def __init__(self, desk: DeskVisit, seed: int) -> None:
        super().__init__(desk, seed)
        of_members: tuple[tuple[Callable[[], None], int], ...] = (
            (self.drag_in_plan, 12), (self.nudge_in_plan, 4), (self.enter_in_plan, 4),
            (self.theory, 5), (self.put_on, 4), (self.modes, 4), (self.marker, 4),
            (self.factor, 2), (self.combination, 2), (self.turn_solid, 2),
        )  # fmt: skip
        left_out = {"push", "cut", "flip", "beside", "lesson"}
        rest = tuple((do, w) for do, w in self.actions if do.__name__ not in left_out)
        self.actions = of_members + rest

    def enter(self) -> None:
        super().enter()
        self.desk.run(WITNESS)

    def open(self) -> None:
        # sections that members name stay as they are: the command reads them again at the end
        if self.random.random() < 0.1:
            self.ask({"do": "open", "example": self.random.choice(("desk-i", "welded-box"))})
        else:
            self.ask({"do": "open", "path": f"{self.random.choice(MEMBERS)}.toml"})

    def on_member(self) -> bool:
        """Whether a member is in sight; a section on the desk gives way to one half of the time."""
        here = self.desk.run("return desk.sheet.open && desk.sheet.what === 'member'")
        if not here and self.random.random() < 0.5:
            self.open()
            here = self.desk.run("return desk.sheet.open && desk.sheet.what === 'member'")
        if here and self.desk.run("return document.body.dataset.way") != "member":
            self.desk.run("desk.ways.go('member')")
            self.desk.settle()
        return bool(here)

    # -- in plan -----------------------------------------------------------------------------------
    def grip_in_plan(self) -> tuple[float, float] | None:
        """Where some handle of the plan is on the screen."""
        if not self.on_member():
            return None
        found = self.desk.run(
            "return [...document.querySelectorAll('#member .handle')]"
            ".filter((h) => !h.hidden && h.classList.contains('value'))"
            ".map((h) => h.querySelector('.grip').getBoundingClientRect())"
            ".map((r) => [r.x + r.width / 2, r.y + r.height / 2])"
            ".filter(([x, y]) => document.elementFromPoint(x, y)?.closest('#member .handle'))"
        )
        return tuple(self.random.choice(found)) if found else None

    def drag_in_plan(self) -> None:
        at = self.grip_in_plan()
        if at is None:
            return
        (x, y), reach = at, self.random.choice((5, 40, 200))
        dx, dy = self.random.uniform(-reach, reach), self.random.uniform(-30, 30)
        self.mouse("mousePressed", x, y)
        steps = self.random.randint(1, 10)
        for k in range(1, steps + 1):
            self.mouse("mouseMoved", x + dx * k / steps, y + dy * k / steps)
        self.mouse("mouseReleased", x + dx, y + dy)

    def focus_in_plan(self) -> bool:
        if not self.on_member():
            return False
        count = self.desk.run(
            "const all = [...document.querySelectorAll('#member .handle.value')];"
            "all[Math.floor(arguments[0] * all.length)]?.focus(); return all.length",
            self.random.random(),
        )
        return bool(count)

    def nudge_in_plan(self) -> None:
        if self.focus_in_plan():
            keys = (Keys.ARROW_LEFT, Keys.ARROW_RIGHT, Keys.ARROW_UP)
            self.desk.press(*(self.random.choice(keys) for _ in range(self.random.randint(1, 4))))

    def enter_in_plan(self) -> None:
        if self.focus_in_plan():
            number = self.random.choice(
                (f"{self.random.uniform(1, 20):.3g} m", "nonsense", "-2", "40 m", "middle")
            )
            self.desk.press(Keys.ENTER)
            self.desk.chord(Keys.CONTROL, "a")
            self.desk.press(number, Keys.ENTER)

    def put_on(self) -> None:
        """A diaphragm, support or load where the marker stands."""
        if self.on_member():
            what = self.random.choice(("diaphragm", "diaphragm", "support", "load"))
            self.desk.run("document.querySelector(`[data-add=${arguments[0]}]`).click()", what)

    # -- how it is looked at -----------------------------------------------------------------------
    def theory(self) -> None:
        if self.on_member():
            name = self.random.choice(("classical", "deforming"))
            self.desk.run(
                "document.querySelector(`[name=theory][value=${arguments[0]}]`).click()", name
            )

    def modes(self) -> None:
        """Modes that swing, or the loads again."""
        if self.on_member():
            self.settle()
            self.desk.run(
                "const list = document.querySelector('#member-shown');"
                "list.value = arguments[0]; list.dispatchEvent(new Event('change'));",
                self.random.choice(("vibration", "buckling", "loads")),
            )
            if self.random.random() < 0.6:
                self.desk.wait(
                    "desk.sheet.refusal || desk.sheet.stale ||"
                    " document.querySelector('#member-shown').value === desk.member.motion.what"
                )

    def marker(self) -> None:
        if self.on_member():
            self.desk.run(
                "const s = document.querySelector('[name=marker]');"
                "if (s) { s.value = arguments[0] * s.max; s.dispatchEvent(new Event('input')); }",
                self.random.random(),
            )

    def combination(self) -> None:
        if self.on_member():
            self.desk.run(
                "const c = document.querySelector('[name=combination]');"
                "if (c) { c.selectedIndex = Math.floor(arguments[0] * c.options.length);"
                " c.dispatchEvent(new Event('change')); }",
                self.random.random(),
            )

    def factor(self) -> None:
        if self.on_member():
            self.desk.run(
                "const s = document.querySelector('#member .factor-tools input');"
                "s.value = arguments[0]; s.dispatchEvent(new Event('input'));",
                5 * self.random.random(),
            )

    def turn_solid(self) -> None:
        if self.on_member():
            self.desk.run("document.querySelector('#member .solid-paper canvas').focus()")
            self.desk.press(self.random.choice((Keys.ARROW_LEFT, Keys.ARROW_UP, Keys.ARROW_RIGHT)))
