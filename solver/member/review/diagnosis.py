"""Why a member twists as it does, computed from its solution: how torque is carried, what
governs."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from ....geometry.errors import InputError
from ..beam.analysis import solve
from ..beam.solution import Solution
from ..model.member import Member
from ..model.secondary_beam import SecondaryBeam
from ..model.support import Support

Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class TorqueShares:
    """How one combination's torque is carried.

    Attributes
    ----------
    name : str
    warping : float
        Integral of |T_w| along the member over that of |T_w| + |T_t|: 1 is warping alone, 0
        Saint-Venant alone.
    length_ratio : tuple of float
        L / a of each span, with the largest a of its sections: short spans warp, long ones do not.
    mean_lever_arm : float or None
        Smallest mean lever arm of Saint-Venant torsion among the sections that give one.
    """

    name: str
    warping: float
    length_ratio: tuple[float, ...]
    mean_lever_arm: float | None


@dataclass(frozen=True, slots=True)
class RestraintEffect:
    """What one held freedom does: twist without it over twist with it.

    Infinite where the member would be a mechanism without it.
    """

    title: str
    freedom: str
    growth: float


def torque_shares(solution: Solution) -> tuple[TorqueShares, ...]:
    """Shares for every combination, by Gauss quadrature of each element's exact torque."""
    x, weight = np.polynomial.legendre.leggauss(8)
    mesh = solution.mesh
    z = (mesh.nodes[:-1, None] + mesh.length[:, None] * (1 + x) / 2).ravel()
    step = (mesh.length[:, None] * weight / 2).ravel()
    table = solution.at(z)
    warping = step @ np.abs(table.T_w)
    uniform = step @ np.abs(table.T_t)
    arms = [s.mean_lever_arm for s in mesh.sections if s.mean_lever_arm is not None]
    longest = max(s.characteristic_length for s in mesh.sections)
    ratios = tuple(
        (b - a) / longest if longest > 0 else np.inf
        for a, b in (mesh.member.spans or ((0.0, mesh.member.length),))
    )
    rows = []
    for c, name in enumerate(solution.names):
        both = float(warping[c] + uniform[c])
        share = float(warping[c]) / both if both > 0 else 0.0
        rows.append(TorqueShares(name, share, ratios, min(arms) if arms else None))
    return tuple(rows)


def restraint_effects(member: Member) -> tuple[RestraintEffect, ...]:
    """Effect of every restraint of twist, warping and lateral displacement, by solving without it.

    Sorted by effect, so the first row governs. Twist is the largest over the member and its
    combinations.
    """
    base = largest_twist(solve(member))
    rows = []
    for title, freedom, without in _releases(member):
        try:
            growth = largest_twist(solve(without)) / base if base > 0 else 1.0
        except InputError:
            growth = np.inf
        rows.append(RestraintEffect(title, freedom, growth))
    return tuple(sorted(rows, key=lambda r: -r.growth))


def _releases(member: Member) -> list[tuple[str, str, Member]]:
    found: list[tuple[str, str, Member]] = []
    for n, support in enumerate(member.supports):
        for freedom in ("twist", "warping", "x"):
            if getattr(support, freedom) not in ("free", 0):
                changed = support.with_(**{freedom: "free"})
                found.append((support.title, freedom, _with_support(member, n, changed)))
        if len(support.bearings) > 1:
            x = sum(b.x for b in support.bearings) / len(support.bearings)
            one = support.with_(
                bearings=(),
                y="held",
                point=(x, member.section_at(support.at).height(support.bearings[0].y or 0.0)),
            )
            found.append((support.title, "twist", _with_support(member, n, one)))
    for n, item in enumerate(member.restraints):
        # A secondary beam goes on to bear on the member when its end turns freely.
        pin = (replace(item, connection=0.0),) if isinstance(item, SecondaryBeam) else ()
        left = (*member.restraints[:n], *pin, *member.restraints[n + 1 :])
        found.append((item.title, "restraint", member.with_(restraints=left)))
    return found


def _with_support(member: Member, n: int, support: Support) -> Member:
    return member.with_(supports=(*member.supports[:n], support, *member.supports[n + 1 :]))


def largest_twist(solution: Solution) -> float:
    """Largest |phi| over the member and all combinations."""
    return float(np.abs(solution.diagram(count=200).phi).max())
