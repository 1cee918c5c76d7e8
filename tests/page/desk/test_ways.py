"""Pushing, comparing, barriers, narrow and dark screens."""

from __future__ import annotations

import math

import pytest
from selenium.webdriver.common.keys import Keys
from soapfilm.geometry.section_file import section_from_toml
from soapfilm.solver.section import solve_section

from .conftest import EXAMPLES
from .visit import DeskVisit


def constant(name: str) -> tuple[float, float]:
    """J and area of a bundled section."""
    found = solve_section(section_from_toml((EXAMPLES / f"{name}.toml").read_text("utf-8")))
    return found.torsion_constant, found.area


def beside(desk: DeskVisit, *names: str) -> None:
    desk.go("beside")
    for name in names:
        desk.run("desk.beside.add('example', arguments[0])", name)
    desk.wait(f"document.querySelectorAll('.dial').length === {len(names)}")


def read(desk: DeskVisit, key: str) -> list[float]:
    return [
        float(n.get_dom_attribute("data-value") or "nan") for n in desk.all(f"[data-key={key}]")
    ]


def test_membranes_at_equal_twist_have_volumes_as_their_torsion_constants(desk: DeskVisit) -> None:
    beside(desk, "desk-i", "desk-round-tube")
    desk.run(
        "const equal = document.querySelector('#beside-equal');"
        "equal.value = 'twist'; equal.dispatchEvent(new Event('change'));"
    )
    ratio = constant("desk-round-tube")[0] / constant("desk-i")[0]
    assert read(desk, "volume")[1] == pytest.approx(ratio, rel=1e-2)
    assert read(desk, "answer")[1] == pytest.approx(ratio, rel=1e-2)


def test_the_membrane_drawn_has_the_volume_that_is_written(desk: DeskVisit) -> None:
    """Summed over the triangles and lids that are drawn: twice it is the torque (Prandtl, 1903)."""
    beside(desk, "desk-i", "desk-square-tube")
    volumes = desk.run(
        "return desk.beside.panes.map((pane) => { const v = pane.view; let sum = 0;"
        "for (let t = 0; t < v.triangles.length; t += 3) {"
        "  const [a, b, c] = [v.triangles[t], v.triangles[t + 1], v.triangles[t + 2]];"
        "  const area = ((v.x[b] - v.x[a]) * (v.y[c] - v.y[a])"
        "    - (v.x[c] - v.x[a]) * (v.y[b] - v.y[a])) / 2;"
        "  sum += Math.abs(area) * (v.h[a] + v.h[b] + v.h[c]) / 3; }"
        "return sum; })"
    )
    for volume in volumes:
        assert volume == pytest.approx(0.5, rel=0.03)


def test_sections_come_and_go_beside_a_sheet(desk: DeskVisit) -> None:
    """The fifth was refused, however many had been taken away; and sections beside counted as edits
    of the sheet: its next numbers passed for those of an edit that was not solved yet."""
    desk.file("platform-girder.toml")
    desk.go("beside")
    for _ in range(3):
        desk.run("desk.beside.clear()")
        for name in ("desk-i", "desk-cross"):
            desk.run("desk.beside.add('example', arguments[0])", name)
        desk.wait("document.querySelectorAll('.dial').length === 2")
    assert not desk.find(".beside-note").is_displayed()
    desk.go("shape")
    desk.run("desk.sheet.type(desk.sheet.text.replace('OverallDepth = 580', 'OverallDepth = 640'))")
    desk.settled()
    assert desk.run("return desk.sheet.answered === desk.sheet.turn")
    state = desk.run(
        "desk.sheet.type(desk.sheet.text.replace('OverallDepth = 640', 'OverallDepth = 600'));"
        "return document.documentElement.dataset.state"
    )
    assert state == "stale"
    desk.settled()


def test_no_slope_is_told_at_a_sharp_corner(desk: DeskVisit) -> None:
    """The membrane is steep without bound there; what the mesh shows is no number."""
    beside(desk, "desk-i", "sharp-bracket")
    words = [node.text for node in desk.all("[data-key=stress] dd")]
    assert words[0] == "1, the measure"
    assert "unbounded" in words[1]


