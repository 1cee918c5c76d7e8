"""Tapered members whose flanges are not parallel to the axis."""

from __future__ import annotations

import pytest
from soapfilm.solver.member.beam.analysis import solve
from soapfilm.solver.member.model.axis import Axis
from soapfilm.solver.member.model.constants import SectionConstants
from soapfilm.solver.member.model.load import PointLoad
from soapfilm.solver.member.model.member import Member, Segment
from soapfilm.solver.member.model.support import fixed

E, G = 210e3, 80769.2308


def flanges(depth: float, torsion: float) -> SectionConstants:
    """Two flanges 200 x 15 at a distance from each other, and nothing else that warps."""
    second = 2 * 15 * 200**3 / 12
    return SectionConstants(
        elastic_modulus=E,
        shear_modulus=G,
        area=6000.0,
        second_moment_x=6000.0 * depth**2 / 4,
        second_moment_y=second,
        torsion_constant=torsion,
        warping_constant=second * depth**2 / 4,
    )


def tip_twist(root: float, tip: float, torsion: float, **more: int) -> float:
    ends = flanges(root, torsion), flanges(tip, torsion)
    member = Member(
        Axis.straight(3000.0),
        (Segment(0.0, 3000.0, *ends),),
        (fixed(0.0),),
        loads=(PointLoad(3000.0, moment=(0, 0, 1e6)),),
    )
    return float(solve(member, **more).at(3000.0).phi[0, 0])


@pytest.mark.parametrize(
    ("root", "tip", "torsion", "expected"),
    [
        # phi = 2 T L^3 / (3 E I_f h_tip^2), derived: the flanges bend as beams
        (600.0, 300.0, 1e-3, 0.0952380952),
        (300.0, 600.0, 1e-3, 0.0238095238),
        (400.0, 400.0, 1e-3, 0.0535714286),
        # Hermite elements of the energy of Kitipornchai & Trahair 1972 (from memory), derived
        (600.0, 300.0, 535333.333, 0.0320223036),
        (400.0, 400.0, 535333.333, 0.0279415808),
    ],
)
def test_web_tapered_cantilever(root: float, tip: float, torsion: float, expected: float) -> None:
    assert tip_twist(root, tip, torsion) == pytest.approx(expected, rel=7e-4)
    finer = abs(tip_twist(root, tip, torsion, taper_parts=80) / expected - 1)
    assert finer < max(0.3 * abs(tip_twist(root, tip, torsion) / expected - 1), 1e-8)
