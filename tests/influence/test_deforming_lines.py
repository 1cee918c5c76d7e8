"""Influence lines of deforming sections against unit loads one by one, and the command."""

from __future__ import annotations

import csv
import json
from functools import cache
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from soapfilm.cli.main import main
from soapfilm.solver.member.beam.contact import BOTH
from soapfilm.solver.member.deforming.amplitude import Amplitudes
from soapfilm.solver.member.deforming.analysis import assembled, solve_deforming
from soapfilm.solver.member.deforming.gathering import course_of
from soapfilm.solver.member.deforming.lobatto import shapes
from soapfilm.solver.member.file import MemberRequest, member_from_toml
from soapfilm.solver.member.influence.analysis import Influence, influence_of
from soapfilm.solver.member.influence.asked import AskedResult
from soapfilm.solver.member.influence.crowd_strip import own_length
from soapfilm.solver.member.influence.deforming_adjoint import DeformingField, deforming_field
from soapfilm.solver.member.influence.traffic import Traffic
from soapfilm.solver.member.influence.words import asked_in_words, line_in_words
from soapfilm.solver.member.model.load import PointLoad
from soapfilm.solver.member.model.moving import Axle, Vehicle

#: An invented box over two spans in a curve; one pier bearing is soft.
BOX = """
name = "box"
unit = "mm"
[material.steel]
E = "210 GPa"
nu = 0.3
[section.box]
[[section.box.shape]]
profile = "IfcRectangleHollowProfileDef"
XDim = 600
YDim = 400
WallThickness = 20
material = "steel"
[points]
left = [-290, 200]
[[span]]
length = 6000
radius = 40000
[[span]]
length = 5000
radius = 40000
[[support]]
name = "end"
at = ["start", "end"]
kind = "fork"
[[support]]
name = "pier"
at = "end of span 1"
bearings = [{ x = -200 }, { x = 200, stiffness = "300 kN/mm" }]
"""

RESULTS = (
    "reaction of end 1", "T of end 2", "bearing 1 of pier", "bearing 2 of pier", "reaction of pier",
    "M_x at 2600", "V_y at 2600", "T at 2600", "B at 2600", "twist at 2600",
    "displacement of left at 8000", "stress of [0, -200] at 8000", "stress yy of [-300, 0] at 2600",
)  # fmt: skip


@cache
def request_of() -> MemberRequest:
    return member_from_toml(BOX)


@cache
def found() -> Influence:
    request = request_of()
    member, units = request.member, request.units
    asked = [asked_in_words(words, member, units) for words in RESULTS]
    return influence_of(member, request.sections, asked, [line_in_words("left", member, units)])


def test_unit_loads_in_the_same_discretisation() -> None:
    """Movements, reactions of the same elements under single loads: equal to 1e-9."""
    field = found().field
    assert isinstance(field, DeformingField)
    order, frame, asked = 5, field.frame, found().asked
    field = deforming_field(frame, order, asked)
    system = assembled(frame, order, [BOTH] * len(frame.contacts))
    stations = [700.0, 4100.0, 7800.0, 10100.0]
    ours = field.ordinates(np.array(stations), (-290.0, 200.0))
    nodes, n = frame.nodes, frame.course.size
    theirs = np.zeros_like(ours)
    for j, z in enumerate(stations):
        k = int(np.searchsorted(nodes, z, side="right")) - 1
        x = 2 * (z - nodes[k]) / (nodes[k + 1] - nodes[k]) - 1
        down = -frame.grips.force(z, (-290.0, 200.0))[1]
        inner = np.zeros((len(nodes) - 1, (order + 1) * n, 1))
        inner[k, :, 0] = np.outer(shapes(order, np.array([x]))[0][0], down).ravel()
        nodal = np.zeros((len(nodes), n, 1))
        values = system.solve(nodal, inner)
        field_of_load = Amplitudes(nodes, system.whole(values, inner))
        missing = system.missing(values, nodal, inner)
        _, a, _ = field_of_load.at(np.array([2600.0]))
        theirs[j, 9] = float(frame.grips.moment(2600.0)[2] @ a[0, :, 0])
        _, a, _ = field_of_load.at(np.array([8000.0]))
        theirs[j, 10] = float(frame.grips.force(8000.0, (-290.0, 200.0))[1] @ a[0, :, 0])
        up = frame.course.part(0.0).shape(0.0).rigid[:, 1]
        theirs[j, 0] = float(up @ missing[0, :, 0])
        node = int(np.argmin(abs(nodes - 6000)))
        soft = next(i for i, c in enumerate(frame.contacts) if c.softness)
        row = frame.holds.rows[soft][1]
        theirs[j, 3] = -float(row @ values[node, :, 0]) / frame.contacts[soft].softness
        theirs[j, 4] = float(up @ missing[node, :, 0]) + theirs[j, 3]
    size = abs(ours).max(axis=0)
    for c in (0, 3, 4, 9, 10):
        assert abs(ours[:, c] - theirs[:, c]).max() < 1e-9 * size[c], RESULTS[c]


