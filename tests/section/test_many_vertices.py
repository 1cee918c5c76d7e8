"""Outlines of thousands of vertices: the steps whose cost would grow with their square."""

from __future__ import annotations

import math

import numpy as np
import pytest
from soapfilm.geometry.checks.validate import checked_map
from soapfilm.geometry.outline.contour import Contour
from soapfilm.geometry.section import Region, Section
from soapfilm.solver.section.mesh.border_chains import chains_of
from soapfilm.solver.section.mesh.breakpoints import MANY_NODES, break_edges
from soapfilm.solver.section.mesh.nearness import size_among
from soapfilm.solver.section.mesh.triangulation import triangulate
from soapfilm.solver.section.solve import solve_fields
from soapfilm.solver.section.torsion import sand_heap
from soapfilm.solver.section.torsion.adaptive import _level
from soapfilm.solver.section.torsion.interval import solve_torsion, unknowns_of
from soapfilm.solver.section.torsion.sand_heap import plastic_torque


def _polygon(vertices: int, radius: float = 50.0) -> Section:
    angle = 2 * np.pi * np.arange(vertices) / vertices
    points = radius * np.stack([np.cos(angle), np.sin(angle)], axis=1)
    return Section((Region(Contour(points)),))


def _comb(teeth: int) -> Section:
    """A bar of 100 x 20 with teeth 10 high on top, their gaps as wide as they are."""
    w = 100 / (2 * teeth)
    points = [(0.0, -20.0), (100.0, -20.0)]
    for k in range(teeth):
        x = 100 - 2 * k * w
        points += [(x, 10.0), (x - w, 10.0), (x - w, 0.0), (x - 2 * w, 0.0)]
    return Section((Region(Contour(np.array(points))),))


def test_a_long_outline_is_three_curves_for_the_mesh() -> None:
    plan = checked_map(_polygon(2 * MANY_NODES))
    chains = chains_of(plan, break_edges(plan))
    assert len(chains.runs) == 3
    assert sum(len(run) - 1 for run in chains.runs) == 2 * MANY_NODES


def test_sizes_from_trees_are_those_of_all_pairs() -> None:
    rng = np.random.default_rng(3)
    nodes, size = rng.uniform(0, 1, (500, 2)), 10 ** rng.uniform(-4, -1, 500)
    spots = rng.uniform(-0.2, 1.2, (300, 2))
    d = np.hypot(*(spots[:, None] - nodes).transpose(2, 0, 1))
    exact = (size + 0.8 * d).min(axis=1)
    found = size_among(nodes, size, 0.8)(spots)
    assert (found >= exact * (1 - 1e-12)).all()
    assert (found <= 1.3 * exact).all()


def test_the_mesh_of_a_comb_fills_it() -> None:
    section = _comb(MANY_NODES // 3)
    mesh = triangulate(checked_map(section))
    a, b = mesh.corners[:, 1] - mesh.corners[:, 0], mesh.corners[:, 2] - mesh.corners[:, 0]
    area = np.abs(a[:, 0] * b[:, 1] - a[:, 1] * b[:, 0]).sum() / 2
    assert area == pytest.approx(100 * 20 + 50 * 10, rel=1e-12)


def test_the_heap_of_a_circle_drawn_with_many_vertices() -> None:
    """Nadai: a cone, 2 pi R^3 / 3; the polygon of 4,000 vertices lacks 1e-6 of it."""
    torque = plastic_torque(_polygon(4000)).value
    assert torque == pytest.approx(2 * math.pi * 50**3 / 3, rel=1e-4)


def test_needles_do_not_fill_what_they_surround() -> None:
    """The disc inside a star of 2,000 vertices took 209,000 triangles as wide as its needles."""
    angle = 2 * np.pi * np.arange(2000) / 2000
    radius = np.where(np.arange(2000) % 2, 50.0, 40.0)
    points = radius[:, None] * np.stack([np.cos(angle), np.sin(angle)], axis=1)
    mesh = triangulate(checked_map(Section((Region(Contour(points)),))))
    assert len(mesh.triangles) < 8_000  # 11,000 when needles were filled as finely as walls


def test_parts_fall_to_one_level() -> None:
    parts = np.array([1.0, 2.0, 3.0, 10.0, 20.0])
    for whole in (1.0, 5.0, 6.0, 20.0, 35.0):
        assert np.minimum(parts, _level(parts, whole)).sum() == pytest.approx(whole)
    assert _level(parts, 40.0) == 20.0


def test_unknowns_are_foretold() -> None:
    """Those of the stress function on the border were counted: a third too many among needles."""
    section = _comb(30)
    mesh = triangulate(checked_map(section))
    field = solve_torsion(mesh, 4, np.zeros(2), np.ones(1))
    assert abs(unknowns_of(mesh, 4) - field.unknowns) <= 2


def test_layers_go_where_the_gap_is() -> None:
    """Needles at random: with layers at all corners alike the default was missed, by half."""
    rng = np.random.default_rng(0)
    angle = 2 * np.pi * np.arange(2000) / 2000
    radius = np.where(np.arange(2000) % 2, rng.uniform(44, 50, 2000), rng.uniform(40, 46, 2000))
    points = radius[:, None] * np.stack([np.cos(angle), np.sin(angle)], axis=1)
    assert solve_fields(Section((Region(Contour(points)),))).relative_width <= 1e-5


def test_a_heap_of_too_many_round_ends_is_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sand_heap, "_MOST_VERTICES", 1000)
    torque = plastic_torque(_comb(50))
    assert torque.value is None
    assert "too many corners" in torque.reason


def test_a_heap_too_large_is_refused_before_it_is_begun(monkeypatch: pytest.MonkeyPatch) -> None:
    """A comb of 10,000 points took seven seconds of offsets before it was given up."""
    monkeypatch.delattr(sand_heap._Heap, "volume")
    torque = plastic_torque(_comb(2500))
    assert torque.value is None
    assert "too many corners" in torque.reason
