"""Members whose sections keep their shape: closed forms, and the classical theory, which is exact
for such open sections."""

from __future__ import annotations

import math

import pytest
from soapfilm.solver.member.beam.analysis import critical_loads
from soapfilm.solver.member.model.diaphragm import Diaphragm
from soapfilm.solver.member.model.imposed import Temperature
from soapfilm.solver.member.model.load import Combination, LineLoad, PointLoad
from soapfilm.solver.member.model.support import Support, fixed, fork
from soapfilm.solver.member.model.tendon import Tendon, TendonPoint

from .members import (
    CENTROID,
    MONO,
    STOCKY,
    STRIP,
    E,
    G,
    Load,
    buckling,
    factor,
    member,
    sagging,
    section,
    squeezed,
)

LONG = 8000.0


def down(y: float, at: float, force: float = 1e3) -> list[Load]:
    return [PointLoad(at, force=(0, -force, 0), place=(0.0, y))]


def strip_constants() -> float:
    """sqrt(E I_y G J) of the strip; J with the printed series of the narrow rectangle."""
    torsion = 100 * 10**3 / 3 * (1 - 0.63 * 0.1 + 0.052 * 0.1**5)
    return math.sqrt(E * 100 * 10**3 / 12 * G * torsion)


def test_narrow_strips() -> None:
    """pi, 16.94 and 28.3 sqrt(E I_y G J) (Timoshenko & Gere, Theory of Elastic Stability, ch. 6;
    digits derived); the depth of the strip to its length, left out there, is 1/30."""
    length, root = 3000.0, strip_constants()
    found = [
        factor(STRIP, length, sagging(length, 1.0)) * length,
        factor(STRIP, length, down(0.0, length / 2, 1.0)) * length**2,
        factor(STRIP, length, [LineLoad(0, length, (0, -1.0, 0), place=(0.0, 0.0))]) * length**3,
    ]
    wanted = [math.pi * root, 16.9361322 * root, 28.3149571 * root]
    assert found == pytest.approx(wanted, rel=1e-3)


@pytest.mark.parametrize("height", [100.0, -100.0])
def test_height_of_a_load_at_mid_span(height: float) -> None:
    loads = down(height, LONG / 2)
    classical = critical_loads(member(STOCKY, LONG, loads))[0].factor
    assert factor(STOCKY, LONG, loads) == pytest.approx(classical, rel=4e-3)


@pytest.mark.parametrize("height", [100.0, -100.0])
def test_height_of_a_load_at_the_tip_of_a_cantilever(height: float) -> None:
    """Within what the loaded flange and web give by bending at the tip, left out of the classical
    theory: 0.4 % with the load below."""
    loads, root = down(height, LONG), [fixed(0.0)]
    classical = critical_loads(member(STOCKY, LONG, loads, root))[0].factor
    assert factor(STOCKY, LONG, loads, supports=root) == pytest.approx(classical, rel=5e-3)


@pytest.mark.parametrize("sign", [1.0, -1.0])
def test_uniform_moment_on_a_monosymmetric_section(sign: float) -> None:
    """The larger flange in compression helps (Wagner); a half more than the other way round."""
    loads = sagging(6000.0, sign * 1e6)
    classical = critical_loads(member(MONO, 6000.0, loads))[0].factor
    assert factor(MONO, 6000.0, loads) == pytest.approx(classical, rel=1e-2)


def test_a_load_spread_through_the_shear_centre_stands_there() -> None:
    """Its tractions have their own height, that of the web's shear; what they lack is added."""
    loads = [PointLoad(3000.0, force=(0, -1e3, 0))]
    classical = critical_loads(member(MONO, 6000.0, loads))[0].factor
    assert factor(MONO, 6000.0, loads) == pytest.approx(classical, rel=4e-3)


def test_a_continuous_beam_loaded_on_its_top() -> None:
    loads = [LineLoad(0, 16_000, (0, -1.0, 0), place=(0.0, 100.0))]
    supports = [fork(0), fork(7_000.0), fork(16_000)]
    classical = critical_loads(member(STOCKY, 16_000, loads, supports))[0].factor
    assert factor(STOCKY, 16_000, loads, supports=supports) == pytest.approx(classical, rel=4e-3)


@pytest.mark.parametrize("height", [100.0, -100.0])
def test_a_diaphragm_leaves_a_load_its_height(height: float) -> None:
    """It takes the load from the flange into the web, and rotates with the section: the stress of
    this was left out, and a load on the top flange counted as one at half the depth (a fifth more;
    on a slender web 40 %)."""
    loads, stiffener = down(height, LONG / 2), [Diaphragm(at=LONG / 2)]
    classical = critical_loads(member(STOCKY, LONG, loads))[0].factor
    found = factor(STOCKY, LONG, loads, diaphragms=stiffener)
    assert found == pytest.approx(classical, rel=4e-3)


@pytest.mark.parametrize("level", [100.0, -100.0, -150.0])
def test_a_support_that_gives_in_twist_has_its_height(level: float) -> None:
    """It keeps the section's shape, and holds it at a flange or below, a spring against twist."""
    supports = [
        Support(z, x="held", y="held", z=hold, twist=2e7, point=(0.0, level), name=f"at {z:g}")
        for z, hold in ((0.0, "held"), (LONG, "free"))
    ]
    loads = down(0.0, LONG / 2)
    classical = critical_loads(member(STOCKY, LONG, loads, supports))[0].factor
    assert factor(STOCKY, LONG, loads, supports=supports) == pytest.approx(classical, rel=4e-3)


def test_a_column_buckles_at_eulers_load_less_what_shear_takes() -> None:
    """P_E / (1 + P_E / GA_s), Engesser (Timoshenko & Gere 2.17)."""
    s = section(STOCKY).constants
    euler = math.pi**2 * E * s.second_moment_y / LONG**2
    assert s.shear_area_x is not None
    expected = euler / (1 + euler / (G * s.shear_area_x))
    assert factor(STOCKY, LONG, squeezed(LONG)) == pytest.approx(expected, rel=3e-3)


def test_tension_buckles_nothing() -> None:
    assert factor(STOCKY, LONG, squeezed(LONG, -1.0)) == math.inf


def test_neither_tendons_nor_free_warmth_buckle_a_member() -> None:
    """A tendon moves with the member: twice Euler's load of it, in the concrete's own middle, takes
    nothing from the critical factor of a push; nor does a warmth that nothing restrains."""
    length = 3e3
    euler = math.pi**2 * E * 100 * 10**3 / 12 / length**2
    points = (TendonPoint(0.0, 0.0, 0.0), TendonPoint(length, 0.0, 0.0))
    cases: tuple[dict[str, float], ...] = ({}, {"prestress": 1.0}, {"temperature": 1.0})
    made = member(
        STRIP,
        length,
        [PointLoad(length, (0.0, 0.0, -euler / 3), CENTROID, case="push")],
        # Springs across: a fork would hold the ends' widening, which stresses them.
        [fork(0.0, z="held", x=1e7), fork(length, x=1e7)],
        tendons=(Tendon(points, 2 * euler),),
        imposed=(Temperature(0.0, length, 50.0, expansion=12e-6),),
        combinations=tuple(Combination(str(n), {"push": 1.0, **c}) for n, c in enumerate(cases)),
    )
    for row in critical_loads(made):
        assert row.factor == pytest.approx(3.0, rel=1e-3)
    found = [row.factor for row in buckling(STRIP, made).factors]
    assert found == pytest.approx([found[0]] * 3, rel=5e-3)
    assert found[0] == pytest.approx(3.0, rel=0.01)
