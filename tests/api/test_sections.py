"""Sections through the package's face: loading, numbers, stresses, fields, files."""

from __future__ import annotations

import copy
import json
import pickle
from pathlib import Path

import numpy as np
import pint
import pytest
import shapely
import soapfilm as sf
from soapfilm.geometry.errors import UnitError


def test_a_session_as_one_would_type_it(
    girder: sf.SectionSolution, crowd: sf.StressSolution, tmp_path: Path
) -> None:
    assert girder.J.lower <= girder.J.value <= girder.J.upper
    assert girder["torsion_constant"] == girder["J"] == girder["I_T"] == girder.J.value
    assert girder.shear_centre == girder.centroid == (0.0, 0.0)  # two axes of symmetry: no noise
    assert girder.units["torsion_constant"] == girder.J.unit == "mm^4"
    frame = girder.to_frame()
    assert frame["torsion_constant"][0] == girder.J.value
    assert frame.attrs["units"]["area"] == "mm^2"
    assert crowd.max("von Mises").unit == "MPa"
    girder.to_vtu(tmp_path / "girder.vtu")
    crowd.to_vtu(tmp_path / "girder.xdmf")
    assert (tmp_path / "girder.vtu").stat().st_size > 10_000


def test_torsion_constant_of_a_square_is_within_its_interval() -> None:
    """J = 0.1405770149551 a^4: Timoshenko and Goodier, Theory of Elasticity, art. 109, the series
    summed to its end."""
    n = np.arange(1, 20_000, 2)
    exact = (1 / 3 - 64 / np.pi**5 * np.sum(np.tanh(n * np.pi / 2) / n**5)) * 20.0**4
    found = sf.solve(shapely.box(0, 0, 20, 20), unit="mm", accuracy=1e-9)
    assert found.J.lower <= exact <= found.J.upper
    assert found.J.upper - found.J.lower < 1e-9 * exact
    assert float(found.quantity("J").to("cm**4").magnitude) == pytest.approx(exact / 1e4, rel=1e-8)


@pytest.mark.parametrize("unit", ["mm", "m", "in"])
def test_stress_by_beam_theory_in_every_unit_and_spelling(unit: str) -> None:
    """M_x = 3 kN m on a flat bar: 6 M / (b h^2). Texts, pint and numbers say the same."""
    ureg = pint.get_application_registry()
    length = ureg.Quantity(1.0, unit)
    b, h = (float((ureg.Quantity(v, "mm") / length).to("")) for v in (20, 60))
    bar = sf.solve(shapely.box(0, 0, b, h), unit=unit)
    stresses = [
        bar.stress(M_x="3 kN*m"),
        bar.stress(M_x=ureg.Quantity(3, "kN*m")),
        bar.stress(M_x=float(ureg.Quantity(3, "kN*m").to(_moment(unit)).magnitude)),
    ]
    for stress in stresses:
        peak = stress.max("normal").quantity().to("MPa").magnitude
        assert float(peak) == pytest.approx(6 * 3e6 / (20 * 60**2), rel=1e-6)
        assert stress.min("normal").value == pytest.approx(-stress.max("normal").value)


def _moment(unit: str) -> str:
    return {"mm": "N*mm", "m": "N*m", "in": "kip*inch"}[unit]


def test_stress_at_points_is_the_field_s(crowd: sf.StressSolution) -> None:
    peak = crowd.max("von Mises")
    table = crowd.at([peak.at, [0.0, 0.0]])
    assert table["von Mises"][0] == pytest.approx(peak.value, rel=1e-6)
    assert table["normal"] == [0.0, 0.0]  # no bending acts: rounding is no stress
    assert table.units["x"] == "mm"
    where, stresses = crowd.fields(through_wall=6)
    assert stresses["von Mises"].max() <= peak.value * (1 + 1e-9)
    assert stresses["von Mises"].max() > 0.97 * peak.value
    assert where.triangles.max() < len(where.points)


