"""Derivatives of what members do: closed forms, members read and meshed anew, what is printed."""

from __future__ import annotations

import csv
import json
from pathlib import Path

import numpy as np
import pytest
import soapfilm as sf
from soapfilm.cli.main import main
from soapfilm.geometry.errors import InputError
from soapfilm.report.pay.member_rates import member_pay_table
from soapfilm.solver.section.derivative.difference import STEPS, derivative
from soapfilm.solver.study.choice.outcome_record import record
from soapfilm.solver.study.choice.staged_outcome import outcome
from soapfilm.solver.study.derivative.member_pay import member_pay
from soapfilm.solver.study.file.member_base import MemberBase

MEMBER = """unit = "mm"
[section.tube]
unit = "mm"
[section.tube.material.steel]
grade = "S355"
[[section.tube.shape]]
profile = "{profile}"
[[span]]
length = "4 m"
[[support]]
at = ["start", "end"]
kind = "fork"
[points]
arm = [300, 0]
[[load]]
name = "line"
case = "live"
weight = "2 kN/m"
place = "arm"
from = "start"
to = "end"
[[combination]]
name = "all"
factors = {{ live = 1.0 }}
[analysis]
sections = "keep their shape"
"""
ROUND = MEMBER.format(profile='CircleHollow"\nRadius = 80\nWallThickness = 6\nname = "r')
CHANNEL = MEMBER.format(
    profile='U"\nDepth = 200\nFlangeWidth = 75\nWebThickness = 8.5\nFlangeThickness = 11.5\n'
    'FilletRadius = 11.5\nname = "u'
)


def _base(folder: Path, text: str) -> MemberBase:
    path = folder / "member.toml"
    path.write_text(text)
    return MemberBase.from_file(path)


def test_round_tube_by_closed_forms(tmp_path: Path) -> None:
    """Twist t L^2 / (8 G J) and no warping: 2 by the span; by the wall as -J, whose derivative is
    2 pi r^3; the mass in proportion to the span and to the wall's area."""
    pay = member_pay(_base(tmp_path, ROUND), ["section.tube.r.WallThickness", "span.1.length"])
    wall, span = pay.numbers
    assert pay.theory == "classical"
    assert pay.elasticity(span, "twist_deg") == pytest.approx(2, rel=1e-6)
    assert pay.elasticity(span, "mass") == pytest.approx(1, rel=1e-9)
    inner, outer = 74.0, 80.0
    j, slope = np.pi / 2 * (outer**4 - inner**4), 2 * np.pi * inner**3
    assert pay.elasticity(wall, "twist_deg") == pytest.approx(-slope * 6 / j, rel=1e-6)
    area = np.pi * (outer**2 - inner**2)
    assert pay.elasticity(wall, "mass") == pytest.approx(2 * np.pi * inner * 6 / area, rel=1e-9)
    assert pay.by_weight(span, "twist_deg") == pytest.approx(2, rel=1e-6)
    for rate in pay.numbers:
        for name in rate.rates:  # critical loads: by a finite number of elements
            assert pay.doubt(rate, name) < (5e-4 if name == "critical_factor" else 1e-4), name


def test_channel_beside_members_read_and_meshed_anew(tmp_path: Path) -> None:
    base = _base(tmp_path, CHANNEL)
    address = "section.tube.u.FlangeThickness"
    pay = member_pay(base, [address], 1e-7)
    (rate,) = pay.numbers
    step = 0.01 * 11.5
    values = [record(outcome(base.request({address: 11.5 + k * step}, 1e-7))) for k in STEPS]
    for name in ("mass", "twist_deg", "displacement", "stress", "critical_factor"):
        found = float(derivative([v[name] for v in values], step))
        # stresses of new meshes, apart by some 1e-4, leave their difference few digits
        near = 5e-3 if name == "stress" else 2e-5
        assert rate.rates[name] == pytest.approx(found, rel=near), name
    assert pay.elasticity(rate, "frequency") is not None


@pytest.mark.parametrize("theory", ["keep their shape", "deform"])
def test_a_movement_that_is_rounding_has_no_derivative(tmp_path: Path, theory: str) -> None:
    """A torque about the shear centre twists a round tube and moves it nowhere."""
    load = ROUND[ROUND.index("[[load]]") : ROUND.index("[[combination]]")]
    torque = ROUND.replace(load, '[[load]]\ncase = "live"\nat = "1 m"\nT = "2 kN*m"\n')
    base = _base(tmp_path, torque.replace("keep their shape", theory))
    pay = member_pay(base, ["section.tube.r.WallThickness"])
    assert "twist_deg" in pay.results
    assert "displacement" not in pay.results
    assert not pay.numbers[0].remarks


def test_the_stress_is_in_doubt_as_its_fields_are(tmp_path: Path) -> None:
    """At a fillet the stress itself is off by a part in ten thousand on an ordinary mesh: its
    derivative is compared with that of a mesh which has it to 1e-6."""
    text = CHANNEL.replace('profile = "U"\nDepth', 'profile = "I"\nOverallDepth')
    base = _base(tmp_path, text.replace("FlangeWidth", "OverallWidth"))
    numbers = ["section.tube.u.WebThickness", "span.1.length"]
    found, fine = (member_pay(base, numbers, accuracy) for accuracy in (1e-5, 1e-8))
    for rate, near in zip(found.numbers, fine.numbers, strict=True):
        apart = abs(rate.rates["stress"] - near.rates["stress"])
        assert apart < rate.doubts["stress"]
    assert found.doubt(found.numbers[0], "stress") > 1e-5


