"""Lessons: their words are read, and every number in an answer is what the solver gives."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest
import soapfilm as sf
from soapfilm.desk.lesson import (
    EQUALS,
    VIEWS,
    lesson_message,
    lessons_of,
    listed,
    offered,
    shelf,
)
from soapfilm.geometry.errors import InputError

HOME = Path(__file__).parent.parent.parent / "desk" / "lessons"
LESSONS = lessons_of()
ANSWERS = {lesson.name: " ".join(lesson.answer) for lesson in LESSONS}


#: Whose twist of these members is within 3 % of that of sections that deform.
CLASSICAL = '\n[analysis]\nsections = "keep their shape"\n'


def _solved(name: str) -> sf.SectionSolution:
    return sf.solve(HOME / name)


def _ratio(stiff: str, soft: str) -> float:
    """Of J at equal area: J grows with the fourth power of size."""
    a, b = _solved(stiff), _solved(soft)
    return float(a.J) / float(b.J) * (float(b.A) / float(a.A)) ** 2


def test_there_are_ten_each_with_a_question_and_one_right_guess() -> None:
    assert len(LESSONS) == 10
    for lesson in LESSONS:
        assert lesson.view in VIEWS
        assert lesson.equal in (*EQUALS, None)
        assert lesson.question.endswith("?")
        assert len(lesson.choices) >= 2
        assert lesson.right in range(len(lesson.choices))
        assert 2 <= len(lesson.steps) <= 4
        assert sum(len(p) for p in lesson.answer) < 900  # one screen
        assert all(text.startswith("# Lesson: ") for _, text in lesson.sheets)


def test_messages_are_plain(tmp_path: Path) -> None:
    assert [entry["number"] for entry in listed(LESSONS)] == list(range(1, 11))
    for lesson in LESSONS:
        text = json.dumps(lesson_message(LESSONS, lesson.name))
        assert json.loads(text)["sheets"][0]["text"]
    with pytest.raises(InputError, match="no lesson 'eleven'"):
        lesson_message(LESSONS, "eleven")


def test_open_against_closed() -> None:
    assert _ratio("closed-tube.toml", "open-i.toml") == pytest.approx(175, abs=1)
    assert "175 times" in ANSWERS["01-open-or-closed"]


def test_lever_arm() -> None:
    """Thin strips: b t^3 / 3, arm 2 t / 3 (any textbook); ends take a few per cent."""
    strip, wide, thick = (_solved(f"{w}.toml") for w in ("strip", "wide-strip", "thick-strip"))
    assert float(wide.J) / float(strip.J) == pytest.approx(2, rel=0.02)
    assert float(thick.J) / float(strip.J) == pytest.approx(8, rel=0.04)
    assert strip["mean_lever_arm"] == pytest.approx(6.5, abs=0.05)
    assert "6.5 mm" in ANSWERS["02-lever-arm"]


def test_channel() -> None:
    channel = _solved("channel.toml")
    outside = channel.section.bounds()[0] - channel.shear_centre[0]
    assert outside == pytest.approx(24.6, abs=0.05)
    assert "28.6 mm from the middle of the web" in ANSWERS["03-push-a-channel"]
    assert "24.6 mm outside its back" in ANSWERS["03-push-a-channel"]


def test_slit_tube() -> None:
    tube = _solved("round-tube.toml")
    assert float(tube.J) == pytest.approx(18.85e6, abs=5e3)
    cut = sf.solve((HOME / "round-tube.toml").read_text("utf-8") + SLIT)
    assert float(cut.J) == pytest.approx(5640, rel=0.005)  # 2 pi r t^3 / 3 = 5655
    assert "18.85 million" in ANSWERS["04-slit-tube"]
    assert "5,640 mm⁴" in ANSWERS["04-slit-tube"]


SLIT = """
[[outline]]
name = "slit"
points = [[95, -0.01], [105, -0.01], [105, 0.01], [95, 0.01]]
combine = "cut"
"""


def test_round_against_square() -> None:
    assert _ratio("round-tube.toml", "square-tube.toml") == pytest.approx(1.58, abs=0.005)
    assert "1.58" in ANSWERS["05-round-or-square"]


def test_what_the_end_holds() -> None:
    (lesson,) = (one for one in LESSONS if one.name == "06-what-the-end-holds")
    assert lesson.push is not None
    force, (arm, _) = -lesson.push["force"][1], lesson.push["at"]
    assert force * arm == pytest.approx(1e6)  # N mm
    assert force * 3000 == pytest.approx(30e6)
    assert "30 kN·m" in ANSWERS[lesson.name]


@pytest.mark.parametrize(
    ("line", "twist"),
    [('joint = "fin"', 2.4), ('joint = "angles"', 1.8), ('connection = "rigid"', 0.15)],
)
def test_joists(line: str, twist: float) -> None:
    text = (HOME / "girder-and-joists.toml").read_text("utf-8")
    found = sf.solve(re.sub('(?m)^joint = "fin".*$', line, text) + CLASSICAL, remedies=False)
    (row,) = found.limits
    assert row["value"] == pytest.approx(twist, rel=0.03)
    assert f"{twist}°" in ANSWERS["07-joists-on-one-side"]


def test_distortion() -> None:
    """What the corners do is the deforming theory's; the classical one knows the beam alone."""
    text = (HOME / "box-without-diaphragms.toml").read_text("utf-8")
    added = '\n[[diaphragm]]\nat = "10 m"\nthickness = "10 mm"\n'
    free, held = (sf.solve(text + more, remedies=False).text() for more in ("", added))
    assert "its sides go down by 22.3 and 14 mm" in " ".join(free.split())
    (row,) = (line.split() for line in held.splitlines() if line.startswith("load  ")
              and line.count(".") >= 4 and "18.43" in line)  # fmt: skip
    assert float(row[3]) == pytest.approx(18.4, abs=0.06)
    assert "22.3 mm" in ANSWERS["09-distortion"]
    assert "18.4 mm" in ANSWERS["09-distortion"]


