"""Worst places of vehicles and crowds: closed forms, published cases, brute force."""

from __future__ import annotations

import json
from pathlib import Path

import numpy as np
import pytest
from soapfilm.cli.main import main
from soapfilm.geometry.errors import InputError
from soapfilm.solver.member.beam.analysis import solve
from soapfilm.solver.member.file import member_from_toml
from soapfilm.solver.member.influence.analysis import Influence
from soapfilm.solver.member.influence.crowd_strip import own_length
from soapfilm.solver.member.influence.envelope import envelope_of
from soapfilm.solver.member.influence.moving_load import MovingExtreme
from soapfilm.solver.member.influence.traffic import Traffic
from soapfilm.solver.member.model.moving import Axle, Crowd, Vehicle

from .test_beam_lines import BAR, lines_of, request_of


def worst(found: Influence, load: Vehicle | Crowd) -> list[MovingExtreme]:
    if isinstance(load, Vehicle):
        return list(Traffic(found, [load], []).alone())
    return list(Traffic(found, [], [load]).alone())


def vehicle(*axles: tuple[float, float], **more: object) -> Vehicle:
    return Vehicle("cart", tuple(Axle(*a) for a in axles), ((0.0, 0.0),), **more)  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("length", "one", "other", "apart", "expected"),
    [
        (20.0, 40e3, 20e3, 4.0, 261.333333e3),
        (12.0, 50e3, 30e3, 2.5, 203.964844e3),
        (20.0, 80e3, 40e3, 3.0, 541.5e3),
    ],
)
def test_two_axles_on_a_simple_span(
    length: float, one: float, other: float, apart: float, expected: float
) -> None:
    """(P L - P_s a)^2 / (4 P L) under the heavier axle at L/2 - P_s a / (2 P); common statics."""
    total = one + other
    at = length / 2 - other * apart / (2 * total)
    request = request_of([length])
    found = lines_of(request, f"M_x at {at}")
    _, least = worst(found, vehicle((0.0, one), (apart, other)))
    assert -least.value == pytest.approx(expected, rel=1e-6)
    assert any(abs(z - at) < 1e-5 for z in least.axles)


def test_two_spans_hogging_and_direction() -> None:
    """Two spans of 20 m, axles 80 and 40 kN 3 m apart, either way round (from the closed line)."""
    found = lines_of(request_of([20.0, 20.0]), "M_x at end of span 1", "reaction of prop 2")
    most = worst(found, vehicle((0.0, 80.0), (3.0, 40.0)))[0]
    assert most.value == pytest.approx(225.913488, rel=2e-4)
    assert most.together[0] == most.value


@pytest.mark.parametrize("radius", [None, 30.0])
def test_against_ten_thousand_positions(radius: float | None) -> None:
    request = request_of([9.0, 7.0], radius)
    found = lines_of(
        request, "M_x at 4", "V_y at 4", "T at 9.5", "reaction of prop 2", "twist at 5"
    )
    cart = Vehicle(
        "cart",
        (Axle(0.0, 3.0), Axle(1.1, 5.0), Axle(2.9, 4.0)),
        ((0.4, 0.0), (-0.6, 0.0)),
        0.5,
        1.3,
    )
    rows = worst(found, cart)
    # Both sides of the stations asked for, where lines jump.
    sides = [s + d for s in (4.0, 9.5) for d in (-1e-7, 1e-7)]
    z = np.unique([*np.linspace(0, 16, 3201), *sides])
    best = np.zeros((2, 5))
    for line in cart.lines:
        s = own_length(request.member, line, z)
        table = sum(
            found.field.ordinates(z, (line[0] + wheel, 0.0))  # type: ignore[operator,index]
            for wheel in (-0.25, 0.25)
        )
        first = np.linspace(0, s[-1] + 2.9, 10_000)
        for way in (-1.0, 1.0):
            total = np.zeros((len(first), 5))
            for axle in cart.axles:
                place = first + way * axle.behind - (2.9 if way > 0 else 0.0)
                on = (place >= 0) & (place <= s[-1])
                for c in range(5):
                    total[on, c] += 1.3 * axle.force / 2 * np.interp(place[on], s, table[:, c])
            best[0] = np.maximum(best[0], total.max(axis=0))
            best[1] = np.minimum(best[1], total.min(axis=0))
    for row in rows:
        brute = best[0 if row.maximum else 1, row.result]
        size = abs(best[:, row.result]).max()
        ours = row.value if row.maximum else -row.value
        theirs = brute if row.maximum else -brute
        assert ours >= theirs - 5e-6 * size
        assert ours <= theirs + 2e-3 * size


