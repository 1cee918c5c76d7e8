"""`soapfilm shapes`: families, searches with units, tables beside solutions, refusals."""

from __future__ import annotations

import json
from functools import partial
from typing import Any

import pytest
from soapfilm.cli.main import main
from soapfilm.geometry.catalogue import FAMILIES, listing, search
from soapfilm.solver import section
from soapfilm.solver.section import Limits


def run(capsys: pytest.CaptureFixture[str], *words: str) -> str:
    assert main(["shapes", *words]) == 0
    out, err = capsys.readouterr()
    assert err == ""
    return out


def records(capsys: pytest.CaptureFixture[str], *words: str) -> list[dict[str, Any]]:
    return json.loads(run(capsys, *words, "--json"))  # type: ignore[no-any-return]


def refused(capsys: pytest.CaptureFixture[str], *words: str) -> str:
    assert main(["shapes", *words]) == 2
    out, err = capsys.readouterr()
    assert out == ""
    assert err.count("\n") == 1
    return err


def test_families_with_their_number_of_shapes(capsys: pytest.CaptureFixture[str]) -> None:
    lines = run(capsys).splitlines()
    for name, family in FAMILIES.items():
        line = next(line for line in lines if line.startswith(f"{name} ") and family.title in line)
        assert f" {len(search(name))} " in line
    assert [f["family"] for f in records(capsys)] == list(FAMILIES)
    assert "W10X49" in records(capsys)[0]["shapes"]


@pytest.mark.parametrize(
    ("words", "holds"),
    [
        (["--depth", "10 to 12 in"], lambda s, k: 10 <= s.depth * k <= 12),
        (["--depth", "from 300 mm"], lambda s, k: s.depth * k * 25.4 >= 300),
        (["--depth", "up to 1 ft"], lambda s, k: s.depth * k <= 12),
        (["--torsion", "2 in^4 to 80 in^4"], lambda s, k: 2 <= s.torsion_constant * k**4 <= 80),
        (["--torsion", "from 100 cm^4"], lambda s, k: s.torsion_constant * (2.54 * k) ** 4 >= 100),
    ],
)
def test_ranges_hold_in_any_unit(capsys, words, holds) -> None:
    """Of the shapes that have J tabulated, exactly those inside; bounds in other units than the
    table's."""
    found = {r["designation"] for r in records(capsys, *words)}
    for shape in search():
        inch = 1.0 if shape.unit == "in" else 1 / 25.4
        if shape.torsion_constant is not None:
            assert (shape.designation in found) == holds(shape, inch), shape.designation


def test_weights_in_pounds_and_kilograms(capsys: pytest.CaptureFixture[str]) -> None:
    pounds = records(capsys, "--family", "W", "--weight", "48 to 50 lb/ft")
    assert {"W10X49", "W14X48", "W12X50"} <= {r["designation"] for r in pounds}
    assert all(48 <= r["weight"] <= 50 for r in pounds)
    assert [r["weight"] for r in pounds] == sorted(r["weight"] for r in pounds)
    kilograms = records(capsys, "--family", "w", "--weight", "72 kg/m to 73 kg/m")
    assert {r["designation"] for r in kilograms} == {
        r["designation"] for r in pounds if 72 <= r["weight"] * 0.45359237 / 0.3048 <= 73
    }


def test_bounds_are_met_by_equal_values(capsys: pytest.CaptureFixture[str]) -> None:
    """10 in are 254 mm and a rounding: the W10X49 is neither lost above nor below."""
    for text in ("10 to 11 in", "9 in to 254 mm", "254 mm to 1 ft"):
        found = {r["designation"] for r in records(capsys, "--family", "W", "--depth", text)}
        assert "W10X49" in found


def test_lists_in_the_unit_asked_for(capsys: pytest.CaptureFixture[str]) -> None:
    words = ["--family", "W", "--depth", "10 to 10.1 in", "--weight", "up to 50 lb/ft"]
    for unit, heads, row in (
        (None, ("lb/ft", "depth in", "J in⁴"), ["W10X49", "49", "10", "10", "14.4"]),
        ("mm", ("kg/m", "depth mm", "J mm⁴"), ["W10X49", "72.92", "254", "254", "9290"]),
    ):
        out = run(capsys, *words, *(["--output-unit", unit] if unit else []))
        for head in heads:
            assert head in out
        line = next(line for line in out.splitlines() if line.startswith("W10X49"))
        assert line.split()[:5] == row