def test_a_load_beside_the_point_that_is_asked_for() -> None:
    """What is local there settles as well: by long elements this movement is off by 0.2 %, and of
    random members one was by a tenth."""
    plain = BOX.replace("XDim = 600", "XDim = 500").replace("Thickness = 20", "Thickness = 6")
    plain = plain.replace("[-290, 200]", "[-250, 200]").replace("radius = 40000", "")
    request = member_from_toml(plain)
    corner, at = (-250.0, 200.0), 800.0
    member = request.member.with_(
        supports=tuple(_holding(s) for s in request.member.supports),
        loads=(PointLoad(at, (0.0, -1.0, 0.0), corner),),
    )
    asked = AskedResult("displacement", "u_x", "movement", at, place=corner)
    line = line_in_words("left", request.member, request.units)
    found = influence_of(member, request.sections, [asked], [line])
    anew = solve_deforming(member, course_of(member, request.sections), orders=(7, 9))
    exact = anew.displacement([corner], [at])[0, 0, 0, 0]
    ours = found.field.ordinates(np.array([at]), corner)[0, 0]
    assert ours == pytest.approx(exact, rel=1e-3)


def test_unit_loads_as_members_of_their_own() -> None:
    """The same by `solve_deforming`, stress and internal forces too."""
    influence, request = found(), request_of()
    assert not influence.alone
    field = influence.field
    assert isinstance(field, DeformingField)
    stations = [1500.0, 4100.0, 9500.0]
    ours = field.ordinates(np.array(stations), (-290.0, 200.0))
    size = abs(influence.ordinates).max(axis=(0, 1))
    for z, row in zip(stations, ours, strict=True):
        load = PointLoad(z, (0.0, -1.0, 0.0), (-290.0, 200.0))
        member = request.member.with_(
            supports=tuple(_holding(s) for s in request.member.supports), loads=(load,)
        )
        solution = solve_deforming(member, field.frame.course, orders=(7, 9))
        inner = solution.resultants([2600.0])
        theirs = {
            5: inner.M_x[0, 0], 6: inner.V_y[0, 0], 7: inner.T[0, 0], 8: inner.B[0, 0],
            9: solution.twist([2600.0])[0, 0],
            10: solution.displacement([(-290.0, 200.0)], [8000.0])[0, 0, 1, 0],
            11: solution.stress([(0.0, -200.0)], [8000.0])[0, 0, 2, 0],
            12: solution.stress([(-300.0, 0.0)], [2600.0])[0, 0, 1, 0],
        }  # fmt: skip
        for c, value in theirs.items():
            assert abs(row[c] - value) < 2e-3 * size[c], RESULTS[c]


def _holding(support: Any) -> Any:
    from dataclasses import replace

    return replace(support, bearings=tuple(replace(b, holds_down=True) for b in support.bearings))


def test_reactions_carry_the_load() -> None:
    """All vertical reactions add up to the load, wherever it stands."""
    request = request_of()
    member, units = request.member, request.units
    field = found().field
    assert isinstance(field, DeformingField)
    words = ("reaction of end 1", "reaction of pier", "reaction of end 2")
    asked = [asked_in_words(w, member, units) for w in words]
    whole = deforming_field(field.frame, 5, asked)
    sums = whole.ordinates(np.linspace(0, 11000, 23), (-290.0, 200.0)).sum(axis=1)
    assert sums == pytest.approx(1, abs=1e-7)