def test_table_csv_json_and_face(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = tmp_path / "member.toml"
    path.write_text(ROUND)
    rows = tmp_path / "rows.csv"
    assert main(["pays", str(path), "span.1.length", "--csv", str(rows)]) == 0
    text = " ".join(capsys.readouterr().out.split())
    assert "The derivatives are those of the solution itself" in text
    assert "span.1.length 4 m" in text
    read = {r["result"]: r for r in csv.DictReader(rows.open())}
    assert float(read["twist_deg"]["elasticity"]) == pytest.approx(2, rel=1e-6)
    assert main(["pays", str(path), "span.1.length", "--keep-shape", "--json"]) == 0
    told = json.loads(capsys.readouterr().out)
    assert told["numbers"][0]["elasticity"]["mass"] == pytest.approx(1, rel=1e-9)
    assert told["theory"] == "classical"
    found = sf.pays(path, "span.1.length")
    assert found.to_dict()["results"] == told["results"]


def test_refusals(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = tmp_path / "member.toml"
    path.write_text(ROUND)
    assert main(["pays", str(path), "--figure", str(tmp_path / "a.svg")]) == 2
    assert "give the section's own file" in capsys.readouterr().err
    with pytest.raises(InputError, match="is 0"):
        member_pay(_base(tmp_path, ROUND), ["points.arm.y"])
    with pytest.raises(InputError, match="holds no number"):
        member_pay(_base(tmp_path, ROUND), ["load.1.place"])
    sections = tmp_path / "section.toml"
    sections.write_text('unit = "mm"\n[[shape]]\nprofile = "Rectangle"\nXDim = 9\nYDim = 9\n')
    assert main(["pays", str(sections), "--keep-shape"]) == 2
    assert "--keep-shape and --result are for members" in capsys.readouterr().err


def _two_sides(theory: str) -> str:
    """A line load left of the middle, and another right of it, each alone."""
    load = MEMBER[MEMBER.index("[[load]]") : MEMBER.index("[[combination]]")]
    other = load.replace('"line"', '"other"').replace('"live"', '"wind"').replace('"arm"', '"left"')
    combination = '[[combination]]\nname = "other"\nfactors = { wind = 1.0 }\n'
    text = CHANNEL.replace('profile = "U"\nDepth', 'profile = "I"\nOverallDepth')
    text = text.replace("FlangeWidth", "OverallWidth").replace("[[load]]", other + "[[load]]")
    text = text.replace("[points]\n", "[points]\nleft = [-300, 0]\n")
    return text.replace("keep their shape", theory).replace(
        "[[combination]]", combination + "[[combination]]"
    )


@pytest.mark.parametrize("theory", ["keep their shape", "deform"])
def test_combinations_that_tie_have_two_derivatives(tmp_path: Path, theory: str) -> None:
    """Loads are linear: the twist grows with the one that grows, and stays where it falls, for the
    other combination rules then; the critical factor the other way round."""
    pay = member_pay(_base(tmp_path, _two_sides(theory)), ["load.2.weight"])
    (rate,) = pay.numbers
    assert pay.theory == ("deforming" if theory == "deform" else "classical")
    assert pay.elasticity(rate, "twist_deg") == pytest.approx(1, rel=1e-6)
    assert pay.elasticity_falling(rate, "twist_deg") == pytest.approx(0, abs=1e-6)
    assert pay.elasticity(rate, "critical_factor") == pytest.approx(-1, rel=1e-2)
    assert pay.elasticity_falling(rate, "critical_factor") == pytest.approx(0, abs=1e-6)
    assert {remark.partition(":")[0] for remark in rate.remarks} >= {"twist_deg", "critical_factor"}
    assert "1 or " in member_pay_table(pay)


def test_a_load_that_leaves_the_member_has_no_derivative(tmp_path: Path) -> None:
    """The last of a row of loads stands at the last place allowed: a wider row is one load less."""
    row = 'weight = "2 kN"\nplace = "arm"\nfrom = "1 m"\nto = "3 m"\nevery = "1 m"'
    text = CHANNEL[: CHANNEL.index("weight")] + row + CHANNEL[CHANNEL.index("\n[[combination]]") :]
    pay = member_pay(_base(tmp_path, text), ["load.1.every"])
    (rate,) = pay.numbers
    assert "twist_deg" not in rate.rates
    assert any("twist_deg: no derivative, since it jumps" in remark for remark in rate.remarks)


def test_a_coordinate_of_a_thin_wall_moves_as_far_as_its_mesh_can_follow(tmp_path: Path) -> None:
    """The usual step, a share of the coordinate, is a third of the wall: the mesh would fold."""
    outline = """name = "box"
points = [[-300, -400], [300, -400], [300, 400], [-300, 400]]
holes = [[[-294, -394], [294, -394], [294, 394], [-294, 394]]]"""
    a, b = CHANNEL.index("[[section.tube.shape]]"), CHANNEL.index("[[span]]")
    text = (
        CHANNEL[:a] + '[[section.tube.outline]]\nmaterial = "steel"\n' + outline + CHANNEL[b - 1 :]
    )
    base = _base(tmp_path, text.replace("keep their shape", "deform"))
    holes = "section.tube.box.holes.1"
    pay = member_pay(base, [f"floor = {holes}.1.y, {holes}.2.y"])
    (rate,) = pay.numbers
    assert not rate.reason
    # the floor, 588 mm wide, grows by as much as it rises, of an area of 16 656 mm^2
    assert pay.elasticity(rate, "mass") == pytest.approx(-588 * 394 / 16656, rel=1e-3)
