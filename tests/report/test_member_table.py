"""A member's table, record and CSV: the numbers solved, their units, and what must be said."""

from __future__ import annotations

import csv
import io
import json
import math
from dataclasses import replace

import numpy as np
import pytest
from soapfilm.geometry.units import Units
from soapfilm.report.member.csv import member_csv
from soapfilm.report.member.extremes import (
    governing_twist,
    largest,
    play_share,
    point_movements,
    telling_combination,
)
from soapfilm.report.member.record import member_json, member_record
from soapfilm.report.member.table import member_table
from soapfilm.report.member.units import MemberUnits
from soapfilm.report.text.blocks import HeadedRows
from soapfilm.report.text.rendering import folded, render_rows
from soapfilm.solver.member.file import member_from_toml
from soapfilm.solver.member.review.assessment import Assessment, assess

FIGURES = """
[section.tube]
E = "210 GPa"
G = "81 GPa"
A = "7490 mm^2"
I_x = "61.7e6 mm^4"
I_y = "27.5e6 mm^4"
J = "61.9e6 mm^4"
"""
SUPPORTS = """
[[support]]
name = "column"
at = ["start", "end"]
kind = "fork"
lever_arm = "200 mm"
clearance = "1 mm"
clearance_arm = "200 mm"
"""
LOADS = """
[points]
stone = [340, -60]
[[load]]
name = "cladding"
case = "stone"
weight = "5 kN/m"
place = "stone"
[[load]]
name = "crew"
case = "crew"
at = ["2 m", "4 m"]
weight = "3 kN"
place = [400, 0]
[[combination]]
name = "hung"
factors = { stone = 1.0 }
[[combination]]
name = "worked on"
factors = { stone = 1.0, crew = 1.5 }
"""
LIMITS = """
[[limit]]
twist = "1 deg"
combinations = ["hung"]
[[limit]]
deflection = "masonry"
point = "stone"
"""


def solved(*parts: str, unit: str = "mm") -> Assessment:
    request = member_from_toml(f'unit = "{unit}"\n[[span]]\nlength = "6 m"\n' + "".join(parts))
    return assess(replace(request, keep_shape=True))


@pytest.fixture(scope="module")
def tube() -> Assessment:
    return solved(FIGURES, SUPPORTS, LOADS, LIMITS)


# -- grids and units ------------------------------------------------------------------------------
def test_numbers_stand_to_the_right_and_words_to_the_left() -> None:
    block = HeadedRows(["what", "size"], ["", "mm"], [["a", "1.5"], ["longer", "-"], ["b", "120"]])
    text = render_rows(block)
    lines = text.splitlines()
    assert lines[0] == "what    size"
    assert lines[2] == "------  ----"
    assert {line.rstrip()[-1] for line in lines[3:]} == {"5", "-", "0"}
    assert len({len(line) for line in lines[2:]}) == 1
    assert lines[4].startswith("longer")


def test_sentences_are_folded_to_a_terminal() -> None:
    lines = folded(["word " * 40, "short"], "* ").splitlines()
    assert max(map(len, lines)) <= 79
    assert lines[0].startswith("* ")
    assert lines[1].startswith("  ")
    assert lines[-1] == "* short"
    assert folded([]) == ""


def test_units_engineers_read() -> None:
    metric, american = MemberUnits(Units("mm")), MemberUnits(Units("in"))
    assert metric.text(7500.0, "along") == "7.5 m"
    assert metric.text(12.0, "displacement") == "12 mm"
    assert metric.text(3e6, "moment") == "3 kN·m"
    assert american.text(144.0, "along") == "12 ft"
    assert american.text(0.3, "displacement") == "0.3 in"
    assert american.unit("moment") == "kip·in"
    assert metric.place((80.0, 1e-9), 200.0) == "(80, 0) mm"


# -- what is found --------------------------------------------------------------------------------
def test_extremes_are_those_of_the_stations(tube: Assessment) -> None:
    found = largest(tube, "v", 1)
    assert abs(found.value) == np.abs(tube.table.v[:, 1]).max()
    assert found.station == pytest.approx(3000)
    assert governing_twist(tube) == 1
    assert telling_combination(tube) == 0  # that of the twist limit


def test_the_movement_of_a_point_is_deflection_plus_twist_times_arm(tube: Assessment) -> None:
    up = next(m for m in point_movements(tube) if m.direction == "up")
    table = tube.solution.at([up.moved.station])
    column = tube.solution.column(up.combination)
    assert up.moved.value == pytest.approx(
        float(table.v[0, column] + table.phi[0, column] * 340), rel=1e-9
    )
    assert up.deflection == pytest.approx(float(table.v[0, column]))


def test_free_play_is_told_apart(tube: Assessment) -> None:
    """1 mm over 200 mm at both columns: the whole member turns by 0.005."""
    assert abs(play_share(tube, 1)) == pytest.approx(0.005, rel=1e-6)
    text = " ".join(member_table(tube).split())
    assert "of which slip is 0.2865 deg" in text


