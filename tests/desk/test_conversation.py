"""The desk as its page uses it, over the socket of a running one."""

from __future__ import annotations

import base64
import json
import math
import shutil
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

from .talk import EXAMPLES, Talk, running, talking

GIRDER = "welded-box.toml"


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder with examples of its own."""
    found = tmp_path_factory.mktemp("desk")
    for name in (GIRDER, "girder-with-joists.toml", "platform-girder.toml", "closed-girder.toml"):
        shutil.copy(EXAMPLES / name, found)
    return found


@pytest.fixture(scope="module")
def address(folder: Path) -> Iterator[str]:
    """A desk on it."""
    with running(folder) as found:
        yield found


@pytest.fixture
def talk(address: str) -> Iterator[Talk]:
    """A page's end of a socket."""
    with talking(address) as found:
        yield found


def _command(path: Path) -> dict[str, float]:
    done = subprocess.run(
        [sys.executable, "-m", "soapfilm.cli", "section", str(path), "--json"],
        capture_output=True, text=True, check=True,
    )  # fmt: skip
    found: dict[str, float] = json.loads(done.stdout)
    return found


def test_what_is_offered(talk: Talk) -> None:
    talk.say("list")
    files = talk.hear("files")
    assert {f["path"]: f["what"] for f in files["files"]} == {
        GIRDER: "section", "girder-with-joists.toml": "member",
        "platform-girder.toml": "section", "closed-girder.toml": "section",
    }  # fmt: skip
    assert {e["name"] for e in files["examples"]} >= {"welded-box", "landing-deck"}
    assert {"W10X49", "HEB300"} <= set(files["shapes"])


def test_an_edit_is_solved_saved_and_is_what_the_command_says(talk: Talk, folder: Path) -> None:
    """Drag, save, and ask the command about the file."""
    talk.say("open", path=GIRDER)
    before = talk.solved()["J"]
    talk.say("set", changes=[{"at": "plate.3.thickness", "to": 9.5}])
    sheet = talk.hear("sheet")
    assert sheet["dirty"] is True
    after = talk.solved()["J"]
    assert after["lower"] > before["upper"]
    talk.say("save")
    assert talk.hear("saved")["path"] == GIRDER
    text = (folder / GIRDER).read_text("utf-8")
    assert text == sheet["text"]
    assert "# From outside and from inside" in text
    answer = json.dumps(_command(folder / GIRDER))
    shown = json.loads(answer)
    lower, upper = _bounds(shown)
    assert after["lower"] == pytest.approx(lower, rel=1e-12)
    assert after["upper"] == pytest.approx(upper, rel=1e-12)


def _bounds(record: object) -> tuple[float, float]:
    """J's ends wherever the record has them."""
    if isinstance(record, dict):
        if {"lower", "upper"} <= set(record):
            return record["lower"], record["upper"]
        for value in record.values():
            try:
                return _bounds(value)
            except LookupError:
                continue
    raise LookupError


def test_an_edit_from_outside_is_told_and_not_written_over(talk: Talk, folder: Path) -> None:
    shutil.copy(EXAMPLES / GIRDER, folder / "mine.toml")
    talk.say("open", path="mine.toml")
    talk.solved()
    with (folder / "mine.toml").open("a") as file:
        file.write("# theirs\n")
    outside = talk.hear("changed-outside")
    assert outside["text"].endswith("# theirs\n")
    talk.say("set", changes=[{"at": "plate.3.thickness", "to": 9}])
    talk.say("save")
    conflict = talk.hear("conflict", "saved")
    assert conflict["kind"] == "conflict"
    assert conflict["text"].endswith("# theirs\n")
    assert (folder / "mine.toml").read_text().endswith("# theirs\n")
    talk.say("save", overwrite=True)
    talk.hear("saved")
    assert "# theirs" not in (folder / "mine.toml").read_text()
    (folder / "mine.toml").unlink()


