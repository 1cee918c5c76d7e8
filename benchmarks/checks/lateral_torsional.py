"""Lateral-torsional buckling of beams, by tables over chi = L^2 G J / (E C_w)."""

from __future__ import annotations

import math
from collections.abc import Iterator
from itertools import product

from soapfilm.solver.member.beam.analysis import critical_loads, solve
from soapfilm.solver.member.model.constants import SectionConstants
from soapfilm.solver.member.model.load import LineLoad, PointLoad
from soapfilm.solver.member.model.member import Member
from soapfilm.solver.member.model.support import Support, fixed, fork

from .figure import Figure, figures
from .registry import Found, Topic

LATERAL = Topic(
    "Lateral-torsional buckling by tables",
    "Eigenvalues of the classical beam; the tables are thin-walled beam theory, stiff in the plane "
    "of bending.",
)

E, G, MINOR, TORSION, WARPING = 210e3, 80e3, 1e7, 2e5, 1e11
ROOT = math.sqrt(E * MINOR * G * TORSION)
#: Half the depth of an I whose warping constant is that: its flanges alone bend sideways.
HEIGHT = math.sqrt(WARPING / MINOR)
#: Elements between supports, whose factors come from above.
PARTS = 32

Load = PointLoad | LineLoad


def section(*, warping: float = WARPING, beta: float = 0.0) -> SectionConstants:
    """Stiff about x, as the tables have it."""
    return SectionConstants(
        elastic_modulus=E, shear_modulus=G, area=6e3, second_moment_x=1e13, second_moment_y=MINOR,
        torsion_constant=TORSION, warping_constant=warping, monosymmetry_x=beta,
    )  # fmt: skip


def length_of(chi: float) -> float:
    """Span of a chi."""
    return math.sqrt(chi * E * WARPING / (G * TORSION))


def factor(s: SectionConstants, length: float, loads: list[Load], supports: list[Support]) -> float:
    """Lowest critical load factor."""
    made = Member.prismatic(length, s, supports, loads=loads)
    return critical_loads(made, parts=PARTS)[0].factor


def forks(length: float) -> list[Support]:
    """Both ends."""
    return [fork(0.0), fork(length)]


def ends(length: float, psi: float = 1.0) -> list[Load]:
    """A unit moment at one end and psi times it at the other: uniform for psi = 1, sagging."""
    return [PointLoad(0.0, moment=(1.0, 0, 0)), PointLoad(length, moment=(-psi, 0, 0))]


def down(at: float, y: float) -> list[Load]:
    """A unit load."""
    return [PointLoad(at, force=(0, -1.0, 0), place=(0.0, y))]


def spread(length: float, y: float) -> list[Load]:
    """A unit load in all."""
    return [LineLoad(0, length, (0, -1.0 / length, 0), place=(0.0, y))]


@LATERAL.check("ltb_strip", within=1e-3)
def narrow_rectangle(_: Figure) -> Found:
    """Twist is linear in an element without warping: the factors are extrapolated."""
    s, length = section(warping=0.0), 3000.0
    root = [fixed(0.0)]
    between = forks(length)
    return Found.several(
        [
            factor(s, length, ends(length), between) * length / ROOT,
            factor(s, length, down(length / 2, 0.0), between) * length**2 / ROOT,
            factor(s, length, spread(length, 0.0), between) * length**2 / ROOT,
            factor(s, length, down(length, 0.0), root) * length**2 / ROOT,
            factor(s, length, spread(length, 0.0), root) * length**2 / ROOT,
        ]
    )


TABLES = {
    "ltb_I_mid": ("middle", (0.0,)),
    "ltb_I_mid_top": ("middle", (HEIGHT,)),
    "ltb_I_mid_bot": ("middle", (-HEIGHT,)),
    "ltb_I_udl_cent": ("uniform", (0.0,)),
    "ltb_I_udl_top": ("uniform", (HEIGHT,)),
    "ltb_I_udl_bot": ("uniform", (-HEIGHT,)),
    "ltb_cant_I": ("tip", (0.0,)),
    "ltb_cant_I_top": ("tip", (HEIGHT, -HEIGHT)),
    "ltb_cant_I_udl": ("uniform, cantilever", (HEIGHT, 0.0, -HEIGHT)),
}


@LATERAL.check(
    {name: (figures()[name], *row) for name, row in TABLES.items()}, within=2e-4, published=1.3e-2
)
def tables(given: tuple[Figure, str, tuple[float, ...]]) -> Found:
    """P L^2/sqrt(E I_y G J), or that of the whole uniform load, by height and chi."""
    figure, kind, heights = given
    return Found.several(_table(figure, kind, heights))


