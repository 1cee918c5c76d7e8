"""The call to gmsh: from broken border edges to triangles, with nothing left behind in the process.

gmsh holds one global state, so calls take turns through a lock. It is initialised without its
signal handlers (a thread other than the main one may call), silenced, given a model of our own, and
finalised again unless the caller had it running already.
"""

from __future__ import annotations

import ctypes
import signal
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

import numpy as np

from ....geometry.errors import MeshError
from ....geometry.planar.planar_map import PlanarMap
from .border_chains import BorderChains, chains_of
from .border_triangles import border_triangles
from .breakpoints import BrokenEdges, break_edges, crowded, growth_along
from .folded_pieces import folded_pieces, halved
from .refinement import smallest_stretch, unfolded
from .section_mesh import Array, Ints, SectionMesh, connect, part

#: Squares of the border's pieces in the section's area, by the number of pieces: above this the
#: size grows inward.
MANY_PER_PIECE = 1.2
#: Options that decide the mesh, and what is printed; a session that was running may hold others.
OPTIONS = {
    "General.Verbosity": 0,
    "Mesh.Algorithm": 5,
    "Mesh.ElementOrder": 1,
    "Mesh.RecombineAll": 0,
    "Mesh.SubdivisionAlgorithm": 0,
    "Mesh.MeshSizeFactor": 1,
    "Mesh.MeshSizeMin": 0,
    "Mesh.MeshSizeMax": 1e22,
    "Mesh.MeshSizeFromCurvature": 0,
    "Mesh.MeshSizeExtendFromBoundary": 1,
    "Mesh.MeshSizeFromPoints": 1,
    "Mesh.MaxNumThreads2D": 1,
    "Mesh.MeshOnlyEmpty": 1,
    "Mesh.Renumber": 0,
    "Mesh.AlgorithmSwitchOnFailure": 1,
}
#: gmsh's numbers of its elements of a point and of a straight line.
_POINT, _LINE = 15, 1
_TURN = threading.Lock()
_MODEL = "soapfilm section"
#: Borders of so few pieces get shorter ones where no points are set inside.
FEW_PIECES, FINER = 8, 0.6
#: Meshes tried until no arc folds a triangle.
_ATTEMPTS = 8


@contextmanager
def _pipes_as_before() -> Iterator[None]:
    """Keep what happens to the process when it writes to a closed pipe or socket.

    gmsh sets it to the system's default, which ends the process without a word; Python ignores the
    signal and raises an error in words. (`signal.signal` is for the main thread only.)
    """
    number = getattr(signal, "SIGPIPE", None)  # not on Windows
    if number is None:
        yield
        return
    get, put = ctypes.pythonapi.PyOS_getsig, ctypes.pythonapi.PyOS_setsig
    get.restype = put.restype = ctypes.c_void_p
    handler = ctypes.c_void_p(get(int(number)))
    try:
        yield
    finally:
        put(int(number), handler)


@contextmanager
def _gmsh() -> Iterator[Any]:
    try:
        import gmsh
    except OSError as error:  # the wheel loads system libraries when it is imported
        raise MeshError(
            f"gmsh cannot be loaded ({error}); install the system libraries named in README.md"
        ) from error
    with _TURN:
        running = bool(gmsh.isInitialized())
        before = gmsh.model.getCurrent() if running else ""
        if not running:
            with _pipes_as_before():
                gmsh.initialize([], readConfigFiles=False, interruptible=False)
        saved = {name: gmsh.option.getNumber(name) for name in OPTIONS} if running else {}
        try:
            for name, value in OPTIONS.items():
                gmsh.option.setNumber(name, value)
            gmsh.model.add(_MODEL)
            yield gmsh
        finally:
            if running:
                gmsh.model.setCurrent(_MODEL)
                gmsh.model.remove()
                for name, value in saved.items():
                    gmsh.option.setNumber(name, value)
                if before:
                    gmsh.model.setCurrent(before)
            else:
                gmsh.finalize()


