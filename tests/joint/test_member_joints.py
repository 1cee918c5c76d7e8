"""Joints named by supports and secondary beams of a member file: what they feed, what they get."""

from __future__ import annotations

import csv
import json
from functools import cache
from pathlib import Path

import numpy as np
import pytest
from soapfilm.cli.main import main
from soapfilm.geometry.errors import InputError
from soapfilm.geometry.units import Units
from soapfilm.report.member.joint_passage import HEADING, joint_passage
from soapfilm.report.member.table import passages
from soapfilm.report.text.rendering import render_passage
from soapfilm.solver.member.file import member_from_toml
from soapfilm.solver.member.model.secondary_beam import SecondaryBeam
from soapfilm.solver.member.review.assessment import Assessment, assess
from soapfilm.solver.member.review.held_joint import HeldJoint, held_joints
from soapfilm.solver.member.review.secondary import secondary_states

FIN = """
[[joint]]
name = "joist fin"
kind = "fin plate"
bolt = "M20"
grade = "8.8"
rows = 3
pitch = 70
arm = 60
end_distance = 40
side_distance = 40
thickness = 10
weld = 6
ultimate = "430 MPa"
beam_web = 6.2
"""
PLATE = """
[[joint]]
name = "girder end"
kind = "end plate"
bolt = "M24"
grade = "8.8"
rows = 4
pitch = 80
gauge = 120
end_distance = 50
side_distance = 45
thickness = 20
weld = 8
ultimate = "430 MPa"
beam_web = 11
"""
SHAPE = """
name = "girder"
unit = "mm"
[analysis]
sections = "keep their shape"
accuracy = 1e-2
[material.steel]
grade = "S355"
[[section.girder.shape]]
profile = "I"
OverallWidth = 220
OverallDepth = 580
WebThickness = 11
FlangeThickness = 18
material = "steel"
[[span]]
length = "6 m"
"""
SUPPORTS = """
[[support]]
name = "bracket"
at = ["start", "end"]
JOINT
"""
BEAM = """
[[secondary_beam]]
name = "joist"
at = "2.5 m"
E = "210 GPa"
I = "1940 cm^4"
length = "4 m"
far_end = "pinned"
loads = { crowd = "10 kN/m" }
side = "SIDE"
PLACE
"""
FORK = SUPPORTS.replace("JOINT", 'kind = "fork"')
ENDS = SUPPORTS.replace("JOINT", 'joint = "girder end"')


def beam(place: str, side: str = "right") -> str:
    """The table of a joist."""
    return BEAM.replace("SIDE", side).replace("PLACE", place)


@cache
def solved(text: str) -> Assessment:
    """A member file without remedies."""
    return assess(member_from_toml(text), cures=False)


def held(text: str, title: str) -> HeldJoint:
    """One of its joints."""
    return next(h for h in held_joints(solved(text)) if h.title == title)


def bolts_hold(one: HeldJoint) -> tuple[np.ndarray, np.ndarray]:
    """Force and moment about the joint's origin that bolts and contact hold, N and N mm."""
    (found,) = one.shares
    group = found.bolts[-1]
    a, b, n = {"side": (0, 1, 2), "face": (1, 2, 0)}[group.place.plane]
    force = np.zeros((len(group.place.points), 3))
    force[:, a], force[:, b] = group.elastic.T
    force[:, n] = group.tension
    press = np.zeros((len(group.place.presses), 3))
    press[:, n] = -group.pressure
    turn = np.cross(group.place.points, force).sum(axis=0)
    turn = turn + np.cross(group.place.presses, press).sum(axis=0)
    return force.sum(axis=0) + press.sum(axis=0), turn


def test_a_joint_feeds_its_stiffness_slip_and_eccentricity() -> None:
    """The same member with the figures of the joint written by hand."""
    named = solved(SHAPE + FORK + FIN + beam('place = [5.5, 0]\njoint = "joist fin"'))
    detail = held_joints(named)[0].detail
    by_hand = (
        f'place = [65.5, 0]\nconnection = "{detail.rotational_stiffness!r} N*mm/rad"\n'
        f'slip = "{detail.rotation_slip!r} rad"'
    )
    other = solved(SHAPE + FORK + beam(by_hand))
    assert named.table.phi == pytest.approx(other.table.phi, rel=1e-9)
    assert np.abs(named.table.phi).max() > 0