def _table(figure: Figure, kind: str, heights: tuple[float, ...]) -> Iterator[float]:
    for y, chi in product(heights, figure.inputs["chi"]):
        length = length_of(chi)
        place = {"middle": length / 2, "tip": length}.get(kind)
        loads = spread(length, y) if place is None else down(place, y)
        root = kind in ("tip", "uniform, cantilever")
        supports = [fixed(0.0)] if root else forks(length)
        yield factor(section(), length, loads, supports) * length**2 / ROOT


def uniform(chi: float) -> float:
    """Critical uniform moment between forks."""
    return math.pi * ROOT / length_of(chi) * math.sqrt(1 + math.pi**2 / chi)


@LATERAL.check(
    {name: figures()[name] for name in ("c1_end_chi4", "c1_end_chi40", "c1_end_chi400")},
    within=2e-4,
    published=0.13,
)
def end_moments(figure: Figure) -> Found:
    """C_1: over the uniform moment."""
    chi = figure.inputs["chi"]
    length = length_of(chi)
    return Found.several(
        factor(section(), length, ends(length, psi), forks(length)) / uniform(chi)
        for psi in figure.inputs["psi"]
    )


def most_moment(kind: str, chi: float, y: float) -> float:
    """Critical moment at mid-span: q L^2/8 or P L/4."""
    length = length_of(chi)
    loads = spread(length, y) if kind == "uniform" else down(length / 2, y)
    arm = length / 8 if kind == "uniform" else length / 4
    return factor(section(), length, loads, forks(length)) * arm


@LATERAL.check("c1_loads", within=2e-4, published=1.5e-2)
def loads_at_the_centroid(figure: Figure) -> Found:
    """C_1."""
    return Found.several(
        most_moment(kind, chi, 0.0) / uniform(chi)
        for kind in ("uniform", "middle")
        for chi in figure.inputs["chi"]
    )


@LATERAL.check("cb_aisc", within=1e-6)
def equivalent_moment(figure: Figure) -> Found:
    """C_b of the code's rule by our moments along the beam; C_1 above is what it stands for."""
    length = 4000.0
    third = [*down(length / 3, 0.0), *down(2 * length / 3, 0.0)]
    cases = [ends(length, psi) for psi in figure.inputs["psi"]]
    cases += [spread(length, 0.0), down(length / 2, 0.0), third]

    def rule(loads: list[Load]) -> float:
        solved = solve(Member.prismatic(length, section(), forks(length), loads=loads))
        quarters = [length * k / 4 for k in range(5)]
        moments = [abs(float(m)) for m in solved.at(quarters).M_x[:, 0]]
        most = max(*moments, abs(float(solved.at([length / 3]).M_x[0, 0])))
        return 12.5 * most / (2.5 * most + 3 * moments[1] + 4 * moments[2] + 3 * moments[3])

    return Found.several([rule(loads) for loads in cases])


@LATERAL.check("c2_loads", within=2e-3, published=4e-2)
def loads_on_the_top(figure: Figure) -> Found:
    """C_2 of M = C_1 P (sqrt(m^2 + (C_2 z)^2) - C_2 z), m and P of the uniform moment m P."""

    def second(kind: str, chi: float) -> float:
        euler = math.pi**2 * E * MINOR / length_of(chi) ** 2
        first = most_moment(kind, chi, 0.0) / uniform(chi)
        share = most_moment(kind, chi, HEIGHT) / (first * euler)
        squared = (uniform(chi) / euler) ** 2
        return (squared - share**2) / (2 * share) / HEIGHT

    return Found.several(
        second(kind, chi) for kind in ("uniform", "middle") for chi in figure.inputs["chi"]
    )


@LATERAL.check(
    {n: figures()[n] for n in ("ltb_mono_0.1_10", "ltb_mono_-0.1_10", "ltb_mono_0.3_40")},
    within=1e-4,
)
def monosymmetric(figure: Figure) -> Found:
    """The larger flange is in compression where beta_x is positive: hogging here, M_x > 0."""
    length = length_of(figure.inputs["chi"])
    beta = figure.inputs["beta_x"] * length * math.sqrt(G * TORSION / (E * MINOR))
    loads: list[Load] = [
        PointLoad(0.0, moment=(-1.0, 0, 0)),
        PointLoad(length, moment=(1.0, 0, 0)),
    ]
    found = factor(section(beta=beta), length, loads, forks(length))
    return Found.about(found * length / ROOT)


@LATERAL.check("ltb_fixed", within=1e-4)
def held_ends(figure: Figure) -> Found:
    """Warping and lateral rotation held, free to rotate in the plane of bending."""
    length = length_of(figure.inputs["chi"])
    supports = [
        Support(z, x="held", y="held", z=along, twist="held", bend_y="held", warping="held")
        for z, along in ((0.0, "held"), (length, "free"))
    ]
    return Found.about(factor(section(), length, ends(length), supports) * length / ROOT)