def triangulate(plan: PlanarMap, *, coarseness: float = 1.0, sparing: bool = False) -> SectionMesh:
    """Mesh a planar map; `sparing` sets no points inside where those of the borders will do
    (`border_triangles`).

    Raises
    ------
    MeshError
        When gmsh fails or an arc cannot be followed; names the place.
    """
    broken = break_edges(plan, coarseness)
    if sparing and len(broken.pieces) < FEW_PIECES:
        broken = break_edges(plan, FINER * coarseness)
    for _ in range(_ATTEMPTS):
        found = border_triangles(plan, broken) if sparing else None
        raw = connect(*(found or _triangles(plan, broken)), broken.pieces, broken.bulges)
        mesh = unfolded(raw)
        if mesh is not None:
            return part(mesh, _slit_edges(plan, broken, mesh))
        # An edge from far off grazes an arc and would cross it: finer arcs draw other triangles.
        broken = halved(broken, folded_pieces(raw, broken))
    x, y = raw.corners[np.argmin(smallest_stretch(raw))].mean(axis=0)
    place = f"({x:.6g}, {y:.6g})"
    raise MeshError(f"an arc near {place} cannot be followed by the mesh; check the outline there")


def _triangles(plan: PlanarMap, broken: BrokenEdges) -> tuple[Array, Ints, Ints]:
    centre = (broken.points.min(axis=0) + broken.points.max(axis=0)) / 2
    scale = float(np.ptp(broken.points, axis=0).max())
    local = (broken.points - centre) / scale  # gmsh's own tolerances are absolute
    chains = chains_of(plan, broken)
    with _gmsh() as gmsh:
        _add_border(gmsh, chains, local, broken)
        loop_tag = 0
        for face, loops in enumerate(chains.faces):
            tags = []
            for loop in loops:
                loop_tag += 1
                gmsh.model.geo.addCurveLoop(loop, loop_tag)
                tags.append(loop_tag)
            gmsh.model.geo.addPlaneSurface(tags, face + 1)
        gmsh.model.geo.synchronize()
        _mesh_border(gmsh, chains, local)
        for face, inner in enumerate(chains.embedded):
            if inner:
                gmsh.model.mesh.embed(1, inner, 2, face + 1)
        if crowded(plan) or _border_is_fine(plan, broken):
            _grow_inward(gmsh, len(chains.runs), growth_along(plan))
        try:
            gmsh.model.mesh.generate(2)
        except Exception as error:  # gmsh raises bare Exception
            raise MeshError(_failure(broken, str(error))) from error
        return _read(gmsh, plan, broken, centre, scale)


def _add_border(gmsh: Any, chains: BorderChains, local: Array, broken: BrokenEdges) -> None:
    """Points and curves: few curves of many pieces each, since gmsh's cost grows with the square of
    their number."""
    geo = gmsh.model.geo
    sizes = (broken.size / float(np.ptp(broken.points, axis=0).max())).tolist()
    for i, ((x, y), h) in enumerate(zip(local.tolist(), sizes, strict=True), 1):
        geo.addPoint(x, y, 0.0, h, i)
    for tag, run in enumerate(chains.runs, 1):
        geo.addPolyline((run + 1).tolist(), tag)


def _mesh_border(gmsh: Any, chains: BorderChains, local: Array) -> None:
    """Our own points as the mesh of the curves, which gmsh then leaves alone."""
    model = gmsh.model
    ends = np.unique([(run[0], run[-1]) for run in chains.runs])
    inner = np.setdiff1d(np.arange(len(local)), ends)
    model.removeEntities([(0, k) for k in (inner + 1).tolist()])
    place = np.column_stack([local, np.zeros(len(local))])
    for k in ends.tolist():
        model.mesh.addNodes(0, k + 1, [k + 1], place[k])
        model.mesh.addElementsByType(k + 1, _POINT, [], [k + 1])
    for tag, run in enumerate(chains.runs, 1):
        between = np.arange(1, len(run) - 1) / (len(run) - 1)
        model.mesh.addNodes(1, tag, run[1:-1] + 1, place[run[1:-1]].ravel(), between)
        lines = np.column_stack([run[:-1], run[1:]]) + 1
        model.mesh.addElementsByType(tag, _LINE, [], lines.ravel())


def _border_is_fine(plan: PlanarMap, broken: BrokenEdges) -> bool:
    """Whether triangles as small as the border's pieces would fill the inside by the thousand, as
    within a smooth outline drawn with many vertices."""
    signed = np.concatenate([loop for loops in plan.faces for loop in loops])
    net = np.bincount(np.abs(signed) - 1, np.sign(signed), minlength=len(plan.edges))[broken.edge]
    x, y = (broken.points[broken.pieces] - broken.points[0]).transpose(2, 1, 0)
    area = float(net @ (x[0] * y[1] - x[1] * y[0])) / 2
    length = np.hypot(x[1] - x[0], y[1] - y[0]).mean()
    return bool(area > MANY_PER_PIECE * len(net) * length**2)