def test_longer_than_the_bridge() -> None:
    """One axle of a long train at a time: P L / 4."""
    found = lines_of(request_of([8.0]), "M_x at 4", "reaction of prop 1")
    train = vehicle((0.0, 6.0), (30.0, 10.0), (60.0, 4.0))
    rows = worst(found, train)
    assert -rows[1].value == pytest.approx(10 * 8 / 4, rel=1e-6)
    assert rows[1].axles == pytest.approx([4.0], abs=1e-5)
    assert rows[2].value == pytest.approx(10.0, rel=1e-6)
    assert rows[0].value == pytest.approx(0, abs=1e-9)


def test_crowd_takes_the_worst_length() -> None:
    """Two equal spans: w L^2 / 16 in one span alone sags or hogs; both spans give w L^2 / 8."""
    found = lines_of(request_of([10.0, 10.0]), "M_x at end of span 1", "M_x at 2.5", "V_y at 5")
    rows = worst(found, Crowd("people", 4.0, (((0.0, 0.0), 1.5),)))
    hogging = rows[0]
    assert hogging.value == pytest.approx(6 * 100 / 8, rel=1e-6)
    assert hogging.parts == (pytest.approx((0, 0.0, 20.0)),)
    sagging, upward = rows[3], rows[2]
    assert sagging.parts[0][1:] == pytest.approx((0.0, 10.0), abs=1e-6)
    # At a quarter: R_A z - w z^2 / 2, span 1 alone R_A = 7/16 w L; span 2 alone R_A = - w L / 16.
    assert -sagging.value == pytest.approx(6 * 10 * 2.5 * 7 / 16 - 6 * 2.5**2 / 2, rel=1e-6)
    assert upward.value == pytest.approx(6 * 10 / 16 * 2.5, rel=1e-6)
    assert sagging.together[0] == pytest.approx(6 * 100 / 16, rel=1e-6)
    z = np.linspace(0, 20, 8_001)
    z = (z[1:] + z[:-1]) / 2
    shear = found.field.ordinates(z, (0.0, 0.0))[:, 2]
    assert rows[4].value == pytest.approx(6 * np.clip(shear, 0, None).mean() * 20, rel=1e-6)


def test_crowd_on_half_the_width() -> None:
    """The torque of a fork-fork span: each strip by itself, from the station to one end."""
    found = lines_of(request_of([8.0]), "T at 2")
    both = Crowd("people", 5.0, (((-0.5, 0.0), 1.0), ((0.5, 0.0), 1.0)))
    most, least = worst(found, both)
    # 5 kN/m at an arm of 0.5: areas of z/L before 2 and 1 - z/L beyond.
    areas = 2 * 2 / 8 / 2, 6 * 6 / 8 / 2
    assert most.value == pytest.approx(2.5 * sum(areas), rel=1e-6)
    assert least.value == pytest.approx(-most.value, rel=1e-6)
    assert {part[0] for part in most.parts} == {0, 1}


SPAN = """
[[span]]
length = 8
[[support]]
name = "prop"
at = ["start", "end"]
kind = "fork"
"""
CART = """
[[vehicle]]
name = "cart"
axles = [{ at = 0, force = "3 kN" }, { at = "2 m", force = "5 kN" }]
lines = ["shear centre", [0.3, 0]]
track = "0.5 m"
dynamic_factor = 1.2
"""
PEOPLE = """
[[crowd]]
pressure = "5 kN/m^2"
strips = [{ place = [0, 0], width = "2 m" }]
"""


