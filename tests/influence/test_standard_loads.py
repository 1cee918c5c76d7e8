"""Vehicles, crowds and temperature differences of standards, named in a member file."""

from __future__ import annotations

from pathlib import Path

import pytest
from soapfilm.cli.main import main
from soapfilm.geometry.errors import InputError
from soapfilm.geometry.keys.description import file_kind
from soapfilm.solver.member.file import member_from_toml
from soapfilm.solver.member.model.imposed import Temperature
from soapfilm.solver.rules.standard_loads import CROWDS, DIFFERENCES, VEHICLES

from .test_beam_lines import BAR

SPAN = """
[analysis]
sections = "keep their shape"
[[span]]
length = 20
[[support]]
name = "end"
at = ["start", "end"]
kind = "fork"
"""
VEHICLE = '[[vehicle]]\nstandard = "EN 1991-2 service vehicle"\nlines = ["shear centre"]\n'
CROWD = """
[[crowd]]
standard = "EN 1991-2 footbridge"
loaded_length = "20 m"
strips = [{ place = [0, 0], width = "2 m" }]
"""


def test_axles_pressure_and_where_they_are_from(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """The vehicle's largest moment by statics, (P L - P_s a)^2 / (4 P L) at 9.5 m; the crowd's
    q b z (L - z) / 2 there, q = 2 + 120 / 50; both said to be from memory."""
    file = tmp_path / "span.toml"
    file.write_text(BAR + SPAN + VEHICLE + CROWD)
    assert main(["influence", str(file), "--result", "M_x at 9.5"]) == 0
    out = " ".join(capsys.readouterr().out.split())
    assert "vehicle M_x at 9.5 min -541.5 kN·m" in out
    assert f"crowd M_x at 9.5 min {-4.4 * 2 * 9.5 * 10.5 / 2:.1f} kN·m" in out
    for source in ("EN 1991-2:2003, 5.3.2.3", "EN 1991-2:2003, 5.3.2.1"):
        assert source in out
    assert out.count("from memory of it; compare its figures with a copy") == 2


def test_every_name_is_read_and_described() -> None:
    tables = {t.name: t for t in file_kind("member").tables}
    for table, names in (("vehicle", VEHICLES), ("crowd", CROWDS), ("temperature", DIFFERENCES)):
        (key,) = [k for k in tables[table].keys if k.name == "standard"]
        assert key.choices == tuple(names)
    for name in VEHICLES:
        request = member_from_toml(BAR + SPAN + VEHICLE.replace("EN 1991-2 service vehicle", name))
        (vehicle,) = request.vehicles
        assert len(vehicle.axles) == len(VEHICLES[name].axles)
        assert vehicle.axles[0].behind == 0
    psf = member_from_toml(BAR + SPAN + CROWD.replace("EN 1991-2 footbridge", "AASHTO pedestrians"))
    assert psf.crowds[0].pressure == pytest.approx(90 * 47.880259, rel=1e-6)  # psf in Pa


def test_difference_over_the_depth() -> None:
    """Half above and half below zero: the curvature alone, where the centroid is at mid-depth."""
    box = """
unit = "mm"
[material.concrete]
grade = "C40/50"
[[section.slab.shape]]
profile = "IfcRectangleProfileDef"
XDim = 2000
YDim = 500
material = "concrete"
"""
    names = [n for n in DIFFERENCES if "concrete slab" in n]
    assert len(names) == 2
    for name, rise in zip(names, (15.0, -8.0), strict=True):
        text = box + SPAN.replace("length = 20", 'length = "20 m"')
        request = member_from_toml(text + f'[[temperature]]\nstandard = "{name}"\n')
        (action,) = request.member.imposed
        assert isinstance(action, Temperature)
        assert [t for _, t in action.heights] == [-rise / 2, rise / 2]
        assert "table 6.1" in action.source


@pytest.mark.parametrize(
    ("before", "after", "message"),
    [
        ("service vehicle", "servce vehicle", "did you mean 'EN 1991-2 service vehicle'"),
        ("[[vehicle]]", '[[vehicle]]\ntrack = "2 m"', "axles and track of its own; give either"),
        ("[[crowd]]", '[[crowd]]\npressure = "5 kN/m^2"', "a pressure of its own; give either"),
        ('loaded_length = "20 m"', "", "goes by the length that the crowd covers"),
        ('"20 m"', '"0 m"', "loaded_length is positive"),
    ],
)
def test_slips_get_one_line(before: str, after: str, message: str) -> None:
    text = BAR + SPAN + VEHICLE + CROWD
    assert before in text
    with pytest.raises(InputError, match=message) as caught:
        member_from_toml(text.replace(before, after, 1))
    assert "\n" not in str(caught.value)


def test_wind_needs_no_case_of_its_own() -> None:
    """A [[wind]] table says what it is: the set takes it as wind."""
    text = BAR + SPAN + '[[wind]]\npressure = "1 kPa"\ndepth = "2 m"\nlevel = 0\n'
    text += '[[combination_set]]\ncode = "EN 1990"\nstructure = "footbridge"\nstates = ["6.10"]\n'
    (one,) = member_from_toml(text).variable
    assert one.name == "strength 6.10: wind leading"
    assert one.cases == {"wind": (0.0, 1.5)}
