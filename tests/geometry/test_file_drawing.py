"""The [[drawing]] entry: layers with materials, units, gaps, and its errors."""

from __future__ import annotations

from pathlib import Path

import ezdxf
import pytest
from soapfilm.geometry.errors import FileFormatError, InputError, UnitError
from soapfilm.geometry.section_file import load_section

FILE = """
unit = "mm"
[material.steel]
E = "210 GPa"
nu = 0.3
[material.concrete]
E = "33 GPa"
nu = 0.2
[[drawing]]
file = "deck.dxf"
material = "steel"
"""


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """Two layers in metres: a slab on a girder."""
    document = ezdxf.new()
    document.header["$INSUNITS"] = 6
    model = document.modelspace()
    for layer, points in (
        ("slab", [(-1, 1), (1, 1), (1, 1.2), (-1, 1.2)]),
        ("girder", [(-0.1, 0), (0.1, 0), (0.1, 1), (-0.1, 1)]),
    ):
        model.add_lwpolyline(points, close=True, dxfattribs={"layer": layer})
    document.saveas(tmp_path / "deck.dxf")
    return tmp_path


def write(folder: Path, text: str) -> Path:
    path = folder / "section.toml"
    path.write_text(text, "utf-8")
    return path


def test_layers_get_their_materials_and_the_files_unit(folder: Path) -> None:
    section = load_section(write(folder, FILE + 'materials = {slab = "concrete"}\n'))
    found = {r.name: (r.material.name, r.area()) for r in section.regions}
    assert found == {
        "slab": ("concrete", pytest.approx(0.4e6)),
        "girder": ("steel", pytest.approx(0.2e6)),
    }
    assert section.unit == "mm"


def test_one_layer_alone_and_placed(folder: Path) -> None:
    section = load_section(write(folder, FILE + 'layers = ["girder"]\nmove = [500, 0]\n'))
    assert section.bounds() == pytest.approx((400, 0, 600, 1000))


def test_gap_is_in_the_drawings_unit(folder: Path) -> None:
    document = ezdxf.new()
    document.header["$INSUNITS"] = 6
    model = document.modelspace()
    for a, b in (((0, 0), (1, 0)), ((1, 0), (1, 1)), ((1, 1), (0, 0.004))):
        model.add_line(a, b)
    document.saveas(folder / "deck.dxf")
    with pytest.raises(InputError, match="open end"):
        load_section(write(folder, FILE))
    section = load_section(write(folder, FILE + "gap = 0.005\n"))
    assert section.regions[0].area() == pytest.approx(0.5e6, rel=5e-3)
    assert any("gap" in note for note in section.notes)


@pytest.mark.parametrize(
    ("line", "kind", "message"),
    [
        ("materials = 3", InputError, "materials is a table"),
        ('materials = {slab = "concret"}', InputError, "did you mean 'concrete'"),
        ('layers = "slab"', InputError, "layers is a list"),
        ('layers = ["slap"]', InputError, "did you mean 'slab'"),
        ("gab = 3", InputError, "gap"),
    ],
)
def test_wrong_keys(folder: Path, line: str, kind: type, message: str) -> None:
    with pytest.raises(kind, match=message) as caught:
        load_section(write(folder, FILE + line + "\n"))
    assert "drawing 1" in str(caught.value)


def test_missing_drawing_is_named(folder: Path) -> None:
    (folder / "deck.dxf").unlink()
    with pytest.raises((FileFormatError, OSError), match=r"deck\.dxf"):
        load_section(write(folder, FILE))


def test_drawing_without_unit(folder: Path) -> None:
    (folder / "deck.wkt").write_text("POLYGON ((0 0, 1 0, 1 1, 0 0))")
    text = FILE.replace("deck.dxf", "deck.wkt")
    with pytest.raises(UnitError):
        load_section(write(folder, text))
    section = load_section(write(folder, text + 'unit = "cm"\n'))
    assert section.regions[0].area() == pytest.approx(50)
