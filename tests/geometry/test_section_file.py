"""Section files: what they describe, and any values in them."""

from __future__ import annotations

import math
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from soapfilm.geometry.checks.validate import check
from soapfilm.geometry.errors import FileFormatError, InputError, UnitError
from soapfilm.geometry.profiles.by_name import PROFILES, profile_attributes
from soapfilm.geometry.section import Section
from soapfilm.geometry.section_file import load_section, section_from_toml
from soapfilm.geometry.section_file.part_entries import HANDLERS

MM = 'unit = "mm"\n'
STEEL = '[material.steel]\nE = "210 GPa"\nnu = 0.3\ndensity = "7850 kg/m^3"\nstrength = "355 MPa"\n'
CONCRETE = '[material.concrete]\nE = "33 GPa"\nnu = 0.2\n'
I300 = """
[[shape]]
profile = "I"
OverallWidth = 150
OverallDepth = 300
WebThickness = 7.1
FlangeThickness = 10.7
FilletRadius = 15
"""
SQUARE = "[[outline]]\npoints = [[0, 0], [10, 0], [10, 10], [0, 10]]\n"


def rectangle(x: float, y: float, extra: str = "") -> str:
    return f'[[shape]]\nprofile = "Rectangle"\nXDim = {x}\nYDim = {y}\n{extra}\n'


def area(section: Section) -> float:
    return sum(r.area() for r in section.regions)


def read(text: str) -> Section:
    section = section_from_toml(text)
    check(section)
    return section


# -- what a file says ------------------------------------------------------------------------------
def test_shape_with_material() -> None:
    section = read('name = "beam"\n' + MM + STEEL + I300)
    (region,) = section.regions
    assert (section.name, section.unit) == ("beam", "mm")
    assert section.bounds() == (-75, -150, 75, 150)
    expected = 2 * 150 * 10.7 + (300 - 21.4) * 7.1 + (4 - math.pi) * 15**2
    assert region.area() == pytest.approx(expected, rel=1e-14)
    steel = region.material  # the only one defined, so no entry needs to name it
    assert (steel.name, steel.elastic_modulus, steel.poisson_ratio) == ("steel", 210000.0, 0.3)
    assert (steel.density, steel.strength) == (7.85e-6, 355.0)


def test_outline_with_arcs_and_holes() -> None:
    section = read(
        MM
        + """
        [[outline]]
        name = "deck"
        points = [[-50, 0], [50, 0, 1]]
        holes = [[[-10, 10], [10, 10], [0, 20]], [["20 mm", "1 cm"], [30, 10], [25, 20]]]
        """
    )
    (region,) = section.regions
    assert region.name == "deck"
    assert region.area() == pytest.approx(math.pi * 2500 / 2 - 100 - 50, rel=1e-14)
    assert not region.material.specified


def test_units_of_their_own() -> None:
    section = read('unit = "in"\n[[shape]]\nprofile = "Circle"\nRadius = "25.4 mm"\n')
    assert area(section) == pytest.approx(math.pi, rel=1e-14)
    section = read('unit = "in"\n' + '[material.a]\nE = "29000 ksi"\nnu = 0.3\n' + SQUARE)
    assert section.regions[0].material.elastic_modulus == 29000


def test_mirror_then_rotate_then_move() -> None:
    section = read(
        MM
        + '[[shape]]\nprofile = "L"\nDepth = 100\nWidth = 60\nThickness = 10\n'
        + 'mirror = "y"\nrotate = 90\nmove = ["1 in", 0]\n'
    )
    # heel from the lower left to the lower right, then to the upper right, then 25.4 to the right
    assert section.bounds() == pytest.approx((-50 + 25.4, -30, 50 + 25.4, 30))
    points = section.regions[0].outline.points
    assert min(np.hypot(*(points - (75.4, 30)).T)) < 1e-12
    assert min(np.hypot(*(points - (75.4 - 10, -30)).T)) < 1e-12


@pytest.mark.parametrize("slope", ['"1:6"', '"9.4623222 deg"', "9.4623222", '"0.1651486774 rad"'])
def test_slopes(slope: str) -> None:
    text = f'{MM}[[shape]]\nprofile = "U"\nDepth = 200\nFlangeWidth = 75\nWebThickness = 9\n'
    section = read(f"{text}FlangeThickness = 11\nFlangeSlope = {slope}\n")
    points = section.regions[0].outline.points
    tip, root = points[2], points[3]
    assert (root - tip)[1] / (tip - root)[0] == pytest.approx(1 / 6, rel=1e-7)


