"""Critical loads over kinks, beside a chain of bars with exact rotations.

The chain is a second method of a few lines: rotation vectors at the nodes, the strain of an element
and the place of the load both to their second order, the stress of statics. A rigid joint asks
nothing of it, since rotations are common to both pieces.
"""

from __future__ import annotations

import numpy as np
import pytest
from numpy.typing import NDArray
from soapfilm.geometry.profiles.solid import rectangle
from soapfilm.solver.member.beam.analysis import critical_loads
from soapfilm.solver.member.model.axis import Axis, Kink, Straight
from soapfilm.solver.member.model.diaphragm import Diaphragm
from soapfilm.solver.member.model.load import PointLoad
from soapfilm.solver.member.model.member import Member
from soapfilm.solver.member.model.support import fixed

from .members import CENTROID, STEEL, E, G, buckling, section

Array = NDArray[np.float64]

#: A strip that lies flat.
FLAT = rectangle(x_dim=120, y_dim=20).section(material=STEEL)
LEG = 4000.0


def cross(v: Array) -> Array:
    return np.cross(np.eye(3), v)


def height(dyad: Array) -> Array:
    """Of -1/2 P . (theta x (theta x r)), the dyad P r^T."""
    return np.asarray(np.trace(dyad) * np.eye(3) - (dyad + dyad.T) / 2)


def chain(stiffness: Array, angle: float, force: Array, count: int = 60) -> float:
    """Factor of a cantilever of two legs in plan with a dead force at its tip, both in the frame of
    the second leg.

    Parameters
    ----------
    stiffness : (3, 3)
        E I_x, E I_y and G J on the diagonal, of either leg along its own axes.
    """
    c, s = np.cos(angle), np.sin(angle)
    turn = np.array([[c, 0, -s], [0, 1, 0], [s, 0, c]])
    h = LEG / count
    frames = [turn] * count + [np.eye(3)] * count
    ends = np.cumsum([np.zeros(3), *(f[:, 2] * h for f in frames)], axis=0)
    k, g = np.zeros((2, 6 * count + 3, 6 * count + 3))
    for i, frame in enumerate(frames):
        own = slice(3 * i, 3 * i + 6)
        spring = frame @ stiffness @ frame.T / h
        k[own, own] += np.kron([[1, -1], [-1, 1]], spring)
        bend = cross(np.cross(ends[-1] - (ends[i] + ends[i + 1]) / 2, force)) / 2
        g[own, own] += np.kron(np.ones((2, 2)), height(np.outer(force, frame[:, 2] * h)) / 4)
        g[own, own] += np.block([[0 * bend, bend], [bend.T, 0 * bend]])
    values = np.linalg.eigvals(np.linalg.solve(k[3:, 3:], -g[3:, 3:]))
    return float(1 / values.real.max())


@pytest.mark.parametrize("force", [(0.0, -100.0, 0.0), (-100.0, 0.0, 0.0)])
def test_a_kinked_cantilever_beside_a_chain(force: tuple[float, float, float]) -> None:
    """Both pieces pull at the diaphragm of the kink with tractions of their own, whose dyads do not
    cancel: left out, a load down was 28 % and one across 31 % on the low side."""
    angle = np.radians(30.0)
    s = section(FLAT).constants
    made = Member.prismatic(
        Axis((Straight(2 * LEG),), kinks=(Kink(LEG, angle),)),
        s,
        [fixed(0.0, warping="free")],
        loads=[PointLoad(2 * LEG, force, CENTROID)],
        diaphragms=[Diaphragm(LEG), Diaphragm(2 * LEG)],
    )
    rigidities = [E * s.second_moment_x, E * s.second_moment_y, G * s.torsion_constant]
    expected = chain(np.diag(rigidities), angle, np.array(force))
    assert critical_loads(made)[0].factor == pytest.approx(expected, rel=1e-3)
    assert buckling(FLAT, made).factors[0].factor == pytest.approx(expected, rel=8e-3)
