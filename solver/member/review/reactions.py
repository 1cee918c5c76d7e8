"""What holds a member, whole: every support and restraint, bearings, decks, and the sum of it all.

The theory whose sections deform leads where it runs; the classical one stands beside it.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from ..beam.analysis import with_contacts
from ..beam.contact import Contact
from ..beam.deck_reaction import DeckReaction, deck_reactions
from ..beam.equilibrium import about_start, applied_sums
from ..beam.loading import moment_of
from ..beam.preparation import combined_loading
from ..beam.solution import Solution
from ..beam.support_reaction import SupportReaction
from ..deforming.deck_reaction import deck_reactions as deforming_decks
from ..deforming.reactions import reactions as deforming_reactions
from ..deforming.solution import DeformingSolution
from ..model.member import Member
from .brought import brought_by, with_beams

Array = NDArray[np.float64]

#: Forces that strain a section by less than this are nothing beside what a temperature or shrinkage
#: of 1e-4 locks in: where it strains the member freely, rounding alone is left to be summed.
_NOTHING = 1e-8
#: Components of a reaction, in order.
COMPONENTS = ("R_x", "R_y", "R_z", "M_x", "M_y", "T", "B")


@dataclass(frozen=True, slots=True)
class Concurrent:
    """An extreme of one component, with the others of the same combination.

    `extreme` is "max" or "min"; `values` (7,) are in the order of `COMPONENTS`, `combination` is
    the number of the combination.
    """

    component: str
    extreme: str
    combination: int
    values: tuple[float, ...]


@dataclass(frozen=True, slots=True)
class BearingRange:
    """Largest and smallest push of one bearing over the combinations.

    Attributes
    ----------
    support : str
    at, x : float
        Station, and place across.
    side : str
        "left", "right" or "" by its place among the bearings of its support.
    most, least : float
    most_under, least_under : int
        Numbers of the combinations.
    lifts : tuple of int
        Combinations under which it comes off.
    hold_down : float
        Force that would keep it down under the worst of them; 0 where it never lifts.
    """

    support: str
    at: float
    x: float
    side: str
    most: float
    least: float
    most_under: int
    least_under: int
    lifts: tuple[int, ...]
    hold_down: float


@dataclass(frozen=True, slots=True, eq=False)
class Reactions:
    """All that one theory says of what holds the member.

    Attributes
    ----------
    theory : "deforming" or "classical"
    names : tuple of str
        The combinations.
    supports : tuple per combination of tuple of SupportReaction
        Supports, springs and secondary beams.
    decks : tuple of DeckReaction
    bearings : tuple of BearingRange
    applied, held, moved : (6, c)
        Sums about the member's start, in the frame there: of the loads, of all that holds, and of
        what the second order adds (zero in first order).
    miss : (c,)
        Largest component of their sum, relative to the size of all that acts.
    length : float
        Of the member.
    """

    theory: str
    names: tuple[str, ...]
    supports: tuple[tuple[SupportReaction, ...], ...]
    decks: tuple[DeckReaction, ...]
    bearings: tuple[BearingRange, ...]
    applied: Array
    held: Array
    moved: Array
    miss: Array
    length: float

    def of(self, title: str) -> list[SupportReaction]:
        """The reactions of one support or restraint, over the combinations."""
        return [r for rows in self.supports for r in rows if r.title == title]

    def envelope(self, title: str) -> tuple[Concurrent, ...]:
        """Maximum and minimum of every component at one support or restraint."""
        rows = [components(r) for r in self.of(title)]
        table = np.array(rows)
        found = []
        for k, word in enumerate(COMPONENTS):
            for extreme, c in (("max", table[:, k].argmax()), ("min", table[:, k].argmin())):
                found.append(Concurrent(word, extreme, int(c), rows[int(c)]))
        return tuple(found)


def components(reaction: SupportReaction) -> tuple[float, ...]:
    """R_x, R_y, R_z, M_x, M_y about the support's point, T about the shear centre, B."""
    return (*reaction.force, *reaction.moment[:2], reaction.torque, reaction.bimoment)


def reactions_of(
    solution: Solution, deforming: DeformingSolution | None = None
) -> tuple[Reactions, ...]:
    """By each theory that runs; the one that leads comes first."""
    classical = _classical(solution)
    return (classical,) if deforming is None else (_deforming(deforming), classical)