def test_rolled_shape_in_the_files_unit() -> None:
    inches = read('unit = "in"\n[[shape]]\nshape = "W10X49"\n')
    section = read(f'{MM}[[shape]]\nshape = "w 10 x 49"\n')
    assert section.regions[0].name == "W10X49"
    assert area(section) == pytest.approx(area(inches) * 25.4**2, rel=1e-12)
    assert area(inches) == pytest.approx(14.4, rel=0.01)  # the table's, to its rounding


@pytest.mark.parametrize(
    ("text", "expected", "regions"),
    [
        # overlap counts once
        (rectangle(10, 10) + rectangle(10, 10, "move = [5, 0]"), 150, 1),
        # a shared border vanishes
        (rectangle(10, 10) + rectangle(4, 6, "move = [7, 0]"), 124, 1),
        # a cut after the part it cuts; the entry order counts
        (rectangle(10, 10) + rectangle(4, 4, 'combine = "cut"'), 84, 1),
        (
            rectangle(10, 10) + rectangle(4, 4, 'combine = "cut"') + rectangle(2, 20),
            100 - 16 + 28,
            1,
        ),
        (rectangle(10, 10) + rectangle(20, 4, 'combine = "cut"'), 60, 2),
        (SQUARE + rectangle(4, 4, 'combine = "cut"\nmove = [5, 5]') + SQUARE, 100, 1),
        # the same material let in adds nothing new
        (rectangle(10, 10) + rectangle(4, 4, 'combine = "embed"'), 100, 1),
    ],
)
def test_combining(text: str, expected: float, regions: int) -> None:
    section = section_from_toml(MM + text)
    assert area(section) == pytest.approx(expected, rel=1e-12)
    assert len(section.regions) == regions


def test_materials_stay_apart() -> None:
    slab = rectangle(100, 20, 'material = "concrete"\nname = "slab"\nmove = [0, 160]')
    bar = rectangle(10, 10, 'material = "steel"\nname = "bar"\ncombine = "embed"\nmove = [20, 160]')
    beam = I300 + 'name = "beam"\nmaterial = "steel"\n'
    section = read(MM + STEEL + CONCRETE + beam + slab + bar)
    assert [r.name for r in section.regions] == ["beam", "slab", "bar"]
    assert [r.material.name for r in section.regions] == ["steel", "concrete", "steel"]
    assert section.regions[1].area() == pytest.approx(1900)


def test_merged_parts_keep_both_names() -> None:
    parts = rectangle(10, 10, 'name = "web"') + rectangle(20, 2, 'name = "flange"\nmove = [0, 6]')
    assert [r.name for r in read(MM + parts).regions] == ["web + flange"]


def test_a_cut_needs_no_material() -> None:
    hole = rectangle(4, 4, 'combine = "cut"')
    whole = rectangle(10, 10, 'material = "steel"')
    assert area(read(MM + STEEL + CONCRETE + whole + hole)) == pytest.approx(84)


def test_round_parts_combine_exactly() -> None:
    disc = '[[shape]]\nprofile = "Circle"\nRadius = {}\nmove = [{}, 0]\ncombine = "{}"\n'
    section = read(MM + disc.format(10, 0, "add") + disc.format(10, 10, "cut"))
    lens = 2 * 100 * (math.pi / 3 - math.sqrt(3) / 4)
    assert area(section) == pytest.approx(100 * math.pi - lens, rel=1e-12)
    assert np.count_nonzero(section.regions[0].outline.bulges) == len(section.regions[0].outline)


def test_ellipse_and_arcs_say_how_exact_they_are() -> None:
    ellipse = '[[shape]]\nprofile = "Ellipse"\nSemiAxis1 = 20\nSemiAxis2 = 10\ndeviation = 0.01\n'
    assert "arcs that leave it by at most" in read(MM + ellipse).notes[0]
    turn = 2 * np.pi * np.arange(64) / 64
    points = [[50 * math.cos(t), 50 * math.sin(t)] for t in turn]
    section = read(f"{MM}[[outline]]\npoints = {points}\narcs_within = 0.1\n")
    assert area(section) == pytest.approx(2500 * math.pi, rel=1e-12)
    assert section.notes[0].startswith("64 chords recognised as 2 arcs")


def test_poisson_from_both_moduli() -> None:
    section = read(MM + '[material.a]\nE = "200 GPa"\nG = "80 GPa"\n' + SQUARE)
    material = section.regions[0].material
    assert (material.poisson_ratio, material.shear) == (pytest.approx(0.25), 80000.0)
    timber = '[material.c24]\nE = "11 GPa"\nG = "690 MPa"\nnu = 0.3\nsource = "from memory"\n'
    assert read(MM + timber + SQUARE).regions[0].material.shear == 690