def _grow_inward(gmsh: Any, curves: int, growth: float) -> None:
    """Let the size grow with the distance to the border, as along it.

    Not the rule: through a thin wall it would set points for which there is no need. With very many
    vertices it is: an inside that needles surround would be filled with triangles of their width.
    """
    field = gmsh.model.mesh.field
    tag = field.add("Extend")
    field.setNumbers(tag, "CurvesList", list(range(1, curves + 1)))
    field.setNumber(tag, "DistMax", 2.0)  # beyond every distance: the section's span is 1
    field.setNumber(tag, "SizeMax", 2.0 * growth)
    field.setAsBackgroundMesh(tag)
    for name in ("Mesh.MeshSizeExtendFromBoundary", "Mesh.MeshSizeFromPoints"):
        gmsh.option.setNumber(name, 0)


def _failure(broken: BrokenEdges, message: str) -> str:
    tightest = int(np.argmin(broken.size))
    x, y = broken.points[tightest]
    return (
        f"the mesh generator failed ({message.strip() or 'no reason given'}); the narrowest place "
        f"of the section is near ({x:.6g}, {y:.6g}): check the outline there"
    )


def _read(
    gmsh: Any, plan: PlanarMap, broken: BrokenEdges, centre: Array, scale: float
) -> tuple[Array, Ints, Ints]:
    tags, xyz, _ = gmsh.model.mesh.getNodes()
    tags = tags.astype(np.int64)
    local = xyz.reshape(-1, 3)[:, :2]
    ours = (broken.points - centre) / scale
    # The nodes of our points come back with the tags of the points; the check makes sure.
    slot = np.full(int(tags.max()) + 1, -1, dtype=np.int64)
    slot[tags] = np.arange(len(tags))
    if len(tags) < len(ours) or not np.array_equal(local[slot[1 : len(ours) + 1]], ours):
        raise MeshError(
            "the mesh generator renumbered the border nodes; this gmsh version is not supported"
        )
    points = local * scale + centre
    points[slot[1 : len(ours) + 1]] = broken.points
    number = np.full(len(slot), -1, dtype=np.int64)
    number[1 : len(ours) + 1] = np.arange(len(ours))
    inner = tags[tags > len(ours)]
    number[inner] = len(ours) + np.arange(len(inner))
    out = np.empty((len(tags), 2))
    out[number[tags]] = points
    triangles, region = [], []
    for face in range(len(plan.faces)):
        kinds, _, nodes = gmsh.model.mesh.getElements(2, face + 1)
        if len(kinds) != 1 or kinds[0] != 2:
            raise MeshError(f"the mesh generator left region {face + 1} empty; check its outline")
        rows = number[nodes[0].astype(np.int64)].reshape(-1, 3)
        triangles.append(rows)
        region.append(np.full(len(rows), face))
    joined = np.vstack(triangles)
    used = np.unique(joined)
    renumber = np.full(len(out), -1, dtype=np.int64)
    # border points keep their numbers (pieces refer to them); loose inner nodes are dropped
    keep = np.union1d(np.arange(len(ours)), used)
    renumber[keep] = np.arange(len(keep))
    return out[keep], renumber[joined], np.concatenate(region)


def _slit_edges(plan: PlanarMap, broken: BrokenEdges, mesh: SectionMesh) -> Ints:
    """Mesh edges that lie on slits."""
    pieces = np.flatnonzero(plan.slit[broken.edge])
    if not pieces.size:
        return np.empty(0, dtype=np.int64)
    # pieces may have been halved by unfolded: follow arcs by their end points through the mesh
    n = len(mesh.vertices)
    keys = mesh.edges[:, 0] * n + mesh.edges[:, 1]
    found, todo = [], [tuple(sorted(p)) for p in broken.pieces[pieces]]
    while todo:
        a, b = todo.pop()
        k = int(np.searchsorted(keys, a * n + b))
        if k < len(keys) and keys[k] == a * n + b:
            found.append(k)
            continue
        both = np.intersect1d(_neighbours(mesh, a), _neighbours(mesh, b))
        middle = both[np.argmax(both)]  # halving gives the newest number
        todo += [tuple(sorted((a, middle))), tuple(sorted((middle, b)))]
    return np.array(sorted(found), dtype=np.int64)


def _neighbours(mesh: SectionMesh, vertex: int) -> Ints:
    on = (mesh.edges == vertex).any(axis=1)
    return np.setdiff1d(mesh.edges[on].ravel(), [vertex])
