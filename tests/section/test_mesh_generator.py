"""The mesh generator keeps one state for the whole process: we must leave none of ours behind."""

from __future__ import annotations

import multiprocessing
import signal
import subprocess
import sys
import threading
from concurrent.futures import ProcessPoolExecutor, ThreadPoolExecutor

import gmsh
import numpy as np
import pytest
from soapfilm.geometry.errors import MeshError
from soapfilm.geometry.profiles.by_name import i_shape, rectangle
from soapfilm.geometry.section import Section
from soapfilm.solver.section import solve_section

SQUARE_J = 0.140577014955  # of the unit square, see `test_exact_bounds`


def square(side: float) -> Section:
    return rectangle(x_dim=side, y_dim=side).section()


def torsion_constant(side: float) -> float:
    return solve_section(square(side)).torsion_constant


@pytest.fixture(autouse=True)
def all_by_the_generator(monkeypatch) -> None:
    """Meshes of few border pieces do without it otherwise."""
    monkeypatch.setattr("soapfilm.solver.section.mesh.border_triangles.FEW_PIECES", 0)


@pytest.fixture
def own_gmsh():
    """A user's session with a model of their own and options unlike the defaults."""
    gmsh.initialize(readConfigFiles=False, interruptible=False)
    gmsh.option.setNumber("General.Terminal", 0)
    gmsh.model.add("bridge")
    gmsh.model.geo.addPoint(1, 2, 3, tag=7)
    gmsh.model.geo.synchronize()
    signal.signal(signal.SIGPIPE, signal.SIG_IGN)  # as it was: gmsh would have broken pipes end us
    yield gmsh
    gmsh.finalize()


def test_gmsh_is_finalised_again() -> None:
    solve_section(square(1))
    assert not gmsh.isInitialized()


PIPES = """
import os, threading
import shapely, soapfilm as sf
from soapfilm.solver.section.mesh import border_triangles
border_triangles.FEW_PIECES = 0
square = shapely.box(0, 0, 10, 10)
def solve(): sf.solve(square, unit="mm")
{solve}
reader, writer = os.pipe()
os.close(reader)
try:
    os.write(writer, b"words")
except BrokenPipeError:
    print("told in words")
"""


@pytest.mark.parametrize(
    "solve", ["solve()", "thread = threading.Thread(target=solve); thread.start(); thread.join()"]
)
def test_a_closed_pipe_does_not_end_the_process(solve: str) -> None:
    """Servers and notebooks write to sockets that others close."""
    words = [sys.executable, "-c", PIPES.format(solve=solve)]
    done = subprocess.run(words, capture_output=True, text=True, check=False)
    assert (done.returncode, done.stdout) == (0, "told in words\n"), done.stderr


def test_a_users_session_survives(own_gmsh) -> None:
    own_gmsh.option.setNumber("General.Verbosity", 3)
    own_gmsh.option.setNumber("Mesh.Algorithm", 6)
    assert torsion_constant(1) == pytest.approx(SQUARE_J, rel=1e-5)
    assert own_gmsh.isInitialized()
    assert own_gmsh.model.list() == ["", "bridge"]
    assert own_gmsh.model.getCurrent() == "bridge"
    assert own_gmsh.model.getEntities(0) == [(0, 7)]
    np.testing.assert_array_equal(own_gmsh.model.getValue(0, 7, []), [1, 2, 3])
    assert own_gmsh.option.getNumber("General.Verbosity") == 3
    assert own_gmsh.option.getNumber("Mesh.Algorithm") == 6


@pytest.mark.parametrize(
    ("option", "value"),
    [
        ("Mesh.ElementOrder", 2),
        ("Mesh.RecombineAll", 1),
        ("Mesh.SubdivisionAlgorithm", 1),
        ("Mesh.MeshSizeFactor", 0.05),
        ("Mesh.MeshSizeMax", 0.01),
        ("Mesh.MeshSizeFromCurvature", 40),
    ],
)
def test_a_users_mesh_options_do_not_reach_ours(own_gmsh, option: str, value: float) -> None:
    own_gmsh.option.setNumber(option, value)
    result = solve_section(square(1))
    assert result.torsion_constant == pytest.approx(SQUARE_J, rel=1e-5)
    assert result.solver.elements < 200
    assert own_gmsh.option.getNumber(option) == value


def test_nothing_is_printed(capfd, own_gmsh) -> None:
    own_gmsh.option.setNumber("General.Terminal", 1)
    own_gmsh.option.setNumber("General.Verbosity", 5)
    solve_section(square(1))
    assert capfd.readouterr() == ("", "")


def test_nothing_is_printed_alone(capfd) -> None:
    solve_section(
        i_shape(
            overall_width=150, overall_depth=300, web_thickness=7, flange_thickness=11
        ).section()
    )
    assert capfd.readouterr() == ("", "")


def test_in_a_thread_that_is_not_the_main_one() -> None:
    found: list[float] = []
    worker = threading.Thread(target=lambda: found.append(torsion_constant(1)))
    worker.start()
    worker.join(60)
    assert found == [pytest.approx(SQUARE_J, rel=1e-5)]


def test_threads_take_turns() -> None:
    sides = [1.0, 2.0, 3.0, 4.0] * 3
    with ThreadPoolExecutor(4) as pool:
        constants = list(pool.map(torsion_constant, sides))
    np.testing.assert_allclose(constants, [SQUARE_J * s**4 for s in sides], rtol=1e-5)
    assert not gmsh.isInitialized()


@pytest.mark.parametrize("method", ["spawn", "forkserver"])
def test_in_worker_processes(method: str) -> None:
    context = multiprocessing.get_context(method)
    with ProcessPoolExecutor(2, mp_context=context) as pool:
        results = list(pool.map(solve_section, [square(1), square(2)]))
    constants = [result.torsion_constant for result in results]
    np.testing.assert_allclose(constants, [SQUARE_J, SQUARE_J * 16], rtol=1e-5)
    for result in results:  # the fields came along whole
        assert result.field.warping_system.solve(result.field.condensed.gathered(1)).shape


def test_a_failure_names_the_narrowest_place(monkeypatch) -> None:
    def fail(dim: int) -> None:
        raise Exception("Invalid boundary mesh (overlapping facets)")

    monkeypatch.setattr(gmsh.model.mesh, "generate", fail)
    shape = i_shape(overall_width=150, overall_depth=300, web_thickness=2, flange_thickness=11)
    with pytest.raises(MeshError, match=r"overlapping facets.*near \(-?1, -?139\)") as caught:
        solve_section(shape.section())
    assert "\n" not in str(caught.value)
    assert not gmsh.isInitialized()


def test_a_users_session_survives_a_failure(monkeypatch, own_gmsh) -> None:
    def fail(dim: int) -> None:
        raise Exception("no")

    monkeypatch.setattr(gmsh.model.mesh, "generate", fail)
    with pytest.raises(MeshError):
        solve_section(square(1))
    assert own_gmsh.model.list() == ["", "bridge"]
    assert own_gmsh.model.getCurrent() == "bridge"