# -- files -----------------------------------------------------------------------------------------
def test_load_names_the_section_after_its_file(tmp_path: Path) -> None:
    file = tmp_path / "deck.toml"
    file.write_text("\ufeff" + MM + SQUARE, "utf-8")
    section = load_section(file)
    assert (section.name, area(section)) == ("deck", 100)
    assert area(load_section(file, "mm")) == 100


def test_load_a_drawing(tmp_path: Path) -> None:
    file = tmp_path / "deck.wkt"
    file.write_text("POLYGON ((0 0, 10 0, 10 10, 0 10, 0 0))")
    assert area(load_section(file, "mm")) == 100
    with pytest.raises(UnitError, match=f"{file}: .*give one with --unit, like --unit mm"):
        load_section(file)


@pytest.mark.parametrize(
    ("name", "content", "unit", "error", "message"),
    [
        ("a.toml", None, None, FileFormatError, "cannot be read: No such file"),
        ("a.toml", b"\xff\xfe\x00", None, FileFormatError, "not UTF-8 text (byte 0)"),
        ("a.toml", b"#" * 20_000_001, None, FileFormatError, "larger than 20 MB"),
        ("a.toml", b"x", None, FileFormatError, "not valid TOML"),
        ("a.toml", (MM + SQUARE).encode(), "in", UnitError, "the file is in mm, not in in; leave"),
        ("a.doc", b"", None, FileFormatError, "the suffix '.doc' is not known; use .toml, .dxf"),
        ("a", b"", None, FileFormatError, "the suffix '' is not known"),
        ("a.wkt", b"", "mm", FileFormatError, "empty"),
    ],
)
def test_file_errors_name_the_file(
    tmp_path: Path,
    name: str,
    content: bytes | None,
    unit: str | None,
    error: type[Exception],
    message: str,
) -> None:
    file = tmp_path / name
    if content is not None:
        file.write_bytes(content)
    with pytest.raises(error) as caught:
        load_section(file, unit)
    assert str(caught.value).startswith(f"{file}: ")
    assert message in str(caught.value)


def test_a_folder_is_no_file(tmp_path: Path) -> None:
    folder = tmp_path / "a.toml"
    folder.mkdir()
    with pytest.raises(FileFormatError, match="is a folder; give a file"):
        load_section(folder)


# -- any values: a section, or one of our errors ---------------------------------------------------
SCALARS = st.one_of(
    st.integers(-5, 300),
    st.floats(allow_nan=True, allow_infinity=True),
    st.booleans(),
    st.sampled_from(["I", "U", "Circle", "add", "cut", "embed", "x", "5 mm", "2 in", "30 deg"]),
    st.sampled_from(["steel", "1:6", "W10X49", "", "5 kN", "9**9**9 mm"]),
)
VALUES = st.one_of(
    SCALARS,
    st.lists(SCALARS, max_size=4),
    st.lists(st.lists(SCALARS, max_size=4), max_size=5),
)
KEYS = sorted(
    {a.ifc for key in PROFILES for a in profile_attributes(key)}
    | {"profile", "shape", "points", "holes", "arcs_within", "name", "material"}
    | {"combine", "move", "rotate", "mirror"}
)


def toml(value: object) -> str:
    match value:
        case bool():
            return str(value).lower()
        case list():
            return "[" + ", ".join(map(toml, value)) + "]"
        case str():
            return f'"{value}"'
        case _:
            return repr(value)


@settings(max_examples=200, deadline=None)
@given(
    st.lists(
        st.tuples(
            st.sampled_from(sorted(HANDLERS)),
            st.sampled_from([*PROFILES, None]),
            st.dictionaries(st.sampled_from(KEYS), VALUES, max_size=4),
        ),
        min_size=1,
        max_size=3,
    )
)
def test_any_values_are_read_or_refused(entries: list[tuple[str, str, dict[str, object]]]) -> None:
    text = MM + STEEL
    for kind, profile, table in entries:
        text += f"[[{kind}]]\n"
        if profile and kind == "shape":
            sizes = {a.ifc: 50 for a in profile_attributes(profile) if a.required}
            table = {"profile": profile, **sizes, **table}
        text += "".join(f"{key} = {toml(value)}\n" for key, value in table.items())
    try:
        section = section_from_toml(text)
    except InputError:
        return
    assert all(np.isfinite(c.points).all() for c in section.contours())
