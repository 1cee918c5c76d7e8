"""Natural frequencies of classical beams, arcs and rings beside closed forms."""

from __future__ import annotations

import numpy as np
from soapfilm.geometry.units import Units
from soapfilm.solver.member.model.axis import Axis
from soapfilm.solver.member.model.constants import SectionConstants
from soapfilm.solver.member.model.member import Member
from soapfilm.solver.member.model.support import Support
from soapfilm.solver.member.vibration.analysis import Vibration, vibration_of
from soapfilm.solver.member.vibration.walking import (
    CODE_LATERAL,
    CODE_VERTICAL,
    RISK_LATERAL,
    RISK_VERTICAL,
)

from .figure import Figure
from .registry import Found, Topic

FREQUENCIES = Topic(
    "Frequencies of beams, arcs and rings",
    "Classical members with all their inertia: of bending and of warping too, which most closed "
    "forms leave out; bars are so slender that it shows in the sixth digit, but for the channel.",
)
WALKING = Topic(
    "Footbridges: people on foot",
    "Bounds of frequencies that the screen uses. Limits of acceleration (0.5, 1 and 2.5 m/s2; EN "
    "1990 0.7, 0.2 and 0.4), numbers of equivalent walkers and the 0.5 sqrt(f) of BS 5400-2 have "
    "no row: the screen knows no acceleration, and says so.",
)
METRES = Units("m", "N")
FIXED = {
    "x": "held", "y": "held", "z": "held", "bend_x": "held", "bend_y": "held", "twist": "held",
}  # fmt: skip
FORK = {"x": "held", "y": "held", "twist": "held"}
DENSITY = 7850.0
#: Length of slender bars, m.
SLENDER = 60.0


def strip(**changes: object) -> SectionConstants:
    """A slender bar 50 x 100 mm, twist and shear left stiff."""
    b, h = 0.05, 0.1
    values: dict[str, object] = {
        "elastic_modulus": 210e9, "shear_modulus": 81e9, "area": b * h,
        "second_moment_x": b * h**3 / 12, "second_moment_y": h * b**3 / 12,
        "torsion_constant": 1e-4, "mass_per_length": DENSITY * b * h, "name": "strip",
    }  # fmt: skip
    return SectionConstants(**(values | changes))  # type: ignore[arg-type]


def torsion_bar(length: float, chi: float) -> SectionConstants:
    """An I-like section whose L^2 G J / (E C_w) is chi, so stiff in bending that the inertia of its
    warping, C_w (n pi / L)^2 / I_p of that of its twist, is some 1e-6."""
    torsion = 1e-10
    warping = length**2 * 81e9 * torsion / (210e9 * chi)
    return SectionConstants(
        210e9, 81e9, 0.01, 1e-4, 1e-4, torsion, warping, mass_per_length=78.5, name="I"
    )


def vibrating(member: Member, modes: int = 6) -> Vibration:
    """Its modes by the classical theory."""
    return vibration_of(member, {}, METRES, keep_shape=True, modes=modes, judged=False)


def of_motion(vibration: Vibration, motion: str) -> np.ndarray:
    """omega of the modes of one name."""
    chosen = [k for k, name in enumerate(vibration.names) if name == motion]
    return 2 * np.pi * vibration.frequencies[chosen]


def between_forks(length: float, section: SectionConstants) -> Member:
    """Hinged at both ends."""
    return Member.prismatic(
        length, section, [Support(0.0, **FORK, z="held"), Support(length, **FORK)]
    )


ENDS = {
    "freq_beam_1": (FORK, FORK),
    "freq_beam_2": (FIXED, FIXED),
    "freq_beam_3": (FIXED, None),
    "freq_beam_4": (FIXED, FORK),
}


def uniform_beam(ends: tuple[dict[str, str], dict[str, str] | None], motion: str) -> np.ndarray:
    """beta L of the first two modes in one plane, of a bar whose radius of gyration is L/2000."""
    section = strip()
    supports = [
        Support(z, **(end | {"z": "free" if z else "held"}))
        for z, end in zip((0.0, SLENDER), ends, strict=True)
        if end is not None
    ]
    vertical = motion == "vertical"
    moment = section.second_moment_x if vertical else section.second_moment_y
    omega = of_motion(vibrating(Member.prismatic(SLENDER, section, supports)), motion)[:2]
    mass = section.mass_per_length
    return (omega**2 * mass / (section.elastic_modulus * moment)) ** 0.25 * SLENDER


@FREQUENCIES.check(ENDS, within=1e-5, published=2e-5)
def bending(ends: tuple[dict[str, str], dict[str, str] | None]) -> Found:
    """In the plane of its greater stiffness."""
    return Found.several(uniform_beam(ends, "vertical"))


