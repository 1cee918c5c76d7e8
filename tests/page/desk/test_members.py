"""Members at the desk: seen as they deform, added to, left again; and texts undone without end."""

from __future__ import annotations

from selenium.webdriver.common.keys import Keys

from .conftest import EXAMPLES
from .visit import DeskVisit

BOX = EXAMPLES.parents[1] / "desk" / "lessons" / "box-without-diaphragms.toml"


def lozenge(desk: DeskVisit) -> float:
    """How far the diagonals of the section that is drawn at the marker differ, as a share of one;
    a section that only turns keeps them alike."""
    return float(
        desk.run(
            "const d = document.querySelector('.deformed .moved').getAttribute('d');"
            "const p = d.match(/-?[\\d.e+-]+ -?[\\d.e+-]+/g).map((t) => t.split(' ').map(Number));"
            "const far = (a, b) => p.reduce((m, q) => a * q[0] + b * q[1] > a * m[0] + b * m[1]"
            "  ? q : m);"
            "const size = (m, n) => Math.hypot(m[0] - n[0], m[1] - n[1]);"
            "const [u, v] = [size(far(1, 1), far(-1, -1)), size(far(1, -1), far(-1, 1))];"
            "return Math.abs(u - v) / u;"
        )
    )


def lesson(text: str) -> dict[str, object]:
    """A lesson of one member."""
    return {
        "kind": "lesson", "name": "own", "number": 1, "title": "A box", "question": "What of it?",
        "view": "member", "sheets": [{"name": "box girder", "text": text}],
    }  # fmt: skip


def test_a_member_is_added_to_and_left_again(desk: DeskVisit) -> None:
    """With sections that keep their shape: solved in a moment."""
    text = BOX.read_text("utf-8") + '[analysis]\nsections = "keep their shape"\n'
    desk.run("desk.take(arguments[0])", lesson(text))
    desk.settled()
    assert desk.find("#file-name").text == "box girder"
    assert desk.find("#text").is_displayed()
    assert not desk.run("return desk.sheet.dirty")
    assert lozenge(desk) < 0.01
    assert float(desk.run("return desk.member.motion.factor")) > 1
    desk.run("desk.member.shown.go(5)")
    desk.find("[data-add=support]").click()
    desk.settled()
    assert 'at = "5 m"' in desk.text
    assert desk.run("return desk.sheet.plan.supports.length") == 3
    assert any("station of post" in (h.get_attribute("aria-label") or "")
               for h in desk.all("#member .handle"))  # fmt: skip
    assert desk.barriers() == []
    # a support in words is dragged: it becomes a length, and undo brings the word back
    before = desk.text
    desk.drag(desk.handle("station of pier, 2 of 2"), -60, 0)
    desk.settled()
    assert 'at = ["start", "end"]' not in desk.text
    assert desk.run("return Math.max(...desk.sheet.plan.supports.map((s) => s.at))") < 20
    desk.undo()
    desk.settled()
    assert desk.text == before
    # a bare number that is typed has the unit that the handle shows, which is the file's own
    span = desk.handle("length of span 1")
    assert span.text == "20 m"
    desk.run("arguments[0].focus()", span)
    desk.press("2", "1", Keys.ENTER)
    desk.settled()
    assert 'length = "21 m"' in desk.text
    # another member: no number of the one before stands under it until its own are there
    desk.run(
        "desk.sheet.on('opened', () => {"
        "window.left = document.querySelectorAll('.member-facts .reading').length; })"
    )
    desk.run("desk.take(arguments[0])", lesson(text.replace("100 kN", "90 kN")))
    desk.settled()
    assert desk.run("return window.left") == 0
    assert desk.all(".member-facts .reading")
    # a section that is laid down now takes the member's place on the screen
    desk.run("desk.lessons.end()")
    desk.ask(do="open", example="desk-i")
    assert desk.find("#stage").is_displayed()
    assert not desk.find("#member").is_displayed()


