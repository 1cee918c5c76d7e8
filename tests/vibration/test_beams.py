"""Frequencies of classical beams against closed forms of the theory of vibration.

Sources stand beside each check; the values of characteristic equations are their roots, derived.
"""

from __future__ import annotations

import numpy as np
import pytest
from soapfilm.geometry.units import Units
from soapfilm.solver.member.model.axis import Axis, Kink, Straight
from soapfilm.solver.member.model.constants import SectionConstants
from soapfilm.solver.member.model.hinge import Hinge
from soapfilm.solver.member.model.member import Member
from soapfilm.solver.member.model.support import Support
from soapfilm.solver.member.vibration.analysis import Vibration, vibration_of

METRES = Units("m", "N")
FIXED = {
    "x": "held", "y": "held", "z": "held", "bend_x": "held", "bend_y": "held", "twist": "held",
}  # fmt: skip
FORK = {"x": "held", "y": "held", "twist": "held"}
DENSITY = 7850.0


def strip(**changes: object) -> SectionConstants:
    """A slender bar 50 x 100 mm, twist and shear left stiff."""
    b, h = 0.05, 0.1
    values: dict[str, object] = {
        "elastic_modulus": 210e9, "shear_modulus": 81e9, "area": b * h,
        "second_moment_x": b * h**3 / 12, "second_moment_y": h * b**3 / 12,
        "torsion_constant": 1e-4, "mass_per_length": DENSITY * b * h, "name": "strip",
    }  # fmt: skip
    return SectionConstants(**(values | changes))  # type: ignore[arg-type]


def found(member: Member, modes: int = 6, **options: object) -> Vibration:
    return vibration_of(
        member,
        {},
        METRES,
        keep_shape=True,
        modes=modes,
        judged=False,
        **options,  # type: ignore[arg-type]
    )


def of_motion(vibration: Vibration, motion: str) -> np.ndarray:
    """omega of the modes of one name."""
    chosen = [k for k, name in enumerate(vibration.names) if name == motion]
    return 2 * np.pi * vibration.frequencies[chosen]


@pytest.mark.parametrize(
    ("ends", "roots"),
    [
        (("pinned", "pinned"), (3.14159265, 6.28318531)),
        (("fixed", "fixed"), (4.73004074, 7.85320462)),
        (("fixed", "free"), (1.87510407, 4.69409113)),
        (("fixed", "pinned"), (3.92660231, 7.06858275)),
    ],
)
def test_bending_of_uniform_beams(ends: tuple[str, str], roots: tuple[float, float]) -> None:
    """beta L by the characteristic equations; Timoshenko, Vibration Problems in Engineering.

    A slender bar (radius of gyration L/2000) leaves rotary inertia out; both planes are checked.
    """
    length, section = 60.0, strip()
    holds = {"fixed": FIXED, "pinned": FORK}
    supports = [
        Support(z, **(holds[end] | ({"z": "held"} if not z else {"z": "free"})))
        for z, end in zip((0.0, length), ends, strict=True)
        if end != "free"
    ]
    vibration = found(Member.prismatic(length, section, supports))
    for motion, moment in (
        ("vertical", section.second_moment_x),
        ("lateral", section.second_moment_y),
    ):
        omega = of_motion(vibration, motion)[:2]
        mass = section.mass_per_length
        beta = (omega**2 * mass / (section.elastic_modulus * moment)) ** 0.25 * length
        assert beta == pytest.approx(roots[: len(beta)], rel=1e-5)
        assert len(beta) == 2


@pytest.mark.parametrize(("slenderness", "value"), [(0.01, 70.3477681), (0.04, 40.150853)])
def test_beam_with_shear_and_rotary_inertia(slenderness: float, value: float) -> None:
    """Simply supported, omega^2 m L^4 / E I with r^2 = I/(A L^2); Timoshenko 1921 (derived).

    kG/E = 0.320512821; Euler and Bernoulli give 97.409.
    """
    length, area, modulus = 1.0, 1.0, 210e9
    moment = slenderness * area * length**2
    shear = 0.320512821 * modulus / 81e9
    section = SectionConstants(
        modulus, 81e9, area, moment, moment * 0.7, 10.0, shear_area_x=shear, shear_area_y=shear,
        mass_per_length=DENSITY, name="stocky",
    )  # fmt: skip
    member = Member.prismatic(
        length, section, [Support(0.0, **FORK, z="held"), Support(length, **FORK)]
    )
    omega = of_motion(found(member), "vertical")[0]
    assert omega**2 * DENSITY * length**4 / (modulus * moment) == pytest.approx(value, rel=1e-6)


def torsion_bar(length: float, chi: float) -> SectionConstants:
    """An I-like section whose L^2 G J / (E C_w) is chi, stiff in bending."""
    torsion = 1e-6
    warping = length**2 * 81e9 * torsion / (210e9 * chi)
    return SectionConstants(
        210e9, 81e9, 0.01, 1e-4, 1e-4, torsion, warping, mass_per_length=78.5, name="I"
    )