def test_following_an_edit_from_outside(talk: Talk, folder: Path) -> None:
    """A page without edits of its own takes the file's text over, and may save at once."""
    shutil.copy(EXAMPLES / GIRDER, folder / "mine.toml")
    talk.say("open", path="mine.toml")
    talk.solved("coarse")
    text = (folder / "mine.toml").read_text() + "# theirs\n"
    (folder / "mine.toml").write_text(text)
    assert talk.hear("changed-outside")["text"] == text
    talk.say("text", text=text)
    assert talk.hear("sheet")["dirty"] is False
    talk.say("save")
    talk.hear("saved")
    (folder / "mine.toml").unlink()


def test_a_drawing_that_is_dropped_becomes_a_sheet(talk: Talk, folder: Path) -> None:
    words = b"POLYGON((0 0, 120 0, 120 10, 10 10, 10 80, 0 80, 0 0))"
    data = base64.b64encode(words).decode("ascii")
    talk.say("drop", name="angle.wkt", data=data)
    assert talk.hear("refused")["needs"] == "unit"
    talk.say("drop", name="angle.wkt", data=data, unit="mm")
    assert "[[outline]]" in talk.hear("sheet")["text"]
    assert talk.solved()["A"]["value"] == pytest.approx(120 * 10 + 70 * 10)
    talk.say("save", path="angle.toml")
    talk.hear("saved")
    assert _bounds(_command(folder / "angle.toml"))[0] > 0
    (folder / "angle.toml").unlink()


@pytest.mark.parametrize(
    ("name", "data"), [("a.exe", b"MZ"), ("a.dxf", b"\x00"), ("a.svg", b"<svg")]
)
def test_what_is_no_drawing_is_refused_in_words(talk: Talk, name: str, data: bytes) -> None:
    talk.say("drop", name=name, data=base64.b64encode(data).decode("ascii"), unit="mm")
    refused = talk.hear("refused")
    assert name in refused["words"]
    assert "/tmp" not in refused["words"]


def test_a_cut_lets_the_stiffness_fall_and_closing_it_brings_it_back(talk: Talk) -> None:
    """A tube's J falls to that of a strip, l t^3 / 3 - 0.21 t^4 (Timoshenko & Goodier, Theory of
    Elasticity, 3rd ed., art. 109, its ends included), and returns."""
    talk.say(
        "text",
        text='unit = "mm"\n[[shape]]\nprofile = "CircleHollow"\nRadius = 100\nWallThickness = 5\n',
    )
    closed = talk.solved()["J"]["value"]
    talk.say("slit", at=[98, 0])
    cut = talk.solved()["J"]["value"]
    assert closed > 1000 * cut
    assert cut == pytest.approx((2 * math.pi * 97.5 - 0.1) * 5**3 / 3 - 0.21 * 5**4, rel=1e-3)
    talk.say("slit", at=[98, 0])
    assert talk.solved()["J"]["value"] == pytest.approx(closed, rel=1e-6)
    talk.say("slit", at=[0, 0])
    assert "no wall" in talk.hear("refused")["words"]


def test_welds_that_are_taken_away(talk: Talk) -> None:
    """One of the upper welds opens the box; without any the plates twist side by side, and their J
    is the sum of theirs."""
    talk.say("open", example="welded-box")
    closed = talk.solved()["J"]["value"]
    talk.say("set", changes=[{"at": "weld.1.made", "to": False}])
    opened = talk.solved()["J"]["value"]
    assert closed > 100 * opened
    talk.say("set", changes=[{"at": f"weld.{k}.made", "to": False} for k in (2, 3, 4)])
    parts = talk.solved()
    assert parts["J"]["value"] < opened
    assert parts["C_w"]["refusal"]