def test_a_member_of_fewer_combinations_takes_anothers_place(desk: DeskVisit) -> None:
    """Its shape was drawn under a combination that it does not have: a path of no numbers, which
    the browser complains of."""
    text = BOX.read_text("utf-8") + '[analysis]\nsections = "keep their shape"\n'
    more = "".join(f'\n[[combination]]\nname = "{n}"\nfactors = {{ load = {n} }}\n' for n in (1, 2))
    desk.run("desk.take(arguments[0])", lesson(text + more))
    desk.settled()
    desk.run(
        "const list = document.querySelector('[name=combination]');"
        "list.selectedIndex = 1; list.dispatchEvent(new Event('change'));"
    )
    desk.run("desk.take(arguments[0])", lesson(text))
    desk.settled()
    path = desk.run("return document.querySelector('.deformed .moved').getAttribute('d')")
    assert path
    assert "NaN" not in path


def test_a_box_without_diaphragms_becomes_a_lozenge_until_one_is_added(desk: DeskVisit) -> None:
    desk.run("desk.take(arguments[0])", lesson(BOX.read_text("utf-8")))
    desk.settled()
    open_box = lozenge(desk)
    assert open_box > 0.05
    factor = desk.run("return desk.member.motion.factor")
    # a plate at midspan, where the marker stands, holds the shape; the factor is the same
    desk.run("desk.member.shown.go(10)")
    desk.find("[data-add=diaphragm]").click()
    desk.settled()
    assert desk.run("return desk.member.motion.factor") == factor
    assert lozenge(desk) < open_box / 10
    desk.undo()
    desk.settled()
    desk.find("[name=theory][value=classical]").click()
    desk.settled()
    assert lozenge(desk) < 0.01


def test_texts_are_undone_and_redone_without_end(desk: DeskVisit) -> None:
    """A thousand edits at random places, those of one gesture one step back and forth."""
    found = desk.browser.execute_async_script(
        "const done = arguments[0]; import('./assets/history.js').then(({ History }) => {"
        "let s = 7; const some = (n) => { s = (s * 48271) % 2147483647; return s % n; };"
        "let text = 'abc\\n'.repeat(40); const history = new History(text); const texts = [text];"
        "for (let k = 0; k < 1000; k += 1) {"
        "  const at = some(text.length + 1);"
        "  text = text.slice(0, at) + 'xyz'.slice(some(3)) + k + text.slice(at + some(4));"
        "  history.take(text, k % 5 ? `drag ${Math.floor(k / 5)}` : `drag ${k / 5}`);"
        "  if (k % 5 === 4) texts.push(text); }"
        "const back = [...texts].reverse().slice(1).every((t) => history.undo() === t);"
        "const end = history.undo() === null && !history.canUndo;"
        "const forth = texts.slice(1).every((t) => history.redo() === t);"
        "done([back, end, forth, history.redo() === null, history.steps.length]); });"
    )
    assert found == [True, True, True, True, 200]


def test_a_finger_drags_a_thickness_and_a_force(desk: DeskVisit) -> None:
    desk.file("platform-girder.toml")
    before = desk.text
    desk.swipe(desk.handle("flange thickness"), 0, -14)
    desk.settled()
    assert desk.text != before
    desk.undo()
    desk.settled()
    assert desk.text == before
    desk.go("push")
    desk.wait("desk.push.pushed !== null && desk.push.root.dataset.waiting === 'no'")
    place = desk.run("return desk.push.force.at[0]")
    desk.swipe(desk.find(".force.foot"), -40, 0)
    assert desk.run("return desk.push.force.at[0]") < place


def test_a_push_is_held_by_a_joint_of_a_file(desk: DeskVisit) -> None:
    joint = "girder end"
    desk.file("platform-girder.toml")
    desk.go("push")
    desk.wait("desk.push.pushed !== null && desk.push.root.dataset.waiting === 'no'")
    assert "bolt row 4" in desk.find(".push-rows").text
    desk.run(
        "const list = document.querySelector('#push-joint');"
        "list.value = [...list.options].find((o) => o.text === arguments[0]).value;"
        "list.dispatchEvent(new Event('change'));",
        joint,
    )
    desk.settle()
    desk.wait("desk.push.root.dataset.waiting === 'no'")
    assert "one bolt" in desk.find(".push-rows").text
    assert joint in desk.find(".push-basis").text
    assert desk.barriers() == []
