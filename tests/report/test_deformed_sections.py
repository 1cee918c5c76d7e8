"""The deformed sections of a member, in its figure and under the marker of its page."""

from __future__ import annotations

import base64
from dataclasses import replace
from functools import cache
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from soapfilm.report.member.deformed_sections import shown_stations
from soapfilm.report.member.deforming import parting_words
from soapfilm.report.member.figure import plot_member
from soapfilm.report.member.units import MemberUnits
from soapfilm.report.page.live_member import member_data
from soapfilm.solver.member.deforming.shapes import shape_at, without_mean
from soapfilm.solver.member.file import member_from_toml
from soapfilm.solver.member.review.assessment import Assessment, assess

BOX = """
unit = "mm"
[section.box]
unit = "mm"
[section.box.material.steel]
E = "210 GPa"
nu = 0.3
[[section.box.outline]]
points = [[-1000, -500], [1000, -500], [1000, 500], [-1000, 500]]
holes = [[[-980, -480], [980, -480], [980, 480], [-980, 480]]]
[[span]]
length = "30 m"
[[support]]
at = ["start", "end"]
kind = "fork"
[[load]]
at = "12 m"
weight = "500 kN"
place = [990, 500]
"""


@cache
def box(keep: bool = False) -> Assessment:
    """An eccentric load on a box without diaphragms but at its ends."""
    more = '[analysis]\nsections = "keep their shape"' if keep else ""
    return assess(member_from_toml(BOX + more, name="box", folder=Path()), cures=False)


def test_the_border_moves_as_the_solution_says() -> None:
    found = box().deformed
    assert found is not None
    solution = found.solution
    shape = shape_at(solution, 12_000.0)
    _, a, _ = solution.functions([12_000.0])
    moved = shape.moved(a[0, :, 0])
    for corner in ([-1000.0, 500.0], [1000.0, -500.0], [980.0, 480.0]):
        place = np.argwhere(np.linalg.norm(shape.edges - corner, axis=2) < 1e-6)[0]
        exact = solution.displacement([corner], [12_000.0])[0, 0, :, 0]
        assert moved[tuple(place)] == pytest.approx(exact, rel=1e-9, abs=1e-9)
    own = without_mean(shape.edges, moved[..., :2])
    # turning and distortion alone: what goes down on one side goes up on the other
    assert own[..., 1].max() > 0 > own[..., 1].min()


def test_the_figure_shows_where_the_section_distorts_most() -> None:
    z = shown_stations(box(), 0)
    assert np.all(np.diff(z) > 0)
    found = box().deformed
    assert found is not None
    assert np.abs(z - found.distortion_at).min() < 300


def test_a_section_at_an_end_is_drawn_once(monkeypatch: pytest.MonkeyPatch) -> None:
    """An arm's free end may distort most."""
    assessment = box()
    found = assessment.deformed
    assert found is not None
    monkeypatch.setattr(
        type(found.solution), "distortion", lambda _, z: np.asarray(z, float)[:, None]
    )
    z = shown_stations(assessment, 0)
    np.testing.assert_allclose(np.diff(z), found.solution.member.length / 4)


@pytest.mark.parametrize("keep", [False, True])
def test_the_figure_has_deformed_sections_where_they_deform(keep: bool) -> None:
    page = plot_member(box(keep)).figure
    assert page is not None
    words = [text.get_text() for text in page.findobj(lambda x: hasattr(x, "get_text"))]
    assert ("deformed sections" in words) is not keep
    assert any("classical theory" in word for word in words) is not keep


def numbers(packed: dict[str, Any]) -> np.ndarray[Any, Any]:
    kinds = {"float32": "<f4", "int16": "<i2"}
    array = np.frombuffer(base64.b64decode(packed["data"]), kinds[packed["kind"]])
    return array * packed.get("scale", 1.0)


def test_the_page_gets_what_makes_the_shape_again() -> None:
    data = member_data(box())["shape"]
    found = box().deformed
    assert found is not None
    functions = numbers(data["functions"]).reshape(-1, data["stations"], data["count"])
    (part,) = data["parts"]
    own = numbers(part["rows"]).reshape(-1, data["count"]) @ functions[0, 60]
    shape = shape_at(found.solution, 15_000.0)
    _, a, _ = found.solution.functions([15_000.0])
    exact = without_mean(shape.edges, shape.moved(a[0, :, 0])[..., :2])
    assert own == pytest.approx(exact.ravel(), abs=1e-3 * np.abs(exact).max())
    assert data["factor"] > 1


def test_no_taper_is_a_reason_where_there_is_none() -> None:
    found = box().deformed
    assert found is not None
    other = replace(found, parting=replace(found.parting, reason="other"))
    words = parting_words(other, MemberUnits(box().request.units))
    assert "The theories part most at" in words
    assert "taper" not in words


def test_a_member_that_keeps_its_shape_has_none() -> None:
    assert member_data(box(True))["shape"] is None
