"""Members, joints and studies through the package's face."""

from __future__ import annotations

import copy
import json
import pickle
import subprocess
import sys
from pathlib import Path

import pytest
import shapely
import soapfilm as sf

from .conftest import MEMBER

ROOT = Path(__file__).parent.parent.parent
EXAMPLES = ROOT / "cli" / "examples"


def test_reactions_balance_the_load(edge: sf.MemberSolution) -> None:
    """3 kN/m on 4 m, 90 mm off the shear centre: 6 kN and 0.54 kN m at each end."""
    frame = edge.reactions.to_frame()
    held = frame[(frame["kind"] == "support") & (frame["theory"] == "classical")]
    assert list(held["R_y"]) == pytest.approx([6.0, 6.0])
    assert [abs(t) for t in held["T"]] == pytest.approx([0.54, 0.54])
    assert frame.attrs["units"]["T"] == edge.reactions.units["T"] == "kN*m"
    assert not held[["R_x", "R_z", "M_x", "M_y", "B"]].to_numpy().any()  # rounding is shown as 0


def test_stations_have_the_moment_of_a_simple_beam(edge: sf.MemberSolution) -> None:
    largest = edge.largest("M_x")
    assert abs(largest.value) == pytest.approx(3.0 * 4**2 / 8, rel=1e-3)
    assert (largest.unit, largest.at) == ("kN*m", (pytest.approx(2.0, abs=0.05),))
    frame = edge.to_frame("polars")
    assert frame["M_x"].abs().max() == pytest.approx(abs(largest.value))
    with pytest.raises(sf.InputError, match="there are u, v, twist"):
        edge.largest("moment")
    with pytest.raises(sf.InputError, match="was not solved"):
        edge.largest("T", "winter")


def test_limits_sections_and_record_of_a_member(edge: sf.MemberSolution) -> None:
    (row,) = edge.limits
    assert row["used"] == pytest.approx(row["value"] / row["allowed"])
    assert (row["unit"], row["passed"]) == ("deg", row["used"] <= 1)
    assert edge.sections["girder"].section.name == "HEB200"
    record = json.loads(json.dumps(edge.to_dict(), allow_nan=False))
    assert record["format"] == "soapfilm member 1"
    assert len(edge.remedies) == 0


def test_a_member_is_shown_shortly_pickled_and_copied(edge: sf.MemberSolution) -> None:
    request = sf.load(MEMBER)
    for thing in (edge, edge.result, request):
        assert len(repr(thing)) < 600
        assert len(repr(thing).splitlines()) <= 8
        assert len(thing._repr_html_()) < 3000
        for twin in (pickle.loads(pickle.dumps(thing)), copy.deepcopy(thing)):
            assert repr(twin) == repr(thing)
    assert len(json.dumps(request.to_dict(), allow_nan=False)) < 10_000
    assert sf.load(request) is request


def test_options_of_other_kinds_are_refused() -> None:
    with pytest.raises(sf.InputError, match=r"under \[analysis\]"):
        sf.solve(MEMBER, accuracy=1e-8)
    with pytest.raises(sf.InputError, match="material is for sections"):
        sf.load(MEMBER, material="S355")


def test_joints_of_a_file() -> None:
    found = sf.solve(EXAMPLES / "landing-joints.toml")
    fin = [row for row in found.table if row["joint"] == "joist fin" and row["tension"] is not None]
    assert len({row["number"] for row in fin}) == 3
    assert found.stiffness.units["rotational_stiffness"] == "N*mm/rad"
    assert found.plot("joist fin")._repr_svg_().startswith("<")
    assert len(repr(found).splitlines()) <= 8
    json.dumps(found.to_dict(), allow_nan=False)
    with pytest.raises(sf.InputError, match="nothing acts"):
        found.plot("joist")


# -- studies -------------------------------------------------------------------------------------
def tube(wall: float, voids: int) -> shapely.Polygon:
    """A flat tube with inner walls, as a lattice of strips."""
    holes = [shapely.box(k * 60 + wall, wall, (k + 1) * 60, 60) for k in range(voids)]
    return shapely.box(0, 0, voids * 60 + wall, 60 + wall).difference(shapely.union_all(holes))


