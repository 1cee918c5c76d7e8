"""The numbers a member's page carries, without a browser: those of the theory whose sections
deform."""

from __future__ import annotations

from base64 import b64decode
from typing import Any

import numpy as np
import pytest
from numpy.typing import NDArray
from soapfilm.report.page.live_member import member_data
from soapfilm.solver.member.beam.solution import ACTIONS
from soapfilm.solver.member.file import load_member, member_from_toml
from soapfilm.solver.member.model.load import Place
from soapfilm.solver.member.review.assessment import Assessment, assess
from soapfilm.solver.member.review.deformed import Deformed

from .conftest import EXAMPLES


@pytest.fixture(scope="module")
def girder() -> Assessment:
    return assess(load_member(EXAMPLES / "girder-with-joists.toml"), cures=False)


@pytest.fixture(scope="module")
def deformed(girder: Assessment) -> Deformed:
    assert girder.deformed is not None
    return girder.deformed


@pytest.fixture(scope="module")
def data(girder: Assessment) -> dict[str, Any]:
    return member_data(girder)


def packed(numbers: dict[str, Any]) -> NDArray[np.float32]:
    return np.frombuffer(b64decode(numbers["data"]), "<f4")


def column(data: dict[str, Any], key: str, combination: str) -> NDArray[np.float32]:
    """Values of a diagram at the page's stations."""
    (diagram,) = (d for d in data["diagrams"] if d["key"] == key)
    rows = packed(diagram["values"]).reshape(len(data["names"]), -1)
    return rows[data["names"].index(combination)]


@pytest.mark.parametrize("station", [1.5, 3.0, 6.0, 7.5])
@pytest.mark.parametrize("combination", ["strength", "service"])
def test_where_the_stress_jumps_the_page_has_the_larger_side(
    data: dict[str, Any], deformed: Deformed, station: float, combination: str
) -> None:
    """At a joist's place the side that comes first was drawn, at 7.5 m by 13 MPa too low."""
    stress = deformed.stress
    k = stress.names.index(combination)
    # The station itself is left out: within a wall's thickness of a joist nothing is said.
    left = np.flatnonzero(stress.z < 1e3 * station)[-1]
    sides = stress.mises[[left, left + 1], k]
    here = np.isclose(packed(data["z"]), station, rtol=0, atol=1e-6)
    assert here.any()
    shown = column(data, "von Mises", combination)[here]
    assert sides.min() * (1 - 1e-6) <= shown.min()
    z = packed(data["z"]).astype(float) * 1e3
    for side, at in zip(sides, stress.z[[left, left + 1]], strict=True):
        near = np.abs(z - at).argmin()
        if abs(z[near] - at) < 1e-3:
            assert column(data, "von Mises", combination)[near] == pytest.approx(side, rel=1e-5)
    assert shown.max() <= sides.max() * (1 + 1e-6)


@pytest.mark.parametrize("combination", ["strength", "service"])
def test_no_station_hides_the_largest_stress(
    data: dict[str, Any], deformed: Deformed, combination: str
) -> None:
    k = deformed.stress.names.index(combination)
    largest = deformed.stress.mises[:, k].max()
    assert column(data, "von Mises", combination).max() == pytest.approx(largest, rel=1e-6)


@pytest.mark.parametrize("combination", ["strength", "service"])
def test_twist_and_deflection_are_those_of_deforming_sections(
    data: dict[str, Any], girder: Assessment, deformed: Deformed, combination: str
) -> None:
    k = data["names"].index(combination)
    z = packed(data["z"]).astype(float)
    twist = np.degrees(deformed.solution.twist(1e3 * z)[:, k])
    assert column(data, "phi", combination) == pytest.approx(twist, abs=1e-5 * np.abs(twist).max())
    down = deformed.solution.movement(Place(), 1e3 * z)[1][:, k]
    assert column(data, "v", combination) == pytest.approx(down, abs=1e-5 * np.abs(down).max())
    classical = np.degrees(girder.solution.at(1e3 * z).phi[:, k])
    assert np.abs(twist - classical).max() > 0.01 * np.abs(classical).max()  # it tells them apart


def test_what_nothing_pushes_across_has_no_shear_across() -> None:
    """Rounding of 1e-16 kN filled the field of V_x, which showed its first digits alone."""
    plate = """
unit = "mm"
[analysis]
sections = "keep their shape"
[section.g]
unit = "mm"
[section.g.material.steel]
grade = "S355"
[[section.g.outline]]
points = [[-150, -250], [150, -250], [150, -230], [5, -230], [5, 232], [90, 232], [90, 250],
    [-90, 250], [-90, 232], [-5, 232], [-5, -230], [-150, -230]]
[[span]]
length = "7.2 m"
[[span]]
length = "9.6 m"
[[support]]
at = ["start", "end of span 1", "end"]
kind = "fork"
[[load]]
weight = "3 kN/m"
place = [75, 250]
"""
    data = member_data(assess(member_from_toml(plate), cures=False))
    actions = packed(data["actions"]).reshape(len(data["names"]), 8, -1)[0]
    across, up = actions[ACTIONS.index("V_x")], actions[ACTIONS.index("V_y")]
    assert np.abs(up).max() > 10
    assert (across == 0).all()
    assert (actions[ACTIONS.index("N")] == 0).all()