@pytest.mark.parametrize(("side", "x"), [("right", 5.5), ("left", -5.5)])
def test_the_eccentricity_of_the_bolts_twists_the_girder(side: str, x: float) -> None:
    """Within its slip the fin brings R e alone: the torque about the shear centre is R times the
    distance of the bolts (statics)."""
    text = SHAPE + FORK + FIN + beam(f'place = [{x}, 0]\njoint = "joist fin"', side)
    found = solved(text.replace("10 kN/m", "0.1 kN/m"))
    (load,) = found.torques
    assert load.torque == pytest.approx(-np.sign(x) * 200.0 * 65.5)
    one = held(text.replace("10 kN/m", "0.1 kN/m"), "joist")
    force, turn = bolts_hold(one)
    assert force == pytest.approx((0, -200.0, 0), abs=1e-6)
    assert turn == pytest.approx((0, 0, -200.0 * 60), abs=1e-3)


@pytest.mark.parametrize(("side", "x"), [("right", 5.5), ("left", -5.5)])
def test_bolts_of_a_secondary_beam_hold_its_end_moment(side: str, x: float) -> None:
    """By statics, the same on both sides: a moment from x toward y pushes the upper bolt to the
    girder."""
    fitted = FIN.replace('grade = "8.8"', 'grade = "8.8"\nfit = "fitted"')
    text = SHAPE + FORK + fitted + beam(f'place = [{x}, 0]\njoint = "joist fin"', side)
    one = held(text.replace('"4 m"', '"1.5 m"'), "joist")
    (found,) = one.shares
    moment = found.actions.about((60.0, 0.0, 0.0))[2]
    (state,) = secondary_states(solved(text.replace('"4 m"', '"1.5 m"')).solution)
    assert moment == pytest.approx(np.sign(x) * float(state.moment[0]))
    assert moment == pytest.approx(float(state.end_moment[0]))
    force, turn = bolts_hold(one)
    assert force[1] == pytest.approx(float(state.force[0]))
    assert turn[2] - 60 * force[1] == pytest.approx(moment)
    now = next(e for e in one.effects if e.words == "as it stands")
    assert now.moment == pytest.approx(abs(moment), rel=1e-6)
    assert np.sign(found.bolts[0].elastic[0, 0]) == -np.sign(moment)


def test_both_ends_of_a_girder_are_seen_from_their_support() -> None:
    """A girder under its weight and a torque: shear down, hogging at both ends, opposite torques
    about the arriving member's axis when these balance the middle."""
    load = """
[[load]]
at = "middle"
weight = "40 kN"
place = [100, 0]
"""
    ends = ENDS.replace("joint =", 'bend_x = "held"\njoint =')
    text = SHAPE + ends + PLATE + load
    first, last = held(text, "bracket 1"), held(text, "bracket 2")
    for one in (first, last):
        force, turn = bolts_hold(one)
        reaction = solved(text).reactions[0].of(one.title)[0]
        assert force[1] == pytest.approx(-reaction.force[1])
        assert force[1] == pytest.approx(-20e3)
        assert turn[2] == pytest.approx(-abs(reaction.moment[0]))
        assert one.shares[0].bolts[0].tension[0] > one.shares[0].bolts[0].tension[3]
    torques = [bolts_hold(one)[1][0] for one in (first, last)]
    assert torques == pytest.approx([-2e6, 2e6], rel=1e-6) or torques == pytest.approx([2e6, -2e6])


@pytest.mark.parametrize(
    ("more", "place", "y"), [("", "shear centre", 0.0), ("point = [0, 60]\n", "(0, 60) mm", 60.0)]
)
def test_a_joint_stands_at_the_point_of_its_support(more: str, place: str, y: float) -> None:
    """Pulled across by 20 kN at the shear centre: each end holds half, y below its joint. The
    output says where that is."""
    pull = '[[load]]\nat = "middle"\nF_x = "20 kN"\nplace = [0, 0]\n'
    text = SHAPE + ENDS.replace("joint =", f"{more}joint =") + PLATE + pull
    first = held(text, "bracket 1")
    assert abs(bolts_hold(first)[1][0]) == pytest.approx(10e3 * y, rel=1e-6, abs=1.0)
    passage = joint_passage(held_joints(solved(text)), solved(text).request.joints, Units("mm"))
    told = " ".join(render_passage(passage).split())
    where = "At bracket 1, bracket 2 the middle of the bolts stands at the support's point"
    assert f"{where}: {place}" in told


def test_a_support_takes_the_torsional_stiffness_of_its_joint() -> None:
    text = SHAPE + ENDS + PLATE + beam("place = [5.5, 0]")
    first = member_from_toml(text).member.supports[0]
    detail = held(text, "bracket 1").detail
    assert first.twist == pytest.approx(detail.torsional_stiffness)
    assert first.twist_slip == pytest.approx(detail.torsion_slip)
    assert (first.x, first.y) == ("held", "held")
    assert first.bend_x == pytest.approx(detail.rotational_stiffness)
    stated = member_from_toml(text.replace('joint = "girder', 'twist = "held"\njoint = "girder'))
    assert stated.member.supports[0].twist == "held"