def test_shapes_made_in_python_are_swept(tmp_path: Path) -> None:
    """J of one cell beside Bredt's formula for a thin wall, 4 A_m^2 t / U (from any textbook)."""
    store = tmp_path / "tubes.sqlite"
    calls = []

    def made(**values: float) -> shapely.Polygon:
        calls.append(values)
        return tube(values["wall"], int(values["voids"]))

    points = {"wall": [1.5, 2.0], "voids": [1, 2]}
    rows = sf.sweep(made, points, store=store, unit="mm", cached=False)
    assert rows["number"] == [1, 2, 3, 4]
    assert len(calls) == 8  # once for the key of a row, once for its section
    assert rows["voids"] == [1, 2, 1, 2]
    middle = 60.0
    for wall, j in zip(rows["wall"][::2], rows["torsion_constant"][::2], strict=True):
        assert j == pytest.approx(middle**3 * wall, rel=3 * wall / middle)
    frame = rows.to_frame()
    assert frame.attrs["units"]["torsion_constant"] == "mm^4"
    seconds = rows["seconds"]
    again = sf.sweep(made, points, store=store, unit="mm", cached=False)
    assert again["seconds"] == seconds  # nothing was solved again

    def other(**values: float) -> shapely.Polygon:
        return tube(values["wall"] + 1, int(values["voids"]))

    changed = sf.sweep(other, points, store=store, unit="mm", cached=False)
    assert min(changed["torsion_constant"]) > min(rows["torsion_constant"])
    back = sf.sweep(made, points, store=store, unit="mm", cached=False)
    assert back["seconds"] == seconds  # known by its sections, whatever made them


KILLED = """
import os, shapely, soapfilm as sf
def stop(state):
    if state.solved == 2:
        os._exit(9)
sf.sweep(lambda b: shapely.box(0, 0, b, 50), {"b": [10, 20, 40, 50]}, unit="mm",
         store="bars.sqlite", cached=False, progress=stop)
"""


def test_a_killed_sweep_goes_on_where_it_stopped(tmp_path: Path) -> None:
    done = subprocess.run([sys.executable, "-c", KILLED], cwd=tmp_path, check=False)
    assert done.returncode == 9
    states = []
    rows = sf.sweep(
        lambda b: shapely.box(0, 0, b, 50),
        {"b": [10, 20, 40, 50]},
        unit="mm",
        store=tmp_path / "bars.sqlite",
        cached=False,
        progress=states.append,
    )
    assert (states[0].found, states[-1].solved, len(rows)) == (2, 2, 4)


def test_files_are_swept_by_address(tmp_path: Path) -> None:
    path = tmp_path / "bar.toml"
    path.write_text('unit = "mm"\n[[shape]]\nprofile = "Rectangle"\nXDim = 20\nYDim = 50\n')
    ranged = {"shape.1.XDim": {"from": 20, "to": 40, "steps": 3}}
    rows = sf.sweep(path, ranged, accuracy=1e-3, cached=False)
    assert rows["area"] == pytest.approx([1000, 1500, 2000])
    study = tmp_path / "bars.toml"
    study.write_text(
        'section = "bar.toml"\n[[parameter]]\nname = "b"\nsets = "shape.1.XDim"\nvalues = [20]\n'
    )
    assert repr(sf.load(study)) == "Study('bars', 1 rows over b)"
    assert sf.solve(study)["area"] == pytest.approx([1000])


def test_a_row_that_has_no_shape_says_why() -> None:
    def strip(b: float) -> sf.SectionBuilder:
        return sf.build("mm").shape("Rectangle", XDim=b, YDim=50)

    rows = sf.sweep(strip, {"b": [20, -1]}, accuracy=1e-3, cached=False)
    assert rows["error"][0] == ""
    assert "XDim" in rows["error"][1]
    assert rows["torsion_constant"][1] is None


@pytest.mark.parametrize(
    ("words", "said"),
    [
        ({"parameters": {}}, "parameters are missing"),
        ({"parameters": {"b": 5}}, "a sequence"),
        ({"parameters": {"b": [5, 5]}}, "a value twice"),
        ({"parameters": {"b": [5]}, "kind": "all"}, "grid, list, sample"),
        ({"parameters": {"b": [5]}, "workers": 0}, "workers"),
        ({"parameters": {"b": {"from": 1, "to": 2}}}, "steps is missing"),
    ],
)
def test_what_cannot_be_swept_says_why(words: dict[str, object], said: str) -> None:
    with pytest.raises(sf.InputError, match=said):
        sf.sweep(lambda b: shapely.box(0, 0, b, 5), unit="mm", **words)  # type: ignore[arg-type]
