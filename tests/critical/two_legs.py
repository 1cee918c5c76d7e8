"""Members of two legs, with a kink or a hinge between them, and the same as a chain of bars."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal

import numpy as np
from soapfilm.geometry.profiles.solid import rectangle
from soapfilm.geometry.section import Section
from soapfilm.solver.member.model.axis import Axis, Kink, Straight
from soapfilm.solver.member.model.diaphragm import Diaphragm
from soapfilm.solver.member.model.hinge import PASSED, Hinge
from soapfilm.solver.member.model.load import Place, PointLoad
from soapfilm.solver.member.model.member import Member
from soapfilm.solver.member.model.support import Support, fixed, fork

from .bar_chain import Array, Chain, rigidities
from .members import STEEL, section

#: A strip that lies flat, and one that stands.
FLAT = rectangle(x_dim=120, y_dim=20).section(material=STEEL)
UPRIGHT = rectangle(x_dim=20, y_dim=120).section(material=STEEL)
LEG = 3000.0
#: Bars in a quarter of the member, coarse; the error falls with the square of their length.
BARS = 8
FREE, HELD = 0.0, np.inf

Point = tuple[float, float]
Three = tuple[float, float, float]


@dataclass(frozen=True)
class TwoLegs:
    """Fixed at the start.

    Attributes
    ----------
    loads : tuple of (share of the length, force, point from the centroid)
    springs : tuple of (share of the length, stiffness against x, y, z, point)
    angle : float
        Of the kink in the middle, degrees; zero has a hinge there.
    parts : mapping
        Stiffness of the hinge's freedoms, those left out infinite.
    pivot : (x, y)
        Its point.
    fork : bool
        Whether one holds the end.
    moments : tuple of (share of the length, M_x, M_y)
        Couples of forces along z.
    bare : bool
        Whether walls pass on to walls at the kink, without a diaphragm.
    """

    outline: Section
    loads: tuple[tuple[float, Three, Point], ...]
    springs: tuple[tuple[float, Three, Point], ...] = ()
    angle: float = 0.0
    parts: Mapping[str, float] = field(default_factory=dict)
    pivot: Point = (0.0, 0.0)
    fork: bool = True
    moments: tuple[tuple[float, float, float], ...] = ()
    bare: bool = False

    def expected(self) -> float:
        """The chain's factor, by Richardson from two lengths of its bars."""
        coarse, fine = (self._chain(bars) for bars in (BARS, 2 * BARS))
        return (4 * fine - coarse) / 3

    def _chain(self, bars: int) -> float:
        turn = np.radians(self.angle)
        beyond, bisecting = across(turn), across(turn / 2)
        made = Chain()
        stiff = rigidities(section(self.outline).constants)
        nodes, frames = {0.0: made.node()}, {0.0: np.eye(3)}
        start = nodes[0.0]
        for station in (0.25, 0.5, 0.75, 1.0):
            frame = np.eye(3) if station <= 0.5 else beyond
            start = nodes[station] = made.leg(start, frame, LEG / 2, stiff, bars)
            frames[station] = bisecting if station == 0.5 else frame
            if station == 0.5 and self.parts:
                springs = [self.parts.get(f, HELD) for f in PASSED]
                start = made.joint(start, frame, springs, self.pivot, self.pivot)
        made.support(nodes[0.0], np.eye(3), [HELD] * 6)
        if self.fork:
            made.support(nodes[1.0], beyond, [HELD, HELD, FREE, FREE, FREE, HELD])
        for station, stiffness, point in self.springs:
            made.support(nodes[station], frames[station], [*stiffness, 0, 0, 0], point)
        for station, force, point in self.loads:
            made.load(nodes[station], frames[station], force, point)
        for station, m_x, m_y in self.moments:
            for side in (0.5, -0.5):
                for pull, point in ((m_x, (0.0, side)), (-m_y, (side, 0.0))):
                    force = (0.0, 0.0, 2 * side * pull)
                    made.load(nodes[station], frames[station], force, point)
        return made.factor()

    def member(self) -> Member:
        """The same as a member."""
        length = 2 * LEG
        supports = [fixed(0.0, warping="free")] + [fork(length, z="free")] * self.fork
        for station, stiffness, point in self.springs:
            holds = {f: _word(k) for f, k in zip("xyz", stiffness, strict=True)}
            supports.append(Support(length * station, **holds, point=point))
        warping: Literal["continuous", "free"] = "continuous" if self.bare else "free"
        kinks = (Kink(LEG, np.radians(self.angle), warping),) if self.angle else ()
        parts = {f: "free" if k == FREE else k for f, k in self.parts.items()}
        hinges = [Hinge(LEG, **parts, point=Place("centroid", *self.pivot))] if parts else []
        stiff = [Diaphragm(LEG)] if kinks and not self.bare else []
        return Member.prismatic(
            Axis((Straight(length),), kinks=kinks), section(self.outline).constants, supports,
            loads=[
                *(PointLoad(length * s, f, Place("centroid", *p)) for s, f, p in self.loads),
                *(PointLoad(length * s, moment=(m_x, m_y, 0.0)) for s, m_x, m_y in self.moments),
            ],
            diaphragms=[*stiff, Diaphragm(length)],
            hinges=hinges,
        )  # fmt: skip


def across(angle: float) -> Array:
    """Columns x, y, z of a frame turned toward +x by an angle, in the frame before the kink."""
    c, s = np.cos(angle), np.sin(angle)
    return np.array([[c, 0, s], [0, 1, 0], [-s, 0, c]])


def _word(stiffness: float) -> float | str:
    return "held" if np.isinf(stiffness) else stiffness or "free"
