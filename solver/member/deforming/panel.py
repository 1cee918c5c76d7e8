"""A plate that fills a cell, welded to its walls: its stiffness against distortion by plane stress.

The plate is solved on its own mesh, with its opening. Its outer border follows the walls through a
weld of given stiffness, many times that of the plate: with the walls' motion W a on the border and
the plate's u, the energy is that of the plate and of the weld, and u is eliminated. So the plate
answers to every distortion that the n functions know, not to the change into a lozenge alone.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ....geometry.checks.validate import checked_map
from ....geometry.errors import ArrangementError, InputError
from ....geometry.material import Material
from ....geometry.outline.contour import Contour
from ....geometry.section import Region, Section
from ...section.deforming.elasticity.elastic import Elastic
from ...section.deforming.elasticity.linear import bare_fields
from ...section.deforming.elasticity.matrices import section_matrices
from ...section.deforming.outline import border_lines, in_material, nearest_materials
from ...section.deforming.reduced import ReducedSection
from ...section.elements.basis import places_at
from ...section.mesh.triangulation import triangulate
from ..model.diaphragm import DiaphragmPlate

Array = NDArray[np.float64]

#: Order of the plate's shape functions.
ORDER = 4

#: Stiffness of the weld per length, over E / (size of the cell): far above the plate's own.
WELD = 1e5

#: Chords of an arc of the cell's border.
CHORDS = 6
#: A plate is no thicker than this share of its cell's smaller side: its own stiffness is that in
#: its plane.
THICKEST = 0.25


@dataclass(frozen=True, slots=True, eq=False)
class Panel:
    """All plates of one diaphragm.

    Attributes
    ----------
    energy : (d, d)
        On the rows of distortion.
    flow : (d,)
        Mean shear per length in the largest plate.
    """

    energy: Array
    flow: Array


def panel_of(plate: DiaphragmPlate, section: ReducedSection, title: str) -> Panel:
    """Plates in all cells of a section; the opening is in the largest."""
    cells = cells_of(section)
    if not cells:
        raise InputError(
            f"{title}: a plate fills a cell, and this section has none; give bars, or leave the "
            "thickness out for a rigid diaphragm"
        )
    cells = sorted(cells, key=lambda loop: -cell_area(loop))
    low, high = cells[0].min(axis=0), cells[0].max(axis=0)
    if plate.thickness > THICKEST * float((high - low).min()):
        raise ArrangementError(
            f"{title}: a thickness of {plate.thickness:g} is no plate in a cell of "
            f"{high[0] - low[0]:g} x {high[1] - low[1]:g}; make it thinner, or leave the thickness "
            "out for a rigid diaphragm"
        )
    size = section.in_plane.shape[0]
    energy, flow = np.zeros((size, size)), np.zeros(size)
    for k, loop in enumerate(cells):
        own, shear = _one(plate, section, loop, plate.opening if k == 0 else None, title)
        energy += own
        if k == 0:
            flow = shear
    return Panel(energy, flow)


def cells_of(section: ReducedSection) -> list[Array]:
    """Borders (s, 2) of the cells, anticlockwise; arcs as chords."""
    from shapely import LineString, Polygon, polygonize

    mesh = section.material
    lines = np.round(border_lines(mesh, CHORDS), 9)
    rings = polygonize([LineString(line) for line in lines]).geoms
    material = [r for r in rings if in_material(mesh, _inside(r))]
    holes = [Polygon(hole) for ring in material for hole in ring.interiors]
    loops = []
    for hole in holes:
        loop = np.array(hole.exterior.coords)[:-1]
        loops.append(loop if hole.exterior.is_ccw else loop[::-1])
    return loops


def _inside(ring: object) -> tuple[float, float]:
    point = ring.representative_point()  # type: ignore[attr-defined]
    return (float(point.x), float(point.y))


def _one(
    plate: DiaphragmPlate,
    section: ReducedSection,
    loop: Array,
    opening: tuple[float, float] | None,
    title: str,
) -> tuple[Array, Array]:
    """Energy (d, d) and mean shear flow (d,) of the plate in one cell."""
    from scipy import sparse
    from scipy.sparse.linalg import splu

    holes = () if opening is None else (_opening(loop, opening, title),)
    outline = Contour([(float(x), float(y)) for x, y in loop])
    mesh = triangulate(checked_map(Section((Region(outline, holes, Material()),), name=title)))
    fields = bare_fields(mesh, ORDER)
    numbers, count = fields.numbers, len(fields.linear)
    t, e, nu = len(mesh.triangles), plate.elastic_modulus, plate.poisson_ratio
    one = np.ones(t)
    law = Elastic(
        one * e * nu / (1 - nu**2),
        one * e / (2 * (1 + nu)),
        one * e / (2 * (1 + nu)),
        one * e,
        None,
        np.ones(t, dtype=bool),
    )
    blocks = section_matrices(fields, law).C_u
    index = np.concatenate([numbers, numbers + count], axis=1)
    n = index.shape[1]
    where = (np.repeat(index, n, axis=1).ravel(), np.tile(index, (1, n)).ravel())
    stiff = sparse.csr_array((blocks.ravel(), where), shape=(2 * count, 2 * count))
    points, weights, values = _border_values(mesh, numbers, count, loop)
    weld = WELD * e / float(np.sqrt(cell_area(loop)))
    scaled = sparse.diags_array(weights * weld)
    on_plate = sparse.block_diag([values, values], format="csr")
    twice = sparse.block_diag([scaled, scaled], format="csr")
    rows = _wall_rows(section, points)  # (2q, d)
    matrix = (stiff + on_plate.T @ twice @ on_plate).tocsc()
    pulled = on_plate.T @ (twice @ rows)
    u = splu(matrix).solve(pulled)
    force = twice @ (rows - on_plate @ u)  # on the plate, per unit thickness
    energy = plate.thickness * (rows.T @ force)
    x, y = points.T
    q = len(points)
    # Mean stress of a body is the mean of its border forces times their places.
    shear = (y @ force[:q] + x @ force[q:]) / 2 / cell_area(loop)
    return (energy + energy.T) / 2, plate.thickness * shear


def _border_values(
    mesh: object, numbers: NDArray[np.int64], count: int, loop: Array
) -> tuple[Array, Array, object]:
    """Gauss points (q, 2) on the plate's outer border, weights (q,), shape functions (q, count)."""
    from scipy import sparse
    from shapely import Polygon
    from shapely import points as shapely_points

    border = np.flatnonzero(mesh.edge_triangles()[:, 1] < 0)  # type: ignore[attr-defined]
    vertices, edges = mesh.vertices, mesh.edges  # type: ignore[attr-defined]
    middle = vertices[edges[border]].mean(axis=1)
    outer = Polygon(loop).exterior.distance(shapely_points(middle)) < 1e-6 * np.ptp(loop)
    border = border[outer]
    triangle = mesh.edge_triangles()[border, 0]  # type: ignore[attr-defined]
    which = np.argmax(mesh.triangle_edges[triangle] == border[:, None], axis=1)  # type: ignore[attr-defined]
    x, w = np.polynomial.legendre.leggauss(ORDER + 1)
    s = (1 + x) / 2
    local = {0: (s, 0 * s), 1: (0 * s, s), 2: (1 - s, s)}
    rows: list[NDArray[np.intp]] = []
    cols: list[NDArray[np.int64]] = []
    data: list[Array] = []
    points: list[Array] = []
    weights: list[Array] = []
    for edge, t, k in zip(border, triangle, which, strict=True):
        value = places_at(ORDER, *local[int(k)])[3]
        a, b = vertices[edges[edge]]
        first = len(points) * len(s)
        corner = mesh.vertices[mesh.triangles[t]]  # type: ignore[attr-defined]
        start = corner[[0, 0, 1][int(k)]]
        end = corner[[1, 2, 2][int(k)]]
        points.append(start + s[:, None] * (end - start))
        weights.append(w / 2 * float(np.hypot(*(b - a))))
        rows.append(np.repeat(first + np.arange(len(s)), value.shape[1]))
        cols.append(np.tile(numbers[t], len(s)))
        data.append(value.ravel())
    q = len(points) * len(s)
    values = sparse.csr_array(
        (np.concatenate(data), (np.concatenate(rows), np.concatenate(cols))), shape=(q, count)
    )
    return np.concatenate(points), np.concatenate(weights), values