def test_command(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    file = tmp_path / "box.toml"
    file.write_text(BOX + '[analysis]\nsections = "keep their shape"\n')
    table, figure = tmp_path / "lines.csv", tmp_path / "lines.png"
    assert main(["influence", str(file), "--csv", str(table), "--figure", str(figure)]) == 0
    out = capsys.readouterr().out
    assert "bearing 2 of pier" in out
    assert "M_x at end of span 1" in out
    assert figure.stat().st_size > 10_000
    rows = list(csv.reader(table.open()))
    assert rows[0][:2] == ["line", "load at (m)"]
    assert len({len(r) for r in rows}) == 1
    arguments = ["influence", str(file), "--json", "--load", "10 kN", "--result", "M_x at 3 m"]
    main([*arguments, "--line", "[0, 0]", "--line", "left"])
    record = json.loads(capsys.readouterr().out)
    assert record["load"] == 10
    assert record["lines"] == ["[0, 0]", "left"]
    (one,) = record["results"]
    values = np.array(one["ordinates"])
    assert values.shape == (2, len(record["stations"]))
    assert one["minimum"]["value"] <= values.min() + 1e-9


@pytest.mark.parametrize(
    ("more", "message"),
    [
        (["--load", "-3 kN"], "--load must be a positive force"),
        (["--load", "3 m"], "force"),
        (["--line", "nowhere"], "no point 'nowhere'"),
        (["--csv", "a.txt"], "does not end in .csv"),
    ],
)
def test_bad_options(
    more: list[str], message: str, tmp_path: Path, capsys: pytest.CaptureFixture[str],
    monkeypatch: pytest.MonkeyPatch,
) -> None:  # fmt: skip
    monkeypatch.chdir(tmp_path)
    Path("box.toml").write_text(BOX + '[analysis]\nsections = "keep their shape"\n')
    assert main(["influence", "box.toml", *more]) == 2
    said = capsys.readouterr().err.strip()
    assert message in said
    assert "\n" not in said


@pytest.mark.parametrize("factor", [1.0, 1.3])
def test_moving_maxima_of_deforming_sections_against_ten_thousand_positions(factor: float) -> None:
    """Three axles on wheels, two lines, both ways round; every result then adds up wheel by
    wheel."""
    influence, request = found(), request_of()
    lines = ((-100.0, 200.0), (120.0, 200.0))
    cart = Vehicle(
        "cart", (Axle(0.0, 3e3), Axle(900.0, 5e3), Axle(2300.0, 4e3)), lines, 240.0, factor
    )
    asked = [c for c, one in enumerate(influence.asked) if one.kind != "stress"]
    rows = [r for r in Traffic(influence, [cart], []).alone() if r.result in asked]
    # Both sides of the stations asked for, where lines jump.
    sides = [s + d for s in (2600.0, 6000.0, 8000.0) for d in (-1e-3, 1e-3)]
    z = np.unique([*np.linspace(0, 11000, 4401), *sides])
    best = np.zeros((2, len(influence.asked)))
    for line in lines:
        own = own_length(request.member, line, z)
        table = sum(
            influence.field.on((line[0] + wheel, line[1])).at(z) for wheel in (-120.0, 120.0)
        )
        first = np.linspace(0, own[-1] + 2300.0, 10_000)
        for way in (-1.0, 1.0):
            total = np.zeros((len(first), len(influence.asked)))
            for axle in cart.axles:
                place = first + way * axle.behind - (2300.0 if way > 0 else 0.0)
                on = (place >= 0) & (place <= own[-1])
                for c in asked:
                    values = np.interp(place[on], own, table[:, c])
                    total[on, c] += factor * axle.force / 2 * values
            best = np.array([np.maximum(best[0], total.max(0)), np.minimum(best[1], total.min(0))])
    for row in rows:
        sign = 1.0 if row.maximum else -1.0
        brute = sign * best[0 if row.maximum else 1, row.result]
        size = abs(best[:, row.result]).max()
        assert sign * row.value >= brute - 1e-4 * size, influence.asked[row.result].title
        assert sign * row.value <= brute + 2e-3 * size, influence.asked[row.result].title
        # Concurrent results are the sum of what each wheel does to them where it stands.
        if row.axles:
            line = lines[row.line]
            side = "left" if row.result in (6, 7, 8) else "right"
            summed = np.zeros(len(influence.asked))
            for at, force in zip(row.axles, row.forces, strict=True):
                for wheel in (-120.0, 120.0):
                    field = influence.field.on((line[0] + wheel, line[1]))
                    summed += force / 2 * field.at(np.array([at]), side)[0]
            quiet = [c for c in asked if c not in (6, 7, 8)]
            sizes = abs(best).max(axis=0)[quiet]
            assert abs(row.together - summed)[quiet] == pytest.approx(0, abs=1e-9 * sizes.max())
