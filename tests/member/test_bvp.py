"""Against scipy's collocation solver on the classical differential equations, piece by piece.

The equations are written here anew in their textbook form; the package's elements have no part in
them.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
import pytest
from numpy.typing import NDArray
from scipy.integrate import solve_bvp
from soapfilm.solver.member.beam.analysis import solve
from soapfilm.solver.member.model.axis import Axis
from soapfilm.solver.member.model.constants import SectionConstants
from soapfilm.solver.member.model.load import LineLoad, Place, PointLoad
from soapfilm.solver.member.model.member import Member, Segment
from soapfilm.solver.member.model.restraint import Deck, LateralSpring, TwistSpring
from soapfilm.solver.member.model.support import fixed, fork, warping_held

from .models import skew_section, unit_section

Array = NDArray[np.float64]
Right = Callable[[Array, Array, int], Array]


@dataclass(frozen=True)
class Pieces:
    """Several intervals solved at once, each mapped to 0..1."""

    cuts: Sequence[float]
    states: int
    right: Right
    ends: Callable[[Array, Array], Sequence[float]]

    def at(self, z: Sequence[float]) -> Array:
        """States (len(z), states)."""
        n, m = len(self.cuts) - 1, self.states
        lengths = np.diff(self.cuts)

        def system(x: Array, y: Array) -> Array:
            parts = [
                self.right(self.cuts[k] + lengths[k] * x, y[m * k : m * (k + 1)], k) * lengths[k]
                for k in range(n)
            ]
            return np.concatenate(parts)

        def conditions(a: Array, b: Array) -> Array:
            return np.array(self.ends(a.reshape(n, m), b.reshape(n, m)), float)

        x = np.linspace(0, 1, 60)
        found = solve_bvp(
            system, conditions, x, np.zeros((n * m, len(x))), tol=1e-9, max_nodes=60000
        )
        assert found.success, found.message
        rows = []
        for station in z:
            k = min(int(np.searchsorted(self.cuts, station, side="right")) - 1, n - 1)
            rows.append(found.sol((station - self.cuts[k]) / lengths[k])[m * k : m * (k + 1)])
        return np.array(rows)


def torsion(
    warping: Callable[[Array], Array], rigidity: Callable[[Array], Array], torque: Right
) -> Right:
    """phi' = tau, tau' = -B / E C_w, B' = T - G J tau, T' = -m(z, phi)."""

    def right(z: Array, y: Array, k: int) -> Array:
        phi, tau, b, t = y
        return np.array([tau, -b / warping(z), t - rigidity(z) * tau, -torque(z, phi, k)])

    return right


@pytest.mark.parametrize("u", [0.2, 3.0, 15.0])
def test_two_uneven_spans(u: float) -> None:
    """Forks at 0, 0.4 and 1, one end held against warping; uniform on one span, linear on the
    other."""
    cw = 1 / u**2
    loads = (LineLoad(0, 0.4, torque=1.0), LineLoad(0.4, 1, torque=0.5, torque_end=-2.0))
    supports = [warping_held(0), fork(0.4), fork(1)]
    member = Member.prismatic(1.0, unit_section(u), supports, loads=loads)
    reference = Pieces(
        [0, 0.4, 1],
        4,
        torsion(
            lambda z: np.full_like(z, cw),
            np.ones_like,
            lambda z, phi, k: np.ones_like(z) if k == 0 else 0.5 - 2.5 * (z - 0.4) / 0.6,
        ),
        lambda a, b: [
            a[0][0], a[0][1], b[0][0], a[1][0], b[0][1] - a[1][1], b[0][2] - a[1][2],
            b[1][0], b[1][2],
        ],
    )  # fmt: skip
    z = [0.1, 0.25, 0.39, 0.6, 0.9]
    compare(solve(member).at(z), reference.at(z), ("phi", "tau", "B", "T"), 1e-6)


@pytest.mark.parametrize("u", [0.5, 4.0, 12.0])
def test_torsional_springs_at_a_point_and_along_a_deck(u: float) -> None:
    """k phi jumps T at 0.3; a deck from 0.5 to 0.9 adds k phi per length."""
    cw, spring, deck = 1 / u**2, 4.0, 30.0
    restraints = (TwistSpring(0.3, spring), Deck(0.5, 0.9, twist_stiffness=deck))
    member = Member.prismatic(
        1.0,
        unit_section(u),
        [fork(0), fork(1, warping="held")],
        restraints=restraints,
        loads=(LineLoad(0, 1, torque=1.0),),
    )
    cuts = [0, 0.3, 0.5, 0.9, 1]

    def ends(a: Array, b: Array) -> list[float]:
        found = [a[0][0], a[0][2], b[3][0], b[3][1]]
        for k in range(3):
            jump = a[k + 1] - b[k]
            if k == 0:
                jump[3] -= spring * a[1][0]
            found += list(jump)
        return found

    reference = Pieces(
        cuts,
        4,
        torsion(
            lambda z: np.full_like(z, cw),
            np.ones_like,
            lambda z, phi, k: 1.0 - (deck * phi if k == 2 else 0 * phi),
        ),
        ends,
    )
    z = [0.15, 0.4, 0.6, 0.7, 0.85, 0.95]
    compare(solve(member).at(z), reference.at(z), ("phi", "tau", "B", "T"), 1e-6)


@pytest.mark.parametrize("cw", [0.02, 3.0, 400.0])
def test_curved_span_that_warps(cw: float) -> None:
    """M = E I (phi/R - w''), T = G J tau - E C_w tau'', tau = phi' + w'/R, dM/ds = V - T/R,
    dT/ds = M/R - m, with warping held at one end."""
    ei, gj, radius, length, q, m = 9.0, 2.0, 6.0, 7.0, 1.3, 0.4
    section = SectionConstants(ei, gj, 1.0, 1.0, 1.0, 1.0, cw / ei)
    kappa = 1 / radius

    def right(s: Array, y: Array, k: int) -> Array:
        _, slope, phi, tau, b, t, moment, shear = y
        return np.array(
            [
                slope,
                kappa * phi - moment / ei,
                tau - kappa * slope,
                -b / cw,
                t - gj * tau,
                kappa * moment - m,
                shear - kappa * t,
                np.full_like(s, q),
            ]
        )

    reference = Pieces(
        [0, length],
        8,
        right,
        lambda a, b: [a[0][0], a[0][2], a[0][3], a[0][6], b[0][0], b[0][2], b[0][4], b[0][6]],
    )
    loads = (LineLoad(0, length, force=(0, -q, 0), torque=m, place=(0, 0)),)
    supports = [fork(0, warping="held"), fork(length)]
    member = Member.prismatic(Axis.arc(length, radius), section, supports, loads=loads)
    z = [0.5, 2.0, 3.5, 6.0]
    exact = reference.at(z)
    found = solve(member).at(z)
    for n, word in ((0, "v"), (2, "phi"), (3, "tau"), (4, "B"), (5, "T"), (6, "M_x"), (7, "V_y")):
        size = np.abs(exact[:, n]).max()
        assert getattr(found, word)[:, 0] == pytest.approx(exact[:, n], abs=1e-6 * size), word


def test_unsymmetric_bending_with_shear_deformation() -> None:
    """u' = theta_y + V_x/GA_x, v' = -theta_x + V_y/GA_y, the 2 by 2 law with I_xy, a spring across,
    and no torque (load at the shear centre, all sections alike)."""
    s = skew_section()
    e, g = s.elastic_modulus, s.shear_modulus
    length, q_x, q_y, spring = 5000.0, 1.2, -9.0, 800.0
    law = np.linalg.inv(
        e
        * np.array([[s.second_moment_x, -s.product_moment], [-s.product_moment, s.second_moment_y]])
    )

    def right(z: Array, y: Array, k: int) -> Array:
        _, _, tx, ty, mx, my, vx, vy = y
        cx, cy = law @ np.array([mx, my])
        return np.array(
            [
                ty + vx / (g * s.shear_area_x),
                -tx + vy / (g * s.shear_area_y),
                cx, cy, vy, -vx,
                np.full_like(z, -q_x), np.full_like(z, -q_y),
            ]
        )  # fmt: skip

    def ends(a: Array, b: Array) -> list[float]:
        jump = a[1] - b[0]
        jump[6] -= spring * a[1][0]
        return [*a[0][:4], *b[1][[0, 1, 4, 5]], *jump]

    reference = Pieces([0, 2000.0, length], 8, right, ends)
    restraints = (LateralSpring(2000.0, spring),)
    member = Member.prismatic(
        length,
        s,
        [fixed(0), fork(length)],
        restraints=restraints,
        loads=(LineLoad(0, length, force=(q_x, q_y, 0)),),
    )
    z = [700.0, 2500.0, 4200.0]
    exact = reference.at(z)
    found = solve(member).at(z)
    assert np.abs(found.phi).max() < 1e-12
    for n, word in enumerate(("u", "v", "theta_x", "theta_y", "M_x", "M_y", "V_x", "V_y")):
        size = np.abs(exact[:, n]).max()
        assert getattr(found, word)[:, 0] == pytest.approx(exact[:, n], abs=1e-6 * size), word


def test_a_tapered_segment_converges_with_the_square_of_its_pieces() -> None:
    """G J and E C_w as functions of z, flanges inclined, against short prismatic pieces."""
    first, last = unit_section(3.0), unit_section(3.0, torsion_constant=5.0, warping_constant=2.0)
    length = 2.0

    def rigidity(z: Array) -> Array:
        return (1 + (5.0**0.25 - 1) * z / length) ** 4

    def square(z: Array) -> Array:
        """h^2 but for a factor, and E C_w too: h linear, both flanges alike all along."""
        a, b = first.warping_constant**0.5, 2.0**0.5
        return (a + (b - a) * z / length) ** 2

    def right(z: Array, y: Array, k: int) -> Array:
        """g = h^2 phi', B / h^2 and T: the slope and the moment of inclined flanges."""
        _, g, b, t = y
        tau = g / square(z)
        return np.array([tau, -b * square(z), (t - rigidity(z) * tau) / square(z), -1 + 0 * z])

    reference = Pieces([0, length], 4, right, lambda a, b: [a[0][0], a[0][2], b[0][0], b[0][1]])
    z = [0.5, 1.0, 1.5]
    exact = reference.at(z)
    member = Member(
        Axis.straight(length),
        (Segment(0, length, first, last),),
        (fork(0), warping_held(length)),
        loads=(LineLoad(0, length, torque=1.0),),
    )
    errors = []
    for parts in (20, 40, 80):
        found = solve(member, taper_parts=parts).at(z)
        errors.append(np.abs(found.phi[:, 0] - exact[:, 0]).max() / np.abs(exact[:, 0]).max())
    assert errors[2] < 5e-4
    assert errors[0] / errors[1] == pytest.approx(4, rel=0.2)
    assert errors[1] / errors[2] == pytest.approx(4, rel=0.2)


def test_load_off_the_shear_centre_twists_by_its_arm() -> None:
    """m = (x - x_s) F_y - (y - y_s) F_x, for loads given by point, by place and at a step of
    section."""
    s = skew_section()
    member = Member.prismatic(
        4000.0,
        s,
        [fork(0), fork(4000.0)],
        loads=(PointLoad(1500.0, force=(2e3, -7e3, 0), place=Place("centroid", 10.0, -4.0)),),
    )
    x, y = s.centroid[0] + 10 - s.shear_centre[0], s.centroid[1] - 4 - s.shear_centre[1]
    torque = x * -7e3 - y * 2e3
    total = sum(r.torque for r in solve(member).reactions[0])
    assert total == pytest.approx(-torque, rel=1e-12)


def compare(found: object, exact: Array, words: Sequence[str], tolerance: float) -> None:
    for n, word in enumerate(words):
        size = np.abs(exact[:, n]).max()
        values = getattr(found, word)[:, 0]
        assert values == pytest.approx(exact[:, n], abs=tolerance * size), word