@pytest.mark.parametrize(
    ("ends", "values"),
    [("forks", (5.41769532, 18.7399976)), ("fixed", (10.6008812,)), ("cantilever", (2.57961703,))],
)
def test_torsion_with_warping(ends: str, values: tuple[float, ...]) -> None:
    """omega L sqrt(rho I_p / G J) at L^2 G J / E C_w = 5; Gere, J. Appl. Mech. 21 (1954) (forks
    by the closed form, the others derived by cubic elements).

    The warping inertia rho C_w, which that theory leaves out, is a factor
    1 / (1 + C_w (n pi / L)^2 / I_p) on omega^2 of forks: some 3e-6 here.
    """
    length, chi = 80.0, 5.0
    section = torsion_bar(length, chi)
    warped = FIXED | {"warping": "held"}
    supports = {
        "forks": [Support(0.0, **FORK, z="held"), Support(length, **FORK)],
        "fixed": [Support(0.0, **warped), Support(length, **warped)],
        "cantilever": [Support(0.0, **warped)],
    }[ends]
    vibration = found(Member.prismatic(length, section, supports), modes=20)
    polar = section.second_moment_x + section.second_moment_y
    inertia = 78.5 / section.area * polar
    omega = of_motion(vibration, "torsional")[: len(values)]
    scaled = omega * length * np.sqrt(inertia / (section.shear_modulus * section.torsion_constant))
    slack = section.warping_constant * (2 * np.pi / length) ** 2 / polar
    assert scaled == pytest.approx(values, rel=1e-5 + slack)


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
    section = SectionConstants(
        modulus, shear_modulus, area, i_x, i_y, torsion, warping, centroid=(0.0, 0.0),
        shear_centre=(-off, 0.0), mass_per_length=density * area, name="channel",
    )  # fmt: skip
    # Held along z at its centroid: at the shear centre bending would stretch it.
    ends = [
        Support(0.0, **FORK, z="held", point=(0.0, 0.0)),
        Support(length, **FORK, point=(0.0, 0.0)),
    ]
    member = Member.prismatic(length, section, ends)
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
    omega = 2 * np.pi * found(member, modes=12).frequencies
    for value in (*closed, lateral):
        assert np.abs(omega / value - 1).min() < 2e-5


@pytest.mark.parametrize(
    ("degrees", "ratio", "value"),
    [
        (30, 1.3, 1182.30563),
        (30, 10, 958.695652),
        (90, 1.3, 6.79245283),
        (90, 10, 2.57142857),
        (150, 1.3, 0.101745985),
        (150, 10, 0.0243692308),
    ],
)
def test_arc_in_plan(degrees: float, ratio: float, value: float) -> None:
    """omega^2 m R^4 / E I = n^2 (n^2 - 1)^2 / (n^2 + E I / G J), n = pi / angle: forks at both
    ends, free in bending; Love, Timoshenko (ring form), derived by substitution."""
    radius = 100.0
    axis = Axis.arc(radius * np.radians(degrees), radius)
    bar = strip()
    stiffness = bar.elastic_modulus * bar.second_moment_x
    section = strip(
        torsion_constant=stiffness / ratio / bar.shear_modulus, second_moment_y=10 * 4.17e-6
    )
    member = Member.prismatic(
        axis, section, [Support(0.0, **FORK, z="held"), Support(axis.length, **FORK)]
    )
    vibration = found(member, modes=2)
    omega = 2 * np.pi * vibration.frequencies[vibration.first("vertical") or 0]
    scaled = omega**2 * bar.mass_per_length * radius**4 / stiffness
    assert scaled == pytest.approx(value, rel=1e-4)


def test_ring_on_soft_springs() -> None:
    """A closed ring out of plane n^2 (n^2 - 1)^2 / (n^2 + E I / G J) and in plane over n^2 + 1, for
    n = 2 and 3; Love 1944, Timoshenko. Supports are soft springs, whose motions come first."""
    radius = 100.0
    axis = Axis.ring(radius)
    bar = strip()
    stiffness = bar.elastic_modulus * bar.second_moment_x
    section = strip(
        torsion_constant=stiffness / 1.3 / bar.shear_modulus,
        second_moment_y=bar.second_moment_x,
        shear_area_x=1e-3,
        shear_area_y=1e-3,
    )
    soft = 1e-4 * stiffness / radius**3
    springs = [Support(k * axis.length / 4, x=soft, y=soft, z=soft) for k in range(4)]
    vibration = found(Member.prismatic(axis, section, springs), modes=14)
    scaled = (2 * np.pi * vibration.frequencies) ** 2 * bar.mass_per_length * radius**4 / stiffness
    assert (scaled[:6] < 1e-2).all()  # the six rigid motions
    expected = np.repeat([6.79245283, 7.2, 55.9223301, 57.6], 2)
    assert scaled[6:14] == pytest.approx(expected, rel=1e-4)


def test_effective_masses_add_up() -> None:
    """All modes together move the whole mass; the first of a simply supported beam 8/pi^2 of it
    (Clough & Penzien, Dynamics of Structures, derived)."""
    length = 60.0
    member = Member.prismatic(
        length, strip(), [Support(0.0, **FORK, z="held"), Support(length, **FORK)]
    )
    vibration = found(member, modes=40)
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
    omega = of_motion(found(member, modes=8), "vertical")[:3]
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
        return float(found(Member.prismatic(axis, section, ends), modes=1).frequencies[0])

    exact = lowest(0)
    errors = [lowest(count) / exact - 1 for count in (6, 12)]
    assert abs(errors[1]) < 5e-3
    assert errors[0] / errors[1] == pytest.approx(4.0, rel=0.2)
