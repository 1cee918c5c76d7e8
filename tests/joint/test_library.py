"""Kinds of joint: what they hold, how they share, and their refusals."""

from __future__ import annotations

import math

import numpy as np
import pytest
from soapfilm.geometry.errors import InputError
from soapfilm.solver.joint.bolt_size import bolt_of
from soapfilm.solver.joint.detail import JointDetail
from soapfilm.solver.joint.given_turn import turn_effects
from soapfilm.solver.joint.joint_actions import JointActions
from soapfilm.solver.joint.joint_spec import KINDS, JointSpec
from soapfilm.solver.joint.library import joint_detail, other_details
from soapfilm.solver.joint.plain_stress import plain_stresses
from soapfilm.solver.joint.sharing import JointShare, share

M20 = bolt_of("M20", "8.8")
FIN = JointSpec(
    "fin", "fin plate", M20, rows=3, pitch=70.0, arm=60.0, end_distance=40.0, side_distance=40.0,
    thickness=10.0, weld=6.0, beam_web=6.2, ultimate=430.0,
)  # fmt: skip
CLIPS = FIN.with_(name="clips", kind="clip angles", thickness=8.0, support_leg=90.0,
                  support_gauge=116.0)  # fmt: skip
PLATE = FIN.with_(name="plate", kind="end plate", gauge=120.0, thickness=15.0)
SEAT = FIN.with_(name="seat", kind="seat", gauge=80.0, rows=2, width=150.0, height=150.0)
STUB = FIN.with_(name="stub", kind="welded stub", height=300.0, thickness=8.0, flange=12.0,
                 flange_width=120.0, arm=180.0)  # fmt: skip
ALL = (FIN, CLIPS, PLATE, SEAT, STUB)


def balance(found: JointShare, place: int) -> tuple[np.ndarray, np.ndarray]:
    """Force and moment about the origin that the bolts and contacts of a place hold."""
    group = found.bolts[place]
    a, b, n = {"side": (0, 1, 2), "face": (1, 2, 0)}[group.place.plane]
    force = np.zeros((len(group.place.points), 3))
    force[:, a], force[:, b] = group.elastic.T
    force[:, n] = group.tension
    press = np.zeros((len(group.place.presses), 3))
    press[:, n] = -group.pressure
    total = force.sum(axis=0) + press.sum(axis=0)
    turn = np.cross(group.place.points, force).sum(axis=0)
    return total, turn + np.cross(group.place.presses, press).sum(axis=0)


def test_every_kind_is_tried() -> None:
    assert {s.kind for s in ALL} == set(KINDS)


@pytest.mark.parametrize("seed", range(40))
@pytest.mark.parametrize("spec", [CLIPS, PLATE, SEAT, STUB], ids=lambda s: s.kind)
def test_bolts_balance_what_acts(spec: JointSpec, seed: int) -> None:
    """Two hundred joints and more: every group in its own plane, and across it."""
    draw = np.random.default_rng(seed)
    spec = spec.with_(rows=int(draw.integers(2, 4)))
    spec = spec.with_(columns=2, gauge=60.0) if spec.kind == "welded stub" else spec
    spec = spec.with_(height=500.0) if spec.kind == "seat" else spec
    detail = joint_detail(spec)
    force, moment = draw.normal(size=3) * 3e4, draw.normal(size=3) * 4e6
    if spec.kind == "clip angles":  # one column in the web holds no moment out of its plane
        force[2] = moment[0] = moment[1] = 0.0
    found = share(detail, JointActions("any", tuple(force), tuple(moment)))
    for place in range(len(found.bolts)):
        held, turn = balance(found, place)
        assert held == pytest.approx(force, abs=1e-5)
        assert turn == pytest.approx(moment, abs=2e-3)


def test_a_fin_brings_its_weld_the_eccentricity() -> None:
    """R at the bolts is R and R times the arm at the weld (statics)."""
    detail = joint_detail(FIN)
    found = share(detail, JointActions.at_hinge("crowd", (0, -85e3, 0), (0, 0, 0), detail.hinge))
    assert found.actions.moment == pytest.approx((0, 0, -85e3 * 60))
    assert found.bolts[0].shear == pytest.approx(85e3 / 3)
    length, height = 2 * 220.0, 220.0
    bending = 85e3 * 60 / (2 * height**3 / 12) * height / 2
    line = math.hypot(85e3 / length, bending)
    assert found.welds[0].largest == pytest.approx(line / (6 / math.sqrt(2)))
    at_weld = next(s for s in found.cuts if s.cut.x == 0)
    assert at_weld.normal == pytest.approx(85e3 * 60 * 6 / (10 * 220**2))


def test_a_fin_is_as_stiff_as_its_bolts_and_plate_in_series() -> None:
    detail = joint_detail(FIN)
    springs = [c.stiffness for c in detail.components if c.turn == "rotation"]
    assert detail.rotational_stiffness == pytest.approx(1 / sum(1 / s for s in springs))
    assert detail.rotation_slip == pytest.approx(2.0 / 70.0)
    assert detail.torsion_slip == 0.0


