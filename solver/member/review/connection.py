"""What acts at one support, spring or secondary beam, for the design of its connection."""

from __future__ import annotations

import difflib
from dataclasses import dataclass

import numpy as np

from ....geometry.errors import InputError
from ..beam.loading import moment_of
from ..beam.support_reaction import SupportReaction, triple
from .assessment import Assessment


@dataclass(frozen=True, slots=True)
class ConnectionActions:
    """Concurrent forces and moments that one connection exerts on the member.

    What the connection puts on its support is the reverse of all of them.

    Attributes
    ----------
    title : str
        Of the support, spring or secondary beam.
    combination : str
    theory : "deforming" or "classical"
    at : float
        Along the member.
    point : (x, y)
        Where the force acts, in the section's axes; moments are about it.
    force : (R_x, R_y, R_z)
        Across, up and along the member.
    moment : (M_x, M_y, T)
    bimoment : float
    torque : float
        T about the shear centre.
    couple : float or None
        |torque| over the lever arm of the connection, where one is stated.
    worst_torque : float or None
        The largest torque of a joint with clearance, wherever the joints stand in theirs (see
        `clearance`): its own moment, to be taken with the other actions; None without clearance.
    """

    title: str
    combination: str
    theory: str
    at: float
    point: tuple[float, float]
    force: tuple[float, float, float]
    moment: tuple[float, float, float]
    bimoment: float
    torque: float
    couple: float | None
    worst_torque: float | None = None

    def about(self, x: float, y: float) -> tuple[float, float, float]:
        """(M_x, M_y, T) about another point of the section, such as the middle of a bolt group."""
        arm = np.subtract(self.point, (x, y))
        return triple(self.moment + moment_of(arm, np.array(self.force)))


def connection_titles(assessment: Assessment) -> tuple[str, ...]:
    """Titles of all supports, springs and secondary beams, in order."""
    rows = assessment.reactions[0].supports
    return tuple(r.title for r in rows[0]) if rows else ()


def connection_actions(
    assessment: Assessment, title: str, combination: str | None = None
) -> tuple[ConnectionActions, ...]:
    """Actions at one support or restraint, by the theory that leads.

    Parameters
    ----------
    title : str
        As `connection_titles` has it.
    combination : str, optional
        One of them; all of them, one after the other, when left out.

    Raises
    ------
    InputError
        A title or a combination that is not there.
    """
    found = assessment.reactions[0]
    titles = connection_titles(assessment)
    if title not in titles:
        near = difflib.get_close_matches(title, titles, n=1)
        hint = f"did you mean {near[0]!r}?" if near else f"there are {', '.join(titles)}"
        raise InputError(f"no support or restraint is named {title!r}; {hint}")
    numbers = range(len(found.names))
    if combination is not None:
        numbers = range((c := assessment.solution.column(combination)), c + 1)
    rows = found.of(title)
    envelope = assessment.clearance
    slack = [] if envelope is None else [j for j in envelope.joints if j.title == title]
    return tuple(
        _actions(rows[c], found.names[c], found.theory, float(slack[0].worst[c]) if slack else None)
        for c in numbers
    )


def _actions(
    reaction: SupportReaction, combination: str, theory: str, worst: float | None
) -> ConnectionActions:
    return ConnectionActions(
        reaction.title,
        combination,
        theory,
        reaction.at,
        reaction.point,
        reaction.force,
        reaction.moment,
        reaction.bimoment,
        reaction.torque,
        reaction.couple,
        worst,
    )