def test_one_shape_beside_its_table(capsys: pytest.CaptureFixture[str]) -> None:
    """The published J of the W10X49 is 1.39 in^4 (the catalogue's notice names its source)."""
    out = run(capsys, "w 10 x 49")
    line = next(line for line in out.splitlines() if "J = I_T" in line)
    assert line.split()[5] == "1.39"
    assert "guaranteed" in out
    assert "Why they differ" in out
    (record,) = records(capsys, "W10X49", "--accuracy", "1e-7")
    j = record["section"]["torsion_constant"]
    assert j["lower"] <= j["value"] <= j["upper"]
    by_key = {c["quantity"]: c for c in record["compared"]}
    assert by_key["torsion_constant"]["table"] == 1.39
    assert by_key["torsion_constant"]["solved"] == j["value"]
    assert abs(by_key["torsion_constant"]["relative_difference"]) < 0.01
    assert all(c["why"] for c in record["compared"])


def test_detail_in_another_unit(capsys: pytest.CaptureFixture[str]) -> None:
    (inches,) = records(capsys, "HSS8X4X1/2")
    (metric,) = records(capsys, "HSS8X4X1/2", "--output-unit", "mm")
    for one, other in zip(inches["compared"], metric["compared"], strict=True):
        factor = 25.4 ** one["power"]
        assert other["solved"] == pytest.approx(one["solved"] * factor, rel=2e-5)
        if one["table"] is not None:
            assert other["table"] == pytest.approx(one["table"] * factor)
            assert other["why"] == one["why"]
    assert inches["compared"][-1]["table"] is None  # no C_w is tabulated for tubes
    assert inches["compared"][-1]["why"] is None


def test_a_list_solved(capsys: pytest.CaptureFixture[str]) -> None:
    out = run(capsys, "--family", "HP", "--depth", "up to 8.1 in", "--solve")
    assert "less table" in out
    line = next(line for line in out.splitlines() if line.startswith("HP8X36"))
    solved, difference = float(line.split()[-3]), float(line.split()[-2])
    table = listing("HP8X36").torsion_constant
    assert table is not None
    assert difference == pytest.approx(100 * (solved / table - 1), abs=0.02)


@pytest.mark.parametrize(
    "words",
    [
        ["HP8X36"],
        ["HP8X36", "--json"],
        ["--family", "HP", "--depth", "up to 8.1 in", "--solve"],
        ["--family", "HP", "--depth", "up to 8.1 in", "--solve", "--json"],
    ],
)
def test_a_missed_accuracy_ends_with_1(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch, words: list[str]
) -> None:
    """One small round stands for a shape whose narrowing rounding ends: all is printed, then the
    code."""
    limits = Limits(rounds=1, first=1_000)
    monkeypatch.setattr(section, "solve_section", partial(section.solve_section, limits=limits))
    assert main(["shapes", *words, "--accuracy", "1e-9"]) == 1
    out, err = capsys.readouterr()
    assert "HP8X36" in out
    assert err.count("\n") == 1
    assert "HP8X36: J is known to" in err
    assert "not to the 1.0e-09 asked for" in err


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (["W10X48"], "did you mean W10X49"),
        (["nonsense"], "not in the catalogue"),
        (["--family", "IPN"], "'IPN' is not known; use UPN, IPE"),
        (["--depth", "10 to 12"], "--depth: '12' has no unit"),
        (["--depth", "10 in"], "'10 in' is not a range"),
        (["--depth", "from 12"], "--depth: '12' has no unit"),
        (["--depth", "12 in to 10 in"], "runs downward"),
        (["--depth", "from 3 kN"], "'3 kN' is not a length"),
        (["--torsion", "from 3 in"], "is not a second moment"),
        (["--weight", "up to 3 kN/m"], "is not a mass per length"),
        (["--depth", "from 9 m"], "no shape lies in these ranges"),
        (["W10X49", "--family", "W"], "not both"),
        (["--solve"], "--solve needs shapes"),
        (["--output-unit", "yd"], "yd"),
    ],
)
def test_refusals(capsys, words, says) -> None:
    assert says in refused(capsys, *words)