def test_preloaded_and_fitted_bolts_do_not_slip() -> None:
    free, fitted, tight = (joint_detail(FIN.with_(fit=f)) for f in
                           ("clearance", "fitted", "preloaded"))  # fmt: skip
    assert free.rotation_slip > 0 == fitted.rotation_slip == tight.rotation_slip
    assert tight.rotational_stiffness > 50 * fitted.rotational_stiffness


def test_one_bolt_is_a_hinge() -> None:
    detail = joint_detail(FIN.with_(rows=1))
    assert detail.rotational_stiffness == 0.0
    assert detail.rotation_slip == math.inf


def test_a_seat_holds_no_turn_and_says_so() -> None:
    detail = joint_detail(SEAT)
    assert detail.rotational_stiffness == detail.torsional_stiffness == 0.0
    assert any("neither rotation nor torque" in note for note in detail.notes)


def test_a_soft_wall_softens_and_a_diaphragm_does_not() -> None:
    rigid = joint_detail(FIN).rotational_stiffness
    wall = FIN.with_(on="tube wall", wall_thickness=8.0, wall_width=284.0)
    stiff = FIN.with_(on="tube wall with inner diaphragm", diaphragm=8.0, tube_width=184.0,
                      tube_depth=284.0)  # fmt: skip
    assert joint_detail(wall).rotational_stiffness < 0.8 * rigid
    assert joint_detail(stiff).rotational_stiffness > 0.95 * rigid


def test_a_given_turn_is_slip_first_then_couple() -> None:
    turn = 0.03
    rows = {r.words: r for r in turn_effects(FIN, turn)}
    now = rows["as it stands"]
    assert now.moment == pytest.approx(now.stiffness * (turn - now.slip))
    assert rows["preloaded"].moment is None
    assert rows["preloaded"].beyond == "slips first"
    assert "two columns" in rows
    small = {r.words: r for r in turn_effects(FIN, 0.001)}
    assert small["as it stands"].moment == 0.0
    assert small["fitted bolts"].moment == pytest.approx(0.001 * now.stiffness)


def test_details_keep_the_rest() -> None:
    found: dict[str, JointDetail] = dict(other_details(FIN))
    assert len(found["one row more"].bolts[0].points) == 4
    assert found["plate half as thick again"].plates[0].thickness == 15.0


def test_stresses_are_statics() -> None:
    detail = joint_detail(FIN)
    found = share(detail, JointActions.at_hinge("crowd", (0, -90e3, 0), (0, 0, 0), detail.hinge))
    rows = {(r.what, r.where): r for r in plain_stresses(found)}
    web = rows["bearing", "web at bolts"]
    assert web.stress == pytest.approx(30e3 / (20 * 6.2))
    net = next(r for (what, where), r in rows.items() if what == "mean shear" and "bolts" in where)
    assert net.stress == pytest.approx(90e3 / (10 * (220 - 3 * 22)))
    assert all("_Rd" not in r.form for r in rows.values())


def test_preloaded_bolts_tell_the_friction_they_need() -> None:
    detail = joint_detail(PLATE.with_(fit="preloaded"))
    found = share(detail, JointActions("v", (0, -60e3, 0), (0, 0, 0)))
    (row,) = [r for r in plain_stresses(found) if not r.unit]
    assert row.stress == pytest.approx(10e3 / (0.7 * 800 * M20.stress_area))


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"positions": ((60.0, 70.0), (140.0, 0.0)), "height": 220.0, "width": 100.0},
         r"bolt 2 at \(140, 0\) mm lies outside the fin plate"),
        ({"pitch": 20.0}, "holes of bolts 1 and 2 overlap: they are 20 mm apart"),
        ({"end_distance": 9.0}, "9 mm from the edge of the fin plate, less than half its hole"),
        ({"hole": 18.0}, "hole of 18 mm is smaller than the bolt M20"),
        ({"weld": None}, "weld is missing; a fin plate needs it"),
        ({"weld": 0.0}, "weld must be positive"),
        ({"thickness": math.nan}, "thickness must not be negative and be a number"),
        ({"arm": -60.0}, "arm must not be negative"),
        ({"thickness": 1e-300}, "thickness of 1e-300 mm is none of a joint"),
        ({"ultimate": 4e8}, r"ultimate of 4e\+08 MPa is none of a joint"),
        ({"rows": 0}, "rows is a whole number from 1"),
        ({"on": "tube wall"}, "wall thickness is missing"),
    ],
)  # fmt: skip
def test_what_cannot_stand_is_refused(change: dict[str, object], words: str) -> None:
    with pytest.raises(InputError, match=words):
        joint_detail(FIN.with_(**change))


def test_one_column_holds_no_moment_out_of_its_plane() -> None:
    with pytest.raises(InputError, match=r"joint 'fin' under 'side': bolts: .*one line"):
        share(joint_detail(FIN), JointActions("side", (0, 0, 4e3), (0, 9e5, 0)))


def test_an_unknown_grade_offers_the_nearest() -> None:
    with pytest.raises(InputError, match=r"did you mean '8\.8'"):
        bolt_of("M20", "8.9")
    with pytest.raises(InputError, match="did you mean 'M2"):
        bolt_of("M21", "8.8")
    assert bolt_of("3/4 in", "A325").diameter == pytest.approx(19.05)
