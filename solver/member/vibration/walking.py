"""Is a natural frequency one that people on foot can excite: a screen, never a verdict of comfort.

Ranges of walking: vertical and longitudinal 1.25 to 2.3 Hz by its first harmonic, 2.5 to 4.6 Hz by
its second, so 1.25 to 4.6 Hz where both count, and lateral 0.5 to 1.2 Hz: the guideline of the
European projects SYNPEX and HiVoSS for footbridges (2008), from memory.
The technical guide of Setra and AFGC (Footbridges, 2006, ch. 2, from memory) sorts frequencies by
the risk of resonance, vertical and longitudinal ones alike: 1 highest, 2 medium, 3 low, 4
negligible.
EN 1990:2002/A1:2005 A2.4.3.2 asks for a verification of comfort below 5 Hz vertically and below
2.5 Hz laterally and in torsion (from memory).
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Sequence
from dataclasses import dataclass

from numpy.typing import NDArray

VERTICAL, LATERAL = (1.25, 4.6), (0.5, 1.2)
SECOND_HARMONIC = 2.5
CODE_VERTICAL, CODE_LATERAL = 5.0, 2.5
#: Bounds between risks 4, 2, 1, 2, 3 and 4, from slow to fast.
RISK_VERTICAL, RISK_LATERAL = (1.0, 1.7, 2.1, 2.6, 5.0), (0.3, 0.5, 1.1, 1.3, 2.5)
_RISKS = (4, 2, 1, 2, 3, 4)

SOURCE = (
    "ranges of walking from the SYNPEX and HiVoSS guideline for footbridges (2008), from memory; "
    "risk of resonance (1 highest, 2 medium, 3 low, 4 negligible) by the frequencies of the guide "
    "of Setra and AFGC (2006), from memory; "
    "EN 1990/A1 A2.4.3.2, from memory"
)
CAUTION = (
    "A screen of frequencies only, for bridges that people walk on. It knows no damping, no number "
    "of walkers and no acceleration: it never says that a bridge is comfortable."
)


@dataclass(frozen=True, slots=True)
class WalkingRow:
    """One mode: where it stands, in words; `inside` the range of walking; `risk` of resonance, 1
    (highest) to 4 (negligible)."""

    mode: int
    inside: bool
    words: str
    risk: int


def risk(frequency: float, bounds: Sequence[float]) -> int:
    """Risk of resonance, 1 (highest) to 4 (negligible)."""
    return _RISKS[bisect_left(bounds, frequency)]


def walking_rows(frequencies: NDArray, names: Sequence[str]) -> tuple[WalkingRow, ...]:  # type: ignore[type-arg]
    """The screen of modes with their frequencies in Hz and names; torsion and motion along the
    member count as vertical, and the code asks for nothing of the latter."""
    rows = []
    for mode, (f, name) in enumerate(zip(frequencies, names, strict=True)):
        lateral = name == "lateral"
        low, high = LATERAL if lateral else VERTICAL
        code = CODE_LATERAL if lateral or "torsional" in name else CODE_VERTICAL
        if "lateral" in name and not lateral:
            # A coupled mode is held against both ranges.
            both = LATERAL[0] <= f <= LATERAL[1] or low <= f <= high
        else:
            both = low <= f <= high
        if both:
            words = "in the range of walking: a dynamic assessment is needed"
            if not lateral and f > SECOND_HARMONIC:
                words += " (excited by the second harmonic)"
        elif f < code and name != "axial":
            words = f"outside the range of walking, below {code:g} Hz: EN 1990 asks for a check"
        else:
            words = "outside the range of walking"
        worst = risk(f, RISK_LATERAL if lateral else RISK_VERTICAL)
        if "lateral" in name and not lateral:
            worst = min(worst, risk(f, RISK_LATERAL))
        rows.append(WalkingRow(mode, bool(both), words, worst))
    return tuple(rows)