def test_sections_scaled_to_equal_area_scale_their_constants(desk: DeskVisit) -> None:
    beside(desk, "desk-i", "platform-girder")
    desk.find("#beside-area").click()
    (_, first), (j, area) = constant("desk-i"), constant("platform-girder")
    scale = math.sqrt(first / area)
    # of the first one's size: both are in millimetres
    assert read(desk, "J")[1] == pytest.approx(j * scale**4, rel=1e-2)


def test_films_side_by_side_turn_together(desk: DeskVisit) -> None:
    beside(desk, "desk-i", "desk-cross")
    desk.run("arguments[0].focus()", desk.find(".pane canvas"))
    desk.press("\ue012")  # left arrow
    turns = desk.run("return desk.beside.panes.map((p) => p.view.turn)")
    assert turns[0] == pytest.approx(turns[1])
    assert turns[0] != pytest.approx(-0.45)


@pytest.mark.parametrize("theme", ["light", "dark"])
def test_axe_finds_no_barrier(desk: DeskVisit, theme: str) -> None:
    desk.theme(theme)
    assert desk.barriers() == []
    desk.file("welded-box.toml")
    assert desk.barriers() == []
    for way in ("push", "beside", "lessons"):
        desk.go(way)
        assert desk.barriers() == [], way


def test_it_fits_a_narrow_screen(desk: DeskVisit) -> None:
    desk.screen(340, 740)
    desk.enter().file("welded-box.toml")
    for way in ("shape", "push", "beside", "lessons"):
        desk.go(way)
        assert desk.run("return document.documentElement.scrollWidth") <= 340, way


def test_the_projector_leaves_the_drawing_and_its_numbers(desk: DeskVisit) -> None:
    desk.file("platform-girder.toml")
    desk.find("[data-press=projector]").click()
    assert not desk.find("#text").is_displayed()
    assert desk.find("#stage").is_displayed()
    assert desk.find(".reading").is_displayed()
    assert float(desk.run("return parseFloat(getComputedStyle(document.body).fontSize)")) >= 20
    assert desk.barriers() == []


def test_a_force_through_the_shear_centre_does_not_twist(desk: DeskVisit) -> None:
    desk.file("platform-girder.toml")
    desk.go("push")
    desk.wait("desk.push.pushed !== null && desk.push.root.dataset.waiting === 'no'")
    assert max(abs(a) for a in desk.run("return desk.push.pushed.twist")) > 1e-6
    desk.find("[data-press=push-centre]").click()
    desk.settle()
    desk.wait("desk.push.root.dataset.waiting === 'no'")
    assert max(abs(a) for a in desk.run("return desk.push.pushed.twist")) < 1e-12
    assert max(abs(a) for a in desk.run("return desk.push.pushed.v")) > 0
    assert "does not twist" in desk.find(".push-words").text


def test_a_cut_lets_a_closed_section_fall_and_undo_closes_it(desk: DeskVisit) -> None:
    desk.file("closed-girder.toml")
    closed = desk.value("J")["lower"]
    desk.find("[data-press=slit]").click()
    # the middle of a side plate and of the other: two cells, so that one cut leaves one closed
    # one by a click there, the other by keys: arrows move the cross hair, Enter cuts
    x, y = desk.run(
        "const b = document.querySelector('#stage').getBoundingClientRect();"
        "const [x, y] = desk.stage.view.toScreen(-100, 60); return [b.x + x, b.y + y];"
    )
    for kind in ("mousePressed", "mouseReleased"):
        event = {"type": kind, "x": x, "y": y, "button": "left", "clickCount": 1}
        desk.browser.execute_cdp_cmd("Input.dispatchMouseEvent", event)
    desk.wait("desk.sheet.text.includes('cut by hand')")
    desk.settled()
    desk.run("document.querySelector('#stage').focus()")
    steps = round(desk.run("return 100 * desk.stage.view.scale / 4"))
    desk.press(*[Keys.ARROW_UP] * 10, *[Keys.ARROW_RIGHT] * steps, Keys.ENTER)
    desk.wait("desk.sheet.text.match(/cut by hand/g).length === 2")
    desk.settled()
    assert desk.value("J")["upper"] < closed / 50
    assert " of what it was" in desk.find("#reading-mark").text
    desk.find("[data-press=undo]").click()
    desk.find("[data-press=undo]").click()
    desk.settled()
    assert desk.value("J")["lower"] == pytest.approx(closed, rel=1e-6)


