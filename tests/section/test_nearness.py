"""The search tree of large sections finds what comparing all with all finds."""

from __future__ import annotations

import numpy as np
import pytest
import shapely
from soapfilm.geometry.checks.validate import checked_map
from soapfilm.geometry.outline.contour import Contour, edge_points
from soapfilm.geometry.planar.overlay import planar_map
from soapfilm.geometry.section import Section
from soapfilm.solver.section.mesh import nearness
from soapfilm.solver.section.mesh.breakpoints import (
    FACING_DISTANCES,
    FACING_LENGTHS,
    _facing,
    break_edges,
)
from soapfilm.solver.section.mesh.nearness import edge_distance, graded, node_clearance

from benchmarks.growth_cases import row_of_cells
from benchmarks.hard_sections import HARD_SECTIONS


def bumpy(rng: np.random.Generator) -> Section:
    """A rough wheel of arcs and lines with round and rough holes."""

    def ring(n: int, radius: float, depth: float, bent: bool) -> Contour:
        a = 2 * np.pi * (np.arange(n) + rng.uniform(-0.3, 0.3, n)) / n
        r = radius * (1 - depth * rng.random(n))
        bulges = rng.uniform(-0.1, 0.1, n) * bent
        return Contour(r[:, None] * np.stack([np.cos(a), np.sin(a)], axis=1), bulges)

    holes = [Contour.circle((0.6, 0.0), 0.1), ring(150, 0.3, 0.05, bent=False)]
    return Section.single(ring(250, 1.0, 0.02, bent=True), holes)


@pytest.mark.parametrize("seed", range(3))
def test_tree_and_all_pairs_agree(monkeypatch: pytest.MonkeyPatch, seed: int) -> None:
    rng = np.random.default_rng(seed)
    plan = planar_map(bumpy(rng))
    start, end = plan.nodes[plan.edges[:, 0]], plan.nodes[plan.edges[:, 1]]
    size = 10 ** rng.uniform(-3, 0.5, len(plan.nodes))

    def both() -> tuple[np.ndarray, np.ndarray]:
        clearance = node_clearance(plan.nodes, plan.edges, start, end, plan.bulges)
        return clearance, graded(plan.nodes, size, 0.8)

    plain = both()
    monkeypatch.setattr(nearness, "_ALL_PAIRS", 0)
    by_tree = both()
    np.testing.assert_allclose(by_tree, plain, rtol=1e-13)
    # and it is what an independent library measures, arcs drawn finely
    lines = [
        shapely.LineString(Contour([p, q], [b, 0]).polyline(1e-9) if b else [p, q])
        for p, q, b in zip(start, end, plan.bulges, strict=True)
    ]
    for k in rng.choice(len(plan.nodes), 12, replace=False):
        others = [g for g, e in zip(lines, plan.edges, strict=True) if k not in e]
        nearest = min(shapely.distance(shapely.Point(plan.nodes[k]), others))
        assert plain[0][k] == pytest.approx(nearest, rel=1e-5)


def test_sizes_grow_no_faster_than_asked() -> None:
    rng = np.random.default_rng(5)
    nodes, size = rng.random((1500, 2)), 10 ** rng.uniform(-3, 1, 1500)
    out = graded(nodes, size, 0.5)
    apart = np.hypot(*np.moveaxis(nodes[:, None] - nodes, 2, 0))
    assert (out <= size).all()
    assert (out[:, None] - out <= 0.5 * apart + 1e-12).all()
    assert (out == size).any()


def test_distances_in_pairs_and_all_with_all() -> None:
    rng = np.random.default_rng(6)
    start, end = rng.random((40, 2)), rng.random((40, 2))
    bulges = rng.uniform(-2, 2, 40) * (rng.random(40) < 0.5)
    points = rng.random((40, 2))
    table = edge_distance(points[:, None], start, end, bulges)
    assert table.shape == (40, 40)
    np.testing.assert_allclose(np.diag(table), edge_distance(points, start, end, bulges))


def test_a_long_side_is_broken_as_often_as_the_cells_it_faces() -> None:
    """64 samples a side were too few for a row of 64 cells: 1322 pieces, not 1548."""
    pieces = {n: len(break_edges(checked_map(row_of_cells(n))).pieces) for n in (4, 8, 64)}
    each = (pieces[8] - pieces[4]) / 4
    assert pieces[64] == pytest.approx(pieces[8] + 56 * each, rel=0.01)


@pytest.mark.parametrize("key", ["curved_wall", "eccentric_tube", "slit_tube"])
def test_what_faces_an_arc_is_found_in_the_tree(key: str) -> None:
    """As by comparing all with all, wherever it decides about a cut."""
    plan = checked_map(HARD_SECTIONS[key]())
    broken = break_edges(plan)
    p, q = broken.points[broken.pieces].transpose(1, 0, 2)
    arcs = np.flatnonzero(broken.bulges)
    reach = np.full(len(arcs), np.hypot(*(q - p).T).max())
    clear, limit = _facing(broken, p, q, arcs, reach)
    tops = edge_points(p[arcs], q[arcs], broken.bulges[arcs], np.array([0.5]))
    d = edge_distance(tops, p, q, broken.bulges)
    touching = (broken.pieces[arcs][:, None, :, None] == broken.pieces[None, :, None, :]).any(
        (2, 3)
    )
    d[touching] = np.inf
    length = np.hypot(*(q - p).T)
    most = (FACING_LENGTHS * length[arcs][:, None] + FACING_DISTANCES * d).min(axis=0)
    near = d.min(axis=1) <= reach
    assert near.any()
    assert np.array_equal(clear[near], d.min(axis=1)[near])
    assert np.array_equal(limit < length, most < length)
    assert np.all(limit >= most)