def test_membrane() -> None:
    assert _ratio("solid-round.toml", "solid-cross.toml") == pytest.approx(9, abs=0.1)
    assert _solved("solid-cross.toml").W_T.value is None


@pytest.mark.parametrize(("radius", "torque", "twist"), [("20 m", 91, 2.4), ("40 m", 43, 1.1)])
def test_curved_deck(radius: str, torque: float, twist: float) -> None:
    text = (HOME / "curved-box.toml").read_text("utf-8").replace("20 m", radius)
    found = sf.solve(text + CLASSICAL, remedies=False)
    assert abs(found.largest("T").value) == pytest.approx(torque, abs=0.5)
    assert abs(found.largest("twist").value) == pytest.approx(twist, rel=0.05)
    assert f"{torque} kN·m" in ANSWERS["08-curved-deck"]


# -- lessons of one's own ------------------------------------------------------------------------
OWN = """+++
view = "section"
sheets = ["tube.toml"]
+++
# A lesson of mine

What is J?

## Try it

1. Read it.

## The answer

It stands there.
"""


def _own(folder: Path, text: str = OWN) -> None:
    (folder / "mine.md").write_text(text, "utf-8")
    (folder / "tube.toml").write_text((HOME / "round-tube.toml").read_text("utf-8"), "utf-8")


def test_lessons_of_the_open_folder_come_first(tmp_path: Path) -> None:
    _own(tmp_path)
    (tmp_path / "notes.md").write_text("# Notes\n\nNo lesson.\n", "utf-8")
    found = shelf(tmp_path)
    assert [lesson.name for lesson in found[:2]] == ["mine", "01-open-or-closed"]
    assert found[0].right is None
    assert found[0].answer == ("It stands there.",)


@pytest.mark.parametrize(
    ("old", "new", "words"),
    [
        ('view = "section"', 'view = "cinema"', "view must be one of section"),
        ('view = "section"', 'look = "section"', "'look' is not a key of a lesson"),
        ('["tube.toml"]', '["../tube.toml"]', "name a .toml file beside the lesson"),
        ('["tube.toml"]', '["pipe.toml"]', "pipe.toml"),
        ('sheets = ["tube.toml"]', "", "sheets is missing"),
        ("## Try it", "## Do", "headings '## Try it'"),
        ("# A lesson of mine", "A lesson of mine", "begins with its title"),
        ("What is J?", "", "the question is missing"),
        ("What is J?", "What is J?\n\n- [ ] 1\n- [ ] 2", "mark one guess"),
        ("+++\n# A", "# A", "has no end"),
        ("sheets", "push = 3\nsheets", r"\[push\] has force"),
    ],
)
def test_mistakes_are_named_by_file(tmp_path: Path, old: str, new: str, words: str) -> None:
    assert old in OWN
    _own(tmp_path, OWN.replace(old, new, 1))
    with pytest.raises(InputError, match=words) as caught:
        shelf(tmp_path)
    assert str(caught.value).startswith("mine.md: ")


def test_a_mistake_in_ones_own_lesson_leaves_the_others(tmp_path: Path) -> None:
    _own(tmp_path, OWN.replace("sheets", "push = 3\nsheets", 1))
    found, fault = offered(tmp_path)
    assert [lesson.name for lesson in found] == [lesson.name for lesson in lessons_of()]
    assert fault.startswith("mine.md: ")
