"""Handles of a member in plan: dragged, the file's own stations change, in their own units."""

from __future__ import annotations

import pytest
from soapfilm.desk.adding import added
from soapfilm.desk.member_jobs import request_of
from soapfilm.desk.plan import handles_in_plan, plan
from soapfilm.desk.plan_handles import plan_handles
from soapfilm.desk.sheet import TomlSheet
from soapfilm.geometry.errors import InputError
from soapfilm.geometry.section_file.text import parsed
from soapfilm.solver.member.model.member import Member

from .talk import EXAMPLES


def test_stations_and_spans_of_a_girder() -> None:
    text = (EXAMPLES / "girder-with-joists.toml").read_text("utf-8")
    found = {h["at"]: h for h in plan_handles(parsed(text), 1e-3)}  # mm shown in m
    span = found["span.1.length"]
    assert (span["value"], span["place"], span["gain"]) == (9000.0, [9.0, 0.0], 1000.0)
    assert found["spring.1.at.2"]["place"] == pytest.approx([3.0, 0.0])
    assert found["load.1.from"]["text"] == "1.5 m"
    sheet = TomlSheet(text)
    dragged = found["spring.1.at.2"]
    sheet.set([{"at": dragged["at"], "to": dragged["value"] + dragged["gain"] * 0.25}])
    assert parsed(sheet.text)["spring"][0]["at"][1] == "3.25 m"
    sheet.set([{"at": "span.1.length", "to": span["value"] + span["gain"] * -1.0}])
    assert parsed(sheet.text)["span"][0]["length"] == "8 m"


@pytest.mark.parametrize(
    "name", ["curved-landing", "landing-ramp", "tube-with-cladding", "hall-edge"]
)
def test_a_handle_has_the_value_that_the_file_has(name: str) -> None:
    """Given it again, nothing moves; a word becomes the length that it stands for."""

    def places(text: str) -> list[tuple[str, float, list[float]]]:
        found = plan_handles(parsed(text), 1.0)
        return [(h["at"], h["value"], h["place"]) for h in found]

    text = (EXAMPLES / f"{name}.toml").read_text("utf-8")
    for at, value, _ in places(text):
        sheet = TomlSheet(text)
        sheet.set([{"at": at, "to": value}])
        assert places(sheet.text) == places(text)


def test_what_stands_in_words_follows_the_spans_until_it_is_dragged() -> None:
    found = {h["at"]: h for h in plan_handles(parsed(MEMBER), 1.0)}
    assert found["support.1.at.2"]["text"] == "end of span 1"
    assert found["support.1.at.2"]["name"] == "station of support 1, 2 of 3"
    assert found["support.1.at.3"]["place"] == pytest.approx([15, 0])
    sheet = TomlSheet(MEMBER)
    sheet.set([{"at": "support.1.at.3", "to": 14.5}])
    assert parsed(sheet.text)["support"][0]["at"] == ["start", "end of span 1", "14.5 m"]
    sheet.set([{"at": "span.1.length", "to": 7}])
    after = {h["at"]: h for h in plan_handles(parsed(sheet.text), 1.0)}
    assert after["support.1.at.2"]["place"] == pytest.approx([7, 0])
    assert after["support.1.at.3"]["place"] == pytest.approx([14.5, 0])
    one = MEMBER.replace('at = "middle"\nspan = 2', 'every = "1.5 m"\nfrom = "start of span 2"')
    spaced = {h["at"]: h for h in plan_handles(parsed(one), 1.0)}
    assert spaced["load.1.every"]["place"] == pytest.approx([7.5, 0])
    assert spaced["load.1.from"]["text"] == "start of span 2"


MEMBER = """
unit = "m"
[section.s]
shape = "HEB300"
material = "S355"
[[span]]
length = 6
[[span]]
plan = [{ straight = 4 }, { arc = "5 m", radius = "-20 m" }]
[[support]]
at = ["start", "end of span 1", "end"]
kind = "fork"
[[load]]
name = "cart"
weight = "4 kN"
at = "middle"
span = 2
place = [0.3, 0]
[[diaphragm]]
every = 1.5
thickness = "10 mm"
"""


