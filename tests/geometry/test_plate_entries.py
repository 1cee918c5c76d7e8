"""Plates and welds in section files."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from soapfilm.geometry.checks.validate import check
from soapfilm.geometry.errors import GeometryError, InputError, SoapfilmError, UnitError
from soapfilm.geometry.plates import Plate, Weld, assemble
from soapfilm.geometry.section_file import section_from_toml

TEE = """
unit = "mm"
[[plate]]
name = "flange"
points = [[-50, 0], [50, 0]]
thickness = 10
[[plate]]
name = "web"
points = [[0, 0], [0, "-12 cm"]]
thickness = 8
[[weld]]
name = "root"
between = ["flange", "web"]
"""


def test_file_says_the_same_as_the_functions() -> None:
    read = section_from_toml(TEE + "leg = [5, 7]\nlength = 40\npitch = 120\n")
    plates = [Plate("flange", ((-50, 0), (50, 0)), 10), Plate("web", ((0, 0), (0, -120)), 8)]
    weld = Weld("root", ("flange", "web"), leg=(5, 7), weld_length=40, pitch=120)
    made = assemble(plates, [weld], unit="mm")
    assert [r.name for r in read.regions] == ["flange", "web", "root 1", "root 2"]
    for one, other in zip(read.regions, made.regions, strict=True):
        assert one.outline.points == pytest.approx(other.outline.points)
    assert (read.slits, read.joints, read.notes) == (made.slits, made.joints, made.notes)


def test_every_key_of_a_plate() -> None:
    section = section_from_toml("""
unit = "mm"
[material.own]
E = "200 GPa"
nu = 0.3
[[plate]]
points = [[0, 0], [100, 0], [100, 60], [0, 60]]
thickness = 4
closed = true
bend_radius = 4
line = "right"
material = "own"
[[plate]]
name = "haunch"
points = [[0, -20], [100, -20]]
thickness = [12, 6]
material = "S355"
corner = "mitre"
""")
    tube, haunch = section.regions
    assert (tube.name, tube.material.name, haunch.material.name) == ("plate 1", "own", "S355")
    assert len(tube.holes) == 1
    assert tube.outline.bounds() == pytest.approx((0, 0, 100, 60))
    assert haunch.area() == pytest.approx(900)


def test_open_and_closed_bulges() -> None:
    text = 'unit = "mm"\n[[plate]]\nthickness = 6\npoints = [[-50, 0, 1], [50, 0{}]]\n{}'
    assert len(section_from_toml(text.format(", 1", "closed = true")).regions[0].holes) == 1
    half = section_from_toml(text.format("", "")).regions[0]
    assert half.area() == pytest.approx(np.pi / 2 * 100 * 6)
    with pytest.raises(InputError, match="has no edge after it and no bulge"):
        section_from_toml(text.format(", 1", ""))


def test_cover_plate_on_a_profile() -> None:
    section = section_from_toml("""
unit = "mm"
[[shape]]
name = "beam"
profile = "I"
OverallWidth = 150
OverallDepth = 300
WebThickness = 7.1
FlangeThickness = 10.7
FilletRadius = 15
[[plate]]
name = "cover"
points = [[-60, 156], [60, 156]]
thickness = 12
[[weld]]
name = "edges"
between = ["beam", "cover"]
leg = 6
[[outline]]
name = "keeper"
points = [[-60, 162], [60, 162], [60, 170], [-60, 170]]
""")
    check(section)
    # The keeper comes later, so it merges with the cover it stands on; the slit below stays.
    assert section.regions[0].name == "beam"
    assert "cover + keeper" in section.regions[-1].name
    beam = section.regions[0].area()
    assert sum(r.area() for r in section.regions) == pytest.approx(beam + 120 * 20 + 2 * 18)
    assert [s.name for s in section.slits] == ["contact of 'beam' and 'cover'"]
    assert [j.name for j in section.joints] == ["edges 1", "edges 2"]


def test_grade_with_creep_in_a_file() -> None:
    section = section_from_toml("""
