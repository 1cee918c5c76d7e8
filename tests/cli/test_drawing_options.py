"""What messages about drawings advise can be typed: --profile, --gap, --layer."""

from __future__ import annotations

from pathlib import Path

import ezdxf
import pytest
from soapfilm.cli.main import main

IFC = """ISO-10303-21;
HEADER;
FILE_SCHEMA(('IFC4'));
ENDSEC;
DATA;
#1=IFCUNITASSIGNMENT((#2));
#2=IFCSIUNIT(*,.LENGTHUNIT.,.MILLI.,.METRE.);
#3=IFCRECTANGLEPROFILEDEF(.AREA.,'P1',$,100.,50.);
#4=IFCRECTANGLEPROFILEDEF(.AREA.,'P2',$,30.,20.);
ENDSEC;
END-ISO-10303-21;
"""


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    (tmp_path / "two.ifc").write_text(IFC)
    document = ezdxf.new("R2010", units=4)
    document.header["$INSUNITS"] = 4
    space = document.modelspace()
    space.add_lwpolyline([(0, 0), (100, 0), (100, 50), (0, 50), (0, 0.5)])
    space.add_lwpolyline(
        [(200, 0), (230, 0), (230, 20), (200, 20)], close=True, dxfattribs={"layer": "plate"}
    )
    document.saveas(tmp_path / "open.dxf")
    return tmp_path


def test_a_profile_is_chosen(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["draw", "two.ifc"]) == 2
    assert "--profile" in capsys.readouterr().err
    assert main(["draw", "two.ifc", "--profile", "P2"]) == 0
    assert " 600\n" in capsys.readouterr().out
    assert main(["draw", "two.ifc", "--profile", "#3"]) == 0
    assert " 5000\n" in capsys.readouterr().out


def test_a_gap_is_allowed_and_a_layer_chosen(
    folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    words = ["draw", "open.dxf", "--layer", "0"]
    assert main(words) == 2
    error = capsys.readouterr().err
    assert " mm, with --gap" in error
    for gap in ("0.6", "0.06 cm"):
        assert main([*words, "--gap", gap]) == 0
    assert main(["draw", "open.dxf", "--layer", "plate"]) == 0
    assert " 600\n" in capsys.readouterr().out


def test_they_are_no_options_of_section_files(
    folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (folder / "a.toml").write_text('unit = "mm"\n[[drawing]]\nfile = "two.ifc"\n')
    assert main(["section", "a.toml", "--profile", "P2"]) == 2
    assert 'profile = "P1"' in capsys.readouterr().err
