"""A section's buckling in words and units: shared by table, figure and page."""

from __future__ import annotations

from typing import TYPE_CHECKING

from ...solver.section.buckling.movement import ALONE, MOSTLY, MOVING, RIGID
from ...solver.section.stress.actions import SYMBOLS
from ..stress.table import SIGNS
from ..text import caution
from ..text.number import displayed, number, unit_text

if TYPE_CHECKING:
    from ...solver.section.buckling.result import BucklingMode, SectionBuckling

#: Quantity of each action, in the order of `SYMBOLS`.
QUANTITY = ("force", "moment", "moment", "force", "force", "moment", "moment", "bimoment")
#: Digits of factors and stresses: they are good to 1e-4.
DIGITS = 5

RULE = (
    "What buckles is decided from the shape. Flexural, torsional, flexural-torsional and "
    f"lateral-torsional: a rigid motion of the section holds {100 * RIGID:.0f} % or more of the "
    f"mean square displacement (from {100 * MOSTLY:.0f} %: with distortion or with local "
    f"buckling); flexural up to {100 * ALONE:.0f} % rotation about the shear centre, torsional "
    f"from {100 - 100 * ALONE:.0f} %. Else distortional where fold lines (where walls meet) move "
    f"by {100 * MOVING:.0f} % or more of what moves most, and local where walls bend between them."
)
LENGTH = (
    "A half-wavelength is the length between two points where the buckle crosses zero: that of a "
    "member whose ends keep the section's shape and place and leave it free along the member. A "
    "local or distortional minimum repeats along a longer member; other ends, loads between them, "
    "stiffeners and restraints are not in the curve."
)
WAVES = (
    "Shear makes the buckles run obliquely: the factors are those of an endless member, whose ends "
    "do not help."
)
MOMENT = (
    "Under V the bending moment changes along the member; it is taken here as given and constant "
    "over a half-wave. Read the curve only where half-waves are short beside M/V."
)


def action_units(buckling: SectionBuckling) -> list[tuple[int, str, str, float]]:
    """Number, symbol, unit and factor of every action that is not zero."""
    unit = buckling.section.unit
    return [
        (k, symbol, *displayed(unit, QUANTITY[k]))
        for k, symbol in enumerate(SYMBOLS)
        if buckling.vector[k]
    ]


def action_texts(buckling: SectionBuckling, factor: float, digits: int = DIGITS) -> list[str]:
    """The actions times a factor: "N = -120 kN"."""
    return [
        f"{symbol} = {number(float(buckling.vector[k]) * factor * scale, digits)} {unit}".rstrip()
        for k, symbol, unit, scale in action_units(buckling)
    ]


def stress_text(buckling: SectionBuckling, mode: BucklingMode, digits: int = DIGITS) -> str:
    """Critical stress with its unit, "" where no normal stress acts."""
    if not buckling.compression:
        return ""
    unit, factor = displayed(buckling.section.unit, "stress")
    return f"{number(buckling.stress(mode) * factor, digits)} {unit}".rstrip()


def length_text(buckling: SectionBuckling, length: float, digits: int = 4) -> str:
    """A half-wavelength with its unit."""
    return f"{number(length, digits)} {unit_text(buckling.section.unit)}".rstrip()


def mode_words(mode: BucklingMode) -> str:
    """What buckles, and whether a minimum is hidden."""
    return mode.movement.words + (", hidden by lower modes" if mode.hidden else "")


def buckling_notes(buckling: SectionBuckling) -> list[str]:
    """What must stand beside the factors."""
    notes = [*buckling.section.notes, *buckling.prepared.notes]
    lengths = buckling.half_wavelengths
    low, high = (length_text(buckling, float(x)) for x in (lengths[-1], lengths[0]))
    if not buckling.minima:
        notes.append(
            f"No minimum between {low} and {high} that the section could reach elastically: the "
            "lowest factor is that of the longest half-wave, and no local or distortional buckling "
            "comes before it."
        )
    if buckling.falls_at_shortest:
        notes.append(
            f"The curve still falls toward the shortest half-wavelength, {low}: ask for shorter "
            "ones with --shortest."
        )
    notes += [text for text in [_yield_note(buckling)] if text]
    if buckling.oblique:
        notes.append(WAVES)
    if buckling.vector[3:5].any():
        notes.append(MOMENT)
    notes += [SIGNS, LENGTH, RULE]
    notes.append(
        f"Modes are followed by their shapes among the {buckling.factors.shape[1]} lowest of each "
        "half-wavelength; minima are good to 1e-4 on the mesh, the lowest curve between them to "
        f"{buckling.tolerance:.0e}."
    )
    notes.append(caution.BUCKLING)
    return notes


def _yield_note(buckling: SectionBuckling) -> str:
    """That modes come after yield, where strengths are known."""
    strengths = [region.material.strength for region in buckling.section.regions]
    known = [strength for strength in strengths if strength is not None]
    if not known or not buckling.compression:
        return ""
    least = min(known)
    if all(buckling.stress(m) <= least for m in (*buckling.minima, *buckling.longest)):
        return ""
    unit, factor = displayed(buckling.section.unit, "stress")
    text = f"{number(least * factor, 4)} {unit}"
    if len(set(strengths)) > 1:
        return (
            f"Critical stresses above the strengths of the materials (the least is {text}) are "
            "elastic values only: compare them where they act; the material yields first."
        )
    return (
        f"Critical stresses above the strength of {text} are elastic values only: the material "
        "yields first."
    )