def test_pieces_radii_and_loads_aside_are_dragged() -> None:
    """A load counts from its own span and, dragged, leaves the place that words gave it."""
    request = request_of({"text": MEMBER, "name": "m", "home": None})
    found = {h["at"]: h for h in handles_in_plan(MEMBER, request)}
    assert found["span.2.plan.1.straight"]["place"] == pytest.approx([10, 0])
    assert found["load.1.at"]["place"] == pytest.approx([10.5, 0], abs=0.01)
    assert found["load.1.at"]["value"] == pytest.approx(4.5)
    across = found["load.1.place.1"]
    assert across["place"][1] == pytest.approx(0.3, abs=0.01)
    assert across["direction"] == pytest.approx([0, 1], abs=0.03)
    assert found["diaphragm.1.every"]["place"] == pytest.approx([1.5, 0])
    # the handle of a radius moves as the middle of its arc does when the radius changes
    radius = found["span.2.plan.2.radius"]
    assert radius["value"] == -20
    step = 0.005
    moved = MEMBER.replace('"-20 m"', f'"{-20 + step * radius["gain"]} m"')
    there = request_of({"text": moved, "name": "m", "home": None})
    after = {h["at"]: h for h in handles_in_plan(moved, there)}["span.2.plan.2.radius"]
    drag = [a - b for a, b in zip(after["place"], radius["place"], strict=True)]
    assert drag == pytest.approx([step * c for c in radius["direction"]], abs=0.1 * step)
    load = plan(request)["loads"][0]
    assert load["at"] == pytest.approx(across["place"], abs=1e-6)


def test_a_curved_member_is_seen_from_above() -> None:
    """A quarter circle toward +x of the section: its end lies as far ahead as aside."""
    text = (
        'unit = "m"\n[section.s]\nshape = "HEB300"\nmaterial = "S355"\n[[span]]\n'
        'length = 15.70796\nradius = 10\n[[support]]\nat = ["start", 15.70796]\nkind = "fork"\n'
        '[self_weight]\ncase = "dead"\n'
    )
    job = {"text": text, "name": "m", "home": None}
    request = request_of(job)
    seen = plan(request)
    ends = [s["at"] for s in seen["supports"]]
    assert ends[0] == pytest.approx([0, 0], abs=1e-6)
    assert abs(ends[1][0]) == pytest.approx(10, abs=1e-3)
    assert abs(ends[1][1]) == pytest.approx(10, abs=1e-3)
    last = next(h for h in handles_in_plan(text, request) if h["at"] == "span.1.length")
    assert last["place"] == pytest.approx(ends[1], abs=1e-3)
    assert abs(last["direction"][1]) == pytest.approx(1, abs=1e-3)  # across now


@pytest.mark.parametrize("what", ["diaphragm", "support", "load"])
def test_what_is_added_stands_after_its_kind_and_can_be_moved(what: str) -> None:
    text = added(MEMBER, what, "2.5 m")
    assert all(line in text.splitlines() for line in MEMBER.splitlines())
    number = text.count(f"[[{what}]]")
    assert parsed(text)[what][number - 1]["at"] == "2.5 m"
    sheet = TomlSheet(text)
    sheet.set([{"at": f"{what}.{number}.at", "to": 2.75}])
    assert sheet.text == text.replace("2.5 m", "2.75 m")
    request = request_of({"text": sheet.text, "name": "m", "home": None})
    assert any(s == pytest.approx(2.75) for s in _stations(request.member, what))


def _stations(member: Member, what: str) -> list[float]:
    return [one.at for one in getattr(member, f"{what}s") if hasattr(one, "at")]


def test_nothing_else_is_added() -> None:
    with pytest.raises(InputError, match="by hand"):
        added(MEMBER, "section.x", "2 m")
    with pytest.raises(InputError, match="is a length"):
        added(MEMBER, "load", '2 m"\nx = "')