def _classical(solution: Solution) -> Reactions:
    loads = combined_loading(solution.mesh, solution.elements)
    applied = applied_sums(solution.mesh, loads)
    moved = applied_sums(solution.mesh, solution.loading) - applied
    down = None
    if any(b.lifted for rows in solution.reactions for r in rows for b in r.bearings):
        down = with_contacts(solution, held_down(solution.contacts)).reactions
    return _gathered(
        "classical", solution.mesh.member, solution.names, solution.reactions,
        deck_reactions(solution), (applied, moved), down,
    )  # fmt: skip


def _deforming(solution: DeformingSolution) -> Reactions:
    own = _rows(solution)
    down = None
    if any(b.lifted for rows in own for r in rows for b in r.bearings):
        assert solution.again is not None
        down = _rows(solution.again(held_down(solution.contacts)))
    applied = solution.forces.sums
    return _gathered(
        "deforming", solution.member, solution.names, own, deforming_decks(solution),
        (applied, np.zeros_like(applied)), down,
    )  # fmt: skip


def _rows(solution: DeformingSolution) -> tuple[tuple[SupportReaction, ...], ...]:
    return tuple(deforming_reactions(solution, c) for c in range(len(solution.names)))


def held_down(contacts: Sequence[Contact]) -> list[Contact]:
    """The same contacts with every bearing held down."""
    return [replace(c, above=0.0) if c.freedom.startswith("bearing") else c for c in contacts]


def _gathered(
    theory: str,
    member: Member,
    names: tuple[str, ...],
    supports: tuple[tuple[SupportReaction, ...], ...],
    decks: tuple[DeckReaction, ...],
    acting: tuple[Array, Array],
    down: Sequence[Sequence[SupportReaction]] | None,
) -> Reactions:
    applied, moved = acting
    brought = brought_by(member)
    supports = tuple(with_beams(rows, brought, c) for c, rows in enumerate(supports))
    applied = applied - sum((b.sums for b in brought), np.zeros_like(applied))
    single = np.array([[_about_start(member, r) for r in rows] for rows in supports])
    single = single.reshape(len(names), -1, 6)
    each = [*np.moveaxis(single, 1, 0).transpose(0, 2, 1), *(d.sums for d in decks)]
    held = np.sum(each, axis=0) if each else np.zeros_like(applied)
    size = np.abs(applied) + np.abs(moved) + np.sum(np.abs(each), axis=0)
    length = member.length
    scale = np.maximum(size[:3].sum(axis=0), size[3:].sum(axis=0) / length)
    constants = [s.section for s in member.segments]
    scale = np.maximum(scale, _NOTHING * max(c.elastic_modulus * c.area for c in constants))
    total = np.abs(applied + held + moved)
    worst = np.maximum(total[:3].max(axis=0), total[3:].max(axis=0) / length)
    miss = np.divide(worst, scale, out=np.zeros_like(worst), where=scale > 0)
    return Reactions(
        theory,
        names,
        supports,
        decks,
        _bearings(supports, down),
        applied,
        held,
        moved,
        miss,
        length,
    )


def _about_start(member: Member, reaction: SupportReaction) -> Array:
    """(6,) force and moment of one reaction about the member's start."""
    force = np.array(reaction.force)
    arm = np.subtract(reaction.point, member.line)
    moment = np.array(reaction.moment) + moment_of(arm, force)
    local = np.concatenate([force, moment])[None, :, None]
    return np.asarray(about_start(member.axis, np.array([reaction.at]), local)[0, :, 0])


def _bearings(
    supports: Sequence[Sequence[SupportReaction]],
    down: Sequence[Sequence[SupportReaction]] | None,
) -> tuple[BearingRange, ...]:
    found = []
    for k, first in enumerate(supports[0] if supports else ()):
        places = [b.x for b in first.bearings]
        middle = (max(places) + min(places)) / 2 if places else 0.0
        for n, x in enumerate(places):
            over = [rows[k].bearings[n] for rows in supports]
            push = np.array([b.force for b in over])
            lifts = tuple(c for c, b in enumerate(over) if b.lifted)
            tension = 0.0
            if lifts and down is not None:
                tension = max(0.0, -min(down[c][k].bearings[n].force for c in lifts))
            tension = max(tension, -float(push.min()))
            side = "left" if x < middle else "right" if x > middle else ""
            found.append(
                BearingRange(
                    first.title,
                    first.at,
                    x,
                    side,
                    float(push.max()),
                    float(push.min()),
                    int(push.argmax()),
                    int(push.argmin()),
                    lifts,
                    max(tension, 0.0),
                )
            )
    return tuple(found)