def _wall_rows(section: ReducedSection, points: Array) -> Array:
    """(2q, d) motion of the walls at points by the distortions: all of x, then all of y."""
    mesh = section.material
    on = nearest_materials(mesh, points)
    rows = section.displacement_rows(on)[:, :2] @ section.in_plane.T
    return np.concatenate([rows[:, 0], rows[:, 1]])


def _opening(loop: Array, opening: tuple[float, float], title: str) -> Contour:
    """A rectangle about the middle of the cell's bounds."""
    low, high = loop.min(axis=0), loop.max(axis=0)
    x, y = (low + high) / 2
    a, b = opening[0] / 2, opening[1] / 2
    if not (2 * a < high[0] - low[0] and 2 * b < high[1] - low[1]):
        raise ArrangementError(
            f"{title}: an opening of {2 * a:g} x {2 * b:g} does not fit into the cell of "
            f"{high[0] - low[0]:g} x {high[1] - low[1]:g}; make it smaller"
        )
    corners = [(x - a, y - b), (x + a, y - b), (x + a, y + b), (x - a, y + b)]
    return Contour([(float(p), float(q)) for p, q in corners])


def cell_area(loop: Array) -> float:
    """Area within a closed border."""
    x, y = loop.T
    return abs(float(x @ np.roll(y, -1) - y @ np.roll(x, -1))) / 2
