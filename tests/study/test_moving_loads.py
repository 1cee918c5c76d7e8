"""Sweeps of members under moving loads: every row has its own worst places."""

from __future__ import annotations

import csv
from pathlib import Path

import pytest
from soapfilm.cli.main import main
from soapfilm.solver.study.choice.sizing import SizeResult, size_member
from soapfilm.solver.study.file.size_file import load_sizing

MEMBER = """
unit = "m"
[analysis]
sections = "keep their shape"
[quantity]
axle = "10 kN"
reach = "8 m"
[section.bar]
E = "210 GPa"
G = "81 GPa"
A = "100 cm^2"
I_x = "4e6 mm^4"
I_y = "1e6 mm^4"
J = "1e6 mm^4"
[[span]]
length = "= reach"
[[support]]
name = "end"
at = ["start", "end"]
kind = "fork"
[[vehicle]]
name = "cart"
axles = [{ force = "= axle" }]
lines = ["shear centre"]
[[combination]]
name = "use"
factors = { cart = 1.0 }
[[limit]]
deflection = "10 m"
"""
SWEEP = """
member = "bar.toml"
[[parameter]]
name = "reach"
sets = "quantity.reach"
values = ["6 m", "8 m"]
"""


def test_each_row_has_its_own_worst_place(tmp_path: Path) -> None:
    """P L^3 / (48 E I), wherever the middle of the span lies."""
    (tmp_path / "bar.toml").write_text(MEMBER)
    (tmp_path / "reach.toml").write_text(SWEEP)
    out = tmp_path / "rows.csv"
    words = ["sweep", str(tmp_path / "reach.toml"), "--workers", "1", "--csv", str(out)]
    assert main([*words, "--output", str(tmp_path / "rows.sqlite")]) == 0
    rows = list(csv.DictReader(out.open()))
    assert len(rows) == 2
    for row, reach in zip(rows, (6.0, 8.0), strict=True):
        drop = 10e3 * reach**3 / (48 * 210e9 * 4e-6)
        used = row["limit_used"]
        assert float(used) == pytest.approx(drop / 10, rel=1e-4)
        # Reactions of these places are not the largest: none are told.
        assert not any(k.endswith(("up_most", "up_least")) and v for k, v in row.items())


PLANK = """
unit = "m"
[quantity]
height = "200 mm"
[[shape]]
profile = "Rectangle"
XDim = 0.1
YDim = "= height"
material = "S355"
"""
#: The bar of the member file, and one whose section is a file with quantities of its own.
FILED = MEMBER[: MEMBER.index("[section.bar]")] + '[section.bar]\nfile = "plank.toml"\n'
FILED += MEMBER[MEMBER.index("[[span]]") :]


def sized(folder: Path, choice: str) -> SizeResult:
    (folder / "bar.toml").write_text(FILED.replace('"10 m"', '"20 mm"'))
    (folder / "plank.toml").write_text(PLANK)
    file = folder / "size.toml"
    named = '[[parameter]]\nname = "height"\nsets = "quantity.height"\n'
    file.write_text(f'member = "bar.toml"\nsection = "plank.toml"\n{named}{choice}\n')
    return size_member(load_sizing(file, cached=False))


#: The height at which P L^3 / (48 E I) is the limit: I = b h^3 / 12.
HEIGHT = (10e3 * 8**3 / (48 * 210e9 * 0.02) * 12 / 0.1) ** (1 / 3)


def test_a_list_is_judged_with_the_worst_place_of_each(tmp_path: Path) -> None:
    values = [HEIGHT * share for share in (0.99, 1.01)]
    found = sized(tmp_path, f"values = {values}")
    assert found.found[0].depth == pytest.approx(values[1])
    assert "displacement of 0.02" in found.neighbours[0].reasons[0].words


def test_a_range_is_searched_under_moving_loads(tmp_path: Path) -> None:
    found = sized(tmp_path, 'from = "120 mm"\nto = "250 mm"')
    best = found.found[0]
    assert best.depth == pytest.approx(HEIGHT, rel=2e-3)
    assert best.judged
    assert best.used <= 1
