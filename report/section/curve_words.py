"""What is said of a section whose drawn curves arcs follow: how much that may change J."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from ...solver.section.torsion.drawn_curves import NOT_SMALL, curve_effect
from ..text.number import number

if TYPE_CHECKING:
    from ...solver.section.result import SectionResult


def curve_notes(results: Sequence[SectionResult]) -> list[str]:
    """One note for the whole of a section's parts, each solved; none where all borders are exact.

    Of a sum, no larger share can change than of the part that feels it most.
    """
    deviation = max(result.section.deviation for result in results)
    if deviation == 0:
        return []
    off = f"{number(deviation, 2)} {results[0].unit}".rstrip()
    shares = [curve_share(result) for result in results]
    known = [share for share in shares if share is not None]
    if len(known) < len(shares):
        return [
            f"The arcs leave the drawn curves by up to {off}, which is not small beside the walls: "
            f"what that changes of J may exceed {NOT_SMALL:.0%} of it, and no bound of it is "
            "known. Give the drawing a smaller deviation."
        ]
    return [
        f"The arcs leave the drawn curves by at most {off}. To first order J of the curves differs "
        f"from that of the arcs by less than {max(known):.1e} of itself, on top of the interval: "
        "the deviation times the integral of the squared shear stress along all borders, as if "
        "every border lay off by as much. A smaller deviation makes it smaller."
    ]


def curve_share(result: SectionResult) -> float | None:
    """What drawn curves may change of J by J; None where the deviation is not small."""
    effect = curve_effect(result.field, result.section.deviation)
    return None if effect is None else effect / result.torsion_constant


def beside_interval(result: SectionResult) -> str:
    """What to add to the interval's words; "" where all borders are exact."""
    share = curve_share(result)
    if share == 0:
        return ""
    if share is None:
        return "; how far the drawn curves are from it is not known (see the notes)"
    return f"; the drawn curves themselves: up to {share:.1e} of J more or less"
