"""Sheets to cut out are true to scale; a drawing with axes reads back as the section alone."""

from __future__ import annotations

import math
import re
from pathlib import Path

import numpy as np
import pytest
from matplotlib.figure import Figure
from soapfilm.cli.main import main
from soapfilm.geometry.catalogue import shape
from soapfilm.geometry.errors import InputError
from soapfilm.geometry.profiles.by_name import build_profile
from soapfilm.geometry.section import Section
from soapfilm.geometry.section_file import load_section
from soapfilm.report.drawing.cut_out import cut_out_sheets

TUBE = {"XDim": 60, "YDim": 40, "WallThickness": 2, "OuterFilletRadius": 5, "InnerFilletRadius": 3}


def _tube(unit: str = "mm") -> Section:
    return build_profile("RectangleHollow", TUBE).section(name="tube", unit=unit)


def _outline(sheet: Figure) -> np.ndarray:
    """Width and height of the filled outline, in millimetres of paper."""
    patch = sheet.axes[0].patches[0]
    points = patch.get_path().vertices  # data coordinates
    inches = sheet.dpi_scale_trans.inverted().transform(sheet.axes[0].transData.transform(points))
    return 25.4 * np.ptp(np.asarray(inches), axis=0)


@pytest.mark.parametrize(("unit", "scale"), [("mm", 1.0), ("mm", 0.5), ("cm", 0.1), ("in", 0.02)])
def test_the_outline_is_true_to_scale(unit: str, scale: float) -> None:
    millimetres = {"mm": 1, "cm": 10, "in": 25.4}[unit] * scale
    sheet = cut_out_sheets(_tube(unit), "A4", scale)[0]
    assert _outline(sheet) == pytest.approx([60 * millimetres, 40 * millimetres], rel=1e-9)
    assert sheet.get_size_inches() * 25.4 == pytest.approx((210, 297))


def test_the_strip_of_a_tube_is_its_outside_and_a_flap() -> None:
    strip = cut_out_sheets(_tube())[1].axes[0]
    outside = 2 * (50 + 30) + 10 * math.pi
    drawn = [line.get_xydata() for line in strip.lines]
    sheet = next(xy for xy in drawn if len(xy) == 5)
    assert np.ptp(sheet, axis=0) == pytest.approx([outside, 150])
    dotted = [
        line for line in strip.lines if line.get_linestyle() == "--" and len(line.get_xdata()) == 2
    ]
    rolled = sorted(round(float(line.get_xdata()[0] - sheet[0, 0]), 6) for line in dotted)
    quarter = 2.5 * math.pi
    assert rolled[:2] == pytest.approx([50, 50 + quarter])


def test_sharp_corners_are_folds() -> None:
    dimensions = {"XDim": 60, "YDim": 40, "WallThickness": 2}
    section = build_profile("RectangleHollow", dimensions).section(name="tube", unit="mm")
    strip = cut_out_sheets(section)[1].axes[0]
    sheet = next(line.get_xydata() for line in strip.lines if len(line.get_xdata()) == 5)
    at = {round(float(line.get_xdata()[0] - sheet[0, 0]), 6) for line in strip.lines
          if len(line.get_xdata()) == 2 and np.ptp(line.get_ydata()) == 150}  # fmt: skip
    assert at in ({60, 100, 160, 200}, {40, 100, 140, 200})


def test_what_is_larger_than_a_sheet_takes_several() -> None:
    sheets = cut_out_sheets(shape("HEB300"), "A4")
    assert len(sheets) == 4
    lower_left = [sheet.axes[0].patches[0].get_path().vertices.min(axis=0) for sheet in sheets]
    assert lower_left[0][0] - lower_left[1][0] == pytest.approx(210 - 24)
    with pytest.raises(InputError, match="--scale"):
        cut_out_sheets(shape("HEB300"), "A4", 4.0)


def test_a_section_without_a_unit_has_no_size_on_paper() -> None:
    with pytest.raises(InputError, match="length unit"):
        cut_out_sheets(_tube(""))


def test_pages_of_the_file(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.chdir(tmp_path)
    words = ["draw", "HSS6X4X1/4", "--cut-out", "tube.pdf", "--scale", "1:4", "--strip", "8 cm"]
    assert main(words) == 0
    assert "2 sheets" in capsys.readouterr().out
    data = (tmp_path / "tube.pdf").read_bytes()
    boxes = re.findall(rb"/MediaBox \[ ?0 0 ([\d.]+) ([\d.]+) ?\]", data)
    assert [tuple(map(float, box)) for box in boxes] == [(612, 792)] * 2  # letter
    assert list(tmp_path.iterdir()) == [tmp_path / "tube.pdf"]
    assert main(["draw", "HEB300", "--cut-out", "a.pdf", "--scale", "0:1"]) == 2
    assert main(["draw", "HEB300", "--cut-out", "a.svg"]) == 2


def test_a_drawing_with_axes_is_read_back_as_the_section(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    import ezdxf

    monkeypatch.chdir(tmp_path)
    assert main(["section", "L6X4X1/2", "--drawing", "angle.dxf", "--accuracy", "1e-3"]) == 0
    back = load_section(tmp_path / "angle.dxf")
    assert back.regions[0].area() == pytest.approx(shape("L6X4X1/2").regions[0].area(), rel=1e-12)
    assert any("centre line" in note for note in back.notes)
    space = ezdxf.readfile(tmp_path / "angle.dxf").modelspace()
    lines = {e.dxf.layer: np.array(list(e.vertices())) for e in space.query("LWPOLYLINE")}
    first, second = (np.diff(lines[f"principal axis {k}"], axis=0)[0] for k in (1, 2))
    assert first @ second == pytest.approx(0.0, abs=1e-9)
    # the principal axis of this angle from its long leg: tan alpha 0.440 (rolled-shape table, from
    # memory), with its sharp drawn corners
    long_leg = abs(math.atan2(first[0], first[1])) % math.pi
    tangent = math.tan(min(long_leg, math.pi - long_leg))
    assert tangent == pytest.approx(0.440, abs=0.01) or 1 / tangent == pytest.approx(0.44, abs=0.01)
