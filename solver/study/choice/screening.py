"""A lower bound of a member's twist before its section is solved, to spare hopeless solutions.

**The bound.** Torsion of a straight member whose centroid, shear centre and supports lie on one
line is a problem of its own: the twist phi under torques m makes 2 m.phi - a(phi, phi) greatest,
where a = int (G J phi'^2 + E C_w phi''^2) dz and the springs. The greatest value, the work m.phi,
falls when J or C_w grows, as a grows. And the largest twist is no less than the one averaged over
the torques, |phi|_max >= m.phi / int |m|. So

    |phi|_max of the real section >= (m.phi of one with larger J and C_w) / int |m|.

**Larger J and C_w.** 4 I_x I_y / (I_x + I_y) is never below J: it is the energy of the trial
warping c x y, c = (I_x - I_y) / (I_x + I_y), exact for an ellipse and one third high for a thin
square tube. For open shapes the table's J is nearer the truth; over all rows of all families here
the solved J is at most 9.4 % below and 5.7 % above it, the solved C_w at most 1.5 % above it
(`benchmarks/catalogue_spread.md`); 15 and 10 % are allowed for. Tubes list no C_w: Wirtinger's
inequality along a ring of length p gives int w^2 <= (p / 2 pi)^2 int |grad w|^2, and the latter is
I_p - J; it is doubled to leave room for walls that are not thin.

**Where it holds.** Straight members in first order, doubly symmetric shapes, supports and
restraints that touch the twist alone or act at the shear centre, no free play. Everywhere else
nothing is screened. A candidate it rules out fails the limit for certain; whether one passes, the
solution decides.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from ....geometry.catalogue import Listing
from ...member.beam.analysis import solve
from ...member.model.constants import SectionConstants
from ...member.model.faces import Faces
from ...member.model.restraint import TwistSpring
from ...member.review.movement_limits import TwistLimit
from ...section.area.properties import area_properties

if TYPE_CHECKING:
    from ....geometry.section import Section
    from ...member.beam.solution import Solution
    from ...member.file.request import MemberRequest

Array = NDArray[np.float64]

OPEN = ("W", "M", "S", "HP", "IPE", "HEA", "HEB", "HEM")
TUBES = ("HSS", "HSS round", "PIPE", "HFSHS", "HFRHS", "CFSHS", "CFRHS", "CHS")
#: What the solved values may exceed the table's by (see above).
J_ROOM, CW_ROOM, RING_ROOM = 1.15, 1.10, 2.0
#: Room for the accuracy of the solved J, which may exceed the exact one (a round tube's is the
#: bound itself), and for rounding.
_SLACK = 2e-3


@dataclass(frozen=True, slots=True)
class TwistBound:
    """How far a twist limit is used at least, and by which combination."""

    ratio: float
    limit: float
    combination: str


def screens(request: MemberRequest, family: str) -> bool:
    """Whether the bound holds for a member and a family of shapes."""
    member = request.member
    return (
        family in (*OPEN, *TUBES)
        and request.order == "first"
        and len(request.sections) == 1
        and len(member.segments) == 1
        and not member.axis.curved
        and all(isinstance(r, TwistSpring) for r in member.restraints)
        and not any(getattr(r, "slip", 0.0) for r in member.restraints)
        and all(not s.bearings and s.point is None and not s.twist_slip for s in member.supports)
    )


def optimistic(entry: Listing, section: Section) -> SectionConstants:
    """Constants with a J and C_w that the real ones do not exceed; bending ones are exact.

    Parameters
    ----------
    entry : Listing
        In its table's unit.
    section : Section
        In any unit.
    """
    area = area_properties(section)
    moments, material = area.second_moments, section.regions[0].material
    x0, _, x1, _ = section.bounds()
    scale = (x1 - x0) / entry.width
    polar = moments.x + moments.y
    bound = 4 * moments.x * moments.y / polar
    tabled = entry.torsion_constant
    if tabled is not None and entry.family.name in OPEN:
        bound = min(bound, J_ROOM * tabled * scale**4)
    if entry.family.name in OPEN and entry.warping_constant is not None:
        warping = CW_ROOM * entry.warping_constant * scale**6
    else:
        ring = max(contour.length() for contour in section.contours())
        warping = RING_ROOM * polar * (ring / (2 * math.pi)) ** 2
    centre = (float(area.centroid[0]), float(area.centroid[1]))
    return SectionConstants(
        material.elastic_modulus,
        material.shear,
        area.area,
        moments.x,
        moments.y,
        bound,
        warping,
        centroid=centre,
        shear_centre=centre,
        mass_per_length=area.mass_per_length,
        width=x1 - x0,
        name=section.name,
        faces=Faces.of(section),
    )


def twist_bound(request: MemberRequest, constants: SectionConstants) -> TwistBound | None:
    """The worst twist limit of a member with these constants all along; None without any."""
    limits = [limit for limit in request.limits if isinstance(limit, TwistLimit)]
    if not limits:
        return None
    segment = replace(request.member.segments[0], section=constants, section_end=None)
    solution = solve(request.member.with_(segments=(segment,)))
    average = averaged_twist(solution)
    worst = TwistBound(0.0, 1.0, "")
    for limit in limits:
        allowed = math.radians(limit.degrees)
        for c, name in enumerate(solution.names):
            ratio = float(average[c]) * (1 - _SLACK) / allowed
            if (not limit.combinations or name in limit.combinations) and ratio > worst.ratio:
                worst = TwistBound(ratio, limit.degrees, name)
    return worst


def averaged_twist(solution: Solution) -> Array:
    """(c,) work of the torques about the shear centre over the sum of their sizes.

    Twist is smooth between nodes, and torques linear: five Gauss points leave rounding.
    """
    mesh, loading = solution.mesh, solution.loading
    x, weight = np.polynomial.legendre.leggauss(5)
    share = (1 + x) / 2
    centre = mesh.stiffness.shear_centre[mesh.kind]
    ends = [_torque(load, centre) for load in (loading.start, loading.end)]
    z = mesh.nodes[:-1, None] + mesh.length[:, None] * share
    phi = solution.at(z.ravel()).phi.reshape(*z.shape, -1)
    m = ends[0][:, None] * (1 - share)[None, :, None] + ends[1][:, None] * share[None, :, None]
    step = (mesh.length[:, None] * weight / 2)[..., None]
    work, size = (step * m * phi).sum(axis=(0, 1)), (step * np.abs(m)).sum(axis=(0, 1))
    first = mesh.stiffness.shear_centre[mesh.kind[0]]
    nodal = _torque(loading.nodal[:, :6], np.broadcast_to(first, (len(loading.nodal), 2)))
    at_nodes = solution.at(mesh.nodes[: len(nodal)]).phi
    work = work + (nodal * at_nodes).sum(axis=0)
    size = size + np.abs(nodal).sum(axis=0)
    return np.asarray(np.divide(work, size, out=np.zeros_like(work), where=size > 0))


def _torque(load: Array, centre: Array) -> Array:
    """(n, c) torque about the shear centre of (n, 6, c) forces and moments about the axis."""
    return np.asarray(load[:, 5] - centre[:, :1] * load[:, 1] + centre[:, 1:] * load[:, 0])