# -- the table ------------------------------------------------------------------------------------
def test_the_table_holds_statics_and_verdicts(tube: Assessment) -> None:
    """Torque of the cladding q e L = 5 * 0.34 * 6 = 10.2 kN m, half of it at each column; with the
    crew 1.5 * 2 * 3 * 0.4 = 3.6 more."""
    text = member_table(tube)
    assert "cladding" in text
    assert "-10.2" in text
    assert "crew (2 of them)" in text
    assert "5.1" in text and "6.9" in text  # noqa: PT018
    assert "34.5" in text  # 6.9 kN m over 200 mm
    assert "twist of 1 deg" in text
    assert "deflection under masonry of 0.3 in" in text
    assert "EXCEEDED" in text
    assert "(read)" in text
    assert "No stresses: a section is given by its figures alone" in " ".join(text.split())
    assert text.endswith("licensed\n  engineer decide whether a member is safe.\n")


def test_without_limits_the_customary_one_is_offered() -> None:
    text = member_table(solved(FIGURES, SUPPORTS, LOADS))
    assert "Limits (none set: the customary one)" in text
    assert "Set your own" in " ".join(text.split())
    assert "from memory" in text


def test_american_units_all_through() -> None:
    text = member_table(solved(FIGURES, SUPPORTS, LOADS, LIMITS, unit="in"))
    assert "19.69 ft long" in text
    for unit in ("kip·in", "kip", "deg"):
        assert unit in text
    assert "kN" not in text


def test_sharp_corners_and_lifting_are_said() -> None:
    angle = """
    [material.steel]
    grade = "S235"
    [section.angle]
    [[section.angle.outline]]
    points = [[0, 0], [90, 0], [90, 12], [12, 12], [12, 60], [0, 60]]
    """
    pair = (
        '[[support]]\nname = "seat"\nat = ["start", "end"]\nkind = "bearing pair"\nspacing = 90\n'
    )
    load = '[[load]]\nweight = "0.2 kN/m"\nplace = [60, 0]\n'
    hold = '[[spring]]\nat = "middle"\ntwist = "0.5 kN*m/rad"\n'
    text = " ".join(member_table(solved(angle, pair, load, hold)).split())
    assert "sharp corners where the elastic shear stress is unbounded" in text
    assert "uplift" in text


# -- records --------------------------------------------------------------------------------------
def test_the_record_is_plain_and_complete(tube: Assessment) -> None:
    record = json.loads(member_json(tube))
    assert record["units"] == {
        "length": "mm", "force": "N", "moment": "N*mm", "bimoment": "N*mm^2", "stress": "MPa",
        "mass per length": "kg/mm", "angle": "rad",
    }  # fmt: skip
    assert record["stress"] is None
    assert [c["name"] for c in record["combinations"]] == ["hung", "worked on"]
    first = record["combinations"][1]
    assert first["factors"] == {"stone": 1.0, "crew": 1.5}
    total = sum(r["force"][1] for r in first["reactions"])
    assert total == pytest.approx(5e3 * 6 + 1.5 * 2 * 3e3)
    assert record["loads"][0]["torque"] == pytest.approx(-10.2e6)
    assert record["limits"][0]["passed"] is True
    assert record["limits"][1]["passed"] is False
    assert len(record["remedies"]) == 3
    # The member is loose without a hold across: no number, so null.
    assert None in [r["twist_without_over_with"] for r in record["restraints"]]
    assert len(record["stations"]["hung"]["phi"]) == len(record["stations"]["z"])


def test_stations_of_the_record_are_the_solution(tube: Assessment) -> None:
    record = member_record(tube)
    z = np.array(record["stations"]["z"])
    assert np.all(np.diff(z) >= 0)
    inner = (z > 10) & (z < 5990) & (np.abs(z % 2000) > 10)
    again = tube.solution.at(z[inner])
    for word in ("v", "phi", "M_x", "T_t"):
        got = np.array(record["stations"]["worked on"][word])[inner]
        np.testing.assert_allclose(got, getattr(again, word)[:, 1], rtol=1e-9, atol=1e-9)


def test_the_csv_names_units_and_repeats_jumps(tube: Assessment) -> None:
    rows = list(csv.DictReader(io.StringIO(member_csv(tube))))
    assert "T (kN·m)" in rows[0]
    assert "von Mises (MPa)" not in rows[0]
    assert len(rows) == 2 * len(tube.table.z)
    at = [r for r in rows if r["combination"] == "worked on" and float(r["z (m)"]) == 2.0]
    assert len(at) == 2
    jump = float(at[1]["T (kN·m)"]) - float(at[0]["T (kN·m)"])
    assert jump == pytest.approx(1.5 * 3 * 0.4)
    assert math.isclose(float(at[0]["v (mm)"]), float(at[1]["v (mm)"]), rel_tol=1e-8)


def test_own_weight_of_a_symmetric_beam_twists_nothing() -> None:
    """A doubly symmetric section on forks under its own weight: w L^2 / 8, and neither torque nor
    twist, whatever the arithmetic leaves of them."""
    text = 'unit = "mm"\n'
    text += '[section.i]\nshape = "IPE300"\nmaterial = "S355"\n[[span]]\nlength = 6000\n'
    text += '[[support]]\nat = ["start", "end"]\nkind = "fork"\n[self_weight]\ncase = "dead"\n'
    text += '[analysis]\nsections = "keep their shape"\n'
    assessment = assess(member_from_toml(text), cures=False)
    (torque,) = assessment.torques
    assert torque.torque == 0
    table = member_table(assessment)
    assert "self-weight  dead      0      0       0\n" in table
    assert "The largest twist is 0 deg" in table
    assert "No torque acts." in table
    assert "R_x, R_z, M_x, M_y, T and B are zero at every support." in " ".join(table.split())
    assert assessment.limits[0].row.value == 0
