"""Members built in stages at the desk: what is shown is what `soapfilm member` says of them."""

from __future__ import annotations

from base64 import b64decode
from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from numpy.typing import NDArray
from soapfilm.desk import member_jobs
from soapfilm.desk.errand import Errand
from soapfilm.desk.member_jobs import member_sheet, modes, request_of
from soapfilm.desk.staged_sight import seen_staged
from soapfilm.geometry.errors import InputError
from soapfilm.solver.member.beam.analysis import solve
from soapfilm.solver.member.staged.assessment import StagedAssessment, assess_stages

from .talk import EXAMPLES

TEXT = (EXAMPLES / "hall-edge.toml").read_text("utf-8")
JOB: dict[str, Any] = {"text": TEXT, "name": "hall", "home": str(EXAMPLES), "turn": 1}


def _decoded(packed: dict[str, Any]) -> NDArray[np.float64]:
    kinds = {"float32": "<f4", "int16": "<i2"}
    data = np.frombuffer(b64decode(packed["data"]), kinds[packed["kind"]])
    return data.astype(float) * packed.get("scale", 1.0)


class Heard(Errand):
    """What a job tells, without waiting."""

    def __init__(self) -> None:
        self.told: list[dict[str, Any]] = []

    def tell(self, kind: str, **content: Any) -> None:
        self.told.append({"kind": kind} | content)

    def check(self) -> None:
        pass

    def rest(self, seconds: float) -> None:
        pass


@pytest.fixture(scope="module")
def staged() -> StagedAssessment:
    return assess_stages(request_of(JOB))


@pytest.fixture(scope="module")
def member(staged: StagedAssessment) -> dict[str, Any]:
    """What is shown of it."""
    found: dict[str, Any] = seen_staged(staged)["member"]
    return found


def test_it_is_told_step_by_step() -> None:
    heard = Heard()
    member_sheet(JOB, heard)
    assert [(t["kind"], t.get("stage")) for t in heard.told] == [
        ("plan", None), ("result", "coarse"), ("result", "full"),
    ]  # fmt: skip
    assert heard.told[-1]["deforming"] is True


def test_diagrams_are_the_stages_of_the_command(
    staged: StagedAssessment, member: dict[str, Any]
) -> None:
    """Twist, deflection and peak stress of every stage, in degrees, millimetres, MPa."""
    assert member["names"] == [
        "service, after pouring", "strength, after pouring",
        "service, after in use", "strength, after in use",
    ]  # fmt: skip
    shown = {d["key"]: d for d in member["diagrams"]}
    z = staged.stages[0].z
    for key, factor, of in (
        ("phi", np.degrees(1.0), lambda s: s.twist),
        ("v", 1.0, lambda s: s.moved["shear_centre"][1]),
        ("von Mises", 1.0, lambda s: s.stress.mises),
    ):
        values = _decoded(shown[key]["values"]).reshape(4, -1)
        most = np.concatenate([np.abs(of(s)).max(axis=0) for s in staged.stages]) * factor
        assert np.abs(values).max(axis=1) == pytest.approx(most, rel=2e-3), key
    along = _decoded(member["z"]) * 1e3
    assert set(np.round(z)) <= set(np.round(along))


def test_the_classical_torque_adds_up_to_that_of_all_loads() -> None:
    """Without a deck that comes later, stages in first order are the member loaded at once."""
    start, end = TEXT.index("[[deck]]"), TEXT.index("[[stage]]")
    text = (TEXT[:start] + TEXT[end:]).replace('without = ["slab"]\n', "")
    text += '[analysis]\nsections = "keep their shape"\n'
    heard = Heard()
    member_sheet(JOB | {"text": text}, heard)
    member = heard.told[-1]["member"]
    whole = solve(replace(request_of(JOB | {"text": text}), stages=()).member)
    z = _decoded(member["z"]) * 1e3
    for key, factor in (("T", 1e-6), ("M_x", 1e-6), ("phi", np.degrees(1.0))):
        found = next(d for d in member["diagrams"] if d["key"] == key)
        values = _decoded(found["values"]).reshape(4, -1)[2:].T
        at = getattr(whole.at(z), key) * factor
        inside = np.abs(z[:, None] - [2400, 4800]).min(axis=1) > 1  # jumps
        scale = np.abs(at).max()
        assert values[inside] == pytest.approx(at[inside], abs=1e-3 * scale), key


def test_the_shape_adds_up_the_stages(member: dict[str, Any]) -> None:
    """The section at the loaded end of the joist turns by the twist that is told."""
    shape = member["shape"]
    part = shape["parts"][0]
    edges = _decoded(part["edges"]).reshape(-1, 2)
    rows = _decoded(part["rows"]).reshape(-1, 2, shape["count"])
    functions = _decoded(shape["functions"]).reshape(4, shape["stations"], shape["count"])
    diagram = next(d for d in member["diagrams"] if d["key"] == "phi")
    z = _decoded(member["z"])
    for column in range(4):
        moved = rows @ functions[column, 60]
        arm = edges - edges.mean(axis=0)
        turn = (arm[:, 0] * moved[:, 1] - arm[:, 1] * moved[:, 0]).sum() / (arm**2).sum()
        twist = _decoded(diagram["values"]).reshape(4, -1)[column]
        # the outline's mean turn, beside the twist of a section that distorts too: more so where
        # the slab, in the second stage, holds the top flange and the web bends below it
        within = 0.25 if column < 2 else 0.4
        assert np.degrees(turn) == pytest.approx(np.interp(3.6, z, twist), rel=within, abs=0.01)


def test_modes_of_stages_are_refused_in_words() -> None:
    for what in ("vibration", "buckling"):
        with pytest.raises(InputError, match="built in stages"):
            modes(JOB | {"what": what}, Heard())


def test_its_report_is_that_of_stages() -> None:
    heard = Heard()
    member_jobs.export(JOB | {"what": "report"}, heard)
    assert heard.told[0]["name"] == "edge beam of the landing-s hall.html"
