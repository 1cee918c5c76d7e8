"""What sections that deform pass on over hinges."""

from __future__ import annotations

from ....geometry.errors import InputError
from ..model.member import Member


def check_passing(member: Member) -> None:
    """Refuse what this theory does not carry over a hinge.

    Raises
    ------
    InputError
        In words.
    """
    for kink in member.axis.kinks:
        raise InputError(
            f"{kink.title}: how the walls of sections that deform pass forces through a kink is "
            "not solved"
        )
    for hinge in member.hinges:
        raise InputError(
            f"{hinge.title}: how the walls of sections that deform pass forces through a hinge is "
            "not solved"
        )
