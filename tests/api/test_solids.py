"""Members as solids for viewers: read back by meshio, held against statics and geometry."""

from __future__ import annotations

from pathlib import Path

import meshio
import numpy as np
import pytest
import soapfilm as sf
from numpy.typing import NDArray

from .conftest import MEMBER

CURVED = """
unit = "mm"
[section.deck]
shape = "HFRHS300X200X10"
material = "S355"
[[span]]
length = "8 m"
radius = "12 m"
[[support]]
at = ["start", "end"]
kind = "fork"
[[load]]
weight = "5 kN/m"
place = "shear centre"
[analysis]
sections = "keep their shape"
"""


def _volume(points: NDArray[np.float64], wedges: NDArray[np.int64]) -> float:
    """Of wedges, each as three tetrahedra of one orientation; below 0 where they are inside out."""
    a, b, c, d, e, f = (points[wedges[:, k]] for k in range(6))
    parts = ((a, b, c, f), (a, b, f, e), (a, e, f, d))
    each = [np.einsum("ij,ij->i", np.cross(q - p, r - p), s - p) / 6 for p, q, r, s in parts]
    assert all((v > 0).all() for v in each) or all((v < 0).all() for v in each)
    return float(np.sum(each))


def _field(read: meshio.Mesh, word: str) -> NDArray[np.float64]:
    (name,) = [name for name in read.point_data if name.startswith(word)]
    return np.asarray(read.point_data[name])


def test_a_solid_has_the_members_volume_and_its_displacement(
    edge: sf.MemberSolution, tmp_path: Path
) -> None:
    edge.to_vtu(tmp_path / "edge.vtu", stations=20)
    read = meshio.read(tmp_path / "edge.vtu")
    (block,) = read.cells
    assert block.type == "wedge"  # chords in fillets add a little
    area = float(edge.sections["girder"].A)
    assert abs(_volume(read.points, block.data)) == pytest.approx(area * 4000, rel=3e-3)
    moved = _field(read, "displacement")
    (row,) = edge.result.deformed.rows
    assert np.abs(moved[:, 1]).max() == pytest.approx(row.deflection.deforming, rel=0.01)
    edge.to_vtu(tmp_path / "moved.vtu", stations=20, scale=100)
    drawn = meshio.read(tmp_path / "moved.vtu")
    assert drawn.points - read.points == pytest.approx(100 * moved, abs=1e-6)


def test_stresses_of_a_solid_are_in_balance_with_the_moment(tmp_path: Path) -> None:
    """Bending alone: M y / I at the middle."""
    beam = sf.solve(MEMBER.replace('place = "parapet"', "eccentricity = [0, 0]"), remedies=False)
    beam.to_vtu(tmp_path / "beam.vtu", stations=40)
    read = meshio.read(tmp_path / "beam.vtu")
    stress = _field(read, "stress zz")
    inertia = float(beam.sections["girder"].value("second_moment_x"))
    expected = 3.0 * 4000**2 / 8 * 100 / inertia
    middle = np.isclose(read.points[:, 2], 2000)
    assert middle.any()
    assert np.nanmax(np.abs(stress[middle])) == pytest.approx(expected, rel=0.02)
    near = np.isnan(stress)  # what no beam can tell: at the supports' points
    assert 0 < near.mean() < 0.3


def test_a_curved_members_solid_has_the_length_of_its_axis(tmp_path: Path) -> None:
    """Pappus: the centroid is on the axis, so the volume is area times length."""
    deck = sf.solve(CURVED, remedies=False)
    deck.to_vtu(tmp_path / "deck.vtu", stations=60)
    read = meshio.read(tmp_path / "deck.vtu")
    area = float(deck.sections["deck"].A)
    assert abs(_volume(read.points, read.cells[0].data)) == pytest.approx(area * 8000, rel=2e-3)


def test_a_station_series_has_a_step_a_station(edge: sf.MemberSolution, tmp_path: Path) -> None:
    edge.to_station_series(tmp_path / "edge.xdmf", stations=10)
    with meshio.xdmf.TimeSeriesReader(tmp_path / "edge.xdmf") as reader:
        points, _ = reader.read_points_cells()
        steps = [reader.read_data(k) for k in range(reader.num_steps)]
    assert len(steps) >= 10
    times = [step[0] for step in steps]
    assert times == sorted(times)
    assert times[-1] == pytest.approx(4.0)
    assert all(len(values) == len(points) for _, data, _ in steps for values in data.values())


def test_other_endings_and_combinations_are_refused(
    edge: sf.MemberSolution, tmp_path: Path
) -> None:
    with pytest.raises(sf.InputError, match=r"\.vtu"):
        edge.to_vtu(tmp_path / "edge.stl")
    with pytest.raises(sf.InputError, match="was not solved"):
        edge.to_vtu(tmp_path / "edge.vtu", "winter")
    with pytest.raises(sf.InputError, match=r"\.xdmf"):
        edge.to_station_series(tmp_path / "edge.vtu")
    assert not list(tmp_path.iterdir())
