"""A secondary beam that frames into the member: its span, load, stiffness and connection.

The beam lies across, from its near end at the member to a far support at distance L. Loaded on its
own span it would turn at the near end; the connection passes on to the member what it does not let
turn. Condensed exactly (Euler-Bernoulli beam, far end eliminated, derived from the
slope-deflection equations), with s = +1 for a beam on the side of +x and -1 on the other, v the
deflection of the member at the connection's place, phi its twist:

    M = -k (phi + s n v / L - theta_0),   1/k = L / (c E I) + 1/k_c,
    F_y = -R_0 + s n M / L - k_v v.

M and F_y act on the member at the connection; n, c, R_0, theta_0 and k_v by what the far end does:

    far end    c   n    R_0       theta_0             k_v
    pinned     3   1    w L / 2   -s w L^3 / (24 E I)  0
    fixed      4   3/2  3 w L/8   -s w L^3 / (48 E I)  3 E I / L^3
    opposite   2   0    w L / 2   -s w L^3 / (24 E I)  0

"opposite" is a beam between two members that twist alike in mirror image and go down alike.
"same way" (c = 6) holds members that twist the same way; its load would need the far member, so it
takes none.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal

from ....geometry.errors import InputError
from .load import Place, PointLoad, Where
from .restraint import FarEnd, secondary_beam_stiffness

#: The shear centre, where no other place is named.
_CENTRE = Place()

#: n, R_0 / (w L), E I theta_0 / (-s w L^3), and k_v L^3 / (E I) by far end.
_FAR: dict[str, tuple[float, float, float, float]] = {
    "pinned": (1.0, 1 / 2, 1 / 24, 0.0),
    "fixed": (1.5, 3 / 8, 1 / 48, 3.0),
    "opposite": (0.0, 1 / 2, 1 / 24, 0.0),
}


@dataclass(frozen=True, slots=True)
class SecondaryBeam:
    """One secondary beam.

    Attributes
    ----------
    at : float
        Along the member.
    elastic_modulus, second_moment, length : float
        E, I about its axis of bending, and L from the connection to the far support.
    side : "left" or "right"
        "right" runs toward +x.
    far_end : "pinned", "fixed" or "opposite"
    place : point or Place
        Of the member's section, where the shear of the connection acts.
    connection : float or None
        Rotational stiffness of the connection; None is rigid, 0 is a pin.
    slip : float
        Angle the connection turns either way before it engages.
    loads : mapping of case to float
        Uniform load on the beam per length of it, downward.
    name : str
    joint : str
        Name of the joint that gave connection and slip, if one did.
    turned : float
        What the connection has turned against the end of its beam before these loads come.
    """

    at: float
    elastic_modulus: float
    second_moment: float
    length: float
    side: Literal["left", "right"]
    far_end: FarEnd = "pinned"
    place: Where = _CENTRE
    connection: float | None = None
    slip: float = 0.0
    loads: Mapping[str, float] = field(default_factory=dict)
    name: str = ""
    joint: str = ""
    turned: float = 0.0

    def __post_init__(self) -> None:
        object.__setattr__(self, "loads", dict(self.loads))
        if self.far_end not in _FAR:
            raise InputError(
                f"{self.title}: far end {self.far_end!r} takes no load and no side; "
                "use 'pinned', 'fixed' or 'opposite'"
            )
        if self.side not in ("left", "right"):
            raise InputError(f"{self.title}: side is {self.side!r}; say 'left' or 'right'")
        if self.connection != 0:
            # Checks every figure.
            secondary_beam_stiffness(
                self.elastic_modulus, self.second_moment, self.length, self.far_end,
                self.connection,
            )  # fmt: skip
        if not (math.isfinite(self.slip) and self.slip >= 0):
            raise InputError(
                f"{self.title}: slip must be an angle of zero or more, got {self.slip}"
            )
        for case, load in self.loads.items():
            if not math.isfinite(load):
                raise InputError(f"{self.title}: load of case {case!r} must be finite, got {load}")

    @property
    def title(self) -> str:
        """Name for messages and tables."""
        return self.name or f"secondary beam at {self.at:g}"

    @property
    def sign(self) -> float:
        """s: +1 on the side of +x."""
        return 1.0 if self.side == "right" else -1.0

    @property
    def rigidity(self) -> float:
        """E I."""
        return self.elastic_modulus * self.second_moment

    @property
    def stiffness(self) -> float:
        """k of beam and connection in series; 0 for a pin."""
        if self.connection == 0:
            return 0.0
        return secondary_beam_stiffness(
            self.elastic_modulus, self.second_moment, self.length, self.far_end, self.connection
        )

    @property
    def leverage(self) -> float:
        """s n / L: turn of the pinned near end per deflection of the member."""
        return self.sign * _FAR[self.far_end][0] / self.length

    @property
    def vertical_stiffness(self) -> float:
        """k_v: what the pinned near end resists of the member's deflection."""
        return _FAR[self.far_end][3] * self.rigidity / self.length**3

    def pinned_reaction(self, load: float) -> float:
        """R_0 of a uniform load: what a pinned connection would bring down on the member."""
        return _FAR[self.far_end][1] * load * self.length

    def free_turn(self, load: float) -> float:
        """theta_0 of a uniform load: turn of the near end if the connection were a pin."""
        size = _FAR[self.far_end][2] * load * self.length**3 / self.rigidity
        return -self.sign * size

    def load_of(self, factors: Mapping[str, float]) -> float:
        """w of a combination."""
        return math.fsum(factors.get(case, 0.0) * w for case, w in self.loads.items())

    @property
    def forces(self) -> tuple[PointLoad, ...]:
        """The end shears R_0 on the member, one a case."""
        return tuple(
            PointLoad(
                self.at, (0.0, -self.pinned_reaction(w), 0.0), self.place, case=case,
                name=self.title, of=self.title,
            )
            for case, w in self.loads.items()
        )  # fmt: skip


def with_own_forces(
    loads: tuple[object, ...], restraints: tuple[object, ...]
) -> tuple[object, ...]:
    """The loads with the end shears of every secondary beam, each once."""
    beams = {r.title: r for r in restraints if isinstance(r, SecondaryBeam)}
    kept = [load for load in loads if not getattr(load, "of", "") or load.of in beams]  # type: ignore[attr-defined]
    there = {(getattr(load, "of", ""), getattr(load, "case", "")) for load in kept}
    more = [
        force
        for beam in beams.values()
        for force in beam.forces
        if (beam.title, force.case) not in there
    ]
    return (*kept, *more)