@FREQUENCIES.check({"freq_timo_0.01": 0.01, "freq_timo_0.04": 0.04}, within=1e-6)
def bending_with_shear(slenderness: float) -> Found:
    """Of unit length and area."""
    modulus, shear = 210e9, 0.320512821 * 210e9 / 81e9
    section = SectionConstants(
        modulus, 81e9, 1.0, slenderness, 0.7 * slenderness, 10.0, shear_area_x=shear,
        shear_area_y=shear, mass_per_length=DENSITY, name="stocky",
    )  # fmt: skip
    omega = of_motion(vibrating(between_forks(1.0, section)), "vertical")[0]
    return Found.about(omega**2 * DENSITY / (modulus * slenderness))


WARPED = FIXED | {"warping": "held"}


@FREQUENCIES.check(
    {"freq_tors": (FORK, FORK), "freq_tors_fix": (WARPED, WARPED), "freq_tors_tip": (WARPED, None)},
    within=1e-5,
)
def torsion_with_warping(ends: tuple[dict[str, str], dict[str, str] | None]) -> Found:
    """80 m; the forks' first two modes."""
    length = 80.0
    section = torsion_bar(length, 5.0)
    start, end = ends
    supports = [Support(0.0, **(start | {"z": "held"}))]
    if end is not None:
        supports.append(Support(length, **end))
    count = 2 if start is FORK else 1
    vibration = vibrating(Member.prismatic(length, section, supports), modes=20)
    polar = section.second_moment_x + section.second_moment_y
    inertia = section.mass_per_length / section.area * polar
    omega = of_motion(vibration, "torsional")[:count]
    stiffness = section.shear_modulus * section.torsion_constant
    return Found.several(omega * length * np.sqrt(inertia / stiffness))


def channel_between_forks(
    length: float, i_x: float, i_y: float, warping: float, off: float
) -> np.ndarray:
    """omega of an aluminium channel whose shear centre lies `off` on the side of -x."""
    section = SectionConstants(
        70e9, 30e9, 6e-4, i_x, i_y, 8e-10, warping, centroid=(0.0, 0.0), shear_centre=(-off, 0.0),
        mass_per_length=2700.0 * 6e-4, name="channel",
    )  # fmt: skip
    # Held along z at its centroid: at the shear centre bending would stretch it.
    ends = [
        Support(0.0, **FORK, z="held", point=(0.0, 0.0)),
        Support(length, **FORK, point=(0.0, 0.0)),
    ]
    vibration = vibrating(Member.prismatic(length, section, ends), modes=12)
    return 2 * np.pi * vibration.frequencies


@FREQUENCIES.check("freq_chan", within=(-0.03, 0.0))
def coupled_channel(figure: Figure) -> Found:
    """The nearest of its modes."""
    found = channel_between_forks(
        1.0, 1.16666667e-6, 6.66666667e-7, 1.19047619e-9, 0.0761904762
    ) / (2 * np.pi)
    return Found.several(found[np.abs(found / value - 1).argmin()] for value in figure.values)


ARCS = {f"freq_arc_{a}_{r:g}": (a, r) for a in (30, 90, 150) for r in (1.3, 10.0)}


@FREQUENCIES.check(ARCS, within=1e-4)
def arc_in_plan(given: tuple[float, float]) -> Found:
    """Radius 100 m."""
    degrees, ratio = given
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
    vibration = vibrating(member, modes=2)
    omega = 2 * np.pi * vibration.frequencies[vibration.first("vertical") or 0]
    return Found.about(omega**2 * bar.mass_per_length * radius**4 / stiffness)


def ring_on_soft_springs() -> np.ndarray:
    """omega^2 m R^4 / E I of a round-bar ring; six rigid motions on the springs come first."""
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
    vibration = vibrating(Member.prismatic(axis, section, springs), modes=14)
    return (2 * np.pi * vibration.frequencies) ** 2 * bar.mass_per_length * radius**4 / stiffness


@FREQUENCIES.check("freq_ring", within=1e-4)
def closed_ring(_: Figure) -> Found:
    """Modes come in pairs; out of plane and in plane by turns."""
    pairs = ring_on_soft_springs()[6:14].reshape(4, 2).mean(axis=1)
    return Found.several(pairs[[0, 2, 1, 3]])


@WALKING.check("comfort_setra_f", within=0.0)
def risks_of_resonance(_: Figure) -> Found:
    """As the screen has them."""
    return Found.several((*RISK_VERTICAL, *RISK_LATERAL))


@WALKING.check("comfort_en1990", within=0.0)
def verification_below(_: Figure) -> Found:
    """As the screen has them."""
    return Found.several((CODE_VERTICAL, CODE_LATERAL))
