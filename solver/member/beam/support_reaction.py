"""Reactions of supports: what each carries, gathered from its contacts."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from .contact import ABOVE, BELOW, OPEN, Contact, support_point
from .loading import moment_of
from .mesh import Mesh

Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class BearingForce:
    """Upward push of one bearing on the member; negative where it holds down; `lifted` where it has
    come off."""

    x: float
    force: float
    lifted: bool


@dataclass(frozen=True, slots=True)
class SupportReaction:
    """Forces and moments that a support or restraint exerts on the member.

    Attributes
    ----------
    title : str
    at : float
    force : (R_x, R_y, R_z)
    moment : (M_x, M_y, T)
        About the support's point.
    point : (x, y)
        That point, in the section's axes.
    torque : float
        T about the shear centre.
    bimoment : float
    couple : float or None
        |T| over the lever arm: the pair of forces at flanges or bolt rows that the connection must
        hold.
    bearings : tuple of BearingForce
    play : str
        "" without play; else what the play does: "taken up", "not taken up" or "idle".
    """

    title: str
    at: float
    force: tuple[float, float, float]
    moment: tuple[float, float, float]
    point: tuple[float, float]
    torque: float
    bimoment: float
    couple: float | None
    bearings: tuple[BearingForce, ...]
    play: str


def reactions_of(
    mesh: Mesh, contacts: Sequence[Contact], engaged: Sequence[int], push: Array
) -> tuple[SupportReaction, ...]:
    """One row per support and point restraint, from the contact forces (m,) of one combination."""
    member = mesh.member
    titles = dict.fromkeys([s.title for s in member.supports] + [c.owner for c in contacts])
    found = []
    for title in titles:
        support = next((s for s in member.supports if s.title == title), None)
        mine = [n for n, c in enumerate(contacts) if c.owner == title]
        force, moment, bimoment = np.zeros(3), np.zeros(3), 0.0
        bearings: list[BearingForce] = []
        play = ""
        if support is not None:
            point, at = np.array(support_point(mesh, support)), support.at
        else:
            node = contacts[mine[0]].node
            point = np.array(contacts[mine[0]].point)
            at = float(mesh.nodes[node])
        for n in mine:
            contact, r = contacts[n], float(push[n])
            acting = np.asarray(contact.direction) * r
            force += acting[:3]
            moment += acting[3:6]
            bimoment -= float(acting[6])
            if contact.freedom.startswith("bearing"):
                x = contact.point[0] + member.line[0]
                bearings.append(BearingForce(x, r, engaged[n] == OPEN))
            elif contact.one_sided:
                words = {OPEN: "not taken up", BELOW: "taken up", ABOVE: "taken up"}
                play = words.get(engaged[n], "idle")
        # Contacts act about O: bring the moment to the support's point, and the torque to the shear
        # centre.
        moment = moment - moment_of(point, force)
        shear_centre = np.subtract(member.section_at(at).shear_centre, member.line)
        arm = point - shear_centre
        torque = float(moment[2] + arm[0] * force[1] - arm[1] * force[0])
        lever = support.lever_arm if support is not None else None
        found.append(
            SupportReaction(
                title,
                at,
                triple(force),
                triple(moment),
                (float(point[0] + member.line[0]), float(point[1] + member.line[1])),
                torque,
                bimoment,
                None if lever is None else abs(torque) / lever,
                tuple(bearings),
                play,
            )
        )
    return tuple(found)


def triple(v: Array) -> tuple[float, float, float]:
    """Three numbers of an array as Python's."""
    return (float(v[0]), float(v[1]), float(v[2]))
