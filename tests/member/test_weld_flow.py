"""Welds and cells along a member, against V Q / I, T / (2 A), and by units of force."""

from __future__ import annotations

import csv
import io

import numpy as np
import pytest
from soapfilm.geometry.errors import InputError
from soapfilm.report.member.carried_flow import flow_record, peak_of, weld_flows
from soapfilm.report.member.csv import member_csv
from soapfilm.report.member.units import MemberUnits
from soapfilm.report.text.rendering import render_passage
from soapfilm.solver.member.file import member_from_toml
from soapfilm.solver.member.review.assessment import Assessment, assess
from soapfilm.solver.member.review.weld_flow import WeldDemand

BOX = """
unit = "mm"
[analysis]
sections = "keep their shape"
stations = 20
accuracy = 1e-4
[section.box]
[section.box.material.steel]
grade = "S355"
"""
PLATES = """
[[section.box.plate]]
name = "deck"
points = [[-150, 206], [150, 206]]
thickness = 12
[[section.box.plate]]
name = "foot"
points = [[-150, -206], [150, -206]]
thickness = 12
[[section.box.plate]]
name = "left web"
points = [[-130, 200], [-130, -200]]
thickness = 8
[[section.box.plate]]
name = "right web"
points = [[130, 200], [130, -200]]
thickness = 8
"""
WELDS = "".join(
    f'[[section.box.weld]]\nname = "{plate} {side}"\nbetween = ["{plate}", "{side} web"]\n'
    f"leg = 6\nnear = [{x}, {y}]\n{'length = 60' if plate == 'foot' else ''}\n"
    f"{'pitch = 150' if plate == 'foot' else ''}\n"
    for plate, y in (("deck", 200), ("foot", -200))
    for side, x in (("left", -134), ("right", 134))
)
MEMBER = """
[[span]]
length = "8 m"
[[support]]
at = ["start", "end"]
kind = "fork"
[[load]]
case = "shear"
weight = "30 kN/m"
place = "shear centre"
[[load]]
case = "torque"
at = "middle"
T = "40 kN*m"
[welds]
strength = "208 MPa"
"""


@pytest.fixture(scope="module")
def found() -> Assessment:
    return assess(member_from_toml(BOX + PLATES + WELDS + MEMBER), cures=False)


def test_bending_shear_through_the_welds_of_a_flange(found: Assessment) -> None:
    """Both welds of a flange share V Q / I by symmetry."""
    flows = found.flows
    assert flows is not None
    shear = flows.names.index("shear")
    area = 300 * 12
    own = found.request.sections["box"].constants
    q = 30 * 4000 * area * 206 / own.second_moment_x
    pairs = {w.line.name: w for w in flows.welds}
    for plate in ("deck", "foot"):
        for side in ("left", "right"):
            weld = pairs[f"{plate} {side}"]
            flow = weld.flow
            # Integrated where a weld alone parts nothing: within what is said of its doubt.
            assert abs(abs(flow[0, shear]) - q / 2) < weld.doubt[0, shear]
            assert abs(flow[0, shear]) == pytest.approx(q / 2, rel=6e-3)
            assert abs(flow[-1, shear]) == pytest.approx(q / 2, rel=6e-3)
            row = int(np.abs(flows.z - 4000).argmin())
            assert abs(flow[row, shear]) < 0.02 * q


def test_torque_through_the_welds_and_around_the_cell(found: Assessment) -> None:
    """Away from where the torque acts the flow is T / (2 A), A within the middle of the walls."""
    flows = found.flows
    assert flows is not None
    torque = flows.names.index("torque")
    # The welds stand 4 mm outside the webs' middles; the cell is closed through them.
    bredt = 20e6 / (2 * 260 * 412)
    row = int(np.abs(flows.z - 1000).argmin())
    for weld in flows.welds:
        assert abs(weld.flow[row, torque]) == pytest.approx(bredt, rel=0.05)
    (cell,) = flows.cells
    assert abs(cell.flow[row, torque]) == pytest.approx(bredt, rel=0.05)
    weld = flows.welds[0]
    assert abs(weld.flow[row, torque]) == pytest.approx(abs(cell.flow[row, torque]), rel=0.01)
    # T_t jumps with its sign at the middle, and the flows with it.
    assert weld.flow[0, torque] * weld.flow[-1, torque] < 0


