"""The results whose influence lines are asked for."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from ....geometry.errors import InputError
from ..model.load import Place, Where
from ..model.member import Member
from ..model.support import Support

Array = NDArray[np.float64]

Kind = Literal[
    "reaction", "bearing", "action", "seat", "twist", "rotation", "displacement", "stress"
]

REACTIONS = ("R_x", "R_y", "R_z", "T")
ACTIONS = ("N", "V_x", "V_y", "M_x", "M_y", "T", "B")
#: Rotations of the section about x and y; seen from a bearing, along the member and in plan.
ROTATIONS = ("theta_x", "theta_y")
DISPLACEMENTS = ("u_x", "u_y", "u_z")
#: Stresses in the order of the deforming theory's rows.
STRESSES = ("xx", "yy", "zz", "yz", "xz", "xy")

#: The quantity that each component is, for its unit.
QUANTITY = {
    "R_x": "force", "R_y": "force", "R_z": "force", "N": "force", "V_x": "force", "V_y": "force",
    "M_x": "moment", "M_y": "moment", "T": "moment", "B": "bimoment",
    "twist": "angle", "theta_x": "angle", "theta_y": "angle",
    "u_x": "displacement", "u_y": "displacement", "u_z": "displacement",
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class AskedResult:
    """One result.

    Attributes
    ----------
    kind : str
    component : str
        Of `REACTIONS`, `ACTIONS`, `ROTATIONS`, `DISPLACEMENTS` or `STRESSES`; "twist"; "R_y" of a
        bearing or of a seat of a half-joint.
    title : str
        In tables.
    at : float
        Station; the support's own for reactions.
    owner : str
        Title of the support or hinge.
    number : int
        Of the bearing or seat, from 1.
    place : Where
        Point of the section.
    """

    kind: Kind
    component: str
    title: str
    at: float
    owner: str = ""
    number: int = 0
    place: Where = field(default_factory=Place)

    @property
    def quantity(self) -> str:
        """What is measured, for its unit."""
        return "stress" if self.kind == "stress" else QUANTITY[self.component]


def support_named(member: Member, name: str) -> Support:
    """The support of a title."""
    for support in member.supports:
        if support.title == name:
            return support
    known = ", ".join(repr(s.title) for s in member.supports)
    raise InputError(f"there is no support {name!r}; supports are {known}")


def seat_weights(member: Member, one: AskedResult) -> tuple[tuple[str, float], ...]:
    """By how much V_y, V_x and T of a half-joint count in the force of one of its seats."""
    hinge = next(h for h in member.hinges if h.title == one.owner)
    centre = member.section_at(hinge.at).shear_centre
    units = (("V_y", (1.0, 0.0, 0.0)), ("V_x", (0.0, 1.0, 0.0)), ("T", (0.0, 0.0, 1.0)))
    return tuple((word, hinge.seat_forces(*of, centre)[one.number - 1]) for word, of in units)


def motion_of(member: Member, one: AskedResult, centroid: Array, shear_centre: Array) -> Array:
    """(6,) rigid motion on which a reaction, internal force or seat works, see `motion_about`."""
    if one.kind != "seat":
        return motion_about(one.component, centroid, shear_centre)
    parts = [w * motion_about(c, centroid, shear_centre) for c, w in seat_weights(member, one)]
    return np.asarray(np.sum(parts, axis=0))


def motion_about(component: str, centroid: Array, shear_centre: Array) -> Array:
    """(6,) rigid motion (displacements, rotations about the section's origin) on which a resultant
    works: M_x and M_y about the centroid, T about the shear centre."""
    c = np.zeros(6)
    if component in ("N", "R_z"):
        c[2] = 1.0
    elif component in ("V_x", "R_x"):
        c[0] = 1.0
    elif component in ("V_y", "R_y"):
        c[1] = 1.0
    elif component == "M_x":
        c[3], c[2] = 1.0, -centroid[1]
    elif component == "M_y":
        c[4], c[2] = 1.0, centroid[0]
    else:
        c[5], c[0], c[1] = 1.0, shear_centre[1], -shear_centre[0]
    return c