def test_fields_integrate_to_the_section_s_numbers(girder: sf.SectionSolution) -> None:
    """By the corners of small triangles: the unit stress of N is 1 / A, that of T turns by 1, and
    warping has no mean."""
    f = girder.fields(through_wall=12)
    corners = f.points[f.triangles]
    edge = corners[:, 1:] - corners[:, :1]
    area = np.abs(edge[:, 0, 0] * edge[:, 1, 1] - edge[:, 0, 1] * edge[:, 1, 0]) / 2
    assert area.sum() == pytest.approx(girder["area"], rel=1e-3)
    tau, mean = f.tau[5][f.triangles].mean(axis=1), corners.mean(axis=1)
    torque = (area * (mean[:, 0] * tau[:, 1] - mean[:, 1] * tau[:, 0])).sum()
    assert torque == pytest.approx(1.0, rel=0.02)
    assert f.sigma[0] == pytest.approx(1 / girder["area"])
    omega = f.warping[f.triangles].mean(axis=1)
    assert abs((area * omega).sum()) < 1e-3 * (area * abs(omega)).sum()
    # a torque's stress is the membrane's slope: its volume, twice, is the torque
    volume = (area * f.stress_function[f.triangles].mean(axis=1)).sum()
    assert 2 * volume == pytest.approx(1.0, rel=0.02)
    again = girder.fields_at(f.points[:40])
    same = again.element == f.element[:40]  # on a border the other element may be met first
    assert same.sum() > 10
    assert again.tau[5, same] == pytest.approx(f.tau[5, :40][same], rel=1e-6, abs=1e-12)


def test_viewers_get_every_field(
    girder: sf.SectionSolution, crowd: sf.StressSolution, tmp_path: Path
) -> None:
    import meshio

    girder.to_vtu(tmp_path / "unit.vtu", through_wall=3)
    names = set(meshio.read(tmp_path / "unit.vtu").point_data)
    assert {"warping by rate of twist (mm^2)", "stress function by torque (1/mm^2)"} <= names
    assert {
        f"normal stress by {s} (1/mm^{n})" for s, n in (("N", 2), ("M_x", 3), ("B", 4))
    } <= names
    assert {f"shear stress by {s} (1/mm^{n})" for s, n in (("V_y", 2), ("T", 3))} <= names
    crowd.to_vtu(tmp_path / "case.vtu", through_wall=3)
    read = meshio.read(tmp_path / "case.vtu")
    assert read.point_data["von Mises stress (MPa)"].max() <= crowd.max().value * (1 + 1e-9)
    crowd.to_vtu(tmp_path / "case.xdmf", through_wall=3)
    with meshio.xdmf.TimeSeriesReader(tmp_path / "case.xdmf") as reader:
        points, _ = reader.read_points_cells()
        _, data, _ = reader.read_data(0)
    assert data["von Mises stress (MPa)"] == pytest.approx(
        read.point_data["von Mises stress (MPa)"]
    )
    assert points == pytest.approx(read.points)
    with pytest.raises(sf.InputError, match=r"\.vtu or \.xdmf"):
        girder.to_vtu(tmp_path / "girder.stl")


def test_a_sharp_corner_has_no_stress_and_says_so() -> None:
    corner = sf.build("mm").outline([[0, 0], [60, 0], [60, 10], [10, 10], [10, 60], [0, 60]])
    found = sf.solve(corner, accuracy=1e-3)
    assert found["W_T"] is None
    assert "fillet" in repr(found.W_T)
    with pytest.raises(sf.InputError, match="W_T has no number"):
        float(found.W_T)
    st = found.stress(T="0.1 kN*m", N="1 kN")
    row = next(iter(st.at([[10.0, 10.0]])))
    assert row["von Mises"] is None
    assert row["normal"] == pytest.approx(1000 / found["area"])
    assert "corners left out" in repr(st.max())


def test_whatever_load_returned_is_loaded_and_solved_again(girder: sf.SectionSolution) -> None:
    section = sf.load("HEB200", material="S355", name="column")
    assert sf.load(section) is section
    assert (section.name, section.regions[0].material.strength) == ("column", 355.0)
    assert sf.solve(girder.section)["J"] == girder["J"]


@pytest.mark.parametrize(
    ("source", "words", "said"),
    [
        (shapely.box(0, 0, 1, 1), {}, "a polygon has no unit"),
        ("HEB2001", {}, "no such file, and shape 'HEB2001' is not in the catalogue"),
        ("nowhere.toml", {}, "nowhere.toml"),
        (42, {}, "nothing can be loaded from 42"),
        ("HEB200", {"material": "S3555"}, "S355"),
        ("HEB200", {"accuracy": 2.0}, "accuracy lies between"),
        ("HEB200", {"accuracy": "fine"}, "accuracy is a number"),
    ],
)
def test_what_cannot_be_loaded_says_why(
    source: object, words: dict[str, object], said: str
) -> None:
    with pytest.raises(sf.InputError, match=said):
        sf.solve(source, **words)


