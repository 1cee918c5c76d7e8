"""Handles of a member in plan: dragged, the file's own stations change, in their own units."""

from __future__ import annotations

import pytest
from soapfilm.desk.member_jobs import handles_in_plan, plan, request_of
from soapfilm.desk.plan_handles import plan_handles
from soapfilm.desk.sheet import TomlSheet
from soapfilm.geometry.section_file.text import parsed

from .talk import EXAMPLES


def test_stations_and_spans_of_a_girder() -> None:
    text = (EXAMPLES / "girder-with-joists.toml").read_text("utf-8")
    found = {h["at"]: h for h in plan_handles(parsed(text), 1e-3, 9.0)}  # mm shown in m
    span = found["span.1.length"]
    assert (span["value"], span["place"], span["gain"]) == (9000.0, [9.0, 0.0], 1000.0)
    assert found["spring.1.at.2"]["place"] == pytest.approx([3.0, 0.0])
    assert found["load.1.from"]["text"] == "1.5 m"
    assert not any(at.startswith("support") for at in found)  # "start" and "end" follow the span
    sheet = TomlSheet(text)
    dragged = found["spring.1.at.2"]
    sheet.set([{"at": dragged["at"], "to": dragged["value"] + dragged["gain"] * 0.25}])
    assert parsed(sheet.text)["spring"][0]["at"][1] == "3.25 m"
    sheet.set([{"at": "span.1.length", "to": span["value"] + span["gain"] * -1.0}])
    assert parsed(sheet.text)["span"][0]["length"] == "8 m"


@pytest.mark.parametrize(
    "name", ["curved-landing", "landing-ramp", "tube-with-cladding", "hall-edge"]
)
def test_what_stands_in_words_is_left_alone(name: str) -> None:
    """Every handle's value is a length that stands in the file."""
    text = (EXAMPLES / f"{name}.toml").read_text("utf-8")
    for handle in plan_handles(parsed(text), 1.0, 1e9):
        sheet = TomlSheet(text)
        sheet.set([{"at": handle["at"], "to": handle["value"]}])
        assert plan_handles(parsed(sheet.text), 1.0, 1e9) == plan_handles(parsed(text), 1.0, 1e9)


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
    last = next(h for h in handles_in_plan(job, request) if h["at"] == "span.1.length")
    assert last["place"] == pytest.approx(ends[1], abs=1e-3)
    assert abs(last["direction"][1]) == pytest.approx(1, abs=1e-3)  # across now