unit = "in"
[material.deck]
grade = "C30/37"
creep_factor = 2
[[plate]]
points = [[0, 0], [10, 0]]
thickness = 1
""")
    material = section.regions[0].material
    assert material.name == "deck, long-term"
    assert material.elastic_modulus == pytest.approx(32836.6 / 3 / 6.894757, rel=1e-4)


@pytest.mark.parametrize(
    ("text", "kind", "words"),
    [
        ("[[plate]]\n", InputError, "plate 1: points is missing; write points = "),
        ("[[plate]]\npoints = [[0, 0], [9, 0]]", InputError, "plate 1: thickness is missing"),
        ("[[plate]]\npoints = 3", InputError, "must be a list of"),
        ("[[plate]]\npoints = [[0, 0], [9, 0]]\nthickness = [1, 2, 3]", InputError, "list of two"),
        ("[[plate]]\npoints = [[0, 0], [9, 0]]\nthickness = '2 kg'", UnitError, "not a length"),
        ("[[plate]]\npoints = [[0, 0], [9, 0]]\nthickness = 2\nclosed = 1", InputError, "closed"),
        ("[[plate]]\npoints = [[0, 0], [9, 0]]\nthickness = 2\nrotate = 1", InputError, "'rotate'"),
        ("[[plate]]\npoints = [[0, 0], [9, 0]]\nthickness = -2", InputError, "must be positive"),
        ("[[plate]]\npoints = [[0, 0], [9, 0]]\nthickness = 2\nmaterial = 'S999'", InputError,
         "plate 1: material 'S999' is not defined"),
        ("[[weld]]\nbetween = ['a', 'b']\nleg = 3", InputError, "there is no plate"),
        ("[[weld]]\nleg = 3", InputError, "weld 1: between is missing"),
        ("[[weld]]\nbetween = 'a'\nleg = 3", InputError, "weld 1: between names two plates"),
        ("[material.a]\ngrade = 'S234'\n[[plate]]", InputError, "'S234' is not known; use S2"),
        ("[material.a]\ngrade = 'S235'\nE = '3 GPa'\n[[plate]]", InputError, "'E' is not a key"),
        ("[material.a]\ngrade = 'S235'\ncreep_factor = -1\n[[plate]]", InputError, "creep factor"),
    ],
)  # fmt: skip
def test_mistakes(text: str, kind: type[SoapfilmError], words: str) -> None:
    with pytest.raises(kind) as caught:
        section_from_toml('unit = "mm"\n' + text)
    assert words in str(caught.value)
    assert "\n" not in str(caught.value)


number = st.one_of(
    st.integers(-60, 60), st.floats(-1e3, 1e3), st.sampled_from([0, 1e-12, 1e12, -0.0, 1e-300])
)
point = st.lists(number, min_size=2, max_size=3)
plate = st.fixed_dictionaries(
    {"points": st.lists(point, min_size=1, max_size=5), "thickness": number},
    optional={
        "closed": st.booleans(),
        "bend_radius": number,
        "line": st.sampled_from(["left", "right", "centre"]),
        "corner": st.sampled_from(["lap", "mitre"]),
    },
)
names = st.sampled_from(["plate 1", "plate 2", "plate 3"])
weld = st.fixed_dictionaries(
    {"between": st.tuples(names, names).map(list)},
    optional={
        "kind": st.sampled_from(["full", "fillet", "partial"]),
        "leg": number,
        "depth": number,
        "near": st.tuples(number, number).map(list),
    },
)


@settings(max_examples=300, deadline=None)
@given(plates=st.lists(plate, min_size=1, max_size=3), welds=st.lists(weld, max_size=3))
def test_any_plates_and_welds_are_read_or_refused(plates: list, welds: list) -> None:  # type: ignore[type-arg]
    """Whatever stands in a file, the answer is a section or one line."""
    tables = [("plate", p) for p in plates] + [("weld", w) for w in welds]
    lines = ['unit = "mm"']
    for kind, table in tables:
        lines.append(f"[[{kind}]]")
        for key, value in table.items():
            shown = f'"{value}"' if isinstance(value, str) else str(value).lower()
            lines.append(f"{key} = {shown}".replace("'", '"'))
    try:
        section = section_from_toml("\n".join(lines))
    except SoapfilmError as error:
        message = str(error)
    else:
        message = ""
        assert all(np.isfinite(region.area()) for region in section.regions)
    assert "\n" not in message


@settings(max_examples=150, deadline=None)
@given(welds=st.lists(weld, min_size=1, max_size=2))
def test_any_welds_of_good_plates_give_a_section_or_one_line(welds: list) -> None:  # type: ignore[type-arg]
    plates = [
        Plate("plate 1", ((-50, 0), (50, 0)), 10),
        Plate("plate 2", ((0, 0), (0, -120)), 8),
        Plate("plate 3", ((50, 0), (50, -120)), 8),
    ]
    try:
        made = [
            Weld(f"w{k}", **{key: tuple(v) if isinstance(v, list) else v for key, v in w.items()})
            for k, w in enumerate(welds)
        ]
        section = assemble(plates, made)
        check(section)
    except SoapfilmError as error:
        message = str(error)
    else:
        message = ""
        assert section.joints
    assert "\n" not in message


def test_a_point_far_from_its_weld_is_a_slip() -> None:
    text = (
        'unit = "mm"\n[[plate]]\nname = "flange"\npoints = [[-50, 0], [50, 0]]\nthickness = 10\n'
        '[[plate]]\nname = "web"\npoints = [[0, -5], [0, -105]]\nthickness = 8\n'
        '[[weld]]\nbetween = ["flange", "web"]\nleg = 4\nnear = ["148 km", 0]\n'
    )
    with pytest.raises(GeometryError, match=r"times their size; give a point beside the weld"):
        section_from_toml(text)