def test_what_a_joint_has_no_spring_for_is_held_or_free() -> None:
    text = SHAPE + ENDS + PLATE.replace('grade = "8.8"', 'grade = "8.8"\nfit = "preloaded"')
    first = member_from_toml(text + beam("place = [5.5, 0]")).member.supports[0]
    assert first.twist == "held"
    one_bolt = FIN.replace("rows = 3", "rows = 1")
    request = member_from_toml(SHAPE + FORK + one_bolt + beam(
        'place = [5.5, 0]\njoint = "joist fin"'))  # fmt: skip
    (joist,) = request.member.restraints
    assert isinstance(joist, SecondaryBeam)
    assert joist.connection == 0.0


@pytest.mark.parametrize(
    ("text", "words"),
    [
        (FORK + FIN + beam('place = [5, 0]\njoint = "joist fim"'), "did you mean 'joist fin'"),
        (FORK + beam('place = [5, 0]\njoint = "x"'), r"the file has no \[\[joint\]\]"),
        (FORK + FIN + beam('place = [5, 0]\njoint = "joist fin"\nslip = "1 deg"'),
         "give either joint or slip"),
        (FORK + FIN + beam('joint = "joist fin"'), "place is missing"),
        (ENDS.replace('["start", "end"]', '["start", "3 m"]') + PLATE,
         "stands at an end of the member, not at 3000 mm"),
        (FORK + FIN.replace("pitch = 70", "pitch = 20"), "holes of bolts 1 and 2 overlap"),
        (FORK + FIN + FIN, "there is a joint 'joist fin' already"),
    ],
)  # fmt: skip
def test_mistakes_name_table_and_key(text: str, words: str) -> None:
    with pytest.raises(InputError, match=words):
        member_from_toml(SHAPE + text)


def test_table_record_csv_and_page(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    text = SHAPE + ENDS + PLATE + FIN + beam('place = [5.5, 0]\njoint = "joist fin"')
    passage = passages(solved(text))[HEADING]
    assert {row[2] for row in passage[0].rows} == {"girder end", "joist fin"}  # type: ignore[union-attr]
    file = tmp_path / "girder.toml"
    file.write_text(text)
    out = tmp_path / "joints.csv"
    assert main(["member", str(file), "--no-remedies", "--json", "--joints", str(out)]) == 0
    record = json.loads(capsys.readouterr().out)
    assert [j["at"] for j in record["joints"]] == ["bracket 1", "bracket 2", "joist"]
    rows = list(csv.DictReader(out.read_text().splitlines()))
    bolts = [r for r in rows if (r["at"], r["case"], r["part"]) == ("joist", "crowd", "bolts")]
    assert len(bolts) == 3
    largest = record["joints"][2]["combinations"][0]["bolts"][0]["largest"]
    assert max(float(r["shear, elastic (N)"]) for r in bolts) == pytest.approx(largest)
    assert main(["joint", str(file), "--joint", "joist fin", "V = 20 kN"]) == 0
    page = tmp_path / "girder.html"
    assert main(["report", str(file), "-o", str(page)]) == 0
    html = page.read_text()
    assert "where it carries most: at joist, under" in html


def test_the_worst_state_of_clearances_reaches_the_bolts() -> None:
    """The couple is the one that the clearances leave open; the end shear follows it, M / L."""
    text = SHAPE + FORK + FIN.replace("arm = 60", "arm = 160") + beam(
        'place = [5.5, 0]\njoint = "joist fin"')  # fmt: skip
    text = text.replace('"4 m"', '"1.5 m"').replace("10 kN/m", "200 kN/m")
    one = held(text, "joist")
    assert one.worst is not None
    found = solved(text)
    assert found.clearance is not None
    (joint,) = found.clearance.joints
    moment = one.worst.actions.about((160.0, 0.0, 0.0))[2]
    assert moment == pytest.approx(float(joint.worst[0]))
    (first,) = one.shares
    more = moment - first.actions.about((160.0, 0.0, 0.0))[2]
    assert one.worst.actions.force[1] - first.actions.force[1] == pytest.approx(more / 1500)
    assert one.worst.largest_bolt > first.largest_bolt


def test_a_member_without_joints_has_no_csv_of_them(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file = tmp_path / "girder.toml"
    file.write_text(SHAPE + FORK + beam("place = [5.5, 0]"))
    out = tmp_path / "joints.csv"
    assert main(["member", str(file), "--no-remedies", "--joints", str(out)]) == 2
    assert "names a joint" in capsys.readouterr().err
    assert not out.exists()
