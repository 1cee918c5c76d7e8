"""Slow modes are complete, agree with published theory of boxes, and Saint-Venant's shear is that
of the shear solver."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import pytest
from numpy.typing import NDArray
from scipy.linalg import eigvals
from soapfilm.geometry.checks.validate import checked_map
from soapfilm.geometry.material import Material
from soapfilm.geometry.outline.contour import Contour
from soapfilm.geometry.profiles.open import u_shape
from soapfilm.geometry.profiles.solid import rectangle
from soapfilm.geometry.section import Section
from soapfilm.solver.section.deforming.chains import chains_of
from soapfilm.solver.section.deforming.elasticity.elastic import elastic_on
from soapfilm.solver.section.deforming.elasticity.linear import bare_fields
from soapfilm.solver.section.deforming.elasticity.matrices import SectionMatrices, section_matrices
from soapfilm.solver.section.deforming.reduced import ReducedSection
from soapfilm.solver.section.deforming.reduction import reduced_section
from soapfilm.solver.section.deforming.slow import slow_modes
from soapfilm.solver.section.elements.integrals import rule_stations
from soapfilm.solver.section.mesh.triangulation import triangulate
from soapfilm.solver.section.solve import solve_section
from soapfilm.solver.section.stress.unit_stress import unit_stress

Array = NDArray[np.float64]
STEEL = Material("steel", 210e3, 0.3)


def channel() -> Section:
    return u_shape(depth=100, flange_width=50, web_thickness=6, flange_thickness=8).section(
        material=STEEL
    )


def square_bar() -> Section:
    """Four axes of symmetry: many of its rates are double."""
    return rectangle(x_dim=50, y_dim=50).section(material=STEEL)


@pytest.mark.parametrize("size", [8.0, 24.0, 72.0])
@pytest.mark.parametrize("shape", [channel, square_bar])
def test_no_mode_is_missing(shape: Callable[[], Section], size: float) -> None:
    """All eigenvalues of the dense problem within the stated radius, and no others, with shifts a
    factor of 81 apart."""
    section = shape()
    mesh = triangulate(checked_map(section))
    fields = bare_fields(mesh, 3)
    elastic = elastic_on([section], mesh.region[None], 0)
    matrices = section_matrices(fields, elastic)
    chains = chains_of(fields, matrices, elastic)
    slow = slow_modes(matrices, chains, size, 12)
    every = np.sqrt(_dense(matrices).astype(complex))
    every = np.where(every.real < 0, -every, every)
    every = every[every.imag > -1e-6 * np.abs(every)]  # one of conjugates
    # six of the dense ones are the rate 0, spread by rounding
    radius = slow.complete * (1 - 1e-6)  # the next mode itself may be the radius
    within = (np.abs(every) < radius) & (np.abs(every) > 0.05 * np.abs(slow.rate[0]))
    found = np.sort(np.abs(slow.rate[np.abs(slow.rate) < radius]))
    assert len(slow.rate) >= 12
    assert found == pytest.approx(np.sort(np.abs(every[within])), rel=1e-6)


def _dense(m: SectionMatrices) -> Array:
    """mu of K x = mu B x, all of them."""
    n, count = m.numbers.shape[1], m.count
    c_u, m_u = np.zeros((2, 2 * count, 2 * count))
    a = np.zeros((2 * count, count))
    c_z, m_z = np.zeros((2, count, count))
    for k, row in enumerate(m.numbers):
        both = np.concatenate([row, count + row])
        c_u[np.ix_(both, both)] += m.C_u[k]
        m_u[np.ix_(both, both)] += np.kron(np.eye(2), m.shear[k] * m.product[k])
        a[np.ix_(both, row)] += m.A[k].reshape(2 * n, n)
        c_z[np.ix_(row, row)] += m.C_z[k]
        m_z[np.ix_(row, row)] += m.wall[k] * m.product[k]
    stiff = np.block([[c_u, np.zeros_like(a)], [a.T, c_z]])
    mass = np.block([[m_u, a], [np.zeros_like(a.T), m_z]])
    return np.asarray(eigvals(stiff, mass))


def test_distortion_of_a_box_tends_to_a_beam_on_an_elastic_foundation() -> None:
    """lambda = (1 + i) (K / 4 E I_D)^(1/4), I_D = b^2 h^2 (b t_f + h t_w)/96, K = 24 / (b/D_f +
    h/D_w) (Wright, Abdel-Samad & Robinson, J. Struct. Div. ASCE 94 (1968) ST7; constants derived),
    which leaves out shear strain: within 1 % where walls are a hundredth of the box."""
    b, h, tf, tw, e = 2000.0, 1500.0, 16.0, 10.0, 210e3

    def around(x: float, y: float) -> Contour:
        return Contour([(-x, -y), (x, -y), (x, y), (-x, y)])

    section = Section.single(
        around((b + tw) / 2, (h + tf) / 2), [around((b - tw) / 2, (h - tf) / 2)],
        material=STEEL,
    )  # fmt: skip
    plate_f, plate_w = (e * t**3 / (12 * (1 - 0.3**2)) for t in (tf, tw))
    stiffness = 24 / (b / plate_f + h / plate_w)
    inertia = b**2 * h**2 * (b * tf + h * tw) / 96
    rate = (stiffness / (4 * e * inertia)) ** 0.25
    assert rate == pytest.approx(8.89908623e-05)
    found = reduced_section(section, modes=2).rates[0]
    assert found.real == pytest.approx(rate, rel=0.03)
    assert found.imag == pytest.approx(rate, rel=0.03)


def test_shear_stress_is_that_of_the_shear_solver() -> None:
    """V_y through the shear centre of a channel: two solutions with nothing in common but the
    mesh."""
    section = channel()
    result = solve_section(section, 1e-6)
    points = rule_stations(result.field.mesh, result.field.order, 2)
    own = points.points.reshape(-1, 2)
    exact = unit_stress(result).evaluate(points).tau[4].reshape(-1, 2)
    r = reduced_section(section, modes=4, order=8)
    state, rate = _shear_along_y(r, result.warping_properties.shear_centre)
    still, along = r.stress_rows(own)
    stress = still @ state + along @ rate
    # away from the re-entrant corners, where both stresses grow without bound
    corner = np.array([c.point for c in result.corners])
    far = np.hypot(*(own[:, None] - corner).transpose(2, 0, 1)).min(axis=1) > 3.0
    size = np.abs(exact[far]).max()
    assert far.sum() > 100
    assert np.abs(stress[far][:, [4, 3]] - exact[far]).max() < 0.01 * size
    assert np.abs(stress[far][:, [0, 1, 5]]).max() < 0.01 * size


def _shear_along_y(r: ReducedSection, centre: Array) -> tuple[Array, Array]:
    """a and a' of Saint-Venant's shear where the moment is zero: V_y = 1, V_x = 0, no torque about
    the shear centre."""
    skew = r.L - r.L.T

    def solve(b: Array) -> Array:
        return np.asarray(np.linalg.lstsq(r.C, b, rcond=1e-11)[0])

    still, along = r.resultant_rows()
    e = r.rigid.T
    stretch = r.M @ e[2] @ e[2] - r.L.T @ e[2] @ solve(r.L.T @ e[2])
    states = []
    for shift, turn in ((e[0], e[4]), (e[1], -e[3])):
        # without extension: the axis goes through the centroid
        pull = (still @ solve(skew @ turn + r.M @ shift) + along @ turn)[0]
        first = turn - pull / stretch * e[2]
        second = solve(r.M @ shift + skew @ first)
        third = solve(r.M @ first + skew @ second)
        states.append((third, second))
    states.append((-solve(r.L.T @ e[5]), e[5]))
    resultants = np.array([(still @ a + along @ b)[[1, 2, 5]] for a, b in states]).T
    share = np.linalg.solve(resultants, [0.0, 1.0, centre[0]])
    a, b = (sum(s * state[k] for s, state in zip(share, states, strict=True)) for k in (0, 1))
    return np.asarray(a), np.asarray(b)