def test_what_a_weld_needs(found: Assessment) -> None:
    flows = found.flows
    assert flows is not None
    demand = found.request.welds
    assert demand == WeldDemand(208.0)
    assert demand is not None
    foot = next(w for w in flows.welds if w.line.name == "foot left")
    assert foot.throat == pytest.approx(6 / 2**0.5, rel=1e-3)
    row, c = peak_of(foot.flow)
    flow = abs(float(foot.flow[row, c]))
    assert demand.length(flow, foot.throat, 150.0) == pytest.approx(
        flow * 150 / (208 * foot.throat)
    )
    text = " ".join(render_passage(weld_flows(found, MemberUnits(found.request.units))).split())
    assert "every 150" in text
    assert "'deck left', 'deck right': fillet weld" in text or "'deck left': fillet weld" in text
    # An intermittent weld of 60 every 150 carries the flow of its pitch on its own length.
    stress = flow * 150 / 60 / foot.throat
    assert f"{stress:.3g}" in text
    assert "cell 1 about (0, 0)" in text


def test_records_and_lines_hold_every_station(found: Assessment) -> None:
    record = flow_record(found)
    assert record is not None
    assert len(record["welds"]) == 4
    assert len(record["welds"][0]["flow"]["shear"]) == len(found.table.z)
    rows = list(csv.DictReader(io.StringIO(member_csv(found))))
    column = "weld deck left of box (kN/m)"
    first = next(r for r in rows if r["combination"] == "shear")
    assert float(first[column]) == pytest.approx(record["welds"][0]["flow"]["shear"][0], rel=1e-6)
    assert float(first["cell 1 of box (kN/m)"]) == pytest.approx(0.0, abs=1e-3)


def test_a_step_leaves_other_sections_blank() -> None:
    plain = PLATES.replace("section.box", "section.plain").replace(
        "thickness = 8", "thickness = 10"
    )
    loose = (
        WELDS.replace("section.box", "section.plain")
        .replace("length = 60", "")
        .replace("pitch = 150", "")
    )
    material = '[section.plain]\n[section.plain.material.steel]\ngrade = "S355"\n'
    steps = '[[segment]]\nsection = "box"\nto = "4 m"\n[[segment]]\nsection = "plain"\n'
    text = BOX + PLATES + WELDS + material + plain + loose + steps + MEMBER
    flows = assess(member_from_toml(text), cures=False).flows
    assert flows is not None
    first, second = (
        next(w for w in flows.welds if w.section == name).flow for name in ("box", "plain")
    )
    # The station of the step stands twice, once on either side.
    assert np.isnan(first[flows.z > 4001]).all()
    assert np.isfinite(first[flows.z < 3999]).all()
    assert np.isnan(second[flows.z < 3999]).all()
    assert (np.isnan(first) ^ np.isnan(second)).all()


def test_no_joints_and_no_cells_have_no_flows() -> None:
    text = 'unit = "mm"\n[analysis]\nsections = "keep their shape"\n'
    text += '[section.b]\nshape = "HEB300"\nmaterial = "S355"\n' + MEMBER
    other = assess(member_from_toml(text), cures=False)
    assert other.flows is None
    assert weld_flows(other, MemberUnits(other.request.units)) == []


@pytest.mark.parametrize(
    ("keys", "words"),
    [
        ("[welds]\n", "strength is missing"),
        ('[welds]\nstrength = "-3 MPa"\n', "strength must be positive"),
        ('[welds]\nstrength = "208 MPa"\npitch = 0\n', "pitch must be positive"),
    ],
)
def test_mistakes_are_named(keys: str, words: str) -> None:
    text = BOX + PLATES + WELDS + MEMBER.partition("[welds]")[0] + keys
    with pytest.raises(InputError, match=words):
        member_from_toml(text)