def test_in_a_member_file(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    file = tmp_path / "bar.toml"
    file.write_text(BAR + SPAN + CART + PEOPLE)
    assert main(["influence", str(file), "--result", "M_x at 4", "--result", "T at 3"]) == 0
    out = capsys.readouterr().out
    assert "Moving loads" in out
    assert "(strip 1)" in out
    assert main(["influence", str(file), "--result", "M_x at 4", "--json"]) == 0
    rows = json.loads(capsys.readouterr().out)["moving_loads"]
    least = {(r["load"], r["kind"]): r for r in rows}
    assert least["crowd", "minimum"]["value"] == pytest.approx(-10 * 64 / 8, rel=1e-6)
    # Heavy axle in the middle, the other 2 m beside it.
    assert least["cart", "minimum"]["value"] == pytest.approx(-1.2 * (5 * 2 + 3), rel=1e-6)
    assert sorted(least["cart", "minimum"]["axles_at"])[0] in (
        pytest.approx(2.0, abs=1e-5), pytest.approx(4.0, abs=1e-5),
    )  # fmt: skip


def test_the_member_says_that_they_are_not_in_its_results(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file = tmp_path / "bar.toml"
    load = '[[load]]\nweight = "1 kN/m"\nplace = [0, 0]\n'
    file.write_text(BAR + SPAN + CART + PEOPLE + load)
    assert main(["member", str(file), "--no-remedies"]) == 0
    out = " ".join(capsys.readouterr().out.split())
    assert "Moving loads are not in these results: cart, crowd;" in out


@pytest.mark.parametrize(
    ("before", "after", "message"),
    [
        ('"3 kN"', '"-3 kN"', "an axle's force is positive"),
        ("at = 0,", 'at = "-1 m",', "at or behind the first one"),
        ('track = "0.5 m"', 'track = "-1 m"', "track is not negative"),
        ("dynamic_factor = 1.2", "dynamic_factor = 0", "dynamic_factor is positive"),
        ('lines = ["shear centre", [0.3, 0]]', "lines = []", "one line at least"),
        ('lines = ["shear centre", [0.3, 0]]', 'lines = "rim"', "lines is a list of points"),
        ('"shear centre"', '"rim"', "there is no point 'rim'"),
        ('axles = [{ at = 0, force = "3 kN" }, { at = "2 m", force = "5 kN" }]', "axles = 3",
         "axles is a list of tables"),
        ('{ at = 0, force = "3 kN" }, ', "{ at = 0 }, ", "force"),
        ("track", "trakc", "did you mean"),
        ('pressure = "5 kN/m^2"', 'pressure = "0 kN/m^2"', "pressure is positive"),
        ('width = "2 m"', 'width = "0 m"', "each of a positive width"),
        ('strips = [{ place = [0, 0], width = "2 m" }]', "strips = []", "needs strips"),
    ],
)  # fmt: skip
def test_bad_tables(before: str, after: str, message: str) -> None:
    text = BAR + SPAN + CART + PEOPLE
    assert before in text
    with pytest.raises(InputError, match=message) as caught:
        member_from_toml(text.replace(before, after, 1))
    assert "\n" not in str(caught.value)


def test_a_crowd_over_a_kink_has_its_mitre() -> None:
    """What the envelope sums up is what the same strip weighs as a load of the member."""
    tables = (
        '[[kink]]\nat = "5 m"\nangle = "20 deg"\n'
        '[[crowd]]\npressure = "5 kN/m^2"\nstrips = [{ place = [-2, 0], width = "1 m" }]\n'
        '[[combination]]\nname = "use"\nfactors = { crowd = 1.0 }\n'
    )
    plain = (
        '[[span]]\nlength = 9\n[[support]]\nname = "prop"\nat = ["start", "end"]\nkind = "fork"\n'
    )
    kept = BAR + '[analysis]\nsections = "keep their shape"\n' + plain
    request = member_from_toml(kept + tables)
    found = envelope_of(request)
    titles = [one.title for one in found.influence.asked]
    load = '[[load]]\nweight = "5 kN/m"\nplace = [-2, 0]\nmeasured_along = "own line"\n'
    still = member_from_toml(kept + tables.partition("[[crowd]]")[0] + load).member
    for n, reaction in enumerate(solve(still).reactions[0], 1):
        row = titles.index(f"reaction of prop {n}")
        assert found.governing(row, True).value == pytest.approx(reaction.force[1], rel=1e-3)
