"""Every unit field returns its action, and its local residuals fall with the order."""

from __future__ import annotations

import numpy as np
import pytest
from soapfilm.geometry.material import Material
from soapfilm.geometry.outline.contour import Contour
from soapfilm.geometry.section import Region, Section
from soapfilm.solver.section import solve_section
from soapfilm.solver.section.elements.integrals import stations_at
from soapfilm.solver.section.stress.equilibrium import equilibrium_residual, resultants
from soapfilm.solver.section.stress.unit_stress import unit_stress
from soapfilm.solver.section.torsion.interval import solve_torsion

from .shapes import angle, box, channel, circle, rectangle, solved

SECTIONS = {
    "rectangle": rectangle(3, 1),
    "circle": circle(1),
    "channel": channel(60, 120, 6),
    "fillet angle": angle(100, 10, 12),
    "box": box(200, 100, 8),
    "asymmetric": Section.single(Contour([[0, 0], [9, 1], [7, 5], [3, 4], [2, 8]])),
}


@pytest.mark.parametrize("name", SECTIONS)
def test_resultants_return_the_actions(name: str) -> None:
    assert equilibrium_residual(solved(SECTIONS[name], 1e-6)) < 1e-8


def two_materials() -> Section:
    """A strip of two stiffnesses, 1:7 in E, bonded along a line that is not an axis."""
    soft = Material("soft", 1.0, 0.2)
    hard = Material("hard", 7.0, 0.3)
    return Section(
        (
            Region(Contour([[0, 0], [4, 0], [4, 1], [0, 2]]), material=soft, name="lower"),
            Region(Contour([[0, 2], [4, 1], [4, 3], [0, 3]]), material=hard, name="upper"),
        )
    )


def test_composite_resultants_return_the_actions() -> None:
    units = solved(two_materials(), 1e-6)
    assert equilibrium_residual(units) < 1e-8
    stress = units.evaluate(stations_at(units.field.mesh, units.field.order, *POINT)).sigma[0]
    low, high = stress[units.modulus == 1], stress[units.modulus == 7]
    assert high.min() == pytest.approx(7 * low.max(), rel=1e-12), "N strains both alike"


POINT = (np.array([1 / 3]), np.array([1 / 3]))


def test_residuals_of_shear_fall_with_the_order() -> None:
    """Stress through the border vanishes with the order, for V_y, T and T_w.

    Right-angled corners leave r^2 log r in the displacement, lambda = 2: its flux on the border
    converges in the mean square as p^-(2 lambda - 1) = p^-3 or faster.
    """
    result = solve_section(rectangle(2, 1), 1e-4)
    from dataclasses import replace

    from soapfilm.solver.section.area.properties import modulus_ratios
    from soapfilm.solver.section.torsion.warping import warping_properties

    leaks = []
    orders = np.array([3, 5, 7, 9])
    for order in orders:
        field = solve_torsion(result.field.mesh, int(order), result.centroid, np.ones(1))
        warping = warping_properties(field, result.area_properties, modulus_ratios(result.section))
        units = unit_stress(replace(result, field=field, warping_properties=warping))
        leaks.append(border_leak(units))
    slope = np.polyfit(np.log(orders), np.log(leaks), 1)[0]
    assert (slope < -3).all(), slope


def border_leak(units) -> np.ndarray:
    """Mean square of tau . n along the border, by the mean square of tau: for V_y, T, T_w."""
    from soapfilm.solver.section.elements.basis import EDGES

    mesh, border = units.field.mesh, units.field.border
    s, w = np.polynomial.legendre.leggauss(12)
    s, w = (s + 1) / 2, w / 2
    through, along = np.zeros(3), np.zeros(3)
    for k, edge in enumerate(border.edges):
        t = np.array([border.triangles[k]])
        a, b = EDGES[int(np.argmax(mesh.triangle_edges[t[0]] == edge))]
        bary = np.zeros((3, len(s)))
        bary[a], bary[b] = 1 - s, s
        tau = units.evaluate(stations_at(mesh, units.field.order, bary[1], bary[2], t), t).tau
        tau = tau[[4, 5, 6], 0]
        d = mesh.vertices[border.end[k]] - mesh.vertices[border.start[k]]
        n = np.array([d[1], -d[0]])
        through += (tau @ n) ** 2 @ w / np.hypot(*d)
        along += (tau @ d) ** 2 @ w / np.hypot(*d)
    return np.sqrt(through / along)


def test_unit_actions_combine_linearly() -> None:
    units = solved(SECTIONS["asymmetric"])
    arrays = units.evaluate(stations_at(units.field.mesh, units.field.order, *POINT))
    one, two = np.arange(1.0, 9.0), np.array([3.0, -1, 4, -1, 5, -9, 2, 6])
    sigma = arrays.combined(one)[0] + 2 * arrays.combined(two)[0]
    assert arrays.combined(one + 2 * two)[0] == pytest.approx(sigma, rel=1e-12)
    tau = arrays.combined(one)[1] + 2 * arrays.combined(two)[1]
    assert arrays.combined(one + 2 * two)[1] == pytest.approx(tau, rel=1e-9)


def test_unsymmetric_bending_uses_the_full_tensor() -> None:
    """Only M_x on a Z-like section bends about both axes: the stress has no moment about y."""
    units = solved(SECTIONS["asymmetric"])
    found = resultants(units)
    assert abs(units.result.second_moments.xy) > 0.05 * units.result.second_moments.y
    assert found[1] == pytest.approx([0, 1, 0, 0, 0, 0, 0], abs=1e-10)


def test_a_section_that_does_not_warp_refuses_bimoment() -> None:
    from soapfilm.geometry.errors import InputError

    units = solved(circle(1))
    with pytest.raises(InputError, match=r"B = 3: this section does not warp"):
        units.check_vector(3 * np.eye(8)[7])
