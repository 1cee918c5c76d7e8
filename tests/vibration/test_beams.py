"""Frequencies of classical beams against closed forms of the theory of vibration.

Sources stand beside each check; the values of characteristic equations are their roots, derived.
"""

from __future__ import annotations

import numpy as np
import pytest
from soapfilm.solver.member.model.axis import Axis, Kink, Straight
from soapfilm.solver.member.model.hinge import Hinge
from soapfilm.solver.member.model.member import Member
from soapfilm.solver.member.model.support import Support

from benchmarks.checks import figures
from benchmarks.checks.frequencies import (
    DENSITY,
    ENDS,
    FIXED,
    FORK,
    channel_between_forks,
    of_motion,
    ring_on_soft_springs,
    strip,
    uniform_beam,
    vibrating,
)


@pytest.mark.parametrize("name", ENDS)
def test_bending_across(name: str) -> None:
    """beta L as in the other plane, which is a check of the book (characteristic equations;
    Timoshenko, Vibration Problems in Engineering)."""
    beta = uniform_beam(ENDS[name], "lateral")
    assert beta == pytest.approx(figures()[name].values, rel=1e-5)


@pytest.mark.parametrize(
    ("length", "i_x", "i_y", "warping", "off", "published"),
    [
        (4.0, 1.07e-6, 6.5e-7, 1.1e-9, 0.072, None),
        # plain channel 100 x 100 x 2 between middle lines, by the formula without rotary inertia
        (
            1.0, 1.16666667e-6, 6.66666667e-7, 1.19047619e-9, 0.0761904762,
            (116.797657, 624.342762, 266.603447),
        ),
    ],
)  # fmt: skip
def test_coupled_channel(
    length: float, i_x: float, i_y: float, warping: float, off: float,
    published: tuple[float, float, float] | None,
) -> None:  # fmt: skip
    """(w^2 - w_x^2)(w^2 - w_t^2) r_0^2 = w^4 x_0^2; Gere & Lin, J. Appl. Mech. 25 (1958).

    With rotary inertia of bending and of warping the determinant has the factors that stand in
    `closed`; a channel between forks, bent normal to its axis of symmetry.
    """
    modulus, shear_modulus, density = 70e9, 30e9, 2700.0
    area, torsion = 6e-4, 8e-10
    k = np.pi / length
    # Motion v of the shear centre and phi: the centroid moves by v + off * phi.
    stiff = np.diag(
        [modulus * i_x * k**4, shear_modulus * torsion * k**2 + modulus * warping * k**4]
    )
    polar = i_x + i_y
    heavy = density * np.array(
        [
            [area + i_x * k**2, area * off],
            [area * off, polar + area * off**2 + warping * k**2],
        ]
    )
    closed = np.sort(np.sqrt(np.linalg.eigvals(np.linalg.solve(heavy, stiff)).real))
    if published is not None:
        light = density * np.array([[area, area * off], [area * off, polar + area * off**2]])
        plain = np.sort(np.sqrt(np.linalg.eigvals(np.linalg.solve(light, stiff)).real))
        across = np.sqrt(modulus * i_y * k**4 / (density * area))
        assert np.array([*plain, across]) / (2 * np.pi) == pytest.approx(published, rel=1e-6)
    lateral = np.sqrt(modulus * i_y * k**4 / (density * (area + i_y * k**2)))
    omega = channel_between_forks(length, i_x, i_y, warping, off)
    for value in (*closed, lateral):
        assert np.abs(omega / value - 1).min() < 2e-5


def test_a_ring_moves_as_a_whole_first() -> None:
    """Six rigid motions on soft springs; then pairs, as a ring knows no direction."""
    scaled = ring_on_soft_springs()
    assert (scaled[:6] < 1e-2).all()
    assert scaled[6:14:2] == pytest.approx(scaled[7:14:2], rel=1e-4)


def test_effective_masses_add_up() -> None:
    """All modes together move the whole mass; the first of a simply supported beam 8/pi^2 of it
    (Clough & Penzien, Dynamics of Structures, derived)."""
    length = 60.0
    member = Member.prismatic(
        length, strip(), [Support(0.0, **FORK, z="held"), Support(length, **FORK)]
    )
    vibration = vibrating(member, modes=40)
    effective, mass = vibration.participation.effective, vibration.participation.mass
    assert mass == pytest.approx(length * strip().mass_per_length, rel=1e-12)
    first = vibration.names.index("vertical")
    assert effective[first, 1] / mass == pytest.approx(8 / np.pi**2, rel=1e-5)
    assert 0.95 < effective[:, 1].sum() / mass < 1.0


def test_hinge_between_fixed_ends() -> None:
    """Symmetric modes of two fixed ends with a pin between them are those of a cantilever of half
    the length, beta l = 1.87510407 and 4.69409113; antisymmetric ones those of fixed and pinned."""
    length, section = 60.0, strip()
    supports = [Support(z, **(FIXED | {"warping": "held"})) for z in (0.0, length)]
    supports[1] = supports[1].with_(z="free")
    hinge = Hinge(length / 2, bend_x="free", warping="continuous")
    member = Member.prismatic(length, section, supports, hinges=[hinge])
    omega = of_motion(vibrating(member, modes=8), "vertical")[:3]
    roots = np.array([1.87510407, 3.92660231, 4.69409113])
    mass = DENSITY * section.area
    rigidity = section.elastic_modulus * section.second_moment_x
    exact = (roots / (length / 2)) ** 2 * np.sqrt(rigidity / mass)
    assert omega == pytest.approx(exact, rel=1e-4)


def test_kinked_member_moves_as_an_arc() -> None:
    """Tangents to an arc, kinked where they meet, in second order."""
    section = strip(torsion_constant=1e-6)

    def lowest(count: int) -> float:
        axis = Axis.arc(60.0, 100.0)
        if count:
            turn = 0.6 / count
            side = 100 * np.tan(turn / 2)
            pieces = [side, *[2 * side] * (count - 1), side]
            kinks = tuple(Kink(float(z), turn) for z in np.cumsum(pieces)[:-1])
            axis = Axis(tuple(Straight(float(p)) for p in pieces), kinks=kinks)
        ends = (Support(0.0, **FIXED), Support(axis.length, **FIXED))
        return float(vibrating(Member.prismatic(axis, section, ends), modes=1).frequencies[0])

    exact = lowest(0)
    errors = [lowest(count) / exact - 1 for count in (6, 12)]
    assert abs(errors[1]) < 5e-3
    assert errors[0] / errors[1] == pytest.approx(4.0, rel=0.2)
