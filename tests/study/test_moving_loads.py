"""Sweeps of members under moving loads: every row has its own worst places."""

from __future__ import annotations

import csv
from pathlib import Path

import pytest
from soapfilm.cli.main import main
from soapfilm.geometry.errors import InputError
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


def test_a_search_points_to_the_sweep(tmp_path: Path) -> None:
    (tmp_path / "bar.toml").write_text(MEMBER)
    file = tmp_path / "size.toml"
    file.write_text('member = "bar.toml"\n[catalogue]\nfamilies = ["IPE"]\nmaterial = "S355"\n')
    with pytest.raises(InputError, match="soapfilm sweep judges them at every point"):
        load_sizing(file)