def test_a_second_click_at_the_same_place_closes_a_cut(desk: DeskVisit) -> None:
    """The corners of the cut lay before it as handles, and took the click and the wheel."""
    desk.ask(do="open", example="desk-round-tube")
    closed = desk.value("J")["lower"]
    desk.find("[data-press=slit]").click()

    def act(*kinds: str, **more: float) -> None:
        x, y = desk.run(
            "const box = document.querySelector('#stage')"
            ".getBoundingClientRect(); const [x0, , x1] = desk.sheet.drawing.bounds;"
            "const [px, py] = desk.stage.view.toScreen(0.999 * x1, (x0 + x1) / 2);"
            "return [box.x + px, box.y + py];"
        )
        for kind in kinds:
            event = {"type": kind, "x": x, "y": y, "button": "left", "clickCount": 1, **more}
            desk.browser.execute_cdp_cmd("Input.dispatchMouseEvent", event)

    act("mousePressed", "mouseReleased")
    desk.wait("desk.sheet.turn === desk.sheet.answered && desk.sheet.text.includes('cut by hand')")
    desk.settled()
    assert desk.value("J")["upper"] < closed / 50
    act("mouseWheel", deltaX=0, deltaY=-400)
    desk.wait("desk.stage.view.zoom > 2")
    desk.find("[data-press=all]").click()
    act("mousePressed", "mouseReleased")
    desk.wait("!desk.sheet.text.includes('cut by hand')")
    desk.settled()
    assert desk.value("J")["lower"] == pytest.approx(closed, rel=1e-6)


LESSON = {
    "kind": "lesson",
    "name": "first",
    "number": 1,
    "title": "Open against closed",
    "question": "Which turns further?",
    "choices": ["the tube", "the I"],
    "right": 1,
    "steps": ["Look at both."],
    "answer": ["The I."],
    "view": "section",
}


def test_a_lesson_asks_first_and_answers_when_asked(desk: DeskVisit) -> None:
    text = (EXAMPLES / "desk-i.toml").read_text("utf-8")
    lesson = LESSON | {"sheets": [{"name": "the I", "text": text}]}
    desk.run("desk.take(arguments[0])", lesson)
    desk.settled()
    assert desk.run("return document.body.dataset.way") == "shape"
    assert "Which turns further?" in desk.find("#lesson-strip").text
    assert "The I." not in desk.find("#lesson-strip").text
    desk.all(".choice")[0].click()
    assert desk.all(".choice")[0].get_attribute("aria-pressed") == "true"
    desk.find("#lesson-strip [aria-expanded]").click()
    assert "The I." in desk.find("#lesson-strip").text
    assert "right" in desk.all(".choice")[1].text
    assert desk.barriers() == []


def test_parts_in_contact_are_not_pushed(desk: DeskVisit) -> None:
    """They have no common shear centre: the page says so in words, and nothing is drawn of it."""
    desk.file("welded-box.toml")
    desk.go("push")
    desk.wait("desk.push.pushed !== null && desk.push.root.dataset.waiting === 'no'")
    desk.run("desk.sheet.type(desk.sheet.text.replaceAll('leg = 6', 'leg = 6\\nmade = false'))")
    desk.settled()
    desk.wait("desk.push.root.dataset.waiting === 'no'")
    assert "in contact only" in desk.find(".push-words").text