def test_a_push_while_moving_and_at_rest(talk: Talk) -> None:
    talk.say("open", designation="HEB300")
    talk.solved()
    talk.say("push", force=[0, -10000], at=[150, 0], length="4 m", count=5)
    pushed = talk.hear("pushed")
    assert (pushed["stage"], pushed["count"], pushed["turn"]) == ("full", 5, talk.turn)
    assert pushed["torque"] == pytest.approx(-1.5)
    assert len(pushed["rows"]) == 4


def test_side_by_side(talk: Talk) -> None:
    for k, what in enumerate(
        ({"designation": "HEB300"}, {"example": "landing-deck"}, {"path": GIRDER})
    ):
        talk.say("beside", k=k, **what)
        answer = talk.hear("beside", "refused")
        assert (answer["kind"], answer["k"]) == ("beside", k)
        assert answer["values"][0]["symbol"] == "J"
    talk.say("beside", k=3, text="nonsense")
    refused = talk.hear("beside", "refused")
    assert (refused["kind"], refused["k"]) == ("refused", 3)


def test_a_member_by_both_theories(talk: Talk) -> None:
    talk.say("open", path="girder-with-joists.toml")
    assert talk.hear("sheet")["what"] == "member"
    plan = talk.hear("plan", "refused")["plan"]
    assert [s["at"] for s in plan["supports"]] == pytest.approx([0, plan["length"]])
    coarse = talk.hear("result", "refused", stage="coarse")
    full = talk.hear("result", "refused", stage="full")
    assert (coarse["deforming"], full["deforming"]) == (True, True)
    # at first glance the sections deform already, and no stress is told that does not know of it
    known = {value["words"]: value["text"] for value in coarse["values"]}
    assert known["peak von Mises stress"] == known["largest twist"] == "…"
    assert [d["key"] for d in coarse["member"]["diagrams"]].count("von Mises") == 0
    assert coarse["member"]["shape"]["factor"] > 0
    assert full["member"]["shape"]["count"] > 0
    talk.say("modes")
    assert talk.hear("modes", "refused")["modes"]["words"][0].startswith("mode 1")


@pytest.mark.parametrize(
    ("what", "begins"),
    [("svg", b"<?xml"), ("png", b"\x89PNG"), ("pdf", b"%PDF"), ("report", b"<!doctype html>")],
)
def test_what_is_seen_is_exported(talk: Talk, what: str, begins: bytes) -> None:
    """The page brings what it has on its screen; the report is the worker's own."""
    talk.say("open", example="platform-girder")
    talk.solved("coarse")
    line = {"path": ["M", 1, 1, "L", 9, 9], "stroke": [0, 0, 0, 1], "width": 1, "alpha": 1}
    copy = json.dumps({"width": 10, "height": 10, "marks": [line]})
    talk.say("export", what=what, copy=copy, called="platform girder")
    found = talk.hear("exported", "refused", "failed")
    assert found["kind"] == "exported", found
    assert base64.b64decode(found["data"]).lower().startswith(begins.lower())
    assert found["name"].startswith("platform girder.")
    talk.say("export", what="svg")
    assert "on its screen" in talk.hear("refused", "exported")["words"]


def test_a_line_that_broke_is_taken_up_again(address: str) -> None:
    text = (EXAMPLES / GIRDER).read_text("utf-8") + "# unsaved\n"
    with talking(address) as talk:
        talk.say("resume", path=GIRDER, text=text)
        sheet = talk.hear("sheet")
        assert (sheet["path"], sheet["dirty"], sheet["text"]) == (GIRDER, True, text)
        assert talk.solved()["J"]["value"] > 0


def test_lessons_are_listed_and_told(talk: Talk) -> None:
    talk.say(do="lessons")
    names = [lesson["name"] for lesson in talk.hear("lessons")["lessons"]]
    assert len(names) == 10
    talk.say(do="lesson", name=names[2])
    lesson = talk.hear("lesson")
    assert lesson["push"]["force"] == [0, -2000]
    assert lesson["sheets"][0]["name"] == "channel"
    talk.say(do="lesson", name="eleven")
    assert "no lesson" in talk.hear("refused")["words"]