def test_wrong_actions_and_points_say_why(
    girder: sf.SectionSolution, crowd: sf.StressSolution
) -> None:
    with pytest.raises(sf.InputError, match="did you mean V_y"):
        girder.stress(V_yy="1 kN")
    with pytest.raises(UnitError, match="T: '1 kN' is not a moment"):
        girder.stress(T="1 kN")
    with pytest.raises(sf.InputError, match="no action"):
        girder.stress()
    with pytest.raises(sf.InputError, match="outside the section"):
        crowd.at([[0, 0], [60, 0]])
    with pytest.raises(sf.InputError, match="von Mises"):
        crowd.max("mises")
    with pytest.raises(sf.InputError, match="choose from actions"):
        crowd.max("normal", "crowd")
    with pytest.raises(sf.InputError, match="did you mean 'torsion_constant'"):
        girder["torsion_constan"]


def test_a_section_without_unit_takes_plain_numbers_alone() -> None:
    found = sf.solve(shapely.box(0, 0, 2, 5), unit="", accuracy=1e-3)
    assert found.stress(N=20.0).max("normal").value == pytest.approx(2.0)
    assert found.stress(N=20.0).unit == found.J.unit == ""
    with pytest.raises(sf.InputError, match="the section has none"):
        found.stress(N="20 kN")


def test_several_cases_keep_their_names(girder: sf.SectionSolution) -> None:
    cases = [{"name": "wind", "V_x": "10 kN"}, {"N": "50 kN", "T": "1 kN*m"}]
    st = girder.stress(cases)
    assert st.cases == ("wind", "case 2")
    assert st.max("normal", "case 2").value == pytest.approx(50e3 / girder["area"])
    assert st.max("normal").value == st.max("normal", "case 2").value
    frame = st.to_frame("polars")
    assert frame.filter(frame["case"] == "wind").height == 10


def test_parts_in_contact_only_add_their_torsion_constants() -> None:
    pair = sf.build("mm").plate("upper", [[0, 5], [100, 5]], 10)
    found = sf.solve(pair.plate("lower", [[0, -5], [100, -5]], 10), accuracy=1e-4)
    assert isinstance(found, sf.PartsSolution)
    assert found.J.value == pytest.approx(2 * found.parts[0].J.value, rel=1e-4)
    with pytest.raises(sf.InputError, match="weld them"):
        found.stress(T="1 kN*m")


def test_what_is_built_is_what_a_file_says() -> None:
    text = """
    name = "tee"
    unit = "mm"
    [material.steel]
    grade = "S355"
    [[plate]]
    name = "flange"
    points = [[-50, 120], [50, 120]]
    thickness = 10
    [[plate]]
    name = "web"
    points = [[0, 120], [0, 0]]
    thickness = 8
    [[weld]]
    name = "neck"
    between = ["flange", "web"]
    leg = 5
    """
    built = sf.build("mm", name="tee").material("steel", grade="S355")
    built = built.plate("flange", np.array([[-50, 120], [50, 120]]), thickness=10)
    built = built.plate("web", [(0, 120), (0, 0)], thickness=pint.Quantity(0.8, "cm"))
    built = built.weld("neck", ("flange", "web"), leg=5)
    assert built.section().to_dict() == sf.load(text).to_dict()
    with pytest.raises(sf.InputError, match="did you mean"):
        sf.build("mm").plate("web", [[0, 0], [0, 9]], thickness=1, bend_radiu=2).section()


@pytest.mark.parametrize("name", ["section", "solution", "stress", "value", "builder", "fields"])
def test_everything_is_shown_shortly_pickled_and_copied(
    name: str, girder: sf.SectionSolution, crowd: sf.StressSolution
) -> None:
    things = {
        "section": girder.section,
        "solution": girder,
        "stress": crowd,
        "value": girder.J,
        "builder": sf.build("mm").shape("HEB200"),
        "fields": girder.fields_at([[0, 0]]),
    }
    thing = things[name]
    assert len(repr(thing)) < 600
    assert len(repr(thing).splitlines()) <= 8
    assert len(thing._repr_html_()) < 3000
    for twin in (pickle.loads(pickle.dumps(thing)), copy.copy(thing), copy.deepcopy(thing)):
        assert repr(twin) == repr(thing)
        assert twin.to_dict() == thing.to_dict()
    record = json.loads(json.dumps(thing.to_dict(), allow_nan=False))
    assert record["format"].startswith("soapfilm ")


def test_a_table_of_many_columns_is_shown_as_wide_as_a_screen(girder: sf.SectionSolution) -> None:
    lines = repr(girder.table).splitlines()
    assert max(map(len, lines)) <= 160
    assert lines[-1].startswith("... and ")
    assert lines[-1].endswith(" more columns")
