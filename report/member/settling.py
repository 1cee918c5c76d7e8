"""How far a member's results have settled, in words."""

from __future__ import annotations

from typing import TYPE_CHECKING

from ..text.number import number

if TYPE_CHECKING:
    from ...solver.member.review.deformed import Deformed


def unsettled_words(found: Deformed) -> list[str]:
    """What is said of a stress that does not settle."""
    near = (
        "beside a step, a load or a support; look at it there by a solid model, or round off what "
        "the section changes abruptly"
    )
    if not found.settled:
        return [
            "The peak stress still changes with the modes, so none is stated, and a limit of "
            f"stress is not judged reliably: it stands {near}."
        ]
    if found.unsettled_near is None:
        return []
    return [
        "Stresses stated are those half a section's size and more from supports, ends of loads and "
        "steps; limits of stress are judged there alone. The largest of all still changes with "
        f"the modes, by {number(100 * found.unsettled_near, 2)} %: it stands {near}."
    ]


def change_words(found: Deformed) -> str:
    """What fewer functions and lower orders change."""
    change = found.change

    def percent(value: float) -> str:
        return f"{number(100 * value, 2)} %"

    return (
        "With fewer modes and lower orders the largest twist changes by "
        f"{percent(change.twist)}, deflection by {percent(change.deflection)}, stress by "
        f"{percent(change.stress)}; any movement by less than "
        f"{percent(change.displacement_anywhere)} of the largest (a plate's thickness off loads "
        "and bearings at points), any stress half a section's size "
        "from supports, ends of loads, steps (two plates' thicknesses "
        f"from sharp corners) by less than {percent(change.stress_away)}."
    )


def near_words(found: Deformed | None, bounded: bool) -> str:
    """What is added to the largest stress: what is left out of it."""
    words = "" if bounded else "; the surroundings of sharp corners are left out"
    if found is not None and found.unsettled_near is not None:
        words += "; nearer than half a section's size to loads and supports it does not settle"
    return words
