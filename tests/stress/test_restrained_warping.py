"""Warping normal stress and the secondary shear of restrained warping."""

from __future__ import annotations

import numpy as np
import pytest
from soapfilm.geometry.joint import JointLine
from soapfilm.solver.section.elements.integrals import stations_at
from soapfilm.solver.section.mesh.location import locate
from soapfilm.solver.section.stress.cut import cut_flow

from .shapes import channel, i_section, solved


def at(units, points):
    """sigma (8, n) and tau (8, n, 2) of the unit actions at points."""
    triangle, xi, eta = locate(units.field.mesh, np.array(points, dtype=float))
    sigma, tau = [], []
    for t, x, y in zip(triangle, xi, eta, strict=True):
        one = np.array([t])
        stations = stations_at(
            units.field.mesh, units.field.order, np.array([x]), np.array([y]), one
        )
        unit = units.evaluate(stations, one)
        sigma.append(unit.sigma[:, 0, 0])
        tau.append(unit.tau[:, 0, 0])
    return np.array(sigma).T, np.array(tau).transpose(1, 0, 2)


def test_flange_shear_of_an_i_is_the_parabola_of_thin_wall_theory() -> None:
    """tau_w = T_w S_w/(C_w t), S_w = (h t/4)(b^2/4 - x^2) in a flange (Vlasov; common practice), as
    t/b falls: the error falls with it."""
    b, h = 100.0, 200.0
    worst = []
    for t in (8.0, 4.0, 2.0):
        units = solved(i_section(b, h, t, t), 1e-5)
        c_w = t * b**3 * h**2 / 24
        # away from the web, and mid-thickness, where Saint-Venant's part would vanish
        x = np.array([-0.4, -0.25, -0.1, 0.1, 0.25, 0.4]) * b
        _, tau = at(units, np.column_stack([x, np.full(6, h / 2)]))
        s_w = h * t / 4 * (b**2 / 4 - x**2)
        worst.append(np.abs(np.abs(tau[6, :, 0]) * c_w * t / s_w - 1).max())
    assert worst[0] > 1.6 * worst[1] > 1.6**2 * worst[2]
    assert worst[2] < 0.02


def test_warping_stress_at_the_flange_tip() -> None:
    """sigma_w = B (h/2)(b/2)/C_w at the tips, of opposite sign in the two flanges (common
    practice)."""
    b, h, t = 100.0, 200.0, 1.0
    units = solved(i_section(b, h, t, t), 1e-5)
    c_w = t * b**3 * h**2 / 24
    sigma, _ = at(units, [[b / 2, h / 2], [-b / 2, h / 2], [b / 2, -h / 2], [-b / 2, -h / 2]])
    wanted = h * b / 4 / c_w
    assert np.abs(sigma[7]) == pytest.approx(wanted, rel=0.02)
    assert np.sign(sigma[7, 0]) == -np.sign(sigma[7, 1]) == -np.sign(sigma[7, 2])


def test_positive_bimoment_compresses_where_warping_is_positive() -> None:
    """u_z = phi' omega and B = -E C_w phi'': sigma = E phi'' omega = -B omega/C_w."""
    units = solved(channel(60, 120, 4), 1e-5)
    field = units.field
    stations = stations_at(field.mesh, field.order, np.array([1 / 3]), np.array([1 / 3]))
    omega = units.result.warping_properties.about_shear_centre(
        stations.points, stations.values(field.omega)
    )
    sigma = units.evaluate(stations).sigma[7]
    assert sigma == pytest.approx(-omega / units.result.warping_constant, rel=1e-9, abs=1e-18)


def test_flange_force_of_warping_torque() -> None:
    """Each flange of an I carries V = T_w/h: the flow through cuts at mid-flange follows S_w."""
    b, h, t = 100.0, 200.0, 2.0
    units = solved(i_section(b, h, t, t), 1e-6)
    cut = cut_flow(units, JointLine("flange", ((25, h / 2 - 3), (25, h / 2 + 3))))
    c_w = units.result.warping_constant
    s_w = h * t / 4 * (b**2 / 4 - 25.0**2)
    assert abs(cut.unit_flow[6]) == pytest.approx(s_w / c_w, rel=0.02)


def test_wide_flange_example_stresses() -> None:
    """W10x49, 15 ft, 15 kip at 6 in, fork ends: AISC Design Guide 9 (1997), example 5.1; published
    figures from memory. Tabulated J ignores nothing but fits a formula, tabulated C_w ignores
    fillets: nominal hand stresses agree with the field away from fillets to a few per cent."""
    from soapfilm.geometry.catalogue import shape
    from soapfilm.solver.section.stress.actions import Actions

    section = shape("W10X49")
    units = solved(section, 1e-6)
    bf, d, tf = 10.0, 10.0, 0.56
    # midspan: M_x = P L/4 = 675 kip in; sigma_w = 28.53 ksi comes with B = E C_w |phi''|
    bimoment = 0.44784644 * 90 * 62.096591
    actions = Actions(moment_x=675.0, bimoment=bimoment).vector(units.result.shear_centre)
    sigma, _ = at(units, [[bf / 2 - 1e-9, d / 2 - tf / 2], [-bf / 2 + 1e-9, d / 2 - tf / 2]])
    total = actions @ sigma
    bending, warping = abs(total.sum()) / 2, abs(total[0] - total[1]) / 2
    assert bending == pytest.approx(12.36 * (d - tf) / d, rel=0.01)  # at mid-flange, not the face
    assert warping == pytest.approx(28.53, rel=0.02)
    # support: Saint-Venant T and warping torque T_w of the halves of 90 kip in
    share = 0.27766339
    t_sv, t_w = share * 90, 45 - share * 90
    _, tau = at(units, [[0.3 * bf, d / 2 - 1e-9], [0.12 * bf, d / 2 - tf / 2]])
    assert abs(t_sv * tau[5, 0, 0]) == pytest.approx(10.06, rel=0.04)
    s_w = 33.0 * (1 - (0.24) ** 2)  # S_w1 = 33.0 in^4 at the web, parabola toward the tip
    assert abs(t_w * tau[6, 1, 0]) == pytest.approx(0.57 * s_w / 33.0, rel=0.05)
