"""What must be said beside a member's results."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from ..beam.contact import BOTH, OPEN, TURNING, Contact
from ..beam.element import THINNEST_LAYER
from ..model.member import Member
from ..model.restraint import TwistSpring
from .imposed_remark import imposed_remarks

Array = NDArray[np.float64]

# Plan radius over section width below which the curved bar's own fibre lengths are worth a remark.
WIDE = 5.0


def remarks(
    member: Member, engaged: Sequence[Sequence[int]], contacts: Sequence[Contact], push: Array
) -> list[str]:
    """Sentences on bearings, idle play, steps of section, thin layers and sharp curves.

    `push` (m, c) are the contact forces of the c combinations.
    """
    names = [combination.name for combination in member.combined]
    return [
        *contact_remarks(names, engaged, contacts, push),
        *_unloaded(member),
        *_sections(member),
        *_curves(member),
        *imposed_remarks(member),
    ]


def contact_remarks(
    names: Sequence[str],
    engaged: Sequence[Sequence[int]],
    contacts: Sequence[Contact],
    push: Array,
) -> list[str]:
    """Sentences on bearings and on idle slip, by either theory, for combinations of these names."""
    under: dict[str, list[str]] = {}
    for c, (name, states) in enumerate(zip(names, engaged, strict=True)):
        for n, (contact, state) in enumerate(zip(contacts, states, strict=True)):
            who, bearing = contact.owner, contact.freedom.startswith("bearing")
            if bearing and not contact.one_sided and push[n, c] < 0:
                words = f"{contact.freedom} of {who} must hold down under"
            elif bearing and state == OPEN:
                words = f"{contact.freedom} of {who} is under uplift in"
            elif contact.freedom in TURNING and contact.one_sided and state == BOTH:
                words = (
                    f"{who} carries no torque, so within its slip the twist is undetermined and "
                    "shown at the middle, under"
                )
            else:
                continue
            under.setdefault(words, []).append(name)
    return [f"{words} {_some(names)}" for words, names in under.items()]


def _some(names: Sequence[str]) -> str:
    """The first of some combinations, and how many more."""
    more = len(names) - 1
    return f"combination {names[0]!r}" + (f" and {more} more" if more else "")


def _unloaded(member: Member) -> list[str]:
    """Secondary beams of which the stiffness alone is known."""
    titles = [r.title for r in member.restraints if isinstance(r, TwistSpring) and r.unloaded]
    if not titles:
        return []
    more = f" and {len(titles) - 1} more" if len(titles) > 1 else ""
    return [
        f"{titles[0]}{more}: a secondary beam without its own load is a spring of the twist alone; "
        "the moment that its end rotation brings under its load, k w L^3 / (24 E I) on a far pin, "
        "and the member's deflection under it are left out; give its loads and place"
    ]


def _sections(member: Member) -> list[str]:
    found = []
    steps = []
    for before, after in pairwise(member.segments):
        left, right = before.section_end or before.section, after.section
        if left != right and left.warping_constant > 0 and right.warping_constant > 0:
            steps.append(f"from {left.name!r} to {right.name!r}")
    if steps:
        said = ", ".join(dict.fromkeys(steps))
        found.append(
            f"the section steps {said}: rate of twist and bimoment are taken as continuous there, "
            "which is exact only if both sections warp alike"
        )
    for segment in member.segments:
        a = segment.section.characteristic_length
        if 0 < a * THINNEST_LAYER < member.length:
            found.append(
                f"section {segment.section.name!r} counts as not warping: its characteristic "
                f"length a = {a:.3g} is below {1 / THINNEST_LAYER:g} of the member's length"
            )
    return found


def _curves(member: Member) -> list[str]:
    found = []
    widths = [
        section.width
        for segment in member.segments
        for section in (segment.section, segment.section_end)
        if section is not None and section.width
    ]
    radii = [1 / p.tightest for p in member.axis.pieces if p.tightest]
    if widths and radii and min(radii) < WIDE * max(widths):
        found.append(
            f"plan radius {min(radii):g} is less than {WIDE:g} widths of the section: outer fibres "
            "are longer and inner ones shorter, which beam theory leaves out; stresses change by "
            "about width / (2 radius)"
        )
    return found
